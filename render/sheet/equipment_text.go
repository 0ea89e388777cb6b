package sheet

import (
	"math"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/state"
)

// machineHeads is the width of the heads of what is said about the machine.
const machineHeads = 12

// MachineFacts say what happens to the air in the machine: what enters, what leaves, and whether limit or frost is reached.
func MachineFacts(o *state.Outcome, s quantity.System) *doc.Facts {
	e := &o.Equipment
	f := &doc.Facts{Title: machineKind(o).Name(), Align: machineHeads}
	say := func(head string, text []doc.Span) {
		if len(text) > 0 {
			f.Add(doc.Name(head), text...)
		}
	}
	say("entering", doc.Sayf("{} before the blower, wet bulb {}", degrees(e.Entering, "entering air"), degrees(e.EnteringWetBulb, "entering wet bulb")))
	say("leaving", leaving(o))
	switch o.State.Mode {
	case network.Heating:
		say("rise", rise(e))
		say("output", heatingOutput(o))
	case network.Cooling:
		say("drop", doc.Sayf("{}", kelvins(-e.Rise, "temperature drop")))
		say("capacity", coolingOutput(o))
	default:
		say("rise", doc.Sayf("{}", kelvins(e.Rise, "temperature rise")))
		say("fan heat", doc.Sayf("{}", fanHeat(o)))
	}
	if e.Recirculated > 0 {
		say("recirculated", doc.Sayf("{} of this air has just left the machine", withUnit(percentCell(e.Recirculated)).Asked("recirculated")))
		say("mixing", mixing(o))
	}
	switch o.State.Mode {
	case network.Heating:
		limitFacts(o, say)
	case network.Cooling:
		frostFacts(o, s, say)
	}
	return f
}

// degrees, kelvins and load are numbers with their units and the names under which they can be explained.
func degrees(si float64, name string) doc.Cell { return withUnit(temperatureCell(si)).Asked(name) }
func kelvins(si float64, name string) doc.Cell {
	return doc.With(quantity.KindTemperatureSpan, si).Asked(name)
}
func load(si float64, name string) doc.Cell { return doc.With(quantity.KindLoad, si).Asked(name) }

// machineKind is what warms or cools the air in a call state.
func machineKind(o *state.Outcome) network.MachineKind {
	return o.Graph.Job.Equipment.KindIn(o.State.Mode)
}

func leaving(o *state.Outcome) []doc.Span {
	text := doc.Sayf("{} at the supply plenum", degrees(o.Equipment.Leaving, "leaving air"))
	switch {
	case o.Equipment.Computed:
	case supplyGiven(o):
		text = append(text, doc.Say(", from the temperature that the job gives, not computed from a capacity")...)
	default:
		text = append(text, doc.Say(", assumed: the job gives no capacity to compute it from")...)
	}
	return text
}

// supplyGiven reports whether the job gives the supply temperature of the state's weather.
func supplyGiven(o *state.Outcome) bool {
	for i := range o.Graph.Job.Weather {
		if w := &o.Graph.Job.Weather[i]; w.Name == o.State.Weather {
			return w.SupplyAirGiven
		}
	}
	return false
}

// rise holds the rise against the rating plate.
func rise(e *state.Equipment) []doc.Span {
	r := kelvins(e.Rise, "temperature rise")
	if math.IsNaN(e.LeastRise) || math.IsNaN(e.GreatestRise) {
		return doc.Sayf("{}; the job gives no rating plate to hold it against", r)
	}
	word := "; "
	switch {
	case e.Rise < e.LeastRise:
		word = ", too little: "
	case e.Rise > e.GreatestRise:
		word = ", too much: "
	}
	return doc.Sayf("{}"+word+"the plate allows {} to {}", r, doc.Of(quantity.KindTemperatureSpan, e.LeastRise), kelvins(e.GreatestRise, ""))
}

// heatingOutput says how much heat the machine gives.
func heatingOutput(o *state.Outcome) []doc.Span {
	out, rated := load(o.Equipment.Output, "output"), o.RatedHeat()
	switch {
	case !o.Equipment.Computed:
		return doc.Sayf("{} would hold that temperature; fan heat {}", out, fanHeat(o))
	case machineKind(o) == network.HeatPump && !math.IsNaN(rated):
		return doc.Sayf("{} of {} rated, and fan heat {}", out, doc.Of(quantity.KindLoad, rated), fanHeat(o))
	}
	return doc.Sayf("{}, and fan heat {}", out, fanHeat(o))
}

// coolingOutput says how much heat the machine takes.
func coolingOutput(o *state.Outcome) []doc.Span {
	text := doc.Sayf("{}", load(o.Equipment.Output, "cooling capacity"))
	if !o.Equipment.Computed {
		return append(text, doc.Sayf(" would hold that temperature; fan heat {}", fanHeat(o))...)
	}
	if rated := o.RatedHeat(); !math.IsNaN(rated) {
		text = append(text, doc.Sayf(" of {} rated", doc.Of(quantity.KindLoad, rated))...)
	}
	switch share := o.SensibleShare(); {
	case o.Equipment.Dry:
		text = append(text, doc.Say(", all of it sensible (the coil is dry)")...)
	case !math.IsNaN(share):
		text = append(text, doc.Sayf(", {} of it sensible", wholeCell(share).Asked("sensible share"))...)
	}
	return append(text, doc.Sayf("; fan heat {} works against it", fanHeat(o))...)
}

func fanHeat(o *state.Outcome) doc.Cell {
	if q := o.FanHeat(); !math.IsNaN(q) {
		return load(q, "fan heat")
	}
	return doc.Name("not known (the blower's table has no watts)")
}

// mixing says how much of the recirculated air is taken to arrive unmixed, whose figure that is, and what such a strip does.
func mixing(o *state.Outcome) []doc.Span {
	e := &o.Equipment
	var strip []doc.Span
	effect := math.NaN()
	switch o.State.Mode {
	case network.Heating:
		effect = e.Sensor - e.Leaving
		strip = doc.Sayf("the limit's sensor sits {} above well-mixed air", kelvins(effect, ""))
		if e.UnmixedLow < e.UnmixedHigh {
			strip = append(strip, doc.Sayf(" ({} to {})", doc.Of(quantity.KindTemperatureSpan, e.SensorLow-e.Leaving), kelvins(e.SensorHigh-e.Leaving, ""))...)
		}
	case network.Cooling:
		effect = math.Min(e.Evaporating, e.EvaporatingSecond) - e.EvaporatingStrip
		strip = doc.Sayf("the coil evaporates {} colder than with well-mixed air", kelvins(effect, ""))
	}
	if math.IsNaN(effect) || !(e.Unmixed > 0) {
		return nil
	}
	origin := doc.Say("as the job gives it")
	if e.UnmixedLow < e.UnmixedHigh {
		origin = append(doc.Say("assumed, "), percentBand(e.UnmixedLow, e.UnmixedHigh)...)
	}
	text := append(doc.Sayf("{} of it unmixed, ", wholeCell(e.Unmixed)), origin...)
	return append(append(text, doc.Say(": ")...), strip...)
}

// percentBand is a band of shares, "0 to 50 %".
func percentBand(low, high float64) []doc.Span {
	return doc.Sayf("{} to {}", percentCell(low).To(0), wholeCell(high))
}

// limitFacts say where the sensor of the limit comes to rest, and what the burner does then.
func limitFacts(o *state.Outcome, say func(head string, text []doc.Span)) {
	e := &o.Equipment
	kind, burner := machineKind(o), "burner"
	if kind != network.Furnace {
		burner = "heater"
	}
	switch {
	case math.IsNaN(e.Limit):
		return
	case kind == network.HeatPump && math.IsNaN(e.Sensor):
		say("limit", doc.Say("not computed for a heat pump"))
		return
	}
	opens := doc.Sayf("{} (the job's own)", degrees(e.Limit, "limit"))
	if !e.LimitGiven {
		opens = doc.Sayf("{} (default of ours; see the rating plate)", degrees(e.Limit, "limit"))
	}
	at := doc.Cell{Spans: opens}
	duty, sensor, after := wholeCell(e.BurnerDuty).Asked("burner duty"), degrees(e.Sensor, "limit sensor"), doc.After(e.TimeToLimit).Asked("time to limit")
	fate := o.LimitFate()
	if o.LimitBand() == state.Depends {
		fate = state.Depends
	}
	switch fate {
	case state.Depends:
		say("limit", doc.Sayf("trips if more than {} arrives unmixed ({} expected): its sensor settles at {} to {}, and it opens at {}", flipCell(e.UnmixedAtSensor(e.Limit)),
			doc.Cell{Spans: percentBand(e.UnmixedLow, e.UnmixedHigh)}, temperatureCell(e.SensorLow), withUnit(temperatureCell(e.SensorHigh)), at))
		if math.IsInf(e.TimeToLimit, 1) {
			return
		}
		words := doc.Sayf("at {} unmixed the limit opens after {}", wholeCell(e.Unmixed), after)
		if !math.IsNaN(e.BurnerDuty) {
			words = append(words, doc.Sayf(" and leaves it on {} of the time", duty)...)
		}
		say(burner, words)
	case state.Never:
		say("limit", doc.Sayf("never: its sensor settles at {}, {} below the limit of {}", sensor, kelvins(e.Limit-e.Sensor, "margin to limit"), at))
	case state.Reached:
		say("limit", doc.Sayf("REACHED after {}: it opens at {}; without it the sensor would settle at {}", after, at, sensor))
		if !math.IsNaN(e.BurnerDuty) {
			say(burner, doc.Sayf("cycles on its limit and is on {} of the time", duty))
		}
	default:
		say("limit", doc.Sayf("opens at {}; whether it is reached is not known", at))
	}
}

// warmerFins is how much warmer than its refrigerant the coldest fin of a coil is (from memory).
func warmerFins() []doc.Span {
	return doc.Sayf("{} to {}", doc.Of(quantity.KindTemperatureSpan, 2/1.8).To(0), kelvins(4/1.8, "").To(0))
}

// icing is what it takes from a coil at freezing to one that ice has closed.
const icing = "ice takes half an hour to two hours of unbroken running and melts in any off-period"

// frostFacts bracket the evaporating temperature by two estimates of the same rating, and say whether the coil frosts.
func frostFacts(o *state.Outcome, s quantity.System, say func(head string, text []doc.Span)) {
	e := &o.Equipment
	fate := o.FrostFate()
	if fate == state.Unknown && math.IsNaN(e.EvaporatingStrip) {
		say("frost", doc.Say("whether the coil frosts is not known without its capacity"))
		return
	}
	estimates := between(temperatureCell(e.Evaporating).Asked("evaporating temperature"),
		temperatureCell(e.EvaporatingSecond).Asked("evaporating temperature second estimate"), s)
	say("evaporating", append(estimates, doc.Say(" by two estimates of the rating")...))
	unmixed, side := "", "above"
	if e.Unmixed > 0 {
		unmixed = " with what unmixed air takes away"
	}
	if e.FrostMargin < 0 {
		side = "below"
	}
	settles := doc.Cell{Spans: doc.Sayf("{}"+unmixed+", {} "+side+" freezing", degrees(e.EvaporatingStrip, "coldest strip"), kelvins(math.Abs(e.FrostMargin), "frost margin"))}
	after := doc.After(e.TimeToFrost).Asked("time to frost")
	switch {
	case fate == state.Never:
		say("frost", doc.Sayf("never: it settles at {}", settles))
	case fate == state.Reached && e.FrostMargin > 0: // the time course, by the other estimate or on its way to rest, gets there all the same
		say("frost", doc.Sayf("on the edge: it evaporates at freezing after {} and settles at {}; "+icing, after, settles))
	case fate == state.Reached:
		say("frost", doc.Sayf("it evaporates at freezing after {} and settles at {}, its fins {} warmer; "+icing, after, settles, doc.Cell{Spans: warmerFins()}))
	case fate == state.Later:
		say("frost", doc.Sayf("not in the first half hour, but it settles at {}", settles))
	default:
		say("frost", doc.Sayf("how fast is not known; it settles at {}", settles))
	}
}
