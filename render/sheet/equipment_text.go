package sheet

import (
	"math"
	"spillway/network/quantity"
	"strings"

	"spillway/network"
	"spillway/solver/state"
)

// fact is one line of the equipment block.
type fact struct{ head, text string }

// factWidth is how wide the heads of the facts are.
const factWidth = 14

// equipmentBlock says what happens to the air in the machine: what enters, what leaves, and whether limit or frost is reached.
func equipmentBlock(b *strings.Builder, o *state.Outcome, style Style) {
	b.WriteString("\n  " + style.paint(machineKind(o).Name(), faint) + "\n")
	for _, f := range equipmentFacts(o, tradeOf(style.units)) {
		head := f.head + strings.Repeat(" ", max(1, factWidth-displayWidth(f.head)))
		paragraph(b, 2, head, f.text, style, plainTone)
	}
}

// machineKind is what warms or cools the air in a call state.
func machineKind(o *state.Outcome) network.MachineKind {
	return o.Graph.Job.Equipment.KindIn(o.State.Mode)
}

func equipmentFacts(o *state.Outcome, m trade) []fact {
	e := &o.Equipment
	facts := []fact{{"entering", m.temperature.with(e.Entering) + " before the blower, wet bulb " + m.temperature.with(e.EnteringWetBulb)}}
	leaving := m.temperature.with(e.Leaving) + " at the supply plenum"
	switch {
	case !e.Computed && supplyGiven(o):
		leaving += ", from the temperature that the job gives, not computed from a capacity"
	case !e.Computed:
		leaving += ", assumed: the job gives no capacity to compute it from"
	}
	facts = append(facts, fact{"leaving", leaving})
	switch o.State.Mode {
	case network.Heating:
		facts = append(facts, riseFact(e, m), outputFact(o, m))
	case network.Cooling:
		facts = append(facts, fact{"drop", m.span.with(-e.Rise)}, outputFact(o, m))
	default:
		facts = append(facts, fact{"rise", m.span.with(e.Rise)}, fact{"fan heat", fanHeatWords(o, m)})
	}
	if e.Recirculated > 0 {
		facts = append(facts, fact{"recirculated", m.percent.with(e.Recirculated) + " of this air has just left the machine"})
		if mixing := mixingWords(o, m); mixing != "" {
			facts = append(facts, fact{"mixing", mixing})
		}
	}
	switch o.State.Mode {
	case network.Heating:
		facts = append(facts, limitFacts(o, m)...)
	case network.Cooling:
		facts = append(facts, frostFacts(o, m)...)
	}
	return facts
}

// riseFact holds the rise against the rating plate.
func riseFact(e *state.Equipment, m trade) fact {
	text := m.span.with(e.Rise)
	plate := "the plate allows " + m.span.text(e.LeastRise) + " to " + m.span.with(e.GreatestRise)
	switch {
	case math.IsNaN(e.LeastRise) || math.IsNaN(e.GreatestRise):
		text += "; the job gives no rating plate to hold it against"
	case e.Rise < e.LeastRise:
		text += ", too little: " + plate
	case e.Rise > e.GreatestRise:
		text += ", too much: " + plate
	default:
		text += "; " + plate
	}
	return fact{"rise", text}
}

// outputFact says how much heat the machine gives or takes.
func outputFact(o *state.Outcome, m trade) fact {
	e := &o.Equipment
	text := m.heat.with(e.Output)
	switch {
	case !e.Computed && o.State.Mode == network.Heating:
		return fact{"output", text + " would hold that temperature; fan heat " + fanHeatWords(o, m)}
	case !e.Computed:
		return fact{"capacity", text + " would hold that temperature; fan heat " + fanHeatWords(o, m)}
	case o.State.Mode == network.Heating:
		if rated := o.RatedHeat(); machineKind(o) == network.HeatPump && !math.IsNaN(rated) {
			text += " of " + m.heat.text(rated) + " rated"
		}
		return fact{"output", text + ", and fan heat " + fanHeatWords(o, m)}
	}
	if rated := o.RatedHeat(); !math.IsNaN(rated) {
		text += " of " + m.heat.text(rated) + " rated"
	}
	switch share := o.SensibleShare(); {
	case e.Dry:
		text += ", all of it sensible (the coil is dry)"
	case !math.IsNaN(share):
		text += ", " + wholePercent(share) + " of it sensible"
	}
	return fact{"capacity", text + "; fan heat " + fanHeatWords(o, m) + " works against it"}
}

func fanHeatWords(o *state.Outcome, m trade) string {
	if q := o.FanHeat(); !math.IsNaN(q) {
		return m.heat.with(q)
	}
	return "not known (the blower's table has no watts)"
}

// mixingWords says how much of the recirculated air is taken to arrive unmixed, whose figure that is, and what such a strip does.
func mixingWords(o *state.Outcome, m trade) string {
	e := &o.Equipment
	strip, effect := "", math.NaN()
	switch o.State.Mode {
	case network.Heating:
		effect = e.Sensor - e.Leaving
		strip = "the limit's sensor sits " + m.span.with(effect) + " above well-mixed air"
		if e.UnmixedLow < e.UnmixedHigh {
			strip += " (" + bandWords(m.span, e.SensorLow-e.Leaving, e.SensorHigh-e.Leaving) + ")"
		}
	case network.Cooling:
		effect = math.Min(e.Evaporating, e.EvaporatingSecond) - e.EvaporatingStrip
		strip = "the coil evaporates " + m.span.with(effect) + " colder than with well-mixed air"
	}
	if math.IsNaN(effect) || !(e.Unmixed > 0) {
		return ""
	}
	return wholePercent(e.Unmixed) + " of it unmixed, " + mixingOrigin(o) + ": " + strip
}

// mixingOrigin says whose figure the mixing figure is, and in which band it lies.
func mixingOrigin(o *state.Outcome) string {
	e := &o.Equipment
	if e.UnmixedLow < e.UnmixedHigh {
		return "assumed, " + percentBand(e.UnmixedLow, e.UnmixedHigh)
	}
	return "as the job gives it"
}

// bandWords prints a band, "0 to 50 %".
func bandWords(m measure, low, high float64) string {
	return m.text(low) + " to " + m.with(high)
}

// limitFacts say where the sensor of the limit comes to rest, and what the burner does then.
func limitFacts(o *state.Outcome, m trade) []fact {
	e := &o.Equipment
	if math.IsNaN(e.Limit) {
		return nil
	}
	kind := machineKind(o)
	if kind == network.HeatPump && math.IsNaN(e.Sensor) {
		return []fact{{"limit", "not computed for a heat pump"}}
	}
	origin := " (the job's own)"
	if !e.LimitGiven {
		origin = " (default of ours; see the rating plate)"
	}
	opens := m.temperature.with(e.Limit) + origin
	burner := "burner"
	if kind != network.Furnace {
		burner = "heater"
	}
	if o.LimitBand() == state.Depends {
		return dependingLimit(o, m, opens, burner)
	}
	switch o.LimitFate() {
	case state.Never:
		return []fact{{"limit", "never: its sensor settles at " + m.temperature.with(e.Sensor) + ", " + m.span.with(e.Limit-e.Sensor) + " below the limit of " + opens}}
	case state.Reached:
		facts := []fact{{"limit", "REACHED after " + duration(e.TimeToLimit) + ": it opens at " + opens + "; without it the sensor would settle at " + m.temperature.with(e.Sensor)}}
		if !math.IsNaN(e.BurnerDuty) {
			facts = append(facts, fact{burner, "cycles on its limit and is on " + wholePercent(e.BurnerDuty) + " of the time"})
		}
		return facts
	}
	return []fact{{"limit", "opens at " + opens + "; whether it is reached is not known"}}
}

// dependingLimit says of a limit that well-mixed air does not reach when it trips.
func dependingLimit(o *state.Outcome, m trade, opens, burner string) []fact {
	e := &o.Equipment
	facts := []fact{{"limit", "trips if more than " + flipPercent(e.UnmixedAtSensor(e.Limit)) + " arrives unmixed (" +
		percentBand(e.UnmixedLow, e.UnmixedHigh) + " expected): its sensor settles at " +
		bandWords(m.temperature, e.SensorLow, e.SensorHigh) + ", and it opens at " + opens}}
	if math.IsInf(e.TimeToLimit, 1) {
		return facts
	}
	words := "at " + wholePercent(e.Unmixed) + " unmixed the limit opens after " + duration(e.TimeToLimit)
	if !math.IsNaN(e.BurnerDuty) {
		words += " and leaves it on " + wholePercent(e.BurnerDuty) + " of the time"
	}
	return append(facts, fact{burner, words})
}

// flipPercent prints a share at which a verdict flips, with a decimal where it is small.
func flipPercent(share float64) string {
	decimals := 0
	if share < 0.0995 {
		decimals = 1
	}
	return quantity.KindFraction.NumberTo(share, quantity.IP, decimals) + " %"
}

// percentBand prints a band of shares, "0 to 50 %".
func percentBand(low, high float64) string {
	return quantity.KindFraction.NumberTo(low, quantity.IP, 0) + " to " + wholePercent(high)
}

// warmerFins is how much warmer than its refrigerant the coldest fin of a coil is (from memory).
func warmerFins(m trade) string {
	return m.span.textTo(2/1.8, 0) + " to " + m.span.textTo(4/1.8, 0) + " " + m.span.label
}

// icing is what it takes from a coil at freezing to one that ice has closed.
const icing = "ice takes half an hour to two hours of unbroken running and melts in any off-period"

// frostFacts bracket the evaporating temperature by two estimates of the same rating, and say whether the coil frosts.
func frostFacts(o *state.Outcome, m trade) []fact {
	e := &o.Equipment
	fate := o.FrostFate()
	if fate == state.Unknown && math.IsNaN(e.EvaporatingStrip) {
		return []fact{{"frost", "whether the coil frosts is not known without its capacity"}}
	}
	facts := []fact{{"evaporating", bracket(m.temperature, e.Evaporating, e.EvaporatingSecond) + " by two estimates of the rating"}}
	strip := m.temperature.with(e.EvaporatingStrip)
	if e.Unmixed > 0 {
		strip += " with what unmixed air takes away"
	}
	strip += ", " + m.span.with(math.Abs(e.FrostMargin))
	if e.FrostMargin < 0 {
		strip += " below freezing"
	} else {
		strip += " above freezing"
	}
	switch {
	case fate == state.Never:
		return append(facts, fact{"frost", "never: it settles at " + strip})
	case fate == state.Reached && e.FrostMargin > 0: // the time course, by the other estimate or on its way to rest, gets there all the same
		return append(facts, fact{"frost", "on the edge: it evaporates at freezing after " + duration(e.TimeToFrost) + " and settles at " + strip + "; " + icing})
	case fate == state.Reached:
		return append(facts, fact{"frost", "it evaporates at freezing after " + duration(e.TimeToFrost) + " and settles at " + strip + ", its fins " + warmerFins(m) + " warmer; " + icing})
	case fate == state.Later:
		return append(facts, fact{"frost", "not in the first half hour, but it settles at " + strip})
	}
	return append(facts, fact{"frost", "how fast is not known; it settles at " + strip})
}

// bracket prints two values of one unit as a range, or as one when they print the same.
func bracket(m measure, a, b float64) string {
	if math.IsNaN(a) || b < a {
		a, b = b, a
	}
	low, high := m.text(a), m.text(b)
	if low == high || math.IsNaN(b) {
		return m.with(a)
	}
	return low + " to " + high + " " + m.label
}

// wholePercent prints a share, "79 %".
func wholePercent(share float64) string {
	return quantity.KindFraction.NumberTo(share, quantity.IP, 0) + " %"
}
