package state

import (
	"math"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/flow"
	"spillway/solver/heat"
	"spillway/solver/resist"
)

// workspace is the memory of one solve, taken up again by later solves of the same installation and its variants, never by two at
// once. Nothing in an Outcome points into it.
type workspace struct {
	flow         *flow.Solver
	heat, second heat.Solver
	net          heat.Network
	problem      flow.Problem
	start        []float64 // flows to set out from
	lift         []float64 // Pa of buoyancy per element, in its direction
	turn         []float64 // Pa lost in the junction at an element's end, in its direction
	warm         []float64 // °C per element
	air          []air.State
	state, aim   []float64 // see calculation.carryHeat
	secant       secant
	coils        map[heat.CoilRating]heat.Estimates // a rating's curves take some finding, and draws of a study share them
	position     []float64
	junctions    []resist.Junction

	// Laws that most elements have are kept here by value and written anew for each turn of flow and heat, so that the chains that
	// point to them need not be strung again.
	element []flow.Law
	ducts   []resist.Duct
	locals  []resist.Local
	leaks   []leakLaw
	kind    []lawKind
	zeta    []float64 // loss coefficient of a local loss, NaN until it is looked up for the present setting
	strung  [][]lawKind
}

// lawKind says where an element's law is kept.
type lawKind uint8

const (
	lawOfItsOwn lawKind = iota
	lawOfDuct           // in workspace.ducts
	lawOfLocal          // in workspace.locals
)

func newWorkspace(s *Solver) *workspace {
	g, p := s.graph, s.plan
	parts, edges := len(g.Elements), len(p.edges)
	w := &workspace{
		flow: p.topology.NewSolver(), coils: map[heat.CoilRating]heat.Estimates{},
		lift: make([]float64, parts), turn: make([]float64, parts), warm: make([]float64, parts), air: make([]air.State, parts),
		state: make([]float64, 2*parts), aim: make([]float64, 2*parts),
		position: make([]float64, parts), junctions: make([]resist.Junction, len(g.Junctions)),
		element: make([]flow.Law, parts), ducts: make([]resist.Duct, parts), locals: make([]resist.Local, parts), leaks: make([]leakLaw, parts), kind: make([]lawKind, parts),
		zeta: make([]float64, parts), strung: make([][]lawKind, edges),
	}
	w.problem = flow.Problem{
		Laws: make([]flow.Law, edges), Source: make([]float64, edges), Known: make([]float64, len(p.known)),
		Couplings: make([]flow.Coupling, len(g.Junctions)), Scale: g.DesignAirflow * air.StandardDensity / 4,
	}
	for i := range g.Junctions {
		w.problem.Couplings[i] = &w.junctions[i]
	}
	w.net = heat.Network{Nodes: make([]heat.Node, len(g.Nodes)), Branches: make([]heat.Branch, parts)}
	for i := range p.edges {
		w.strung[i] = make([]lawKind, len(p.edges[i].parts)) // nothing is strung yet: a law of its own is never taken as strung
	}
	return w
}

// begin makes ready for a new setting.
func (w *workspace) begin() {
	w.heat.Restart()
	for i := range w.zeta {
		w.zeta[i] = math.NaN()
	}
}

// duct and local keep a law and return the law to string.
func (w *workspace) duct(i int, d resist.Duct) flow.Law {
	w.ducts[i], w.kind[i] = d, lawOfDuct
	return &w.ducts[i]
}

func (w *workspace) local(i int, l resist.Local) flow.Law {
	w.locals[i], w.kind[i] = l, lawOfLocal
	return &w.locals[i]
}

// string puts the laws of an edge's parts together, unless they hang together already.
func (w *workspace) string(edge int, c chain) {
	same := true
	for k, part := range c.parts {
		kind := w.kind[part.element]
		same = same && kind != lawOfItsOwn && kind == w.strung[edge][k]
		w.strung[edge][k] = kind
	}
	if !same {
		w.problem.Laws[edge] = edgeLaw(w.element, c)
	}
}

// edgeLaw strings the laws of a chain's parts together.
func edgeLaw(element []flow.Law, edge chain) flow.Law {
	laws := make([]flow.Law, len(edge.parts))
	for k, part := range edge.parts {
		laws[k] = element[part.element]
		if part.sign < 0 {
			laws[k] = reversed{laws[k]}
		}
	}
	if len(laws) == 1 {
		return laws[0]
	}
	return resist.NewSeries(laws...)
}

// reversed is a law seen from its other end.
type reversed struct{ law flow.Law }

func (r reversed) Drop(q float64) (drop, slope float64) {
	drop, slope = r.law.Drop(-q)
	return -drop, slope
}

// sameParts tells whether two installations have the same parts joined in the same way, machines and weather included, so that all
// that differs is how parts are sized and set.
func sameParts(a, b *network.Graph) bool {
	if len(a.Elements) != len(b.Elements) || !sameSlice(a.Nodes, b.Nodes) || !sameSlice(a.Junctions, b.Junctions) || !sameSlice(a.Registers, b.Registers) ||
		a.Blower != b.Blower || a.DesignAirflow != b.DesignAirflow || a.Job.Equipment.Heating != b.Job.Equipment.Heating ||
		a.Job.Equipment.Cooling != b.Job.Equipment.Cooling || !sameSlice(a.Job.Weather, b.Job.Weather) {
		return false
	}
	for i := range a.Elements {
		x, y := &a.Elements[i], &b.Elements[i]
		if x.Kind != y.Kind || x.From != y.From || x.To != y.To {
			return false
		}
	}
	return true
}

// sameSlice tells whether two slices are one.
func sameSlice[T any](a, b []T) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

// sameSound tells whether two installations of the same parts have the same noise plan.
func sameSound(a, b *network.Graph) bool {
	for i := range a.Elements {
		x, y := a.Elements[i].Spec, b.Elements[i].Spec
		if x == y {
			continue
		}
		s, sized := network.SectionOf(x)
		if t, _ := network.SectionOf(y); s != t {
			return false
		}
		v, w := network.BladeOf(x), network.BladeOf(y)
		if (v == nil) != (w == nil) || v != nil && v.Shape != w.Shape {
			return false
		}
		duct, ok := x.(*network.DuctSpec)
		if ok {
			y, ok := y.(*network.DuctSpec)
			if !ok || duct.Length != y.Length || duct.Material != y.Material || !sameSlice(duct.Losses, y.Losses) {
				return false
			}
		} else if sized && v == nil {
			return false // an opening
		}
	}
	return sameRooms(a.Job, b.Job)
}

// sameRooms tells whether what the noise plan takes from the job, rooms and the openings of lines, is the same; Job values of variants share
// the tables that do not change.
func sameRooms(a, b *network.Job) bool {
	if a == b {
		return true
	}
	if !sameSlice(a.Rooms, b.Rooms) || !sameSlice(a.Zones, b.Zones) {
		return false
	}
	for _, pair := range [][2][]network.Line{{a.Supply, b.Supply}, {a.Return, b.Return}, {a.Bypass, b.Bypass}, {a.Dump, b.Dump}} {
		if len(pair[0]) != len(pair[1]) {
			return false
		}
		for i := range pair[0] {
			x, y := &pair[0][i], &pair[1][i]
			if x.Register != y.Register || x.Grille != y.Grille || x.Lined != y.Lined || !sameSlice(x.Fittings, y.Fittings) || x.Insulation != y.Insulation || x.Place != y.Place {
				return false
			}
		}
	}
	return true
}

// estimates are the two estimates of a cooling coil, made once for a rating.
func (w *workspace) estimates(r heat.CoilRating) (heat.Estimates, error) {
	if both, ok := w.coils[r]; ok {
		return both, nil
	}
	both, err := heat.NewEstimates(r)
	if err == nil && w.coils != nil && len(w.coils) < mostCoils {
		w.coils[r] = both
	}
	return both, err
}

// mostCoils bounds how many ratings are kept: a machine has a few stages; a study that draws the rating itself would gather them without end.
const mostCoils = 16
