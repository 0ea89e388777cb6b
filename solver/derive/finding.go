package derive

import (
	"math"
	"slices"
	"strconv"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/heat"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// limits offers the findings: how far each value is on the good side of its limit.
func (x *Explainer) limits() {
	for k := range x.findings {
		f := &x.findings[k]
		if math.IsNaN(f.Limit) || math.IsNaN(f.Value) {
			continue
		}
		name := MarginName(f)
		x.offer("Findings", name, f.Value, func() *Step { return x.finding(name, f) })
	}
}

// MarginName is the name under which the margin of a finding can be asked for.
func MarginName(f *verdict.Finding) string {
	if f.Where != "" {
		return f.Check + ", " + f.Where + " margin"
	}
	return f.Check + " margin"
}

func (x *Explainer) finding(name string, f *verdict.Finding) *Step {
	q := quantityOf(f.Quantity)
	margin := q
	if q == Temperature {
		margin = Span
	}
	value, limit := x.judged(f, q), x.limitOf(f, q)
	if f.Bounds == verdict.AtLeast {
		return derived(name, "Δ", margin, f.Value-f.Limit, "value less limit ("+string(f.Level)+"; at least)", "Δ = v - l", Input{"v", value}, Input{"l", limit})
	}
	return derived(name, "Δ", margin, f.Limit-f.Value, "limit less value ("+string(f.Level)+"; at most)", "Δ = l - v", Input{"v", value}, Input{"l", limit})
}

// judged is the value that a finding holds against its limit: a number that has a name of its own, or a step from such numbers.
func (x *Explainer) judged(f *verdict.Finding, q Quantity) *Step {
	label := f.Check
	if f.Where != "" {
		label += ", " + f.Where
	}
	step := func(words, equation string, inputs ...Input) *Step {
		for _, in := range inputs {
			if in.Step == nil {
				return nil
			}
		}
		return derived(label, "v", q, f.Value, words, equation, inputs...)
	}
	at := f.Ref.At
	over := func(words, a string, num *Step, b string, den *Step) *Step {
		return step(words, "v = "+a+" / "+b, Input{a, num}, Input{b, den})
	}
	s := x.of(f.Ref.Field, at)
	switch f.Row {
	case verdict.CaliforniaAirflow:
		s = step("air that does not come straight back by a bypass", "v = q * (1 - r)", Input{"q", s}, Input{"r", x.number("bypass share")})
	case verdict.CoolingSize:
		if e := &x.o.Equipment; e.Coil != nil {
			r := e.Coil.Of.Rating()
			s = step("rated sensible cooling over the gains of all zones", "v = P * s / G", Input{"P", x.ratedCapacity(&r)}, Input{"s", x.sensibleRating(&r)}, Input{"G", x.designLoad(network.Cooling)})
		}
	case verdict.HeatingSize:
		if loss := x.designLoad(network.Heating); loss != nil {
			s = over("rated output over the losses of all zones", "P", model("rated output", "P", Heat, f.Value*loss.Value, "output of the stage that runs, as the job's equipment.heating gives it"), "L", loss)
		}
	case verdict.CoolingLeast, verdict.HeatingLeast:
		s = x.carried(f, step)
	case verdict.SmallestZone:
		s = x.smallestZone(step)
	case verdict.LargestZone:
		s = x.largestZone(step)
	case verdict.FloorPerTonLeast, verdict.FloorPerTonMost:
		s = x.floorPerTon(f, step)
	case verdict.BudgetFilter, verdict.BudgetCoil, verdict.BudgetSupply, verdict.BudgetReturn:
		s = x.budget(f, step)
	case verdict.DumpRoom:
		s = x.dumpRoom(f, step)
	case verdict.ZoneDrift:
		sign := ""
		if x.o.State.Mode == network.Cooling {
			sign = "-"
		}
		s = step("the end of the drift, towards what the machine does", "v = max(0, "+sign+"e)", Input{"e", s})
	case verdict.ZoningKept:
		s = x.number(zoningKept)
	case verdict.CallersShare:
		s = x.number(callersShare)
	case verdict.Excess:
		s = over("airflow over what the zone wants", "Q", s, "Qw", x.zoneWants(at))
	case verdict.Shortfall:
		if f.Ref.Field == state.ZoneDelivered {
			s = over("heat given over heat needed, which decides", "H", s, "L", x.load(at))
		} else {
			s = over("what it misses over what it wants", "D", s, "Qw", x.zoneWants(at))
		}
	case verdict.RoomPressure:
		s = step("its pressure against the open house, either way", "v = abs(pr - ph)", Input{"pr", x.total(at)}, Input{"ph", x.total(x.g.NodeAt(network.InHouse))})
	case verdict.ShortThrow:
		s = over("throw over the way across the room", "X", s, "R", x.reach(at))
	case verdict.Carry:
		s = x.dumping(at, s, step)
	case verdict.JetDrop:
		r := &x.o.Registers[at]
		s = step("how far the cold jet falls over the height that it has above people", "v = max(0, d) / max(h, 0.01)",
			Input{"d", model("fall of the jet", "d", Length, r.JetDrop, "free jet of cold air to the end of its throw (ASHRAE Handbook – Fundamentals, ch. 20)")},
			Input{"h", model("height over people", "h", Length, r.Clearance, "height of the register over the zone where people are, 1.8 m")})
	case verdict.DraughtChill, verdict.DraughtCooling, verdict.DraughtHeating:
		s = x.draughtOf(f, step)
	case verdict.StopInfluence:
		s = solvedLeaf(label, "v", q, f.Value, "this call state solved again with the blade 5° nearer open and 5° nearer shut: the greater change of the damper's airflow over what it is as set")
	case verdict.StopSlip:
		s = solvedLeaf(label, "v", q, f.Value, "this call state solved again with the blade 5° nearer open and 5° nearer shut: the checks that come into fault")
	case verdict.FormulaRange:
		s = model(label, "v", q, f.Value, "what went into the formula that the limit names, at "+f.Where)
	case verdict.FilterFace, verdict.CoilFace:
		s = x.partFace(f)
	}
	if s != nil && s.Quantity == q && near(s.Value, f.Value) {
		return s
	}
	return model(label, "v", q, f.Value, "as judged; its parts can be asked for by their own names")
}

// near tells whether two values are one but for rounding.
func near(a, b float64) bool { return abs(a-b) <= 1e-9*max(1, abs(b)) }

// number makes the step that is offered under a name outside the findings; nil where there is none.
func (x *Explainer) number(name string) *Step {
	for k := range x.entries {
		if x.entries[k].name == name && x.entries[k].group != "Findings" {
			return x.entries[k].make()
		}
	}
	return nil
}

// partFace is the velocity through the gross face of a filter or coil.
func (x *Explainer) partFace(f *verdict.Finding) *Step {
	i := f.Ref.At
	o := &x.o.Elements[i]
	if !(f.Value > 0) || o.Flow == 0 {
		return nil
	}
	part := "filter"
	if f.Row == verdict.CoilFace {
		part = "coil"
	}
	area := abs(o.Flow) / (o.Density * f.Value)
	return derived(f.Check+", "+f.Where, "v", Velocity, f.Value, "through its gross face", "v = abs(m) / (ρ * A)", Input{"m", x.flow(i)}, Input{"ρ", x.density(i)},
		Input{"A", x.file(f.Where+" face", "A", Area, area, "equipment", part, "size")})
}

// sensibleRating is the sensible share of the rating of the stage that runs.
func (x *Explainer) sensibleRating(r *heat.CoilRating) *Step {
	share := r.SensibleRatio
	m := x.job.Equipment.Cooling
	if n := x.o.State.Stage - 1; n >= 0 && n < len(m.Stages) && m.Stages[n].Sensible > 0 {
		return x.file("sensible share of the rating", "s", Share, share, "equipment", "cooling", "stage", m.Stages[n].Name, "sensible")
	}
	if m.Sensible > 0 {
		return x.file("sensible share of the rating", "s", Share, share, "equipment", "cooling", "sensible")
	}
	return assumed("sensible share of the rating", "s", Share, share, "0.75 is usual (from memory), where the rating gives none")
}

// designLoad is the sum of the zones' heat gains or losses as the job gives them.
func (x *Explainer) designLoad(mode network.Mode) *Step {
	name, symbol, key, total := "gains of all zones", "G", "heat-gain", 0.0
	if mode == network.Heating {
		name, symbol, key = "losses of all zones", "L", "heat-loss"
	}
	var steps []*Step
	for k := range x.job.Zones {
		z := &x.job.Zones[k]
		load := float64(z.HeatGain)
		if mode == network.Heating {
			load = float64(z.HeatLoss)
		}
		if load <= 0 {
			return nil
		}
		total += load
		steps = append(steps, x.file(z.Name+" "+key, symbol, Heat, load, "zone", z.Name, key))
	}
	expression, inputs := sum(symbol, steps)
	return derived(name, symbol, Heat, total, "as the zones give them", symbol+" = "+expression, inputs...)
}

// stepOf makes the step of a judged value from named inputs; nil where one of them is.
type stepOf func(words, equation string, inputs ...Input) *Step

// carried is what the machine gives over what all zones need in this weather.
func (x *Explainer) carried(f *verdict.Finding, step stepOf) *Step {
	var loads []*Step
	for k := range x.job.Zones {
		loads = append(loads, x.load(k))
	}
	expression, inputs := sum("L", loads)
	output := x.number("output")
	if output == nil {
		output = solvedLeaf("output", "P", Heat, x.o.Equipment.Output, x.heatProof())
	}
	inputs = append(inputs, Input{"P", output})
	if f.Row == verdict.HeatingLeast {
		return step("heat given over heat needed in this weather", "v = P / abs("+expression+")",
			inputs...)
	}
	share := x.number("sensible share")
	if share == nil {
		share = solvedLeaf("sensible share", "s", Share, x.o.SensibleShare(), x.heatProof())
	}
	return step("sensible cooling given over cooling needed in this weather",
		"v = P * s / abs("+expression+")", append(inputs, Input{"s", share})...)
}

// smallestZone is what the smallest zone wants over what all want.
func (x *Explainer) smallestZone(step stepOf) *Step {
	var wants []*Step
	least := 0
	for k := range x.job.Zones {
		wants = append(wants, x.zoneWants(k))
		if x.o.Zones[k].Wants < x.o.Zones[least].Wants {
			least = k
		}
	}
	expression, inputs := sum("Q", wants)
	return step("what the smallest zone wants over what all zones want",
		"v = Q"+strconv.Itoa(least+1)+" / ("+expression+")", inputs...)
}

// dumpRoom is what a room with a dump is given of its zone's heat, over its part of the zone's
// load.
func (x *Explainer) dumpRoom(f *verdict.Finding, step stepOf) *Step {
	zone := f.Ref.At
	var room, all, wants []*Step
	for k := range x.g.Registers {
		r := &x.g.Registers[k]
		if int(x.g.Elements[r.Element].ZoneID) != zone {
			continue
		}
		airflow := x.of(state.RegisterAirflow, k)
		if all = append(all, airflow); r.Room == f.Where {
			room = append(room, airflow)
			if !r.Dump {
				wants = append(wants, x.of(state.RegisterWanted, k))
			}
		}
	}
	inRoom, inputs := sum("q", room)
	inZone, more := sum("Q", all)
	wanted, most := sum("w", wants)
	inputs = slices.Concat(inputs, more, most, []Input{{"H", x.of(state.ZoneDelivered, zone)}, {"L",
		x.load(zone)}, {"W", x.zoneWants(zone)}})
	return step("the zone's heat by the air of its registers, over its load by what they want",
		"v = H * ("+inRoom+") / ("+inZone+") / (L * ("+wanted+") / W)", inputs...)
}

// reach is the way that the air of a register has before it.
func (x *Explainer) reach(k int) *Step {
	return model(x.g.Elements[x.g.Registers[k].Element].Name+" reach", "R", Length, x.o.Registers[k].Reach, "from the register to the far side of its room, as the job gives the room or as its floor area has it")
}

// dumping is how far a cold jet carries across its room before it falls.
func (x *Explainer) dumping(k int, throw *Step, step func(words, equation string, inputs ...Input) *Step) *Step {
	r := &x.o.Registers[k]
	if !r.Attached {
		return step("throw over the way across the room", "v = X / R", Input{"X", throw}, Input{"R", x.reach(k)})
	}
	return step("the shorter of throw and the way to where the cold jet leaves the ceiling, over the way across the room", "v = min(X, S) / R", Input{"X", throw},
		Input{"S", model("way to separation", "S", Length, r.Separation, "where cold air lets go of the ceiling, by its Archimedes number (ASHRAE Handbook – Fundamentals, ch. 20)")}, Input{"R", x.reach(k)})
}

// draughtOf is what somebody in the jet feels: its velocity, or how cold it is felt.
func (x *Explainer) draughtOf(f *verdict.Finding, step func(words, equation string, inputs ...Input) *Step) *Step {
	d := &x.o.Registers[f.Ref.At].Draught
	const where = "where the jet is nearest to people (ASHRAE Handbook – Fundamentals, ch. 20)"
	velocity := model(f.Where+" jet velocity at people", "V", Velocity, d.Velocity, where)
	if f.Row != verdict.DraughtChill {
		return velocity
	}
	return step("effective draft temperature of cooling, how far under the room's", "v = max(0, -(Δt - 8 * (V - 0.15)))",
		Input{"Δt", model(f.Where+" jet temperature over the room's", "Δt", Span, d.Difference, where)}, Input{"V", velocity})
}

// limitOf is the limit of a finding: a row of the table, or a step from one where the limit moves with the state.
func (x *Explainer) limitOf(f *verdict.Finding, q Quantity) *Step {
	name := "limit of " + f.Check
	step := func(words, equation string, inputs ...Input) *Step {
		for _, in := range inputs {
			if in.Step == nil {
				return nil
			}
		}
		return derived(name, "l", q, f.Limit, words, equation, inputs...)
	}
	allowance := func(q Quantity, value float64) *Step { return row("allowance of "+f.Check, "a", q, value, f.Source) }
	var s *Step
	switch f.Row {
	case verdict.ReturnExcess:
		if zone := f.Ref.At; x.o.Zones[zone].Airflow > 0 {
			s = step("what the zone is given, and the allowance", "l = Q * (1 + a)", Input{"Q", x.zoneAirflow(zone)}, Input{"a", allowance(Share, f.Limit/x.o.Zones[zone].Airflow-1)})
		}
	case verdict.LimitMargin:
		s = step("the limit's setting less the allowance", "l = tL - a", Input{"tL", x.number("limit")}, Input{"a", allowance(Span, x.o.Equipment.Limit-f.Limit)})
	case verdict.Sweating:
		if dew := x.of(state.RegisterDewPoint, f.Ref.At); dew != nil {
			s = step("the room's dew point less the allowance", "l = td - a", Input{"td", dew}, Input{"a", allowance(Span, dew.Value-f.Limit)})
		}
	}
	if s != nil {
		return s
	}
	return row(name, "l", q, f.Limit, f.Source)
}

// quantityOf is the quantity of a finding's value as a step has it; a ratio is a plain number.
func quantityOf(q verdict.Quantity) Quantity {
	if q == verdict.Ratio || q == quantity.Unknown {
		return Plain
	}
	return q
}

// largestZone is the rated sensible cooling less the gain of the zone that has most.
func (x *Explainer) largestZone(step stepOf) *Step {
	e := &x.o.Equipment
	if e.Coil == nil {
		return nil
	}
	largest := 0
	for k := range x.job.Zones {
		if x.job.Zones[k].HeatGain > x.job.Zones[largest].HeatGain {
			largest = k
		}
	}
	z, rating := &x.job.Zones[largest], e.Coil.Of.Rating()
	gain := x.file(z.Name+" zone heat gain", "G", Heat, float64(z.HeatGain), "zone", z.Name, "heat-gain")
	return step("rated sensible cooling, less the gain of the zone that has most", "v = P * s - G",
		Input{"P", x.ratedCapacity(&rating)}, Input{"s", x.sensibleRating(&rating)}, Input{"G", gain})
}

// floorPerTon is the floor that the zones give over the nominal cooling of the stage.
func (x *Explainer) floorPerTon(f *verdict.Finding, step stepOf) *Step {
	capacity := x.capacity()
	if capacity == nil {
		return nil
	}
	var floors []*Step
	for k := range x.job.Zones {
		z := &x.job.Zones[k]
		floors = append(floors, x.file(z.Name+" zone floor", "A", quantity.KindArea, float64(z.Floor),
			"zone", z.Name, "floor"))
	}
	expression, inputs := sum("A", floors)
	return step("floor of all zones over the nominal cooling", "v = ("+expression+") / P",
		append(inputs, Input{"P", capacity})...)
}

// budget is the share of the rated static that one part of the way of the air uses.
func (x *Explainer) budget(f *verdict.Finding, step stepOf) *Step {
	part := int(f.Row - verdict.BudgetFilter)
	nodes := state.BudgetNodes(x.g)
	from := [...]int{3, 0, 1, 2}[part] // filter, coil, supply, return: nodes[from] to the next
	var rated *Step
	for _, l := range verdict.Limits(x.job) {
		if l.Check == "external static" {
			rated = x.limitOf(&verdict.Finding{Row: verdict.ExternalStatic, Check: l.Check, Limit: l.Fault,
				Quantity: l.Quantity, Source: l.Source}, Pressure)
		}
	}
	return step("pressure that is used between two places, over the rated static", "v = (a - b) / p",
		Input{"a", x.total(nodes[from])}, Input{"b", x.total(nodes[from+1])}, Input{"p", rated})
}
