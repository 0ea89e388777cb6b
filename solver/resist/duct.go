package resist

import (
	"math"

	"spillway/solver/air"
)

// greatestRoughness is the relative roughness above which no friction formula means anything.
const greatestRoughness = 0.1

// DuctData describes a straight duct and the fittings reckoned on its own velocity pressure.
type DuctData struct {
	Area       float64 // free cross-section, m²
	Diameter   float64 // hydraulic diameter 4A/P, m; zero means round: √(4A/π)
	Length     float64 // installed length, m; may be zero if Local is not
	Roughness  float64 // absolute roughness ε, m
	Multiplier float64 // on friction: catalog.FlexCorrection and the like; zero means 1
	Local      float64 // sum of fitting coefficients on this duct's velocity pressure
	Air        air.State
}

// Duct is a straight duct with fittings,
//
//	Δp = (M f L/D_h + ΣC) ρV²/2
//
// by Darcy and Weisbach with the friction factor of FrictionFactor; hydraulic diameter and true mean velocity for
// sections that are not round. Smooth and strictly increasing from rest through laminar and transitional to rough
// flow; the local part is rounded off as in Local. Handbook of fundamentals (2021 SI), duct design chapter, eq. 18, 19,
// 24 and 34; flexible duct by its eq. 22 and 23 through Multiplier. Relative roughness up to 0.1.
type Duct struct {
	reynolds float64 // Re per kg/s
	rough    float64 // ε/D
	laminar  float64 // Pa per kg/s while f = 64/Re
	friction float64 // Pa per f per (kg/s)²
	local    float64 // Pa per (kg/s)²
	knee2    float64 // (kg/s)²
}

// NewDuct checks the data and prepares the law.
func NewDuct(d DuctData) (Duct, error) {
	in := inputs{element: "duct"}
	in.positive("area", d.Area)
	in.notNegative("hydraulic diameter", d.Diameter)
	in.notNegative("length", d.Length)
	in.notNegative("roughness", d.Roughness)
	in.notNegative("friction multiplier", d.Multiplier)
	in.notNegative("loss coefficient", d.Local)
	in.state(d.Air)
	if in.err != nil {
		return Duct{}, in.err
	}
	diameter := d.Diameter
	if diameter == 0 {
		diameter = math.Sqrt(4 * d.Area / math.Pi)
	}
	in.within("relative roughness", d.Roughness/diameter, 0, greatestRoughness)
	if in.err != nil {
		return Duct{}, in.err
	}
	multiplier := d.Multiplier
	if multiplier == 0 {
		multiplier = 1
	}
	c := d.Local
	if d.Length == 0 {
		c = max(c, leastCoefficient)
	}
	perC := 1 / (2 * d.Air.Density * d.Area * d.Area)
	knee := KneeReynolds * d.Air.Viscosity * d.Area / diameter
	duct := Duct{
		reynolds: diameter / (d.Area * d.Air.Viscosity),
		rough:    d.Roughness / diameter,
		friction: multiplier * d.Length / diameter * perC,
		local:    c * perC,
		knee2:    knee * knee / (1 + c),
	}
	duct.laminar = laminarFriction / duct.reynolds * duct.friction
	return duct, nil
}

// Reynolds number at a mass flow (kg/s), never negative.
func (d Duct) Reynolds(q float64) float64 { return math.Abs(q) * d.reynolds }

// Drop implements flow.Law.
func (d *Duct) Drop(q float64) (drop, slope float64) {
	size := math.Abs(q)
	if re := size * d.reynolds; re < LaminarReynolds {
		drop, slope = d.laminar*q, d.laminar
	} else {
		f, exponent := friction(re, d.rough)
		slope = d.friction * f * size
		drop = slope * q
		slope *= 2 + exponent
	}
	if d.local > 0 {
		q2 := q * q
		root := math.Sqrt(q2 + d.knee2)
		drop += d.local * q * root
		slope += d.local * (2*q2 + d.knee2) / root
	}
	return drop, slope
}

// FrictionDrop is the part of the drop that is wall friction, Pa, at a mass flow (kg/s); what is left of Drop is the
// fittings.
func (d *Duct) FrictionDrop(q float64) float64 {
	size := math.Abs(q)
	re := size * d.reynolds
	if re < LaminarReynolds {
		return d.laminar * q
	}
	f, _ := friction(re, d.rough)
	return d.friction * f * size * q
}
