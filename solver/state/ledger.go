package state

import (
	"math"

	"spillway/network"
)

// ledger writes down where the blower's air goes, and how much of the air in every element nobody asked for.
//
// Asked-for air is what the registers of calling zones deliver, each up to its want. All else is surplus. The paths end where
// the air leaves the supply side: at registers, bypass and dump lines, and leaks; by mass balance they add up to the
// blower's flow. leaks are the elements of each figure of leakage of the supply side.
func ledger(o *Outcome, leaks [][]int) {
	g := o.Graph
	l := &o.Ledger
	l.Blower = o.Blower.Airflow

	asked := make([]float64, len(g.Elements)) // asked-for part of |airflow|, m³/s
	perZone := make([]struct{ wanted, calling, bleed float64 }, len(g.Job.Zones))
	dumped := map[network.LineID]float64{}
	var dumps []network.LineID
	for k, r := range g.Registers {
		x := &o.Registers[k]
		if r.Dump {
			line := g.Elements[r.Element].LineID
			if _, seen := dumped[line]; !seen {
				dumps = append(dumps, line)
			}
			dumped[line] += x.Airflow
			continue
		}
		z := g.Elements[r.Element].ZoneID
		switch {
		case z < 0: // a register of no zone is always surplus; Read sees to it that there is none
		case x.Calling:
			l.Asked += r.Wants
			part := max(0, min(x.Airflow, r.Wants))
			asked[r.Element] = part
			perZone[z].wanted += part
			perZone[z].calling += x.Airflow - part
		default:
			perZone[z].bleed += x.Airflow
		}
	}
	for z := range perZone {
		if o.Zones[z].Calling {
			l.Wanted += perZone[z].wanted
			l.add(Path{To: g.Job.Zones[z].Name, Kind: PathWanted, Airflow: perZone[z].wanted, Damper: -1, Element: -1})
		}
	}
	for z := range perZone {
		if o.Zones[z].Calling {
			l.add(Path{To: g.Job.Zones[z].Name, Kind: PathCalling, Airflow: perZone[z].calling, Damper: -1, Element: -1})
		}
	}
	for z := range perZone {
		if !o.Zones[z].Calling {
			l.add(Path{To: g.Job.Zones[z].Name, Kind: PathBleed, Airflow: perZone[z].bleed, Damper: zoneDamper(o, g.Job.Zones[z].Name), Element: -1})
		}
	}
	for i := range g.Elements {
		e := &g.Elements[i]
		if e.Side == network.BypassSide && e.Kind == network.KindDuct && e.Spec.(*network.DuctSpec).First {
			l.add(Path{To: e.Line, Kind: PathBypass, Airflow: o.Elements[i].Airflow, Damper: lineDamper(o, e.LineID), Element: i})
		}
	}
	for _, line := range dumps {
		l.add(Path{To: g.Job.Line(line).Name, Kind: PathDump, Airflow: dumped[line], Damper: lineDamper(o, line), Element: -1})
	}
	// A figure of the file is one path, wherever on the ducts it leaks.
	for _, leak := range leaks {
		path := Path{To: g.Elements[leak[0]].Name, Kind: PathLeakage, Damper: -1, Element: leak[0]}
		for _, i := range leak {
			path.Airflow += o.Elements[i].Airflow
		}
		l.add(path)
	}
	l.Surplus = l.Blower - l.Wanted
	strands(o, asked)
}

func (l *Ledger) add(p Path) { l.Paths = append(l.Paths, p) }

// zoneDamper is the first damper that a zone's calls open, −1 without one.
func zoneDamper(o *Outcome, zone string) int {
	for i, d := range o.Dampers {
		if spec, ok := o.Graph.Elements[d.Element].Spec.(*network.DamperSpec); ok {
			for _, z := range spec.Zones {
				if z == zone {
					return i
				}
			}
		}
	}
	return -1
}

// lineDamper is the first damper in a line, −1 without one.
func lineDamper(o *Outcome, line network.LineID) int {
	for i, d := range o.Dampers {
		if o.Graph.Elements[d.Element].LineID == line {
			return i
		}
	}
	return -1
}

// strands splits the flow of every element into asked-for air and surplus by following the air: on the supply side from the
// registers back to the blower, well mixed at nodes; on the return side from the blower back to the grilles, where a bypass and a
// leak bring surplus only, as long as the grilles can account for the asked-for air.
func strands(o *Outcome, asked []float64) {
	g := o.Graph
	t := tracer{o: o, g: g, asked: asked, done: make([]bool, len(g.Elements))}
	t.out = byNode(g, func(i int) int { from, _ := t.ends(i); return from })
	t.in = byNode(g, func(i int) int { _, to := t.ends(i); return to })
	blower := &o.Elements[g.Blower]
	t.done[g.Blower] = true
	_, outlet := t.ends(g.Blower)
	asked[g.Blower] = min(t.needed(outlet, 0), math.Abs(blower.Airflow))
	for i := range g.Elements {
		if side := g.Elements[i].Side; side != network.ReturnSide && side != network.BuildingSide && !t.upstream(i) {
			t.supply(i, 0)
		}
	}
	inlet, _ := t.ends(g.Blower)
	t.back(inlet, asked[g.Blower], 0)
	for i := range o.Elements {
		x := &o.Elements[i]
		x.Surplus = math.Abs(x.Airflow) - asked[i]
		if x.Surplus < 1e-12*o.Blower.Airflow {
			x.Surplus = 0 // a rounding is not surplus
		}
		if g.Elements[i].Side == network.BuildingSide {
			x.Surplus = 0 // air in rooms is nobody's surplus any more
		}
	}
}

// byNode lists the elements of every node, one after the other in one piece of memory.
func byNode(g *network.Graph, nodeOf func(element int) int) [][]int {
	size := make([]int, len(g.Nodes))
	for i := range g.Elements {
		size[nodeOf(i)]++
	}
	lists, all := make([][]int, len(g.Nodes)), make([]int, len(g.Elements))
	for n, k := range size {
		lists[n], all = all[:0:k], all[k:]
	}
	for i := range g.Elements {
		n := nodeOf(i)
		lists[n] = append(lists[n], i)
	}
	return lists
}

type tracer struct {
	o       *Outcome
	g       *network.Graph
	asked   []float64
	done    []bool
	out, in [][]int // elements by the node they leave and enter, in actual flow direction
}

// ends are the nodes of an element in the direction its air really goes.
func (t *tracer) ends(i int) (from, to int) {
	e := &t.g.Elements[i]
	if t.o.Elements[i].Flow < 0 {
		return e.To, e.From
	}
	return e.From, e.To
}

// upstream tells whether an element belongs to the equipment before the blower.
func (t *tracer) upstream(i int) bool { return t.g.Elements[i].Kind == network.KindFilter }

// supply works out the asked-for part of an element on the supply side.
func (t *tracer) supply(i, depth int) float64 {
	if t.done[i] || depth > len(t.g.Elements) {
		return t.asked[i]
	}
	t.done[i] = true
	e := &t.g.Elements[i]
	if e.Kind == network.KindRegister || e.Kind == network.KindLeak {
		return t.asked[i]
	}
	_, to := t.ends(i)
	switch kind := t.g.Nodes[to].Kind; {
	case kind == network.RoomAir, kind == network.HouseAir, kind == network.Outdoors:
	case e.Side == network.BypassSide && t.returns(to):
	default:
		need := t.needed(to, depth+1)
		total := 0.0
		for _, k := range t.in[to] {
			total += math.Abs(t.o.Elements[k].Airflow)
		}
		if total > 0 {
			t.asked[i] = need * math.Abs(t.o.Elements[i].Airflow) / total
		}
	}
	return t.asked[i]
}

// needed is the asked-for air that leaves a node on the supply side.
func (t *tracer) needed(node, depth int) float64 {
	need := 0.0
	for _, k := range t.out[node] {
		if k != t.g.Blower {
			need += t.supply(k, depth)
		}
	}
	return need
}

// returns tells whether a node belongs to the return side.
func (t *tracer) returns(node int) bool {
	for _, k := range t.out[node] {
		if s := t.g.Elements[k].Side; s == network.ReturnSide || s == network.EquipmentSide && (k == t.g.Blower || t.upstream(k)) {
			return true
		}
	}
	return false
}

// back hands the asked-for air at a return-side node to the elements that bring it.
func (t *tracer) back(node int, need float64, depth int) {
	if need <= 0 || depth > len(t.g.Elements) {
		return
	}
	clean, other := 0.0, 0.0
	for _, k := range t.in[node] {
		if t.brings(k) {
			clean += math.Abs(t.o.Elements[k].Airflow)
		} else {
			other += math.Abs(t.o.Elements[k].Airflow)
		}
	}
	fromClean := min(need, clean)
	fromOther := min(need-fromClean, other)
	for _, k := range t.in[node] {
		q := math.Abs(t.o.Elements[k].Airflow)
		part := 0.0
		switch {
		case t.brings(k) && clean > 0:
			part = fromClean * q / clean
		case !t.brings(k) && other > 0:
			part = fromOther * q / other
		}
		t.asked[k] = part
		if from, _ := t.ends(k); t.brings(k) && t.g.Elements[k].Kind != network.KindGrille {
			t.back(from, part, depth+1)
		}
	}
}

// brings tells whether an element of the return side brings room air rather than bypass or leakage.
func (t *tracer) brings(i int) bool {
	e := &t.g.Elements[i]
	return e.Kind != network.KindLeak && e.Side != network.BypassSide
}
