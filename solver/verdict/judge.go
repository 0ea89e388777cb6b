package verdict

import (
	"cmp"
	"math"
	"slices"

	"spillway/network"
	"spillway/solver/state"
)

// Judge holds an outcome against the limits of its job and returns the findings, worst first. A check with many places (registers,
// ducts, rooms) gives a finding for every place that is not in order, or one for the place nearest its limit when all are.
func Judge(o *state.Outcome) []Finding { return JudgeAll([]*state.Outcome{o})[0] }

// JudgeAll judges outcomes of one installation, each as Judge does: what they are held against is put together once.
func JudgeAll(outcomes []*state.Outcome) [][]Finding {
	all := make([][]Finding, len(outcomes))
	var j judge
	for i, o := range outcomes {
		if i == 0 || o.Graph != j.g {
			// The longest list is that of ducts, a line each, or of registers.
			j = judge{g: o.Graph, t: inForce(o.Graph.Job), scratch: make([]Finding, 0, max(len(o.Graph.Registers), len(o.Graph.Elements)/2))}
		}
		all[i] = j.judge(o)
	}
	return all
}

func (j *judge) judge(o *state.Outcome) []Finding {
	const usually = 32
	j.o, j.found = o, make([]Finding, 0, usually)
	j.system()
	j.size()
	j.zones()
	j.dumps()
	j.rooms()
	j.faces()
	j.equipmentFaces()
	j.ducts()
	j.temperatures()
	j.zoned()
	j.noise()
	j.jets()
	j.blower()
	j.ranges()
	j.rules()
	Sort(j.found)
	return j.found
}

// Sort orders findings worst first: by level, then by how far beyond the limit, as a share of it.
// Findings whose excess is equal in steps of sameExcess keep the order of the table of limits:
// air that enters at 70 °F is as far from 60 as from 80 °F, and rounding must not order the two.
func Sort(findings []Finding) {
	steps := func(f *Finding) float64 { return math.Round(f.Excess() / sameExcess) }
	slices.SortStableFunc(findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(rank(b.Level), rank(a.Level)), cmp.Compare(steps(&b), steps(&a)))
	})
}

func rank(l Level) int {
	switch l {
	case Fault:
		return 2
	case Caution:
		return 1
	}
	return 0
}

// Excess is how far the value is past its limit, as units.Kind.Excess measures it; 0 without a limit.
func (f *Finding) Excess() float64 {
	if math.IsNaN(f.Margin) {
		return 0
	}
	return f.Quantity.Excess(f.Value, f.Limit, f.Bounds == AtLeast)
}

type judge struct {
	o     *state.Outcome
	g     *network.Graph
	t     *table
	found []Finding

	scratch []Finding
}

// list is an empty list for several, in memory that the next list takes over.
func (j *judge) list() []Finding { return j.scratch[:0] }

func (j *judge) limit(c Check) *Limit { return &j.t.row[c] }

// add judges one value against one row. A value that does not apply is not judged.
func (j *judge) add(c Check, where string, value float64, remedy string, from state.Ref) {
	if !math.IsNaN(value) {
		j.found = append(j.found, j.limit(c).judge(where, value, remedy).of(from.Field, from.At, state.NoField))
	}
}

// read is add for a number of the whole outcome.
func (j *judge) read(c Check, field state.FieldID, remedy string) {
	ref := state.Ref{Field: field}
	j.add(c, "", j.o.At(ref).Num, remedy, ref)
}

// sameExcess is the difference in excess below which two places are equally far from their limits,
// so that the first is named: what differs by less differs by rounding.
const sameExcess = 1e-7

// several keeps the findings that are not in order, or the one nearest its limit.
func (j *judge) several(list []Finding) {
	j.scratch = list
	bad := false
	best := -1
	for i, f := range list {
		if f.Level != OK {
			j.found = append(j.found, f)
			bad = true
		} else if best < 0 || f.Excess() > list[best].Excess()+sameExcess {
			best = i
		}
	}
	if !bad && best >= 0 {
		j.found = append(j.found, list[best])
	}
}

// system judges what holds for the whole installation.
func (j *judge) system() {
	j.read(ExternalStatic, state.BlowerExternalStatic,
		"give the surplus an easier way (a larger damper stop, a bypass, a dump), a lower blower tap, or larger ducts, filter and returns")
	if most := j.limit(AirflowPerTonMost).Caution; j.o.PerTon() > most {
		j.read(AirflowPerTonMost, state.BlowerPerTon,
			"a lower tap or stage of the blower: so much air leaves the coil too warm to dry "+
				"the house")
	} else {
		j.read(AirflowPerTon, state.BlowerPerTon,
			"less static or a higher tap brings more air over the coil; with too little it ices")
	}
	j.read(FanPower, state.BlowerPowerPerFlow, "lower the static or choose a blower whose power falls with its airflow")
	if len(j.g.Job.Bypass) > 0 {
		j.read(BypassShare, state.EquipmentBypassShare,
			"recirculated air heats the furnace and chills the coil further with every pass: send part of the surplus to a zone instead")
		if j.allCall() {
			j.read(BypassAll, state.EquipmentBypassShare,
				"let it open later: more weight, or a higher pressure to hold; it is for calls "+
					"of single zones")
		}
	}
}

// allCall reports whether all zones call, at the highest stage.
func (j *judge) allCall() bool {
	return len(j.o.State.Calling) == len(j.g.Job.Zones) && j.o.State.Stage == j.o.State.Stages
}

// size compares the machine with the loads of the zones, where every zone gives its load; once, where all zones call.
func (j *judge) size() {
	job := j.g.Job
	if !j.allCall() {
		return
	}
	j.given()
	j.smallest()
	j.largest()
	j.floors()
	j.budget()
	gain, loss := 0.0, 0.0
	for i := range job.Zones {
		if job.Zones[i].HeatGain <= 0 {
			gain = math.NaN()
		}
		if job.Zones[i].HeatLoss <= 0 {
			loss = math.NaN()
		}
		gain += float64(job.Zones[i].HeatGain)
		loss += float64(job.Zones[i].HeatLoss)
	}
	switch m := job.Equipment; j.o.State.Mode {
	case network.Cooling:
		if s := m.Cooling.At(j.o.State.Stage); s.Capacity > 0 {
			j.add(CoolingSize, "", float64(s.Capacity)*float64(s.Sensible)/gain, "a smaller machine, or stages: what the house does not need is surplus in every call", state.Ref{})
		}
	case network.Heating:
		if s := m.Heating.At(j.o.State.Stage); s.Output > 0 {
			j.add(HeatingSize, "", float64(s.Output)/loss, "a smaller furnace, or stages: what the house does not need is surplus in every call", state.Ref{})
		}
	}
}

// given compares what the machine gives in the weather of the call with what all zones need in it,
// where every zone gives its load.
func (j *judge) given() {
	e, need := &j.o.Equipment, 0.0
	if !e.Computed {
		return
	}
	for i := range j.o.Zones {
		need += j.o.Zones[i].Load // NaN where a zone does not give it
	}
	c, gives := HeatingLeast, e.Output
	if j.o.State.Mode == network.Cooling {
		c, gives = CoolingLeast, e.Output*j.o.SensibleShare()
	}
	if need = math.Abs(need); need > 0 {
		j.add(c, "", gives/need, "a larger machine or less load: with all zones calling the house "+
			"does not hold its set points in this weather", state.Ref{})
	}
}

// smallest compares the smallest zone with what all zones want, where the machine has one stage.
func (j *judge) smallest() {
	if len(j.o.Zones) < 2 || j.o.State.Stages > 1 {
		return
	}
	least, all := math.Inf(1), 0.0
	for i := range j.o.Zones {
		least, all = min(least, j.o.Zones[i].Wants), all+j.o.Zones[i].Wants
	}
	if least > 0 {
		j.add(SmallestZone, "", least/all,
			"stages, a machine that modulates, or a relief for the calls of this zone alone",
			state.Ref{})
	}
}

// largest compares the rated sensible cooling of a machine of one stage with the gain of its
// largest zone.
func (j *judge) largest() {
	m := j.g.Job.Equipment.Cooling
	if len(j.g.Job.Zones) < 2 || j.o.State.Stages > 1 || j.o.State.Mode != network.Cooling || m == nil {
		return
	}
	most := 0.0
	for i := range j.g.Job.Zones {
		own := float64(j.g.Job.Zones[i].HeatGain)
		if own <= 0 {
			return
		}
		most = max(most, own)
	}
	if s := m.At(j.o.State.Stage); s.Capacity > 0 {
		j.add(LargestZone, "", float64(s.Capacity)*float64(s.Sensible)-most,
			"a smaller machine or one with stages: what the largest zone alone does not take is "+
				"surplus in every call", state.Ref{})
	}
}

// floors compares the floor that the zones give with the nominal cooling.
func (j *judge) floors() {
	if j.o.State.Mode != network.Cooling || j.g.Job.Equipment.Cooling == nil {
		return
	}
	floor, nominal := 0.0, float64(j.g.Job.Equipment.Cooling.At(j.o.State.Stage).Capacity)
	for i := range j.g.Job.Zones {
		own := float64(j.g.Job.Zones[i].Floor)
		if own <= 0 {
			return
		}
		floor += own
	}
	if !(nominal > 0) {
		return
	}
	c := FloorPerTonLeast
	if floor/nominal > j.limit(FloorPerTonMost).Caution {
		c = FloorPerTonMost
	}
	j.add(c, "", floor/nominal, "compare the machine with a calculation of the house's loads",
		state.Ref{})
}

// budget compares what filter, coil, supply and return use of the rated static with usual shares.
func (j *judge) budget() {
	used, rated := j.o.Budget(), j.limit(ExternalStatic).Fault
	if !(rated > 0) {
		return
	}
	static := state.Ref{Field: state.BlowerExternalStatic}
	j.add(BudgetFilter, "filter", used.Filter/rated, "more area of filter, or one with a lower drop", static)
	j.add(BudgetCoil, "coil", used.Coil/rated, "a coil with a lower drop, or less air over it", static)
	j.add(BudgetSupply, "supply", used.Supply/rated, "larger or shorter supply ducts, easier fittings, "+
		"larger registers", static)
	j.add(BudgetReturn, "return", used.Return/rated, "larger returns and grilles, or one more of them",
		static)
}

// blower finds a blower that its table does not describe, or that may stall.
func (j *judge) blower() {
	if j.o.Blower.OffTable {
		l := *j.limit(OffTable)
		static := j.o.Blower.ExternalStatic
		if least, most, ok := j.tableEnds(); ok {
			l.Caution = most
			if static < most {
				l.Bounds, l.Caution = AtLeast, least
			}
		}
		f := l.judge("", static, "find the maker's figures for this static; the curve is only extended in a straight line here")
		f.Level, f.Safety, f.Ref.Field = Caution, Safety(l.Hazard), state.BlowerExternalStatic
		f.Remedy = "find the maker's figures for this static; the curve is only extended in a straight line here"
		j.found = append(j.found, f)
	}
	if len(j.o.Blower.Points) > 1 {
		f := j.limit(Stall).judge("", j.o.Blower.ExternalStatic, "")
		f.Level, f.Safety, f.Ref.Field = Fault, Safety(j.limit(Stall).Hazard), state.BlowerExternalStatic
		f.Remedy = "lower the static in this call so that the blower works on the falling part of its curve"
		j.found = append(j.found, f)
	}
}

// tableEnds are the statics between which the table of the running tap is given.
func (j *judge) tableEnds() (least, most float64, ok bool) {
	spec, is := j.g.Elements[j.g.Blower].Spec.(*network.BlowerSpec)
	if !is {
		return 0, 0, false
	}
	for i := range spec.Taps {
		if t := &spec.Taps[i]; t.Name == j.o.Blower.Tap && len(t.Static) > 0 {
			return t.Static[0], t.Static[len(t.Static)-1], true
		}
	}
	return 0, 0, false
}
