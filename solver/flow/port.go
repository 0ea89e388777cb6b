package flow

import (
	"fmt"
	"math"
	"slices"
)

// Machine adds pressure from an edge's tail to its head. Unlike a [Law] it may rise with the flow on part of its range.
type Machine interface {
	// Rise is the pressure added at flow q, with its slope.
	Rise(q float64) (rise, slope float64)
	// Breaks lists, ascending, flows that include every turning point: between two neighbours the rise must be monotone, and
	// below the first and above the last it must fall without bound. There must be at least one.
	Breaks() []float64
}

// OperatingPoint is a flow at which a machine gives just the rise that the rest of the network asks for.
type OperatingPoint struct {
	Flow, Rise float64
	// MachineSlope and SystemSlope are dRise/dq of the machine and of what the network asks for.
	MachineSlope, SystemSlope float64
	// Stable: MachineSlope < SystemSlope, so that a small excess of flow meets more resistance than rise and dies away.
	Stable bool
}

// Limits of the search for operating points.
const (
	portResolution = 1e-9 // of the range of flows searched: points nearer together are reported as one
	portMost       = 4000 // solves
)

// OperatingPoints finds all operating points of one machine, which stands in place of the law of the given edge (that law
// is ignored and may be nil).
//
// Take the machine out and force the flow Q through its terminals. What is left has rising laws only, so the rise S(Q) that it asks
// for rises strictly, and each S(Q) is one solve. The points are the roots of g(Q) = P(Q) − S(Q), P the machine's rise. Where P falls
// there is at most one root between two breaks, and it is bracketed. Where P rises, any interval a..b is rid of roots for
// certain when the enclosure
//
//	P(a) − S(b) ≤ g ≤ P(b) − S(a)
//
// excludes zero; otherwise it is halved, down to portResolution of the range. Adjacent remains are one root; if g has the same
// sign on both sides of such a remain the curves touch, as nearly as can be told, and the point is reported as not stable.
// Points come in order of flow.
//
// If the machine is the only way between two parts of the network its flow is fixed by the injections; that one point is returned,
// stable. With couplings S need not rise, and then roots can be missed. Errors are those of Solve, and an
// [InputError] for a machine that breaks its contract; a [ConvergenceError] when the machine and the system run so close
// together that the search would not end.
func (s *Solver) OperatingPoints(p *Problem, edge int, m Machine) ([]OperatingPoint, error) {
	if edge < 0 || edge >= s.t.edges {
		return nil, &InputError{Node: -1, Edge: edge, Coupling: -1, Reason: "does not exist"}
	}
	breaks := m.Breaks()
	if len(breaks) == 0 || !slices.IsSorted(breaks) || !finite(breaks[0]) || !finite(breaks[len(breaks)-1]) {
		return nil, &InputError{Node: -1, Edge: edge, Coupling: -1, Reason: "has a machine whose breaks are missing, not finite or not ascending"}
	}
	if lost := s.t.cutOffBy(edge); lost != nil {
		return s.forcedPoint(p, edge, m, lost)
	}
	o := port{s: s, p: p, edge: edge, m: m}
	return o.points(breaks)
}

// cutOffBy lists the nodes that reach no known pressure without the edge; nil if there are none.
func (t *Topology) cutOffBy(edge int) []int {
	at := t.place[edge]
	inForest := slices.ContainsFunc(t.branches, func(b branch) bool { return b.edge == at })
	if !inForest {
		return nil
	}
	// Nodes below the edge in the forest, then back in whatever another edge joins to the rest.
	below := make([]bool, t.nodes)
	for i := len(t.branches) - 1; i >= 0; i-- {
		b := t.branches[i]
		below[b.node] = b.edge == at || below[b.parent]
	}
	for e := range t.tail {
		if int32(e) != at && below[t.tail[e]] != below[t.head[e]] {
			return nil
		}
	}
	var lost []int
	for v, at := range t.position {
		if below[at] {
			lost = append(lost, v)
		}
	}
	return lost
}

func (s *Solver) forcedPoint(p *Problem, edge int, m Machine, lost []int) ([]OperatingPoint, error) {
	if p.Injection != nil && len(p.Injection) != s.t.nodes {
		return nil, s.t.checkProblem(p, nil, edge)
	}
	flow, tailLost := 0.0, false
	for _, v := range lost {
		if p.Injection != nil {
			flow += p.Injection[v]
		}
		tailLost = tailLost || s.t.position[v] == s.t.tail[s.t.place[edge]]
	}
	if !tailLost {
		flow = -flow
	}
	rise, slope := m.Rise(flow)
	return []OperatingPoint{{Flow: flow, Rise: rise, MachineSlope: slope, SystemSlope: math.Inf(1), Stable: true}}, nil
}

// port is one search.
type port struct {
	s      *Solver
	p      *Problem
	edge   int
	m      Machine
	start  []float64
	solves int
	least  float64 // resolution
	found  []OperatingPoint
}

// sample is the machine and the system at one flow.
type sample struct {
	q, rise, asked, machineSlope float64
}

func (a sample) excess() float64 { return a.rise - a.asked }

func (o *port) at(q float64) (sample, error) {
	if o.solves++; o.solves > portMost {
		return sample{}, &ConvergenceError{Iterations: o.solves, Node: -1, Edge: o.edge,
			Reason: "the machine's curve and the system's run too close together to be told apart"}
	}
	a := sample{q: q}
	a.rise, a.machineSlope = o.m.Rise(q)
	if !finite(a.rise) || !finite(a.machineSlope) {
		return a, &LawError{Edge: o.edge, Flow: q, From: q, Drop: -a.rise, Slope: -a.machineSlope, Reason: "the machine's rise is not finite"}
	}
	solution, err := o.s.run(o.p, o.start, o.edge, q)
	if err != nil {
		return a, fmt.Errorf("with edge %d held at flow %.6g: %w", o.edge, q, err)
	}
	o.start = append(o.start[:0], solution.Flow...)
	a.asked = -o.s.push[o.s.t.place[o.edge]]
	return a, nil
}

func (o *port) points(breaks []float64) ([]OperatingPoint, error) {
	span := breaks[len(breaks)-1] - breaks[0]
	if span == 0 {
		span = max(math.Abs(breaks[0]), 1)
	}
	o.least = portResolution * span
	first, err := o.at(breaks[0])
	if err != nil {
		return nil, err
	}
	// Below the first break the machine falls: walk out until its rise exceeds what is asked.
	if low, err := o.walk(first, -span); err != nil {
		return nil, err
	} else if low != first {
		if err := o.falling(low, first); err != nil {
			return nil, err
		}
	}
	a := first
	for _, q := range breaks[1:] {
		if q == a.q {
			continue
		}
		b, err := o.at(q)
		if err != nil {
			return nil, err
		}
		if b.rise <= a.rise {
			err = o.falling(a, b)
		} else {
			err = o.rising(a, b)
		}
		if err != nil {
			return nil, err
		}
		a = b
	}
	if high, err := o.walk(a, span); err != nil {
		return nil, err
	} else if high != a {
		if err := o.falling(a, high); err != nil {
			return nil, err
		}
	}
	return o.found, nil
}

// walk goes out from a past an end of the breaks until the sign of the excess turns, if it has not the sign it must have
// far out already: positive on the left, negative on the right.
func (o *port) walk(a sample, by float64) (sample, error) {
	const most = 60
	b := a
	for range most {
		if b.excess()*by < 0 {
			return b, nil
		}
		next, err := o.at(b.q + by)
		if err != nil {
			return b, err
		}
		b = next
		by *= 2
	}
	return b, &InputError{Node: -1, Edge: o.edge, Coupling: -1, Reason: "has a machine that does not fall without bound past its breaks"}
}

// falling looks for the one root there can be in a..b, where the excess falls. A root at b is left to the next interval.
func (o *port) falling(a, b sample) error {
	if a.excess() < 0 || b.excess() >= 0 {
		return nil
	}
	root, err := o.bracket(a, b)
	if err != nil {
		return err
	}
	return o.report(root, false)
}

// bracket finds the root between a and b, where the excess has opposite signs, by the Illinois variant of false position,
// halving when that is slow.
func (o *port) bracket(a, b sample) (sample, error) {
	fa, fb := a.excess(), b.excess()
	if fa == 0 {
		return a, nil
	}
	if fb == 0 {
		return b, nil
	}
	last := 0
	for k := 0; ; k++ {
		width := b.q - a.q
		q := a.q - fa*width/(fb-fa)
		if k%4 == 3 {
			q = a.q + width/2
		}
		if !(q > a.q && q < b.q) || k == 200 {
			q = a.q + width/2
		}
		c, err := o.at(q)
		if err != nil {
			return c, err
		}
		size := max(math.Abs(a.q), math.Abs(b.q))
		f := c.excess()
		if f == 0 || math.Abs(f) <= 1e-12*max(math.Abs(c.rise), math.Abs(c.asked)) || width <= 1e-14*size || k >= 200 {
			return c, nil
		}
		if f*a.excess() > 0 {
			a, fa = c, f
			if last == 1 {
				fb /= 2
			}
			last = 1
		} else {
			b, fb = c, f
			if last == 2 {
				fa /= 2
			}
			last = 2
		}
	}
}

// rising looks for all roots in a..b, where the machine rises.
func (o *port) rising(a, b sample) error {
	var remains [][2]sample // adjacent ones merged
	if err := o.halve(a, b, &remains); err != nil {
		return err
	}
	for _, r := range remains {
		from, to := r[0], r[1]
		if (from.excess() < 0) == (to.excess() < 0) {
			if err := o.report(from, true); err != nil {
				return err
			}
			continue
		}
		root, err := o.bracket(from, to)
		if err != nil {
			return err
		}
		if err := o.report(root, false); err != nil {
			return err
		}
	}
	return nil
}

// halve collects the parts of a..b at resolution that may hold a root.
func (o *port) halve(a, b sample, remains *[][2]sample) error {
	if a.rise-b.asked > 0 || b.rise-a.asked < 0 {
		return nil
	}
	if b.q-a.q <= o.least {
		if n := len(*remains); n > 0 && (*remains)[n-1][1].q == a.q {
			(*remains)[n-1][1] = b
		} else {
			*remains = append(*remains, [2]sample{a, b})
		}
		return nil
	}
	c, err := o.at(a.q + (b.q-a.q)/2)
	if err != nil {
		return err
	}
	if err := o.halve(a, c, remains); err != nil {
		return err
	}
	return o.halve(c, b, remains)
}

// report adds a point unless it repeats the last one (a root at a break is seen from both sides).
func (o *port) report(a sample, touching bool) error {
	if n := len(o.found); n > 0 && math.Abs(o.found[n-1].Flow-a.q) <= 4*o.least {
		return nil
	}
	// Solve there again: the slopes in place belong to the last sample.
	a, err := o.at(a.q)
	if err != nil {
		return err
	}
	system := o.s.systemSlope(o.edge)
	o.found = append(o.found, OperatingPoint{Flow: a.q, Rise: a.rise, MachineSlope: a.machineSlope, SystemSlope: system,
		Stable: !touching && a.machineSlope < system})
	return nil
}

// systemSlope is the change, per unit of flow held in the pinned edge, of the rise that the network asks for.
func (s *Solver) systemSlope(edge int) float64 {
	t := s.t
	s.refactor()
	right := s.right
	clear(right)
	tail, head := t.tail[t.place[edge]], t.head[t.place[edge]]
	right[tail]--
	right[head]++
	s.groundRight()
	t.forward(s.values, right, 0)
	t.backward(s.values, s.inverse, right, 0)
	response := right
	if s.couple.active() {
		response = append([]float64(nil), right...)
		for e, w := range s.conductance {
			s.step[e] = w * (right[t.tail[e]] - right[t.head[e]])
		}
		s.coupledStep(response, false)
	}
	return response[head] - response[tail]
}
