package resist

import (
	"math"

	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/solver/air"
	"spillway/solver/internal/formula"
)

// PowerKnee is the knee of a power law as a share of its rated flow; bias of the pure law at the rating under 1e-8.
const PowerKnee = 1e-4

// Rating is one measured point of an element, quoted for standard air, and the exponent n in Δp ~ Q^n.
type Rating struct {
	Drop     float64 // Pa
	Flow     float64 // m³/s of standard air
	Exponent float64 // 1 to 2; zero means 2
}

// PowerLaw is an element known by one rating point: filter, coil, register, leak. With the exponent n between 1
// (viscous) and 2 (inertial),
//
//	Δp = R q (q² + d²)^((n−1)/2)
//	R q_r^n = Δp_r (μ/μ_s)^(2−n) (ρ_s/ρ)
//
// q_r the rated mass flow, index s standard air. The air enters by dimensions: a law that goes as U^n must go as
// μ^(2−n) ρ^(n−1), which at a given mass flow is μ^(2−n)/ρ. The knee d is a ten-thousandth of the rated flow.
type PowerLaw struct {
	resistance float64
	half       float64 // (n−1)/2
	n          float64
	knee2      float64
}

// NewPowerLaw returns the law through a rating point.
func NewPowerLaw(r Rating, a air.State) (PowerLaw, error) {
	n := r.Exponent
	if n == 0 {
		n = 2
	}
	in := inputs{element: "rated element"}
	in.positive("rated drop", r.Drop)
	in.positive("rated flow", r.Flow)
	in.within("exponent", n, 1, 2)
	in.state(a)
	if in.err != nil {
		return PowerLaw{}, in.err
	}
	standard := air.Standard()
	rated := r.Flow * standard.Density
	drop := r.Drop * math.Pow(a.Viscosity/standard.Viscosity, 2-n) * standard.Density / a.Density
	knee := PowerKnee * rated
	return PowerLaw{
		resistance: drop / math.Pow(rated, n),
		half:       (n - 1) / 2,
		n:          n,
		knee2:      knee * knee,
	}, nil
}

// NewFilter returns a filter from its clean rating and a loading factor on the drop: 1 clean, catalog.LoadedFilterFactor
// when due for a change. An exponent of zero means catalog.FilterExponent.
func NewFilter(clean Rating, loading float64, a air.State) (PowerLaw, error) {
	in := inputs{element: "filter"}
	in.positive("loading factor", loading)
	if in.err != nil {
		return PowerLaw{}, in.err
	}
	if clean.Exponent == 0 {
		clean.Exponent = catalog.FilterExponent
	}
	clean.Drop *= loading
	return NewPowerLaw(clean, a)
}

// NewCoil returns a coil from its dry rating and a factor on the drop: 1 dry, catalog.WetCoilFactor wet. An
// exponent of zero means catalog.CoilExponent.
func NewCoil(dry Rating, wetness float64, a air.State) (PowerLaw, error) {
	in := inputs{element: "coil"}
	in.positive("wetness factor", wetness)
	if in.err != nil {
		return PowerLaw{}, in.err
	}
	if dry.Exponent == 0 {
		dry.Exponent = catalog.CoilExponent
	}
	dry.Drop *= wetness
	return NewPowerLaw(dry, a)
}

// LeakTest is the pressure at which leaks are rated, Pa (common practice).
const LeakTest = 25.0

// NewLeak returns duct or envelope leakage
//
//	Q = C Δp^n
//
// from the coefficient C (m³/s of standard air at 1 Pa) and the exponent n, 0.5 to 1, such as
// catalog.DuctLeakageExponent for classes of duct and catalog.TestLeakageExponent for a test at 25 Pa. It bleeds from a node to its
// surroundings as a power law with exponent 1/n through the rating at 25 Pa.
func NewLeak(coefficient, exponent float64, a air.State) (PowerLaw, error) {
	in := inputs{element: "leak"}
	in.positive("leakage coefficient", coefficient)
	in.within("leakage exponent", exponent, 0.5, 1)
	if in.err != nil {
		return PowerLaw{}, in.err
	}
	return NewPowerLaw(Rating{Drop: LeakTest, Flow: coefficient * math.Pow(LeakTest, exponent), Exponent: 1 / exponent}, a)
}

// In returns a law that was made for standard air in other air.
func (p PowerLaw) In(a air.State) (PowerLaw, error) {
	in := inputs{element: "rated element"}
	if in.state(a); in.err != nil {
		return PowerLaw{}, in.err
	}
	standard := air.Standard()
	p.resistance *= math.Pow(a.Viscosity/standard.Viscosity, 2-p.n) * standard.Density / a.Density
	return p, nil
}

// Drop implements flow.Law.
func (p PowerLaw) Drop(q float64) (drop, slope float64) {
	q2 := q * q
	s := q2 + p.knee2
	var power float64
	if p.half == 0.5 {
		power = math.Sqrt(s)
	} else {
		power = math.Exp(p.half * math.Log(s)) // half the cost of math.Pow; s is positive
	}
	return p.resistance * q * power, p.resistance * power * (p.n*q2 + p.knee2) / s
}

// PowerFormula is the drop of a PowerLaw.
func PowerFormula() *formula.Formula {
	standard := air.Standard()
	fixed := func(name string, kind quantity.Kind, v float64) formula.Symbol {
		return formula.Symbol{Name: name, Kind: kind, Low: v, High: v}
	}
	return &formula.Formula{Name: "turning linear below a ten-thousandth of the rated flow",
		Text:   formula.Write("Δpr * m * (m^2 + (Qr * ρs / #)^2)^((n - 1) / 2) / (Qr * ρs)^n * (μ / μs)^(2 - n) * ρs / ρ", 1/PowerKnee),
		Result: dropSymbol,
		In: []formula.Symbol{{Name: "Δpr", Kind: quantity.KindPressure, Low: 5, High: 200}, {Name: "Qr", Kind: quantity.KindAirflow, Low: 0.01, High: 1},
			number("n", 1, 2), fixed("ρs", quantity.KindDensity, standard.Density), densitySymbol, viscositySymbol,
			fixed("μs", quantity.KindViscosity, standard.Viscosity), flowSymbol},
		Eval: func(in []float64) float64 {
			law, _ := NewPowerLaw(Rating{Drop: in[0], Flow: in[1], Exponent: in[2]}, air.State{Density: in[4], Viscosity: in[5]})
			drop, _ := law.Drop(in[7])
			return drop
		}}
}
