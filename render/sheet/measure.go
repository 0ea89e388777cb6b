package sheet

import (
	"math"
	"strings"

	"spillway/network/quantity"
	"spillway/solver/sound"
)

// measure is how one quantity is printed in one system of units.
type measure struct {
	kind     quantity.Kind
	sys      quantity.System
	label    string // in text: "in. w.c."
	plain    string // in CSV and in findings, ASCII: "inwc"
	key      string // ending of a JSON key: "_inwc"
	decimals int    // in text
}

// measureIn returns how a kind of quantity is printed in a system.
func measureIn(k quantity.Kind, s quantity.System) measure {
	return measure{kind: k, sys: s, label: k.Label(s), plain: k.Symbol(s), key: k.Suffix(s), decimals: k.Rounded(s)}
}

// factor is the SI value of one unit.
func (m measure) factor() float64 { return m.kind.Factor(m.sys) }

// of returns an SI value in this unit.
func (m measure) of(si float64) float64 { return m.kind.In(si, m.sys) }

// text prints an SI value without its unit; a number that does not apply is a dash.
func (m measure) text(si float64) string { return m.textTo(si, m.decimals) }

// textTo prints as text does, with that many decimals.
func (m measure) textTo(si float64, decimals int) string { return m.kind.NumberTo(si, m.sys, decimals) }

// signed prints an SI value with its sign, without its unit.
func (m measure) signed(si float64) string {
	text := m.text(si)
	if m.of(si) > 0 && strings.Trim(text, "-0.,") != "" {
		return "+" + text
	}
	return text
}

// with prints an SI value with its unit.
func (m measure) with(si float64) string {
	text := m.text(si)
	if m.label == "" || text == quantity.Absent {
		return text
	}
	return text + " " + m.label
}

// paper is a number for JSON, CSV and charts: as of, but NaN for a noise beyond the curves, which has no number, and for a sound level
// under 0 dBA, which nobody hears.
func (m measure) paper(si float64) float64 {
	if m.kind == quantity.KindNoise && !sound.OnCurves(si) || m.kind == quantity.KindLoudness && si < 0 {
		return math.NaN()
	}
	return m.of(si)
}

// trade is the set of measures of one system.
type trade struct {
	sys                                                                                                                                     quantity.System
	airflow, pressure, drop, velocity, temperature, span, friction, density, length, power, flowPerHeat, powerPerFlow, percent, heat, drift measure
}

// tradeOf gives the measures of a system. Specific quantities follow the custom of each trade: cfm per ton of nominal cooling
// against l/s per kW, in. w.c. per 100 ft of duct against Pa per m.
func tradeOf(s quantity.System) trade {
	return trade{
		sys:          s,
		airflow:      measureIn(quantity.KindAirflow, s),
		pressure:     measureIn(quantity.KindStatic, s),
		drop:         measureIn(quantity.KindPressure, s),
		velocity:     measureIn(quantity.KindVelocity, s),
		temperature:  measureIn(quantity.KindTemperature, s),
		span:         measureIn(quantity.KindTemperatureSpan, s),
		friction:     measureIn(quantity.KindFriction, s),
		density:      measureIn(quantity.KindDensity, s),
		length:       measureIn(quantity.KindLength, s),
		power:        measureIn(quantity.KindElectricity, s),
		flowPerHeat:  measureIn(quantity.KindFlowPerHeat, s),
		powerPerFlow: measureIn(quantity.KindPowerPerFlow, s),
		percent:      measureIn(quantity.KindFraction, s),
		heat:         measureIn(quantity.KindLoad, s),
		drift:        measureIn(quantity.KindDrift, s),
	}
}

// forQuantity is the measure of a kind of quantity.
func (t trade) forQuantity(k quantity.Kind) measure { return measureIn(k, t.sys) }
