package flow

import "slices"

// refactor assembles and factors the linear system at the slopes in place.
func (s *Solver) refactor() {
	clear(s.values)
	for e, w := range s.conductance {
		s.values[s.t.target[e]] += w
	}
	clear(s.right)
	s.t.factor(s.values, s.inverse, s.right, s.work, 0)
}

// Gradient is how a quantity J(flows, pressures) changes with what was given to the solve.
type Gradient struct {
	// Drop is, per edge, the change of J per unit of drop added to the edge's law (less the same per unit of Source). For a
	// parameter θ of the laws dJ/dθ = Σ_e Drop[e] ∂φ_e/∂θ at the solution's flows.
	Drop []float64
	// Node is, per node, the change of J per unit of injection at a free node and per unit of pressure at a known one.
	Node []float64
}

// Adjoint returns the gradient of J at the last solution, given ∂J/∂q by edge and ∂J/∂p by node (nil = 0). With W = 1/φ′
// and A as in Solve it solves one linear system with the matrix of the solve,
//
//	(AᵀWA) λ = AᵀW ∂J/∂q + ∂J/∂p,     dJ/d(drop of e) = [W (Aλ − ∂J/∂q)]_e,     dJ/d(injection) = λ
//
// and with couplings the transpose of the coupled one. It needs a successful solve just before, otherwise it fails with an
// [InputError].
func (s *Solver) Adjoint(byFlow, byPressure []float64) (Gradient, error) {
	t := s.t
	fail := func(reason string) (Gradient, error) {
		return Gradient{}, &InputError{Node: -1, Edge: -1, Coupling: -1, Reason: reason}
	}
	switch {
	case !s.solved:
		return fail("there is no solution to take a gradient at")
	case byFlow != nil && len(byFlow) != t.edges:
		return fail("the derivative by flow must be nil or have one value per edge")
	case byPressure != nil && len(byPressure) != t.nodes:
		return fail("the derivative by pressure must be nil or have one value per node")
	}
	s.refactor()
	lambda := make([]float64, t.nodes)
	for v := range byPressure {
		lambda[t.position[v]] = byPressure[v]
	}
	ofKnown := slices.Clone(lambda[t.free:])
	clear(lambda[t.free:])
	for at, j := range byFlow {
		e := t.place[at]
		x := s.conductance[e] * j
		lambda[t.tail[e]] += x
		lambda[t.head[e]] -= x
	}
	clear(lambda[t.free:])
	t.forward(s.values, lambda, 0)
	t.backward(s.values, s.inverse, lambda, 0)
	for e, w := range s.conductance {
		x := lambda[t.head[e]] - lambda[t.tail[e]]
		if byFlow != nil {
			x += byFlow[t.edgeAt[e]]
		}
		s.step[e] = w * x // minus the gradient by drop
	}
	if s.couple.active() {
		change := make([]float64, t.nodes)
		s.coupledStep(change, true)
		for v := range t.free {
			lambda[v] -= change[v]
		}
	}
	g := Gradient{Drop: make([]float64, t.edges), Node: make([]float64, t.nodes)}
	for e, x := range s.step {
		g.Drop[t.edgeAt[e]] = -x
		if a := int(t.tail[e]) - t.free; a >= 0 {
			ofKnown[a] += x
		}
		if b := int(t.head[e]) - t.free; b >= 0 {
			ofKnown[b] -= x
		}
	}
	copy(lambda[t.free:], ofKnown)
	for v, at := range t.position {
		g.Node[v] = lambda[at]
	}
	return g, nil
}
