package sheet

import (
	"math"

	"spillway/network"
	"spillway/solver/state"
)

// equipmentObject gives what happens to the air in the machine. Whatever takes forever is null with the word "never" beside it.
func equipmentObject(o *state.Outcome, m trade) object {
	e := &o.Equipment
	temperature, span, heat := m.temperature.key, m.span.key, m.heat.key
	var given, dry any
	if o.State.Mode == network.Heating && !math.IsNaN(e.Limit) {
		given = e.LimitGiven
	}
	if o.State.Mode == network.Cooling && e.Computed {
		dry = e.Dry
	}
	output := e.Output
	if o.State.Mode == network.Fan {
		output = math.NaN()
	}
	unmixed, low, high := e.Unmixed, e.UnmixedLow, e.UnmixedHigh
	if !(e.Recirculated > 0) {
		unmixed, low, high = math.NaN(), math.NaN(), math.NaN()
	}
	return object{
		{"computed", e.Computed},
		{"entering" + temperature, m.temperature.of(e.Entering)}, {"leaving" + temperature, m.temperature.of(e.Leaving)},
		{"recirculated", e.Recirculated}, {"bypass_share", o.Bypass}, {"unmixed", unmixed}, {"unmixed_low", low}, {"unmixed_high", high},
		{"temperature_rise" + span, m.span.of(e.Rise)},
		{"entering_wet_bulb" + temperature, m.temperature.of(e.EnteringWetBulb)}, {"leaving_humidity_ratio", e.LeavingHumidity},
		{"output" + heat, m.heat.of(output)}, {"rated" + heat, m.heat.of(ratedHeat(o))}, {"sensible_share", sensibleShare(o)},
		{"fan_heat" + heat, m.heat.of(fanHeat(o))},
		{"least_rise" + span, m.span.of(e.LeastRise)}, {"greatest_rise" + span, m.span.of(e.GreatestRise)},
		{"limit", limitFate(o).word()}, {"limit_opens" + temperature, m.temperature.of(e.Limit)}, {"limit_given", given},
		{"limit_sensor" + temperature, m.temperature.of(e.Sensor)}, {"limit_sensor_low" + temperature, m.temperature.of(e.SensorLow)},
		{"limit_sensor_high" + temperature, m.temperature.of(e.SensorHigh)}, {"limit_band", limitBand(o).word()}, {"limit_flips_at", e.UnmixedAtSensor(e.Limit)},
		{"time_to_limit_s", e.TimeToLimit}, {"burner_duty", e.BurnerDuty},
		{"frost", frostFate(o).word()}, {"evaporating" + temperature, m.temperature.of(e.Evaporating)},
		{"evaporating_second" + temperature, m.temperature.of(e.EvaporatingSecond)},
		{"coldest_strip" + temperature, m.temperature.of(e.EvaporatingStrip)},
		{"coldest_strip_low" + temperature, m.temperature.of(e.StripLow)}, {"coldest_strip_high" + temperature, m.temperature.of(e.StripHigh)},
		{"frost_margin" + span, m.span.of(e.FrostMargin)},
		{"time_to_frost_s", e.TimeToFrost}, {"dry", dry},
		{"course", courseList(e.Course, m)},
	}
}

func courseList(course []state.Moment, m trade) list {
	key := m.temperature.key
	out := make(list, len(course))
	for i, at := range course {
		out[i] = object{{"t_s", at.Time}, {"supply" + key, m.temperature.of(at.Supply)}, {"entering" + key, m.temperature.of(at.Entering)},
			{"critical" + key, m.temperature.of(at.Critical)}}
	}
	return out
}

// zoneClimate is the part of a zone's object that tells of heat.
func zoneClimate(z *state.Zone, m trade) object {
	supply := z.SupplyTemperature
	if z.Airflow <= 0 {
		supply = math.NaN() // no air has no temperature
	}
	rate, end, duty := z.DriftRate, z.DriftEnd, z.CallDuty
	if z.Calling {
		rate, end, duty = math.NaN(), math.NaN(), math.NaN()
	}
	return object{
		{"drift" + m.drift.key, m.drift.of(rate)}, {"drift_end" + m.span.key, m.span.of(end)}, {"call_duty", duty},
		{"swing", swingFate(z).word()}, {"swing" + m.span.key, m.span.of(state.Swing)}, {"time_to_swing_s", timeToSwing(z)},
		{"supply" + m.temperature.key, m.temperature.of(supply)}, {"delivered" + m.heat.key, m.heat.of(z.Delivered)},
		{"load" + m.heat.key, m.heat.of(z.Load)}, {"neutral_bleed" + m.airflow.key, m.airflow.of(z.NeutralBleed)},
		{"calls_itself", callFate(z).word()}, {"call_band" + m.span.key, m.span.of(state.CallBand)}, {"time_to_call_s", timeToCall(z)},
	}
}

// timeToCall is NaN for a zone that calls already.
func timeToCall(z *state.Zone) float64 {
	if z.Calling {
		return math.NaN()
	}
	return z.TimeToCall
}

// timeToSwing is NaN for a zone that calls, since it is held.
func timeToSwing(z *state.Zone) float64 {
	if z.Calling {
		return math.NaN()
	}
	return z.TimeToSwing
}
