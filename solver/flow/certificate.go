package flow

import "math"

// isBalanced tells whether the flows in place keep the mass balance to tolerance.
func (s *Solver) isBalanced() bool {
	worst, _ := s.massResidual()
	return worst <= massTolerance*s.largestFlow()
}

// massDefect leaves in right, per node, injection − (outflow − inflow); none at hanging nodes.
func (s *Solver) massDefect() {
	clear(s.right[:s.first])
	copy(s.right[s.first:], s.injection[s.first:])
	tail, head := s.t.tail[s.first:], s.t.head[s.first:]
	for e, q := range s.flow[s.first:] {
		s.right[tail[e]] -= q
		s.right[head[e]] += q
	}
}

func (s *Solver) massResidual() (worst float64, node int) {
	s.massDefect()
	worst, at := 0.0, int32(-1)
	for v, d := range s.right[:s.t.free] {
		if d = math.Abs(d); !(d < worst) {
			worst, at = d, int32(v)
		}
	}
	if at < 0 {
		return worst, -1
	}
	return worst, int(s.t.nodeAt[at])
}

// balance pushes what imbalance is left down the spanning forest to the known nodes, leaves first, and evaluates the laws
// again where that moved a flow. It returns true when the flows moved so much that everything must be evaluated anew.
func (s *Solver) balance() (moved bool, err error) {
	s.massDefect()
	large := 1e-12 * s.largestFlow()
	for _, b := range s.t.branches {
		d := s.right[b.node]
		e := b.edge
		if d == 0 || int(e) == s.pinned { // what is left behind an imposed flow shows in the mass residual
			continue
		}
		s.right[b.parent] += d
		s.flow[e] += b.sign * d
		if math.Abs(d) > large {
			moved = true
		}
		if math.Abs(d) > 4*0x1p-52*math.Abs(s.flow[e]) {
			f, slope := s.laws[e].Drop(s.flow[e])
			if !(slope > 0) || slope > math.MaxFloat64 || !finite(f) {
				return false, &LawError{Edge: int(e), Flow: s.flow[e], From: s.flow[e], Drop: f, Slope: slope, Reason: badLaw(f, slope)}
			}
			s.drop[e] = f + s.couple.dropOf(e)
		}
	}
	return moved, nil
}

// certify balances the flows in place exactly and computes the certificate.
//
// The gap. Let q be flows that keep the mass balance, p any pressures, u = p_tail − p_head + source, and x_e the flow at which
// φ_e(x_e) = u_e. The content F at q exceeds the co-content G at p by
//
//	F(q) − G(p) = Σ_e g_e,   g_e = ∫ from x_e to q_e of (φ_e(t) − u_e) dt ≥ 0,
//
// and with (q*, p*) the solution this difference is exactly Σ_e D_e(q_e, q*_e) + Σ_e D*_e(u_e, u*_e), with D_e(q, y) =
// ∫ from y to q of (φ_e(t) − φ_e(y)) dt and its dual D*, none of them negative. So each D_e(q_e, q*_e) ≤ Σ g: see Interval.
//
// Only drops are known here, neither their integrals nor their inverses. But φ_e rises: between x_e and q_e the integrand is
// at most its value r_e = φ_e(q_e) − u_e at q_e, and if φ_e(y) − u_e has the opposite sign to r_e then x_e lies between y and q_e. Hence
//
//	g_e ≤ |r_e| |q_e − x_e| ≤ |r_e| |q_e − y|,
//
// for y = q_e − k r_e/φ_e′, with k = 1.5, 3, 6, … until the sign turns. To second order the bound is 3 g_e at k = 1.5. A
// residual that is no more than the round-off of its terms cannot be resolved; it counts with twice that round-off and the
// slope in place.
//
// Source of the identity: Fenchel–Young duality for separable convex network problems; see R. T. Rockafellar, Network Flows
// and Monotropic Optimization (1984), chapter 8 (cited from memory).
func (s *Solver) certify() error {
	// Where nothing but round-off flows, what is pushed is as large as the flows, and its own rounding is left.
	for range balanceMost {
		moved, err := s.balance()
		if err != nil {
			return err
		}
		if !moved {
			break
		}
		copy(s.trialFlow, s.flow)
		if err := s.evaluate(); err != nil {
			return err
		}
		s.accept()
	}
	s.hang()
	s.spread, s.tight = math.Inf(1), false
	c := Certificate{Edge: -1, Coupled: s.couple.active(), Unique: true, Isolated: true}
	c.MassResidual, c.MassNode = s.massResidual()
	largest, easiest := 0.0, 0.0
	for e, u := range s.push {
		if e == s.pinned {
			largest = max(largest, math.Abs(s.flow[e]))
			continue
		}
		f, w, q := s.drop[e], s.conductance[e], s.flow[e]
		c.Power += math.Abs(f * q)
		if size := math.Abs(q); size > largest {
			largest = size
		}
		r := f - u
		if size := math.Abs(r); size > c.EdgeResidual || c.Edge < 0 {
			c.EdgeResidual, c.Edge = size, e
		}
		if e < s.first {
			continue // its flow is what hangs from it
		}
		if w > easiest {
			easiest = w
		}
		noise := s.noise(e)
		if math.Abs(r) <= noise {
			c.RoundOff += 2 * noise * noise * w
			continue
		}
		reach, err := s.reach(e, r, w)
		if err != nil {
			return err
		}
		c.Gap += math.Abs(r) * reach
	}
	c.Gap += c.RoundOff
	if s.couple.active() {
		c.Unique, c.Isolated = false, s.provenIsolated()
	}
	if c.Edge >= 0 {
		c.Edge = int(s.t.edgeAt[c.Edge])
	}
	s.certificate, s.certifiedFlow, s.certifiedEase = c, largest, easiest
	return nil
}

// noise is the round-off in the residual of edge e.
func (s *Solver) noise(e int) float64 {
	if s.fine {
		return s.fineNoise(e)
	}
	terms := math.Abs(s.drop[e]) + math.Abs(s.pressure[s.t.tail[e]]) + math.Abs(s.pressure[s.t.head[e]])
	terms += math.Abs(s.source[e])
	if s.couple.active() {
		terms += math.Abs(s.couple.dropOf(int32(e)))
	}
	return roundOff * (terms + math.Abs(s.flow[e])/s.conductance[e])
}

// reach is |q − y| for a y beyond the flow at which edge e's law gives what its residual r asks for.
func (s *Solver) reach(e int, r, w float64) (float64, error) {
	q, u := s.flow[e], s.push[e]-s.couple.dropOf(int32(e))
	length := 1.5 * math.Abs(r) * w
	for range 1100 { // doublings from the least to the greatest number
		y := q - math.Copysign(length, r)
		f, d := s.laws[e].Drop(y)
		if !(d > 0) || !finite(f) {
			return 0, &LawError{Edge: e, Flow: y, From: y, Drop: f, Slope: d, Reason: badLaw(f, d)}
		}
		if (f-u)*r <= 0 {
			return length, nil
		}
		length *= 2
	}
	return math.Inf(1), nil
}

// Interval returns an interval that contains the true flow of an edge for certain (round-off apart),
// given the laws, from the gap G of the last solve, or, where that is closer and was needed, from the
// residuals (findSpread) or the intervals of the edges beside it (tighten). With couplings "true"
// refers to the problem with their drops frozen at the solution: the flow of the coupled problem can
// lie outside.
//
// G bounds Σ D_e(q_e, q*_e) over the edges, where q are the flows found, q* the true ones and
//
//	D(q, y) = ∫ from y to q of (φ(t) − φ(y)) dt ≥ 0
//
// so D(q, q*) ≤ G for every edge by itself, and D grows as y moves away from q. Since φ rises, over sub-intervals of y..q
// the integral is at least the sum of (length × value at the end nearer y); y is pushed out until that lower sum exceeds G.
// Where the law has slope m the interval is about q ± √(2G/m). It is infinite on a side where no such y is found; without a
// successful solve it is all numbers.
func (s *Solver) Interval(edge int) (lo, hi float64) {
	if !s.solved || edge < 0 || edge >= s.t.edges {
		return math.Inf(-1), math.Inf(1)
	}
	e := int(s.t.place[edge])
	q := s.flow[e]
	if e == s.pinned {
		return q, q
	}
	if e < s.first { // the rounding of a sum of injections
		slack := s.hangingSlack()
		return q - slack, q + slack
	}
	most := s.spread
	if s.tight {
		most = min(most, s.bound[e])
	}
	return q - min(s.margin(e, -1), most), q + min(s.margin(e, 1), most)
}

// hangingSlack is what rounding leaves open of a hanging edge's flow.
func (s *Solver) hangingSlack() float64 { return 0x1p-52 * float64(s.first) * s.injected }

// margin is how far to one side (−1 or +1) the true flow can lie. Nearly always the law is straight within it: the first length tried
// is a fifth beyond √(2G/m), and with four parts the lower sum of a straight law exceeds G from 1.155 of that on. Where the law steepens
// on the way, the length is halved and doubled until it fits.
func (s *Solver) margin(edge int, side float64) float64 {
	const parts, beyond = 4, 1.2
	law, q, gap := s.laws[edge], s.flow[edge], s.certificate.Gap
	excluded := func(length float64) bool {
		y := q + side*length
		far, _ := law.Drop(y)
		sum := 0.0
		for k := parts - 1; k > 0; k-- { // the greatest terms first
			f, _ := law.Drop(y - side*length*float64(k)/parts)
			// The value at the end of the part nearer y.
			sum += max(0, side*(far-f)) * length / parts
			if sum > gap {
				return true
			}
		}
		return false
	}
	length := beyond*math.Sqrt(2*gap*s.conductance[edge]) + 0x1p-52*math.Abs(q)
	if length == 0 {
		return 0
	}
	_, slope := law.Drop(q + side*length)
	if straight := slope*s.conductance[edge] < 1.5; straight && excluded(length) {
		return length
	}
	in, out := 0.0, length
	for k := 0; !excluded(out); k++ {
		if k == 1100 || math.IsInf(out, 0) {
			return math.Inf(1)
		}
		in, out = out, 2*out
	}
	for range 4 {
		middle := (in + out) / 2
		if excluded(middle) {
			out = middle
		} else {
			in = middle
		}
	}
	return out
}
