package flow

import (
	"math"
	"slices"
)

// Problem is one set of laws and boundary values on a topology.
type Problem struct {
	Laws   []Law     // one per edge
	Source []float64 // pressure added from tail to head, per edge; nil = none
	Known  []float64 // pressures of the known nodes, in the order they were given to New
	// Injection is the flow put into the network at each node (negative: taken out); nil = none. What is injected at a
	// known node is of no consequence.
	Injection []float64
	Couplings []Coupling
	// Scale is a typical flow, from which cold starts set out. 0 lets the solver look for one, which costs a few
	// evaluations of the laws.
	Scale float64
}

// Solution holds flows and pressures. The slices belong to the Solver and hold until its next Solve; see Clone.
type Solution struct {
	Flow        []float64 // per edge, positive from tail to head
	Pressure    []float64 // per node
	Certificate Certificate
	Iterations  int // linear systems solved
	Sweeps      int // evaluations of all laws
}

// Clone copies the slices so that they outlive the solver's next solve.
func (s Solution) Clone() Solution {
	s.Flow, s.Pressure = slices.Clone(s.Flow), slices.Clone(s.Pressure)
	return s
}

// Certificate says how good a solution is, worst places included.
type Certificate struct {
	MassResidual float64 // largest |flow in − flow out + injection| of a free node
	MassNode     int     // where; −1 when there is no free node
	EdgeResidual float64 // largest |drop − (p_tail − p_head + source)| of an edge
	Edge         int     // where; −1 when there are no edges
	// Gap bounds how far the flows are from the solution, in units of power: see [Solver.Interval]. With couplings it is
	// the gap of the problem in which the couplings' drops are frozen at their final values.
	Gap float64
	// RoundOff is the part of Gap that stands for the round-off of residuals. At rest it can be all there is.
	RoundOff float64
	// Power is Σ|drop·flow| over the edges, the yardstick for Gap.
	Power float64
	// Coupled reports whether couplings took part.
	Coupled bool
	// Unique is true when there is proven to be no second solution anywhere: always without
	// couplings, never with them.
	Unique bool
	// Isolated is true when there is proven to be no second solution nearby: always without couplings;
	// with them, when the symmetric part of the whole operator was found positive definite at the
	// solution on all flows that keep the mass balance. False means not proven.
	Isolated bool
}

func (t *Topology) checkProblem(p *Problem, start []float64, pinned int) error {
	fail := func(node, edge int, reason string) error {
		return &InputError{Node: node, Edge: edge, Coupling: -1, Reason: reason}
	}
	switch {
	case len(p.Laws) != t.edges:
		return fail(-1, -1, "Laws must have one law per edge")
	case p.Source != nil && len(p.Source) != t.edges:
		return fail(-1, -1, "Source must be nil or have one value per edge")
	case len(p.Known) != len(t.known):
		return fail(-1, -1, "Known must have one pressure per known node")
	case p.Injection != nil && len(p.Injection) != t.nodes:
		return fail(-1, -1, "Injection must be nil or have one value per node")
	case start != nil && len(start) != t.edges:
		return fail(-1, -1, "start must be nil or have one flow per edge")
	case !(p.Scale >= 0) || math.IsInf(p.Scale, 0):
		return fail(-1, -1, "Scale must be zero or a positive flow")
	}
	for e, l := range p.Laws {
		if e == pinned {
			continue
		}
		if reason := lawFault(l); reason != "" {
			return fail(-1, e, reason)
		}
	}
	for e, v := range p.Source {
		if !finite(v) {
			return fail(-1, e, "has a source that is not finite")
		}
	}
	for k, v := range p.Known {
		if !finite(v) {
			return fail(t.known[k], -1, "has a known pressure that is not finite")
		}
	}
	for v, x := range p.Injection {
		if !finite(x) {
			return fail(v, -1, "has an injection that is not finite")
		}
	}
	for e, q := range start {
		if !finite(q) {
			return fail(-1, e, "has a start flow that is not finite")
		}
	}
	return nil
}

func finite(x float64) bool { return x-x == 0 }
