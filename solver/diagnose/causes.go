package diagnose

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/air"
)

// Causes lists the faults that are thought of for an installation, in a fixed order, "nothing wrong" first. The odds are our choice: how
// often one finds such a fault against the others, as trade troubleshooting tables order what to check first; they are shared among
// the places where a fault of the kind can be.
func Causes(g *network.Graph, mode network.Mode) []Cause {
	b := &causes{g: g}
	b.add(Cause{Kind: Nothing, Knots: []float64{1}, Sound: 1, Odds: 8, Why: "somebody took readings because something seemed wrong"})
	b.equipment(mode)
	b.runs()
	b.dampers()
	b.leaks()
	b.doors()
	return b.list
}

type causes struct {
	g    *network.Graph
	list []Cause
}

func (b *causes) add(c Cause) { b.list = append(b.list, c) }

// causesOf are what may be wrong with one part of a kind. What concerns the blower, grilles, leaks and doors depends on several
// parts, and trunks and runs have no fault of their own.
func causesOf() [network.PartKinds]func(b *causes, i int) {
	return [network.PartKinds]func(b *causes, i int){
		network.KindFilter: func(b *causes, i int) {
			b.add(Cause{Kind: LoadedFilter, Where: b.g.Elements[i].Name, Means: "times the drop that the job gives it", Knots: ratios(1.4, 9, 9), Sound: 1, log: true, Odds: 20,
				Why: "filters load in months and are forgotten", apply: timesRated(i)})
		},
		network.KindCoil: func(b *causes, i int) {
			b.add(Cause{Kind: FouledCoil, Where: b.g.Elements[i].Name, Means: "times the drop that the job gives it", Knots: ratios(1.4, 6, 8), Sound: 1, log: true, Odds: 5,
				Why: "coils foul in years, behind a filter in order", apply: timesRated(i)})
		},
		network.KindDamper:    (*causes).setDamper,
		network.KindRelief:    (*causes).weightedDamper,
		network.KindRegulator: (*causes).pressureDamper,
	}
}

// each adds the causes of the parts that are meant.
func (b *causes) each(meant func(e *network.Element) bool) {
	table := causesOf()
	for i := range b.g.Elements {
		if add := table[b.g.Elements[i].Kind]; add != nil && meant(&b.g.Elements[i]) {
			add(b, i)
		}
	}
}

func (b *causes) equipment(mode network.Mode) {
	g := b.g
	b.each(func(e *network.Element) bool { return e.Side == network.EquipmentSide })
	b.taps(mode)
	grilles := 0
	for i := range g.Elements {
		if g.Elements[i].Kind == network.KindGrille {
			grilles++
		}
	}
	for i := range g.Elements {
		if g.Elements[i].Kind == network.KindGrille {
			b.add(Cause{Kind: BlockedGrille, Where: g.Elements[i].Name, Means: "of its face still open", Knots: ratios(0.08, 0.55, 8), Sound: 1, log: true, Odds: 5 / float64(grilles),
				Why: "a sofa or a carpet before a return grille", apply: func(g *network.Graph, open float64) { blocked(g, i, open) }})
		}
	}
}

// timesRated multiplies the drop of a filter or coil.
func timesRated(i int) func(*network.Graph, float64) {
	return func(g *network.Graph, times float64) {
		if spec, ok := g.Elements[i].Spec.(*network.RatedSpec); ok {
			other := *spec
			other.Drop *= times
			g.Elements[i].Spec = &other
		}
	}
}

// taps are the blower's other taps in place of the one that the mode uses.
func (b *causes) taps(mode network.Mode) {
	spec, ok := b.g.Elements[b.g.Blower].Spec.(*network.BlowerSpec)
	if !ok {
		return
	}
	used := usedTap(b.g.Job, spec, mode)
	for k := range spec.Taps {
		if spec.Taps[k].Name == used {
			continue
		}
		b.add(Cause{Kind: WrongTap, Where: fmt.Sprintf("%s instead of %s", spec.Taps[k].Name, used), Knots: []float64{1}, Sound: 0, Odds: 6 / float64(max(1, len(spec.Taps)-1)),
			Why: "a lead left on the tap that the factory chose", apply: func(g *network.Graph, _ float64) {
				other := *g.Elements[g.Blower].Spec.(*network.BlowerSpec)
				other.Taps = slices.Clone(other.Taps)
				for n := range other.Taps {
					if other.Taps[n].Name == used {
						other.Taps[n] = spec.Taps[k]
						other.Taps[n].Name = used
					}
				}
				g.Elements[g.Blower].Spec = &other
			}})
	}
}

// usedTap is the tap of a mode's machine, of its highest stage where it has several.
func usedTap(job *network.Job, spec *network.BlowerSpec, mode network.Mode) string {
	m := job.Equipment.Cooling
	if mode == network.Heating {
		m = job.Equipment.Heating
	} else if mode == network.Fan {
		m = job.Equipment.Fan
	}
	tap := ""
	if m != nil {
		tap = m.Tap
		for k := range m.Stages {
			if m.Stages[k].Tap != "" {
				tap = m.Stages[k].Tap
			}
		}
	}
	if tap == "" && len(spec.Taps) > 0 {
		tap = spec.Taps[0].Name
	}
	return tap
}

// blocked leaves a share of an opening's face open.
func blocked(g *network.Graph, i int, open float64) {
	spec, ok := g.Elements[i].Spec.(*network.OpeningSpec)
	if !ok {
		return
	}
	other := *spec
	if other.Drop > 0 {
		other.Drop /= open * open
	} else {
		other.FreeArea = other.FreeShare() * open
	}
	g.Elements[i].Spec = &other
}

// runs are the branches that end in registers.
func (b *causes) runs() {
	n := float64(max(1, len(b.g.Registers)))
	for k := range b.g.Registers {
		r := &b.g.Registers[k]
		b.add(Cause{Kind: ChokedRun, Where: r.Line, Means: "velocity pressures lost besides", Knots: ratios(4, 600, 9), Sound: 0, log: true, Odds: 10 / n,
			Why: "a run crushed, kinked or blocked, or its register shut: the flows tell them apart as little as an eye in the room does", apply: func(g *network.Graph, c float64) {
				duct := g.Elements[r.Duct].Spec.(*network.DuctSpec)
				other := *duct
				other.Local += c
				g.Elements[r.Duct].Spec = &other
			}})
	}
	for k := range b.g.Registers {
		r := &b.g.Registers[k]
		if duct, ok := b.g.Elements[r.Duct].Spec.(*network.DuctSpec); ok {
			area := duct.Section.Area()
			b.add(Cause{Kind: TornRun, Where: r.Line, Means: "of its section open to outside", Knots: ratios(0.15, 2, 7), Sound: 0, log: true, Odds: 3 / n,
				Why: "a run torn or off its collar", apply: func(g *network.Graph, share float64) {
					hole(g, r.Line+" tear", g.Elements[r.Element].From, share*area)
				}})
		}
	}
}

// hole opens an area between a node and outside: a sharp-edged opening.
func hole(g *network.Graph, name string, node int, area float64) {
	c := catalog.OrificeDischarge * area * math.Sqrt(2/air.StandardDensity)
	g.Join(network.Element{Name: name, Kind: network.KindLeak, Side: network.SupplySide, From: node, To: g.OpenAir(),
		Spec: &network.LeakSpec{Coefficient: c, Exponent: 0.5}})
}

// dampers are those that are set, and then those that the air or a controller moves.
func (b *causes) dampers() {
	b.each(func(e *network.Element) bool { return e.Kind == network.KindDamper })
	b.each(func(e *network.Element) bool { return e.Kind != network.KindDamper && network.BladeOf(e.Spec) != nil })
}

// setDamper is a zone damper or a hand damper.
func (b *causes) setDamper(i int) {
	spec, ok := b.g.Elements[i].Spec.(*network.DamperSpec)
	if !ok {
		return
	}
	zones := 0
	for i := range b.g.Elements {
		if s, ok := b.g.Elements[i].Spec.(*network.DamperSpec); ok && !s.Hand {
			zones++
		}
	}
	share := 1 / float64(max(1, zones))
	name := b.g.Elements[i].Name
	if spec.Hand {
		var knots []float64
		for _, x := range steps(0.1, 1, 7) {
			if math.Abs(x-float64(spec.Open)) > 0.1 {
				knots = append(knots, x)
			}
		}
		b.add(Cause{Kind: MovedBalance, Where: name, Means: "open", Knots: knots, Sound: float64(spec.Open), Odds: 1,
			Why: "a hand damper is turned by whoever passes", apply: positions(i, func(s *network.DamperSpec, x float64) { s.Open, s.Stop = network.Position(x), network.Position(x) })})
		return
	}
	b.add(Cause{Kind: ShutDamper, Where: name, Means: "open when its zone calls", Knots: steps(0, 0.7*float64(spec.Open), 8), Sound: float64(spec.Open), Odds: 8 * share,
		Why: "an actuator without power or a blade slipped on its shaft", apply: positions(i, func(s *network.DamperSpec, x float64) {
			s.Open = network.Position(x)
			s.Stop = min(s.Stop, s.Open)
		})})
	if stop := float64(spec.Stop); stop <= 0.8 {
		b.add(Cause{Kind: SlippedDamper, Where: name, Means: "open when its zone does not call", Knots: steps(max(0.15, stop+0.12), 1, 8), Sound: stop, Odds: 7 * share,
			Why: "an actuator that does not close, or a stop set too far", apply: positions(i, func(s *network.DamperSpec, x float64) { s.Stop = network.Position(x) })})
		if stop > 0.1 {
			b.add(Cause{Kind: StopOff, Where: name, Means: "open when its zone does not call", Knots: steps(0, stop-0.08, 6), Sound: stop, Odds: 5 * share,
				Why: "a stop that was never set, or set too tight", apply: positions(i, func(s *network.DamperSpec, x float64) { s.Stop = network.Position(x) })})
		}
	}
}

func positions(i int, set func(*network.DamperSpec, float64)) func(*network.Graph, float64) {
	return func(g *network.Graph, x float64) {
		if spec, ok := g.Elements[i].Spec.(*network.DamperSpec); ok {
			other := *spec
			set(&other, x)
			g.Elements[i].Spec = &other
		}
	}
}

// weightedDamper is a damper that the air moves.
func (b *causes) weightedDamper(i int) {
	b.add(Cause{Kind: WeightOff, Where: b.g.Elements[i].Name, Means: weightOffUnits, Knots: append(ratios(0.35, 0.75, 4), ratios(1.35, 2.5, 4)...), Sound: 1, log: true, Odds: 8,
		Why: "a weight moved along its arm, or never set", apply: func(g *network.Graph, times float64) {
			other := *g.Elements[i].Spec.(*network.ReliefSpec)
			other.OpensAt *= times
			other.FullyOpenAt *= times
			g.Elements[i].Spec = &other
		}})
	b.stuck(i)
}

// pressureDamper is a damper that a controller moves.
func (b *causes) pressureDamper(i int) {
	b.add(Cause{Kind: WrongSetPoint, Where: b.g.Elements[i].Name, Means: "times its set pressure", Knots: append(ratios(0.3, 0.8, 4), ratios(1.25, 3, 4)...), Sound: 1, log: true, Odds: 5,
		Why: "a controller set by feel", apply: func(g *network.Graph, times float64) {
			other := *g.Elements[i].Spec.(*network.RegulatorSpec)
			other.Holds *= times
			g.Elements[i].Spec = &other
		}})
	b.stuck(i)
}

// stuck adds that a damper which should move does not.
func (b *causes) stuck(i int) {
	name, blade := b.g.Elements[i].Name, *network.BladeOf(b.g.Elements[i].Spec)
	blade.Shape = cmp.Or(blade.Shape, "round")
	if blade.Leakage == 0 && blade.LeakageClass == "" {
		blade.Leakage = -1
	}
	set := func(g *network.Graph, x float64) {
		g.Elements[i].Spec = &network.DamperSpec{Blade: blade, Hand: true, Open: network.Position(x), Stop: network.Position(x)}
		g.Elements[i].Kind = network.KindDamper
	}
	b.add(Cause{Kind: BypassOpen, Where: name, Means: "open whatever the pressure", Knots: steps(0.35, 1, 6), Sound: -1, Odds: 4, Why: "a blade that hangs", apply: set})
	b.add(Cause{Kind: BypassShut, Where: name, Means: "open whatever the pressure", Knots: []float64{0}, Sound: -1, Odds: 4, Why: "a blade that sticks, a weight at the end of its arm, or a hand lock left on", apply: set})
}

// leaks of supply and return.
func (b *causes) leaks() {
	for _, side := range []struct {
		kind  Kind
		where string
		at    network.Role
		side  network.Side
	}{{SupplyLeak, "supply plenum and trunk", network.AtSupplyPlenum, network.SupplySide}, {ReturnLeak, "return plenum and trunk", network.AtReturnPlenum, network.ReturnSide}} {
		node := b.g.NodeAt(side.at)
		if node < 0 {
			continue
		}
		b.add(Cause{Kind: side.kind, Where: side.where, Means: "of the blower's airflow at 25 Pa, besides", Knots: ratios(0.05, 0.6, 8), Sound: 0, log: true, Odds: 5,
			Why: "a joint or panel that came open", apply: func(g *network.Graph, share float64) {
				from, to := node, g.OpenAir()
				if side.side == network.ReturnSide {
					from, to = to, from
				}
				g.Join(network.Element{Name: "new leak", Kind: network.KindLeak, Side: side.side, From: from, To: to,
					Spec: &network.LeakSpec{Coefficient: share * g.DesignAirflow / math.Pow(25, catalog.TestLeakageExponent), Exponent: catalog.TestLeakageExponent}})
			}})
	}
}

// doors that are closed on rooms without a return of their own.
func (b *causes) doors() {
	g := b.g
	house := g.NodeAt(network.InHouse)
	var rooms []string
	for k := range g.Registers {
		room := g.Registers[k].Room
		e := g.Registers[k].Element
		if room == "" || g.Elements[e].To != house || slices.Contains(rooms, room) || b.returns(room) || g.Job.RoomOf(room, g.Registers[k].Zone).Use != network.Bedroom {
			continue
		}
		rooms = append(rooms, room)
	}
	for _, room := range rooms {
		b.add(Cause{Kind: ShutDoor, Where: room, Means: "m² left open round the door", Knots: ratios(0.003, 0.02, 5), Sound: 1, log: true, Odds: 4 / float64(len(rooms)),
			Why: "a bedroom door shut while readings were taken", apply: func(g *network.Graph, area float64) {
				g.Nodes = append(g.Nodes, network.Node{Name: "room " + room, Kind: network.RoomAir, Role: network.InRoom, Line: network.None, Other: int(g.Job.RoomNamed(room))})
				n := len(g.Nodes) - 1
				for k := range g.Registers {
					if g.Registers[k].Room == room {
						g.Elements[g.Registers[k].Element].To = n
					}
				}
				g.Join(network.Element{Name: room + " door", Kind: network.KindOpening, Side: network.BuildingSide, From: n, To: house, Room: room,
					Spec: &network.GapSpec{Area: area}})
			}})
	}
}

func (b *causes) returns(room string) bool {
	for i := range b.g.Elements {
		if b.g.Elements[i].Kind == network.KindGrille && b.g.Elements[i].Room == room {
			return true
		}
	}
	return false
}
