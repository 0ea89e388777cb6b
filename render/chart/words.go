package chart

import (
	"strings"

	"spillway/network/quantity"
)

// paper is what a system of units calls things on paper, and how many decimals a tip shows.
type paper struct{ sys quantity.System }

func (p paper) flow(m3s float64) float64      { return quantity.KindAirflow.In(m3s, p.sys) }
func (p paper) pressure(pa float64) float64   { return quantity.KindPressure.In(pa, p.sys) }
func (p paper) temperature(c float64) float64 { return quantity.KindTemperature.In(c, p.sys) }

func (p paper) flowUnit() string        { return quantity.KindAirflow.Label(p.sys) }
func (p paper) pressureUnit() string    { return quantity.KindPressure.Label(p.sys) }
func (p paper) temperatureUnit() string { return quantity.KindTemperature.Label(p.sys) }

func (p paper) flowText(m3s float64) string { return number(p.flow(m3s), 0) + " " + p.flowUnit() }

func (p paper) pressureText(pa float64) string {
	decimals := 2
	if p.sys == quantity.SI {
		decimals = 0
	}
	return number(p.pressure(pa), decimals) + " " + p.pressureUnit()
}

// pressureNumber is a pressure without its unit, which the axis says.
func (p paper) pressureNumber(pa float64) string {
	text, _, _ := strings.Cut(p.pressureText(pa), " ")
	return text
}

func (p paper) temperatureText(c float64) string {
	return number(p.temperature(c), 0) + " " + p.temperatureUnit()
}
