package derive

import (
	"fmt"

	"spillway/solver/air"
)

// Moist air, by the handbook's formulas.

const moistHandbook = "ASHRAE Handbook – Fundamentals 2017, ch. 1"

// saturationOver is the saturation pressure over liquid water, Pa, of a temperature in °C, as an expression (eq. 6).
func saturationOver(celsius string) string {
	const form = "exp(-5800.2206 / (%[1]s + 273.15) + 1.3914993 - 0.048640239 * (%[1]s + 273.15) + 0.000041764768 * (%[1]s + 273.15)^2 - 0.000000014452093 * (%[1]s + 273.15)^3 + 6.5459673 * ln(%[1]s + 273.15))"
	return fmt.Sprintf(form, celsius)
}

// saturation is the pressure at which water vapour saturates at a temperature; nil under the triple point, where ice has a formula of its own.
func (x *Explainer) saturation(name string, t *Step) *Step {
	ps, err := air.SaturationPressure(t.Value)
	if err != nil || t.Value <= 0.01 {
		return nil
	}
	return derived(name, "ps", Pressure, ps, "Hyland and Wexler's formula over water ("+moistHandbook+", eq. 6)", "ps = "+saturationOver("t"), Input{"t", t})
}

// dewPoint of the room air by the weather's temperature and humidity.
func (x *Explainer) dewPoint(name string, value float64) *Step {
	source := "saturation of the room's water vapour (" + moistHandbook + ")"
	ti := x.indoor()
	room, w := air.Moist{}, x.weather()
	if w == nil || !(w.Humidity > 0) || value <= 0.01 {
		return model(name, "td", Temperature, value, source)
	}
	room, err := air.FromRelativeHumidity(ti.Value, float64(w.Humidity), air.Pressure(float64(x.job.Site.Elevation)))
	if err != nil {
		return model(name, "td", Temperature, value, source)
	}
	dew, err := room.DewPoint(air.Pressure(float64(x.job.Site.Elevation)))
	ps := x.saturation("saturation at the room's temperature", ti)
	if err != nil || ps == nil || !near(dew, value) {
		return model(name, "td", Temperature, value, source)
	}
	pw := derived("pressure of the room's water vapour", "pw", Pressure, float64(w.Humidity)*ps.Value, "its share of saturation", "pw = φ * ps",
		Input{"φ", x.file("relative humidity", "φ", Share, float64(w.Humidity), "weather", w.Name, "humidity")}, Input{"ps", ps})
	return derived(name, "td", Temperature, value, "where the room's water vapour saturates ("+moistHandbook+", eq. 6 solved for it)", "pw = "+saturationOver("td"), Input{"pw", pw})
}

// wetBulb is the thermodynamic wet bulb of the air that enters the equipment.
func (x *Explainer) wetBulb() *Step {
	const name = "entering wet bulb"
	e := &x.o.Equipment
	source := "by the entering air's temperature and humidity (" + moistHandbook + ", eq. 33)"
	p := x.atmosphere()
	entering, err := air.FromWetBulb(e.Entering, e.EnteringWetBulb, p.Value)
	tw := solvedLeaf("the wet bulb that is sought", "tw", Temperature, e.EnteringWetBulb, "eq. 33 is solved for it: it stands on both sides")
	ps := x.saturation("saturation at the wet bulb", tw)
	if err != nil || ps == nil {
		return model(name, "tw", Temperature, e.EnteringWetBulb, source)
	}
	ws := derived("humidity of saturation at the wet bulb", "Ws", Plain, 0.621945*ps.Value/(p.Value-ps.Value), "kg per kg of dry air ("+moistHandbook+", eq. 20)", "Ws = 0.621945 * ps / (p - ps)",
		Input{"ps", ps}, Input{"p", p})
	return derived(name, "tw", Temperature, e.EnteringWetBulb, "adiabatic saturation over water ("+moistHandbook+", eq. 33)",
		"W * (2501 + 1.86 * t - 4.186 * tw) = (2501 - 2.326 * tw) * Ws - 1.006 * (t - tw)",
		Input{"W", solvedLeaf("humidity of the entering air", "W", Plain, entering.HumidityRatio, "kg per kg of dry air, carried round the loop by the solved airflows")},
		Input{"t", x.number("entering air")}, Input{"Ws", ws})
}
