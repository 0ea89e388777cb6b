package flow

import "math"

// A tree that hangs from the rest by one edge and has no known pressure in it carries what is injected into it, whatever its laws are:
// its flows follow from the injections, its pressures from the pressure of the node that it hangs from. Half of a branching network can
// be of such edges. Their nodes come first in the elimination order, and with them the edges, edge k joining node k to what it hangs
// from. So Newton's method simply begins after them (Solver.first): their flows are summed up and their laws evaluated once, before
// it, and their pressures found once, after it. A coupling can tie the drop of a hanging edge to flows elsewhere, so with couplings all
// edges take part.

// peel lists the hanging nodes, leaves first, with the node that each hangs from.
func peel(nodes int, edges []Edge, isKnown []bool) (hanging, from []int32) {
	degree := make([]int32, nodes)
	left := make([]int32, nodes) // exclusive or of the edges left at a node: of one edge, that edge
	for e, edge := range edges {
		degree[edge.Tail]++
		degree[edge.Head]++
		left[edge.Tail] ^= int32(e)
		left[edge.Head] ^= int32(e)
	}
	for leaf := range nodes {
		for v := leaf; !isKnown[v] && degree[v] == 1; {
			e := left[v]
			next := edges[e].Tail + edges[e].Head - v
			hanging, from = append(hanging, int32(v)), append(from, int32(next))
			degree[v]--
			degree[next]--
			left[next] ^= e
			v = next
		}
	}
	return hanging, from
}

// smallFirst moves the numbers below limit to the front; among themselves the others and they keep their order.
func smallFirst(order []int32, limit int) []int32 {
	moved := make([]int32, 0, len(order))
	for _, v := range order {
		if int(v) < limit {
			moved = append(moved, v)
		}
	}
	for _, v := range order {
		if int(v) >= limit {
			moved = append(moved, v)
		}
	}
	return moved
}

// setHanging finds the flows of the hanging edges, leaves first, moves what is injected into hanging trees to where they hang, and
// evaluates the laws there; in the state and in the trial, as these change places.
func (s *Solver) setHanging() error {
	t := s.t
	s.first = t.hanging
	if s.couple.active() {
		s.first = 0
	}
	for k := range s.first {
		a, b := t.tail[k], t.head[k]
		q := s.injection[k]
		if int(b) == k {
			q, b = -q, a
		}
		s.injection[b] += s.injection[k]
		f, d := s.laws[k].Drop(q)
		if !(d > 0 && d <= math.MaxFloat64) || !finite(f) {
			return &LawError{Edge: k, Flow: q, From: q, Drop: f, Slope: d, Reason: badLaw(f, d)}
		}
		s.flow[k], s.drop[k], s.conductance[k] = q, f, 1/d
		s.trialFlow[k], s.trialDrop[k], s.trialConductance[k] = q, f, 1/d
		s.hangingPower += math.Abs(f * q)
		s.hangingDrop = max(s.hangingDrop, math.Abs(f))
	}
	return nil
}

// hang finds the pressures of the hanging nodes from those of the rest, roots first.
func (s *Solver) hang() {
	t := s.t
	for k := s.first - 1; k >= 0; k-- {
		if a, b := t.tail[k], t.head[k]; int(a) == k {
			s.pressure[k] = s.pressure[b] + (s.drop[k] - s.source[k])
		} else {
			s.pressure[k] = s.pressure[a] - (s.drop[k] - s.source[k])
		}
		s.push[k] = s.pressure[t.tail[k]] - s.pressure[t.head[k]] + s.source[k]
	}
}
