package flow

import "slices"

// coupled is the workspace of a problem's couplings. S below is the set of edges that any coupling touches; members of S are
// numbered 0..k−1.
type coupled struct {
	list  []Coupling
	edges []int32 // S, in order of first mention
	// member[e] is the number of edge e in S, or −1; nil until the first coupled problem.
	member []int32
	blocks []block
	local  []int32   // the blocks' edges, by number in S
	jac    []float64 // the blocks' derivatives at the latest trial

	part float64   // of the couplings that counts: 1 except in continuation
	q, d []float64 // arguments for one coupling
	add  []float64 // coupling drop by member of S
	// shift is what was added to the law's own slope to make the slope the factor works with.
	shift []float64

	krylov
	dense []float64 // for provenIsolated

	// For residualMerit and picard: the state before a step.
	before, whole, pushBefore, pressureBefore, reached []float64

	uncoupled []float64 // flows of the solution without couplings
}

type block struct {
	local, size int // local[local:local+size]
	jac         int // jac[jac:jac+size²]
}

func (c *coupled) active() bool { return len(c.list) > 0 }

// dropOf is the couplings' drop along edge e.
func (c *coupled) dropOf(e int32) float64 {
	if len(c.list) == 0 || c.member[e] < 0 {
		return 0
	}
	return c.add[c.member[e]]
}

// set takes in the couplings of a problem.
func (c *coupled) set(t *Topology, list []Coupling) error {
	for _, e := range c.edges {
		c.member[e] = -1
	}
	c.list, c.edges, c.blocks, c.local = list, c.edges[:0], c.blocks[:0], c.local[:0]
	c.part = 1
	if len(list) == 0 {
		return nil
	}
	if c.member == nil {
		c.member = make([]int32, t.edges)
		for e := range c.member {
			c.member[e] = -1
		}
	}
	fail := func(i, e int, reason string) error {
		c.list = nil
		return &InputError{Node: -1, Edge: e, Coupling: i, Reason: reason}
	}
	values, widest := 0, 0
	for i, coupling := range list {
		if coupling == nil {
			return fail(i, -1, "is nil")
		}
		edges := coupling.Edges()
		c.blocks = append(c.blocks, block{local: len(c.local), size: len(edges), jac: values})
		values += len(edges) * len(edges)
		widest = max(widest, len(edges))
		for k, e := range edges {
			if e < 0 || e >= t.edges {
				return fail(i, e, "is read by a coupling but does not exist")
			}
			if slices.Contains(edges[:k], e) {
				return fail(i, e, "is listed twice by a coupling")
			}
			at := t.place[e]
			if c.member[at] < 0 {
				c.member[at] = int32(len(c.edges))
				c.edges = append(c.edges, at)
			}
			c.local = append(c.local, c.member[at])
		}
	}
	k := len(c.edges)
	c.jac = grow(c.jac, values)
	c.q, c.d = grow(c.q, widest), grow(c.d, widest)
	c.add, c.shift = grow(c.add, k), grow(c.shift, k)
	c.krylov.set(k)
	c.before, c.whole = grow(c.before, t.edges), grow(c.whole, t.edges)
	c.reached = grow(c.reached, t.edges)
	c.pushBefore, c.pressureBefore = grow(c.pushBefore, t.edges), grow(c.pressureBefore, t.nodes)
	return nil
}

// grow returns a slice of length n, re-using old where it is long enough.
func grow(old []float64, n int) []float64 {
	if cap(old) >= n {
		return old[:n]
	}
	return make([]float64, n)
}

// evaluate adds the couplings' drops to trialDrop and replaces trialConductance of the edges of S by the reciprocal of a
// positive slope near the whole own slope: the law's plus the couplings' where that is positive, never less than half
// the law's. With the solver frozen only the drops held are added.
func (c *coupled) evaluate(s *Solver) error {
	if !s.frozen {
		clear(c.add)
		clear(c.shift)
		for i, b := range c.blocks {
			local := c.local[b.local : b.local+b.size]
			q, drop, jac := c.q[:b.size], c.d[:b.size], c.jac[b.jac:b.jac+b.size*b.size]
			clear(drop)
			clear(jac)
			for k, m := range local {
				q[k] = s.trialFlow[c.edges[m]]
			}
			c.list[i].Add(q, drop, jac)
			if c.part < 1 {
				for k := range drop {
					drop[k] *= c.part
				}
				for k := range jac {
					jac[k] *= c.part
				}
			}
			for k, m := range local {
				c.add[m] += drop[k]
				c.shift[m] += jac[k*b.size+k]
				for _, x := range jac[k*b.size : (k+1)*b.size] {
					if !finite(x) || !finite(drop[k]) {
						e := int(c.edges[m])
						return &LawError{Edge: e, Flow: s.trialFlow[e], From: s.trialFlow[e], Drop: drop[k], Slope: x,
							Reason: "a coupling's drop or derivative is not finite"}
					}
				}
			}
		}
	}
	for m, e := range c.edges {
		if int(e) == s.pinned {
			c.shift[m] = 0
			continue
		}
		s.trialDrop[e] += c.add[m]
		if s.frozen {
			continue
		}
		slope := 1 / s.trialConductance[e]
		c.shift[m] = max(c.shift[m], -slope/2)
		s.trialConductance[e] = 1 / (slope + c.shift[m])
	}
	return nil
}

// multiply sets z = C y on S, where C is the couplings' Jacobian less shift, so that the whole Jacobian is that of the factor's
// slopes plus C. With transposed it multiplies by Cᵀ.
func (c *coupled) multiply(z, y []float64, transposed bool) {
	for m, shift := range c.shift {
		z[m] = -shift * y[m]
	}
	for _, b := range c.blocks {
		local, jac := c.local[b.local:b.local+b.size], c.jac[b.jac:b.jac+b.size*b.size]
		for i, m := range local {
			row := jac[i*b.size : (i+1)*b.size]
			for j, n := range local {
				if transposed {
					z[n] += row[j] * y[m]
				} else {
					z[m] += row[j] * y[n]
				}
			}
		}
	}
}

// project sets y = −K z on S: the flows, balanced at every node, that drops −z along the edges of S drive through the
// network of slopes in the factor. The pressures that go with them are left in right.
func (s *Solver) project(y, z []float64) {
	t, c := s.t, &s.couple
	clear(s.right)
	for m, e := range c.edges {
		x := s.conductance[e] * z[m]
		s.right[t.tail[e]] += x
		s.right[t.head[e]] -= x
	}
	t.forward(s.values, s.right, 0)
	t.backward(s.values, s.inverse, s.right, 0)
	s.groundRight()
	for m, e := range c.edges {
		y[m] = s.conductance[e] * (s.right[t.tail[e]] - s.right[t.head[e]] - z[m])
	}
}

// groundRight clears the places of known nodes in right.
func (s *Solver) groundRight() { clear(s.right[s.t.free:]) }

// coupledStep turns the step of the factor's slopes into the step of the whole Jacobian J = D + C, of which D is in the
// factor. With K the operator that takes drops to balanced flows through the slopes D, the step δq and the step δq₀ in place
// satisfy
//
//	(I + K C) δq = δq₀
//
// and because C lives on S only, so does the system that must be solved: k unknowns, each multiplication one pair of
// triangular solves and no evaluation of a law. What it does to the pressures is added to pressure (by renumbered node).
// With transposed it does the same for Cᵀ.
func (s *Solver) coupledStep(pressure []float64, transposed bool) {
	c, t := &s.couple, s.t
	for m, e := range c.edges {
		c.rhs[m] = s.step[e]
	}
	s.gmres(c.solution, c.rhs, transposed)
	c.multiply(c.image, c.solution, transposed)
	s.project(c.rhs, c.image)
	for v, dp := range s.right[:t.free] {
		pressure[v] += dp
	}
	for e, w := range s.conductance {
		s.step[e] += w * (s.right[t.tail[e]] - s.right[t.head[e]])
	}
	for m, e := range c.edges {
		s.step[e] -= s.conductance[e] * c.image[m]
	}
}
