package chart

import (
	"spillway/network/units"
)

// paper is what a system of units calls things on paper, and how many decimals a tip shows.
type paper struct{ sys units.System }

func (p paper) flow(m3s float64) float64      { return units.KindAirflow.In(m3s, p.sys) }
func (p paper) pressure(pa float64) float64   { return units.KindPressure.In(pa, p.sys) }
func (p paper) temperature(c float64) float64 { return units.KindTemperature.In(c, p.sys) }

func (p paper) flowUnit() string {
	if p.sys == units.SI {
		return "l/s"
	}
	return "cfm"
}

func (p paper) pressureUnit() string {
	if p.sys == units.SI {
		return "Pa"
	}
	return "in. w.c."
}

func (p paper) temperatureUnit() string {
	if p.sys == units.SI {
		return "°C"
	}
	return "°F"
}

func (p paper) flowText(m3s float64) string { return number(p.flow(m3s), 0) + " " + p.flowUnit() }

func (p paper) pressureText(pa float64) string {
	if p.sys == units.SI {
		return number(p.pressure(pa), 0) + " Pa"
	}
	return number(p.pressure(pa), 2) + " in. w.c."
}

func (p paper) temperatureText(c float64) string {
	return number(p.temperature(c), 0) + " " + p.temperatureUnit()
}
