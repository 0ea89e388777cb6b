package sheet

import (
	"math"
	"strings"

	"spillway/network/units"
	"spillway/solver/verdict"
)

// measure is how one quantity is printed in one system of units.
type measure struct {
	factor   float64 // SI value of one unit
	offset   float64 // SI value of zero units
	label    string  // in text: "in. w.c."
	plain    string  // in CSV and in findings, ASCII: "inwc"
	key      string  // ending of a JSON key: "_inwc"
	decimals int     // in text
}

// of turns an SI value into this unit.
func (m measure) of(si float64) float64 { return (si - m.offset) / m.factor }

// text prints an SI value without its unit; a number that does not apply is a dash.
func (m measure) text(si float64) string { return m.textTo(si, m.decimals) }

func (m measure) textTo(si float64, decimals int) string {
	v := m.of(si)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "-"
	}
	return grouped(units.Fixed(v, decimals))
}

// signed prints an SI value with its sign, without its unit.
func (m measure) signed(si float64) string {
	text := m.text(si)
	if m.of(si) > 0 && strings.Trim(text, "-0.,") != "" {
		return "+" + text
	}
	return text
}

// apart is the measure with as many more decimals as it takes to print two SI values differently: a value that is past its limit by less than
// the last digit must not look like the limit.
func (m measure) apart(a, b float64) measure {
	for fewest := m.decimals; m.text(a) == m.text(b) && m.decimals < fewest+6; {
		m.decimals++
	}
	return m
}

// with prints an SI value with its unit.
func (m measure) with(si float64) string {
	text := m.text(si)
	if m.label == "" || text == "-" {
		return text
	}
	return text + " " + m.label
}

// trade is the set of measures of one system.
type trade struct {
	airflow, pressure, drop, velocity, temperature, span, friction, density, length, power, flowPerHeat, powerPerFlow, percent, heat, drift measure
}

// tradeOf gives the measures of a system. Specific quantities follow the custom of each trade: cfm per ton of nominal cooling
// against l/s per kW, in. w.c. per 100 ft of duct against Pa per m.
func tradeOf(s units.System) trade {
	// named gives a measure the unit of a kind of quantity: as the kind prints it, and as it is typed.
	named := func(kind units.Kind, m measure) measure {
		m.label, m.plain = kind.Label(s), kind.Symbol(s)
		return m
	}
	percent := named(units.KindFraction, measure{factor: 0.01, decimals: 1})
	power := named(units.KindElectricity, measure{factor: 1, key: "_w"})
	if s == units.SI {
		return trade{
			airflow:      named(units.KindAirflow, measure{factor: units.LitrePerS, key: "_l_s"}),
			pressure:     named(units.KindPressure, measure{factor: 1, key: "_pa", decimals: 0}),
			drop:         named(units.KindPressure, measure{factor: 1, key: "_pa", decimals: 1}),
			velocity:     named(units.KindVelocity, measure{factor: 1, key: "_m_s", decimals: 1}),
			temperature:  named(units.KindTemperature, measure{factor: 1, key: "_c", decimals: 0}),
			span:         named(units.KindTemperatureSpan, measure{factor: 1, key: "_c", decimals: 1}),
			friction:     measure{factor: 1, label: units.KindPressure.Label(s) + "/m", plain: units.KindPressure.Symbol(s) + "/m", key: "_pa_per_m", decimals: 2},
			density:      measure{factor: 1, label: "kg/m³", plain: "kg/m3", key: "_kg_m3", decimals: 3},
			length:       named(units.KindLength, measure{factor: 1, key: "_m", decimals: 1}),
			power:        power,
			flowPerHeat:  measure{factor: units.LitrePerS / 1000, label: "l/s per kW", plain: "l/s per kW", key: "_l_s_per_kw", decimals: 0},
			powerPerFlow: measure{factor: 1 / units.LitrePerS, label: "W per l/s", plain: "W per l/s", key: "_w_per_l_s", decimals: 2},
			percent:      percent,
			heat:         measure{factor: 1000, label: "kW", plain: "kW", key: "_kw", decimals: 2},
			drift:        measure{factor: 1. / 3600, label: "K/h", plain: "K/h", key: "_c_per_h", decimals: 1},
		}
	}
	return trade{
		airflow:      named(units.KindAirflow, measure{factor: units.CFM, key: "_cfm"}),
		pressure:     named(units.KindPressure, measure{factor: units.InchWater, key: "_inwc", decimals: 2}),
		drop:         named(units.KindPressure, measure{factor: units.InchWater, key: "_inwc", decimals: 3}),
		velocity:     named(units.KindVelocity, measure{factor: units.FPM, key: "_fpm"}),
		temperature:  named(units.KindTemperature, measure{factor: units.FahrenheitDeg, offset: -32 * units.FahrenheitDeg, key: "_f"}),
		span:         named(units.KindTemperatureSpan, measure{factor: units.FahrenheitDeg, key: "_f", decimals: 1}),
		friction:     measure{factor: units.InchWater / (100 * units.Foot), label: units.KindPressure.Label(s) + "/100 ft", plain: units.KindPressure.Symbol(s) + "/100 ft", key: "_inwc_per_100ft", decimals: 3},
		density:      measure{factor: poundPerCubicFoot, label: "lb/ft³", plain: "lb/ft3", key: "_lb_ft3", decimals: 4},
		length:       named(units.KindLength, measure{factor: units.Foot, key: "_ft", decimals: 1}),
		power:        power,
		flowPerHeat:  measure{factor: units.CFM / units.TonOfCooling, label: "cfm/ton", plain: "cfm/ton", key: "_cfm_per_ton"},
		powerPerFlow: measure{factor: 1 / units.CFM, label: "W/cfm", plain: "W/cfm", key: "_w_per_cfm", decimals: 2},
		percent:      percent,
		heat:         measure{factor: 1000 * units.BtuPerHour, label: "kBtu/h", plain: "kBtu/h", key: "_kbtu_h", decimals: 1},
		drift:        measure{factor: units.FahrenheitDeg / 3600, label: "°F/h", plain: "F/h", key: "_f_per_h", decimals: 1},
	}
}

// poundPerCubicFoot in kg/m³: 0.45359237 kg (exact, international pound) over 0.3048³ m³ (exact).
const poundPerCubicFoot = 0.45359237 / (units.Foot * units.Foot * units.Foot)

// forQuantity is the measure of a finding's value and limit.
func (t trade) forQuantity(q verdict.Quantity) measure {
	switch q {
	case verdict.Pressure:
		return t.drop
	case verdict.Airflow:
		return t.airflow
	case verdict.Velocity:
		return t.velocity
	case verdict.FlowPerHeat:
		return t.flowPerHeat
	case verdict.PowerPerFlow:
		return t.powerPerFlow
	case verdict.Fraction:
		return t.percent
	case verdict.Temperature:
		return t.temperature
	case verdict.Span:
		return t.span
	case verdict.Length:
		return t.length
	case verdict.Noise:
		return measure{factor: 1, label: "NC", plain: "NC"}
	}
	return measure{factor: 1, decimals: 2}
}

// grouped puts commas between the thousands of a printed number.
func grouped(number string) string {
	sign := ""
	if strings.HasPrefix(number, "-") {
		sign, number = "-", number[1:]
	}
	whole, rest, _ := strings.Cut(number, ".")
	if rest != "" {
		rest = "." + rest
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	return sign + whole + rest
}
