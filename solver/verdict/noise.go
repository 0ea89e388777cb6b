package verdict

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/solver/sound/validity"
	"spillway/solver/state"
)

// noise judges every room by the estimate of what is heard in it; see Limit.judgeNoise.
func (j *judge) noise() {
	list := j.list()
	for i := range j.o.Rooms {
		r := &j.o.Rooms[i]
		l := j.t.roomNoise(j.hearing(r))
		f := l.judgeNoise(r)
		if f.Level != OK {
			f.Remedy = j.quieter(r)
		}
		list = append(list, f.of(state.RoomNoise, i, state.NoField))
	}
	j.several(list)
}

// judgeNoise holds the noise of a room against its limit. The estimate has a band of 8 NC below and
// 12 above it, wider than the steps of the limit. So:
//
//	caution   the estimate is past the target
//	fault     it is past the fault step, and even the low end of its band is past the target
//
// A room is at fault only where it is too loud whatever the estimate is worth. The target is the
// caution step, or the fault step where there is only that one (our choice).
func (l *Limit) judgeNoise(r *state.Room) Finding {
	central := *l
	target := l.Caution
	if math.IsNaN(target) {
		target, central.Caution = l.Fault, l.Fault
	}
	if !l.passes(r.NCLow, target) {
		central.Fault = math.NaN()
	}
	f := central.judge(r.Name, r.NC, "")
	f.Low, f.High = r.NCLow, r.NCHigh
	return f
}

// RoomNoise returns the limits by which Judge holds the noise of every room of an outcome, NC, in the order of its Rooms: the noise
// target that the job gives the room or its zone, else the default of the room's use. A Limit's Caution or Fault is NaN where it has no such step.
func RoomNoise(o *state.Outcome) []Limit {
	j := judge{o: o, g: o.Graph, t: inForce(o.Graph.Job)}
	limits := make([]Limit, len(o.Rooms))
	for i := range o.Rooms {
		limits[i] = j.t.roomNoise(j.hearing(&o.Rooms[i]))
	}
	return limits
}

// hearing is the room as the job describes it. A room that is named after its line has no name in the job.
func (j *judge) hearing(r *state.Room) network.Hearing {
	name := r.Name
	for _, k := range r.Registers {
		name = j.g.Registers[k].Room
	}
	for _, k := range r.Grilles {
		name = j.g.Elements[j.o.Grilles[k].Element].Room
	}
	h := j.g.Job.RoomOf(name, r.Zone)
	h.Name = r.Name
	return h
}

// quieter says what helps a room, by what is loud in it.
func (j *judge) quieter(r *state.Room) string {
	switch e := &j.g.Elements[r.From]; {
	case e.Kind == network.KindGrille:
		return fmt.Sprintf("%s, a return grille, is the loudest: a larger grille or a second one", r.Loudest)
	case e.Kind == network.KindDuct:
		return fmt.Sprintf("at %s the noise comes down the duct from the takeoff of %s: lined or flexible duct after it, or less air through it", r.Loudest, e.Line)
	case e.Kind != network.KindRegister:
		return fmt.Sprintf("at %s the noise comes down the duct from %s: lined or flexible duct after it, or throttle less by letting the surplus go elsewhere", r.Loudest, e.Name)
	}
	return fmt.Sprintf("%s is the loudest: a larger register, or less surplus into the zone (a larger stop elsewhere, a bypass, a lower tap)", r.Loudest)
}

// leastShare of its design air that a register must pass before its throw is judged: what the generic constants are good for.
const leastShare = 0.1

// jets judges the throw of registers whose pattern is known.
func (j *judge) jets() {
	var throw, dump, drop, draught []Finding
	cooling := j.o.State.Mode == network.Cooling
	for k := range j.o.Registers {
		r := &j.o.Registers[k]
		if !j.judged(r) {
			continue
		}
		line := j.g.Registers[k].Line
		l := *j.limit(ShortThrow)
		if !l.Given {
			l.Caution = r.LeastThrow
		}
		throw = append(throw, l.judge(line, r.FreeThrow/r.Reach, "at this flow its air does not cross the room: a smaller register, less turndown, or accept it while the zone is satisfied").
			of(state.RegisterFreeThrow, k, state.RegisterReach))
		if cooling && r.Horizontal {
			far := r.FreeThrow
			if r.Attached {
				far = math.Min(far, r.Separation)
			} else {
				drop = append(drop, j.limit(JetDrop).judge(line, fall(r), "cold air falls among people: aim it up, set the register higher, or give it more air").
					of(state.RegisterJetDrop, k, state.NoField))
			}
			dump = append(dump, j.limit(Carry).judge(line, far/r.Reach, "cold air falls into the room instead of crossing it: a smaller register or more air through this one").
				of(state.RegisterFreeThrow, k, state.RegisterReach))
		}
		const aim = "turn the blades away from where people are, or share the air between two registers"
		switch {
		case cooling:
			draught = append(draught, j.limit(DraughtChill).judge(line, math.Max(-r.Draught.Effective, 0), aim).of(state.RegisterDraughtEffective, k, state.NoField),
				j.limit(DraughtCooling).judge(line, r.Draught.Velocity, aim).of(state.RegisterDraughtVelocity, k, state.NoField))
		case j.o.State.Mode == network.Heating && r.Horizontal && r.Attached: // warm air stays under the ceiling
		case j.o.State.Mode == network.Heating:
			draught = append(draught, j.limit(DraughtHeating).judge(line, r.Draught.Velocity, aim).of(state.RegisterDraughtVelocity, k, state.NoField))
		default:
			draught = append(draught, j.limit(DraughtCooling).judge(line, r.Draught.Velocity, aim).of(state.RegisterDraughtVelocity, k, state.NoField))
		}
	}
	for _, list := range [][]Finding{throw, dump, drop, draught} {
		j.several(list)
	}
}

// judged tells whether a register's throw is known well enough to conclude anything.
func (j *judge) judged(r *state.Register) bool {
	return r.PatternGiven && !math.IsNaN(r.Throw) && r.Airflow >= leastShare*r.Wants
}

// fall is a free jet's drop over the height it has above people; a register below their heads has none, and any drop is too much.
func fall(r *state.Register) float64 {
	const sliver = 0.01 // m
	return math.Max(r.JetDrop, 0) / math.Max(r.Clearance, sliver)
}

// ranges finds formulas that were used outside what they were published for, where that bears on a judgement: noise within 10 NC of its
// limit, throws that are judged, and what Matters of the rest. One finding per formula and input of noise and throw, at the worst place;
// one per element of the ducts.
func (j *judge) ranges() {
	const near = 10 // NC
	var list []Finding
	see := func(line string, notes []validity.Note) {
		for _, n := range notes {
			f := outside(line, n)
			same := -1
			for i := range list {
				if list[i].Source == f.Source {
					same = i
				}
			}
			switch {
			case same < 0:
				list = append(list, f)
			case f.Excess() > list[same].Excess():
				list[same] = f
			}
		}
	}
	for i := range j.o.Rooms {
		room := &j.o.Rooms[i]
		l := j.t.roomNoise(j.hearing(room))
		bound := l.Caution
		if math.IsNaN(bound) {
			bound = l.Fault
		}
		for _, k := range room.Registers {
			n := &j.o.Registers[k].Noise
			if n.OutletNC > bound-near {
				see(j.g.Registers[k].Line, n.NoiseNotes)
			}
			if n.DuctNC > bound-near {
				j.upstream(j.g.Registers[k].Element, see)
			}
		}
		for _, k := range room.Grilles {
			if n := &j.o.Grilles[k].Noise; n.OutletNC > bound-near {
				see(j.g.Elements[j.o.Grilles[k].Element].Line, n.NoiseNotes)
			}
		}
	}
	for k := range j.o.Registers {
		r := &j.o.Registers[k]
		if !j.judged(r) {
			continue
		}
		for _, n := range r.JetNotes {
			if n.Unit == "K" && r.Horizontal && j.o.State.Mode == network.Heating {
				continue // nothing is concluded from the temperature of a warm jet under the ceiling
			}
			see(j.g.Registers[k].Line, []validity.Note{n})
		}
	}
	j.found = append(append(j.found, list...), j.stretches()...)
}

// upstream shows the notes on noise of every element that the air of an opening has passed on its way from the plenum.
func (j *judge) upstream(element int, see func(string, []validity.Note)) {
	for range j.g.Elements { // a way is no longer than that
		for _, s := range j.o.NoiseStretches {
			if slow := s.Unit == "m/s" && s.Value < s.Low; s.Element == element && !slow { // slower air than was measured is quieter
				see(j.g.Elements[element].Name, []validity.Note{s.Note})
			}
		}
		at, before := j.g.Elements[element].From, -1
		for i := range j.g.Elements {
			if e := &j.g.Elements[i]; e.To == at && j.o.Elements[i].Flow > 0 && (before < 0 || j.o.Elements[i].Flow > j.o.Elements[before].Flow) {
				before = i
			}
		}
		if before < 0 || before == j.g.Blower {
			return
		}
		element = before
	}
}

// stretches finds what Matters of the formulas of ducts and coil, the worst of each element.
func (j *judge) stretches() []Finding {
	var list []Finding
	at := map[int]int{}
	for i := range j.o.Stretches {
		s := &j.o.Stretches[i]
		if !Matters(j.o, s) {
			continue
		}
		k, known := at[s.Element]
		if known && !(s.Airflow > j.o.Stretches[k].Airflow) {
			continue
		}
		at[s.Element] = i
	}
	for i := range j.o.Stretches {
		s := &j.o.Stretches[i]
		if k, known := at[s.Element]; known && k == i {
			list = append(list, outside(s.Where, s.Note))
		}
	}
	return list
}

// The airflow that a formula outside its range may move before it matters, as a share of the blower's, and how far outside the coil's curve
// an input may lie, as a share of its range (our choice).
const (
	movesAir  = 0.02
	farBeyond = 0.1
)

// Matters tells whether a formula outside its range bears on the result: it may move a fiftieth of the blower's air, or, where no airflow
// hangs on it, an input is beyond its range by more than a tenth of that.
func Matters(o *state.Outcome, s *state.Stretch) bool {
	if !math.IsNaN(s.Airflow) {
		return s.Airflow > movesAir*math.Abs(o.Blower.Airflow)
	}
	return math.Max(s.Low-s.Value, s.Value-s.High) > farBeyond*(s.High-s.Low)
}

// outside makes a finding of a note.
func outside(line string, n validity.Note) Finding {
	quantity := map[string]Quantity{"m/s": Velocity, "Pa": Pressure, "m": Length, "K": Span, "°C": Temperature, "": Ratio}
	q, known := quantity[n.Unit]
	source := n.Quantity + ": " + n.Of
	if !known {
		source = n.Quantity + " in " + n.Unit + ": " + n.Of
	}
	l := Limit{row: FormulaRange, Check: "outside a formula's range", Quantity: q, Caution: n.High, Fault: math.NaN(), Source: source}
	if n.Value < n.Low {
		l.Bounds, l.Caution = AtLeast, n.Low
	}
	f := l.judge(line, n.Value, "")
	f.What = n.Quantity
	f.Level, f.Remedy = Caution, "take the figure as an extrapolation: measure, or give the maker's rating"
	if n.Clamped {
		f.Remedy = "the formula was given the end of its range instead: measure, or give the maker's rating"
	}
	return f
}

// rules judges the rule sets that the job asks for.
func (j *judge) rules() {
	staged := j.o.State.Stages > 1
	all := len(j.o.State.Calling) == len(j.g.Job.Zones) && j.o.State.Stage == j.o.State.Stages
	if j.limit(CaliforniaAirflow).Check != "" && j.o.State.Mode == network.Cooling && (!staged || all) {
		j.add(CaliforniaAirflow, "", j.o.PerTon()*(1-j.o.Bypass), "larger ducts and returns, less resistance, or a way for the surplus that ends in the dwelling",
			state.Ref{Field: state.BlowerPerTon})
		j.read(CaliforniaFanPower, state.BlowerPowerPerFlow, "lower the static or choose a blower whose power falls with its airflow")
	}
	if j.limit(CaliforniaBypass).Check != "" && len(j.g.Job.Bypass) > 0 {
		j.read(CaliforniaBypass, state.EquipmentBypassShare, "send the surplus to conditioned space instead, or take the performance way")
	}
	if j.limit(CaliforniaGasFan).Check != "" {
		j.read(CaliforniaGasFan, state.BlowerPowerPerFlow, "lower the static or choose a blower whose power falls with its airflow")
	}
}
