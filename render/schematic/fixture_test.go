package schematic

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/state"
)

const cfm = quantity.CFM

// house builds graphs and outcomes by hand: the flows are given at the ends and added up towards the blower, so that every
// node is in balance whatever the numbers are.
type house struct {
	g      *network.Graph
	before []int           // element that leads to a node from its plenum
	flow   map[int]float64 // at registers, leaks, bypasses, cfm
	asked  map[int]float64
	dials  map[int]float64 // damper positions
	calls  map[string]bool
}

func newHouse(design float64, zones ...string) *house {
	job := &network.Job{Title: "A house"}
	for _, z := range zones {
		job.Zones = append(job.Zones, network.Zone{Name: z})
	}
	h := &house{g: &network.Graph{Job: job, DesignAirflow: design * cfm}, flow: map[int]float64{}, asked: map[int]float64{}, dials: map[int]float64{}, calls: map[string]bool{}}
	for _, n := range []string{network.ReturnPlenum, network.BlowerInlet, network.BlowerOutlet, network.SupplyPlenum} {
		h.node(n, network.Chamber)
	}
	h.node(network.House, network.HouseAir)
	h.node(network.Outside, network.Outdoors)
	h.element("filter", network.KindFilter, network.EquipmentSide, network.ReturnPlenum, network.BlowerInlet, "", "")
	h.g.Blower = h.element("blower", network.KindBlower, network.EquipmentSide, network.BlowerInlet, network.BlowerOutlet, "", "")
	h.element("coil", network.KindCoil, network.EquipmentSide, network.BlowerOutlet, network.SupplyPlenum, "", "")
	return h
}

func (h *house) node(name string, kind network.NodeKind) int {
	if n := h.g.NodeNamed(name); n >= 0 {
		return n
	}
	role := map[string]network.Role{network.SupplyPlenum: network.AtSupplyPlenum, network.ReturnPlenum: network.AtReturnPlenum}[name]
	h.g.Nodes = append(h.g.Nodes, network.Node{Name: name, Kind: kind, Role: role, Line: network.None, Other: network.None})
	h.before = append(h.before, -1)
	return len(h.g.Nodes) - 1
}

func (h *house) element(name string, kind network.PartKind, side network.Side, from, to, line, zone string) int {
	f, t := h.node(from, network.Joint), h.node(to, network.Joint)
	dampers := map[network.PartKind]network.Spec{network.KindDamper: &network.DamperSpec{}, network.KindRelief: &network.ReliefSpec{}}
	h.g.Elements = append(h.g.Elements, network.Element{Name: name, Kind: kind, Side: side, From: f, To: t, Line: line, Zone: zone, Spec: dampers[kind]})
	e := len(h.g.Elements) - 1
	switch side {
	case network.ReturnSide:
		if h.g.Nodes[f].Kind == network.Joint || h.g.Nodes[f].Kind == network.Chamber {
			h.before[f] = e
		}
	case network.SupplySide, network.DumpSide:
		if h.g.Nodes[t].Kind == network.Joint || h.g.Nodes[t].Kind == network.Chamber {
			h.before[t] = e
		}
	}
	return e
}

// duct adds a supply duct whose end has the duct's name; damper adds one before it.
func (h *house) duct(name, from string) { h.ductOn(network.SupplySide, name, from) }

func (h *house) ductOn(side network.Side, name, from string) {
	h.element(name, network.KindDuct, side, from, name, name, "")
}

func (h *house) damper(name, from string, position float64) string {
	e := h.element(name+" damper", network.KindDamper, network.SupplySide, from, name+" damper outlet", name, "")
	h.dials[e] = position
	return name + " damper outlet"
}

// register ends a run: a duct from a node and the register at its end.
func (h *house) register(name, from, zone string, wants, gets float64) {
	h.registerOn(network.SupplySide, name, from, zone, wants, gets)
}

func (h *house) registerOn(side network.Side, name, from, zone string, wants, gets float64) {
	h.ductOn(side, name, from)
	e := h.element(name+" register", network.KindRegister, side, name, network.House, name, zone)
	h.g.Registers = append(h.g.Registers, network.Register{Element: e, Duct: e - 1, Line: name, Zone: zone, Wants: wants * cfm, Dump: side == network.DumpSide})
	h.flow[e] = gets
}

func (h *house) leak(name, at string, q float64) {
	h.flow[h.element(name, network.KindLeak, network.SupplySide, at, network.Outside, "", "")] = q
}

func (h *house) bypass(name, from, to string, position, q float64) {
	e := h.element(name+" damper", network.KindRelief, network.BypassSide, from, name+" inlet", name, "")
	h.dials[e] = position
	h.flow[h.element(name, network.KindDuct, network.BypassSide, name+" inlet", to, name, "")] = q
}

// grille adds a return run into a node, with its grille; shares of what the returns must bring are equal.
func (h *house) grille(name, to string) {
	h.element(name, network.KindDuct, network.ReturnSide, name+" start", to, name, "")
	h.element(name+" grille", network.KindGrille, network.ReturnSide, network.House, name+" start", name, "")
}

// outcome adds the flows up. A calling register is asked for up to its want.
func (h *house) outcome(calling ...string) *state.Outcome {
	g := h.g
	o := &state.Outcome{Graph: g, State: state.CallState{Name: "cooling", Mode: network.Cooling, Calling: calling, Stage: 1, Stages: 1}}
	calls := map[string]bool{}
	for _, z := range calling {
		calls[z] = true
	}
	o.Elements = make([]state.Element, len(g.Elements))
	o.Nodes = make([]state.Node, len(g.Nodes))
	o.Registers = make([]state.Register, len(g.Registers))
	add := func(e int, q, surplus float64) {
		o.Elements[e].Airflow += q * cfm
		o.Elements[e].Surplus += surplus * cfm
	}
	up := func(node int, q, surplus float64) {
		for e := h.before[node]; e >= 0; e = h.before[node] {
			add(e, q, surplus)
			if g.Elements[e].Side == network.ReturnSide {
				node = g.Elements[e].To
			} else {
				node = g.Elements[e].From
			}
		}
	}
	total, wanted, recirculated := 0.0, 0.0, 0.0
	bleed, extra := map[string]float64{}, 0.0
	var bypass, dump, leak float64
	for e := range g.Elements {
		q, ok := h.flow[e]
		if !ok {
			continue
		}
		asked := 0.0
		for r := range g.Registers {
			reg := &g.Registers[r]
			if reg.Element != e {
				continue
			}
			if calls[reg.Zone] && !reg.Dump {
				asked = math.Max(0, math.Min(q, reg.Wants/cfm))
				extra += q - asked
			} else if reg.Dump {
				dump += q
			} else {
				bleed[reg.Zone] += q
			}
			o.Registers[r] = state.Register{Airflow: q * cfm, Wants: reg.Wants, Calling: calls[reg.Zone] && !reg.Dump, FaceVelocity: math.Abs(q) * 0.012, Static: 9}
		}
		add(e, q, q-asked)
		total += q
		wanted += asked
		switch g.Elements[e].Side {
		case network.BypassSide:
			add(e-1, q, q)
			up(g.Elements[e-1].From, q, q)
			up(g.Elements[e].To, q, q)
			recirculated += q
			bypass += q
		default:
			up(g.Elements[e].From, q, q-asked)
			if g.Elements[e].Kind == network.KindLeak {
				leak += q
			}
		}
	}
	var grilles []int
	for e := range g.Elements {
		if g.Elements[e].Kind == network.KindGrille {
			grilles = append(grilles, e)
		}
	}
	for _, e := range grilles {
		q := (total - recirculated) / float64(len(grilles))
		s := (total - wanted - recirculated) / float64(len(grilles))
		add(e, q, s)
		up(g.Elements[e].To, q, s)
	}
	for e := range g.Elements {
		if g.Elements[e].Side == network.EquipmentSide {
			add(e, total, total-wanted)
			o.Elements[e].Drop = 20
			if e == g.Blower {
				o.Elements[e].Drop = -130
			}
		}
		el := &o.Elements[e]
		el.Velocity = math.NaN()
		if g.Elements[e].Kind == network.KindDuct {
			el.Velocity = math.Abs(el.Airflow) * 18
		}
		if g.Elements[e].Kind == network.KindGrille {
			el.Velocity = 1.4
		}
	}
	o.Blower = state.Blower{Tap: "high", Airflow: total * cfm, ExternalStatic: 130, Power: math.NaN()}
	for n := range o.Nodes {
		o.Nodes[n] = state.Node{Static: 40 - float64(n), Total: 50, Temperature: math.NaN()}
	}
	o.Zones = make([]state.Zone, len(g.Job.Zones))
	for i, z := range g.Job.Zones {
		o.Zones[i].Calling = calls[z.Name]
		for r := range g.Registers {
			if g.Registers[r].Zone == z.Name && !g.Registers[r].Dump {
				o.Zones[i].Airflow += o.Registers[r].Airflow
				o.Zones[i].Wants += o.Registers[r].Wants
			}
		}
	}
	for e := range g.Elements {
		if p, ok := h.dials[e]; ok {
			o.Dampers = append(o.Dampers, state.Damper{Element: e, Name: g.Elements[e].Name, Position: p, Blade: 90 * (1 - p), Calling: p == 1, Airflow: o.Elements[e].Airflow, Drop: 12})
		}
	}
	l := &o.Ledger
	*l = state.Ledger{Blower: total * cfm, Wanted: wanted * cfm, Surplus: (total - wanted) * cfm}
	path := func(to string, kind state.PathKind, q float64) {
		if q != 0 {
			l.Paths = append(l.Paths, state.Path{To: to, Kind: kind, Airflow: q * cfm, Damper: -1})
		}
	}
	path("", state.PathWanted, wanted)
	path("", state.PathCalling, extra)
	for _, z := range g.Job.Zones {
		if !calls[z.Name] {
			path(z.Name, state.PathBleed, bleed[z.Name])
		}
	}
	path("relief", state.PathBypass, bypass)
	path("hall", state.PathDump, dump)
	path("", state.PathLeakage, leak)
	return o
}

// twoFloors is a house with a bypass, a dump, leaks and two returns.
func twoFloors() *house {
	h := newHouse(1100, "loft", "main")
	h.grille("hall", network.ReturnPlenum)
	h.grille("landing", network.ReturnPlenum)
	h.leak("supply leakage", network.SupplyPlenum, 40)
	h.bypass("relief", network.SupplyPlenum, network.ReturnPlenum, 0.35, 140)
	h.duct("trunk", network.SupplyPlenum)
	h.duct("loft run", h.damper("loft", "trunk", 1))
	h.duct("main run", h.damper("main", "trunk", 0.25))
	h.register("bed 2", "loft run", "loft", 120, 150)
	h.duct("loft run 2", "loft run")
	h.register("bath", "loft run 2", "loft", 70, 92)
	h.duct("loft run 3", "loft run 2")
	h.register("study", "loft run 3", "loft", 150, 185)
	h.register("loft bed", "loft run 3", "loft", 180, 228)
	for _, r := range []string{"hall reg", "kitchen", "living", "dining"} {
		h.register(r, "main run", "main", 160, 45)
	}
	h.registerOn(network.DumpSide, "dump", network.SupplyPlenum, "main", 0, 60)
	return h
}

// nested has branches that branch, a box on the return with a bypass into it, and three zones.
func nested() *house {
	h := newHouse(1400, "east", "middle", "west")
	h.element("box duct", network.KindDuct, network.ReturnSide, "return box", network.ReturnPlenum, "box duct", "")
	h.g.Nodes[h.g.NodeNamed("return box")].Kind = network.Chamber
	h.grille("north", "return box")
	h.grille("south", "return box")
	h.bypass("relief", network.SupplyPlenum, "return box", 0.6, 300)
	h.duct("trunk", network.SupplyPlenum)
	h.duct("east main", h.damper("east", "trunk", 0.1))
	h.duct("trunk 2", "trunk")
	h.duct("middle main", h.damper("middle", "trunk 2", 1))
	h.duct("west main", h.damper("west", "trunk 2", 0))
	h.register("e1", "east main", "east", 200, 30)
	h.register("e2", "east main", "east", 200, 31)
	h.duct("sub", "middle main")
	h.register("m1", "middle main", "middle", 150, 170)
	h.register("m2", "middle main", "middle", 150, 140)
	h.duct("subsub", "sub")
	h.register("s1", "sub", "middle", 100, 130)
	h.register("t1", "subsub", "middle", 60, 70)
	h.register("t2", "subsub", "middle", 60, 75)
	h.register("w1", "west main", "west", 300, 9)
	h.leak("west leak", "west main", 3)
	return h
}

// forestOf makes a house with that many registers in that many zones; pick(n) is a number from 0 to n−1.
func forestOf(registers, zones int, pick func(n int) int) *house {
	names := make([]string, zones)
	for i := range names {
		names[i] = fmt.Sprintf("zone %d", i+1)
	}
	h := newHouse(float64(registers)*100, names...)
	for i := range 1 + pick(5) {
		h.grille(fmt.Sprintf("grille %d", i), network.ReturnPlenum)
	}
	if pick(2) == 0 {
		h.leak("supply leakage", network.SupplyPlenum, float64(pick(90)*registers)/20)
	}
	if pick(2) == 0 {
		h.bypass("relief", network.SupplyPlenum, network.ReturnPlenum, float64(pick(11))/10, float64(pick(30)*registers))
	}
	h.duct("trunk", network.SupplyPlenum)
	at := "trunk"
	open := map[string][]string{}
	for i, z := range names {
		if i > 0 && pick(3) > 0 {
			next := fmt.Sprintf("trunk %d", i+1)
			h.duct(next, at)
			at = next
		}
		from := at
		if pick(6) == 0 {
			from = network.SupplyPlenum
		}
		if pick(8) > 0 {
			from = h.damper(z, from, float64(pick(11))/10)
		}
		h.duct(z+" main", from)
		open[z] = []string{z + " main"}
	}
	for i := range registers {
		z := names[i%zones]
		nodes := open[z]
		node := nodes[len(nodes)-1-min(pick(3), len(nodes)-1)]
		switch pick(4) {
		case 0:
			next := fmt.Sprintf("%s on %d", z, i)
			h.duct(next, node)
			open[z] = append(open[z], next)
			node = next
		case 1:
			node = h.damper(fmt.Sprintf("hand %d", i), node, float64(pick(11))/10)
		}
		name := fmt.Sprintf("room %d", i)
		if pick(5) == 0 {
			name = fmt.Sprintf("a register with quite a long name %d", i)
		}
		h.register(name, node, z, float64(40+pick(200)), float64(pick(260)))
		if pick(12) == 0 {
			h.leak(fmt.Sprintf("leak %d", i), name, float64(pick(12)))
		}
	}
	if pick(4) == 0 {
		h.registerOn(network.DumpSide, "dump", network.SupplyPlenum, "", 0, float64(pick(300)))
	}
	return h
}
