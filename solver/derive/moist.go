package derive

import (
	"spillway/solver/air"
)

// Moist air, by the handbook's formulas.

const moistHandbook = "ASHRAE Handbook – Fundamentals 2017, ch. 1"

// saturation is the pressure at which water vapour saturates at a temperature; nil under the triple point, where ice has a formula of its own.
func (x *Explainer) saturation(name string, t *Step) *Step {
	ps, err := air.SaturationPressure(t.Value)
	if err != nil || t.Value <= 0.01 {
		return nil
	}
	return by(air.SaturationFormula(), name, ps, t)
}

// dewPoint of the room air by the weather's temperature and humidity.
func (x *Explainer) dewPoint(name string, value float64) *Step {
	source := "saturation of the room's water vapour (" + moistHandbook + ")"
	ti, w := x.indoor(), x.weather()
	if w == nil || !(w.Humidity > 0) || value <= 0.01 {
		return model(name, "td", Temperature, value, source)
	}
	ps := x.saturation("saturation at the room's temperature", ti)
	if ps == nil {
		return model(name, "td", Temperature, value, source)
	}
	pw := derived("pressure of the room's water vapour", "pw", Pressure, float64(w.Humidity)*ps.Value, "its share of saturation", "pw = φ * ps",
		Input{"φ", x.file("relative humidity", "φ", Share, float64(w.Humidity), "weather", w.Name, "humidity")}, Input{"ps", ps})
	return derived(name, "td", Temperature, value, "where the room's water vapour saturates ("+moistHandbook+", eq. 6 solved for it)", "pw = "+air.SaturationFormula().With("td"), Input{"pw", pw})
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
	ws := worked(air.SaturationHumidityFormula(), "humidity of saturation at the wet bulb", ps, p)
	f := air.WetBulbFormula()
	return derived(name, "tw", Temperature, e.EnteringWetBulb, f.Words(), "W = "+f.Text,
		Input{"W", solvedLeaf("humidity of the entering air", "W", Plain, entering.HumidityRatio, "kg per kg of dry air, carried round the loop by the solved airflows")},
		Input{"t", x.number("entering air")}, Input{"Ws", ws})
}
