package sheet

import (
	"math"
	"spillway/network/quantity"

	"spillway/network"
	"spillway/solver/state"
)

// seconds is how CSV prints times.
var seconds = measureIn(quantity.KindTime, quantity.IP)

// word writes one row with a word for a level, so that the column of values holds numbers only; none when there is no word.
func (t *CSV) word(kind, name, quantity string, f fate) {
	if f != noFate {
		t.row(kind, name, quantity, "", "", "", string(f))
	}
}

// equipment writes what happens to the air in the machine.
func (t *CSV) equipment(o *state.Outcome) {
	e, m := &o.Equipment, t.trade
	number := func(quantity string, unit measure, si float64) {
		t.number("equipment", "equipment", quantity, unit, si)
	}
	number("entering", m.temperature, e.Entering)
	number("entering wet bulb", m.temperature, e.EnteringWetBulb)
	number("leaving", m.temperature, e.Leaving)
	number("temperature rise", m.span, e.Rise)
	number("recirculated", m.percent, e.Recirculated)
	if e.Recirculated > 0 {
		number("unmixed", m.percent, e.Unmixed)
		number("unmixed, low", m.percent, e.UnmixedLow)
		number("unmixed, high", m.percent, e.UnmixedHigh)
	}
	if o.State.Mode != network.Fan {
		number("output", m.heat, e.Output)
		number("rated output", m.heat, ratedHeat(o))
	}
	number("sensible share", m.percent, sensibleShare(o))
	number("fan heat", m.heat, fanHeat(o))
	number("least rise", m.span, e.LeastRise)
	number("greatest rise", m.span, e.GreatestRise)
	t.word("equipment", "equipment", "limit", limitFate(o))
	number("limit opens", m.temperature, e.Limit)
	number("limit sensor", m.temperature, e.Sensor)
	number("limit sensor, mixed", m.temperature, e.SensorLow)
	number("limit sensor, least mixed", m.temperature, e.SensorHigh)
	number("limit flips at", m.percent, e.UnmixedAtSensor(e.Limit))
	number("time to limit", seconds, e.TimeToLimit)
	number("burner duty", m.percent, e.BurnerDuty)
	t.word("equipment", "equipment", "frost", frostFate(o))
	number("evaporating", m.temperature, e.Evaporating)
	number("evaporating, second estimate", m.temperature, e.EvaporatingSecond)
	number("coldest strip", m.temperature, e.EvaporatingStrip)
	number("coldest strip, mixed", m.temperature, e.StripLow)
	number("coldest strip, least mixed", m.temperature, e.StripHigh)
	number("frost margin", m.span, e.FrostMargin)
	number("time to frost", seconds, e.TimeToFrost)
}

// zoneClimate writes the part of a zone that tells of heat.
func (t *CSV) zoneClimate(name string, z *state.Zone) {
	m := t.trade
	if z.Airflow > 0 {
		t.number("zone", name, "supply temperature", m.temperature, z.SupplyTemperature)
	}
	t.number("zone", name, "delivered", m.heat, z.Delivered)
	t.number("zone", name, "load", m.heat, z.Load)
	if z.Calling {
		return
	}
	t.number("zone", name, "drift", m.drift, z.DriftRate)
	t.number("zone", name, "drift end", m.span, z.DriftEnd)
	t.number("zone", name, "call duty", m.percent, z.CallDuty)
	t.word("zone", name, "swing", swingFate(z))
	if !math.IsInf(z.TimeToSwing, 1) {
		t.number("zone", name, "time to swing", seconds, z.TimeToSwing)
	}
	t.word("zone", name, "calls itself", callFate(z))
	if !math.IsInf(z.TimeToCall, 1) {
		t.number("zone", name, "time to call", seconds, z.TimeToCall)
	}
	t.number("zone", name, "neutral bleed", m.airflow, z.NeutralBleed)
}
