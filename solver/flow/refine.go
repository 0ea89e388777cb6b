package flow

import (
	"fmt"
	"math"
)

// One gap holds for the whole network, and says little of a part that takes little of its power: a loop of small resistance
// far from the reference carries large flows on drops that are less than the round-off of its pressures. So once the gap is met
// every edge is looked at by itself; where its interval is wider than promised, the iteration goes on, and when round-off is all that
// is left of the gap, with every pressure in two parts, high + low, of which the low one is what the high one rounds off.
// The residual of an edge then has the round-off of its own drop alone.

// polishing is how far polish has come.
type polishing struct {
	steps, stuck int // stuck: steps on end that halved neither the width nor the gap
	width, gap   float64
}

func newPolishing() polishing { return polishing{width: math.Inf(1), gap: math.Inf(1)} }

// polish decides whether the solution in place, whose gap is met, is good enough edge by edge. If not, another iteration is to
// follow, or there is an error. Without a Scale the way to the solution depends on the units, so the aim is closer: the
// answer is then the same in every unit.
func (s *Solver) polish(p *polishing) (done bool, err error) {
	aim := flowTolerance
	if s.p.Scale == 0 {
		aim = flowAim
	}
	// An interval reaches about √(2 gap/φ′) to each side, and less where the law steepens.
	c := &s.certificate
	if limit := aim * s.certifiedFlow; 2.88*c.Gap*s.certifiedEase <= limit*limit {
		return true, nil
	}
	least := s.lawNoise()
	limit := max(aim*s.certifiedFlow, least)
	_, width := s.widest(limit)
	if width <= limit {
		return true, nil
	}
	p.steps++
	p.stuck++
	if width <= p.width/2 || c.Gap <= p.gap/2 {
		p.stuck = 0
	}
	p.width, p.gap = min(width, p.width), min(c.Gap, p.gap)
	enough := max(flowTolerance*s.certifiedFlow, least)
	rounded := c.Gap <= 2*c.RoundOff // else Newton's method is on its way, across kinks perhaps
	if p.steps > polishMost || s.fine && p.stuck >= polishStuck && (rounded || width <= enough) {
		if width <= enough || s.fine && c.Power <= c.RoundOff { // at rest, as nearly as can be told
			return true, nil
		}
		s.tighten()
		edge, width := s.widest(enough)
		if width <= enough {
			return true, nil
		}
		if rounded {
			return false, s.failure(fmt.Sprintf("round-off leaves the flow of edge %d, %.4g, open by %.2g", s.t.edgeAt[edge], s.flow[edge], width))
		}
		if !s.couple.active() {
			if err := s.findJump(); err != nil {
				return false, err
			}
		}
		return false, s.failure(fmt.Sprintf("%d more iterations leave the flow of edge %d, %.4g, open by %.2g",
			p.steps, s.t.edgeAt[edge], s.flow[edge], width))
	}
	if !s.fine && (rounded || p.stuck >= polishStuck) {
		s.refinePressures()
		p.width, p.gap, p.stuck = math.Inf(1), math.Inf(1), 0
	}
	return false, nil
}

// lawNoise is the flow that the round-off of the laws' own drops stands for, of a machine at rest far above that of a
// passive law.
func (s *Solver) lawNoise() float64 {
	largest := 0.0
	for e, f := range s.drop {
		largest = max(largest, math.Abs(f)*s.conductance[e])
	}
	return flowRoundOff * largest
}

// widest finds the edge whose flow is known least, if any is not known to within the limit.
func (s *Solver) widest(limit float64) (edge int, width float64) {
	for e := s.first; e < len(s.flow); e++ {
		if w := s.conductance[e]; 2.88*s.certificate.Gap*w <= limit*limit || e == s.pinned {
			continue
		}
		if s.within(e, limit) && s.within(e, -limit) {
			continue
		}
		side := max(s.margin(e, -1), s.margin(e, 1))
		if s.tight {
			side = min(side, s.bound[e])
		}
		if side > limit && side > width {
			edge, width = e, side
		}
	}
	if width > 0 {
		s.findSpread()
		width = min(width, s.spread)
	}
	return edge, width
}

// tighten bounds the flows by each other. Solution and truth both keep the mass balance, so at a free
// node
//
//	|q_e − q*_e| ≤ Σ |q_f − q*_f| over the other edges f there + |imbalance|
//
// and an edge whose own law says little of its flow, a machine on the flat part of its curve or a way
// that is wide open, is known by its neighbors. It evaluates every law several times, so it is left
// until nothing else suffices.
func (s *Solver) tighten() {
	const most = 50
	s.bound, s.around = grow(s.bound, s.t.edges), grow(s.around, s.t.nodes)
	for e := range s.bound {
		switch {
		case e == s.pinned:
			s.bound[e] = 0
		case e < s.first:
			s.bound[e] = s.hangingSlack()
		default:
			s.bound[e] = min(max(s.margin(e, -1), s.margin(e, 1)), s.spread)
		}
	}
	s.tight = true
	s.massDefect()
	for range most {
		clear(s.around)
		for v, d := range s.right[:s.t.free] {
			s.around[v] = math.Abs(d)
		}
		for e, q := range s.flow {
			reach := s.bound[e] + 4*0x1p-52*math.Abs(q) // with the round-off of the balance
			s.around[s.t.tail[e]] += reach
			s.around[s.t.head[e]] += reach
		}
		fell := false
		for e, own := range s.bound {
			for _, v := range [2]int32{s.t.tail[e], s.t.head[e]} {
				if int(v) >= s.t.free || int(v) < s.first {
					continue
				}
				if others := s.around[v] - own + 0x1p-50*s.around[v]; others < s.bound[e] {
					fell = fell || others < own/2
					s.bound[e] = others
				}
			}
		}
		if !fell {
			return
		}
	}
}

// within reports whether the flow of edge e is certain not to lie beyond the given length, by the coarsest lower sum of [Solver.Interval].
func (s *Solver) within(e int, length float64) bool {
	law, q := s.laws[e], s.flow[e]
	middle, _ := law.Drop(q + length/2)
	far, _ := law.Drop(q + length)
	return (far-middle)*length/2 > s.certificate.Gap
}

// findSpread looks for a bound on the error of every flow that does not mix edges of large power with those of small, as the gap
// does. With q the flows found, q* the true ones and r_e = φ_e(q_e) − u_e the residuals, the differences q − q* are the flows of a
// linear network whose conductances are those of the secants between q_e and q*_e, each edge with a source r_e. A source in one
// edge of such a network moves no flow by more than w_e|r_e|, so
//
//	|q_f − q*_f| ≤ Σ_e w_e |r_e| + Σ_v |imbalance of node v|
//
// for every edge f. The secants are not known, but if the sum with the largest conductance of any secant from q_e within ± B is less
// than B, then B is such a bound: as r grows from nothing the error cannot pass B. Residuals count with their round-off.
func (s *Solver) findSpread() {
	s.massDefect()
	mass := 0.0
	for _, d := range s.right[:s.t.free] {
		mass += math.Abs(d)
	}
	sum := func(within float64) float64 {
		total := mass
		for e := s.first; e < len(s.flow); e++ {
			if e == s.pinned {
				continue
			}
			if total += s.easiest(e, within) * (math.Abs(s.drop[e]-s.push[e]) + s.noise(e)); !(total <= math.MaxFloat64) {
				break
			}
		}
		return total
	}
	bound := 2 * sum(0)
	for range 8 {
		if sum(bound) < bound {
			s.spread = bound
			return
		}
		bound *= 4
	}
}

// easiest bounds the conductance of the secants of edge e from its flow to flows within the given distance. Between two flows y₁ and y₂
// beyond q no secant conducts more than (y₂ − q)/(φ(y₁) − φ(q)), as the law rises; nearer than an eighth of the distance the
// ends of the part and the tangent stand for it.
func (s *Solver) easiest(e int, within float64) float64 {
	const parts = 8
	law, q := s.laws[e], s.flow[e]
	here, slope := law.Drop(q)
	best := 1 / slope
	if within == 0 {
		return best
	}
	for _, side := range [2]float64{-within, within} {
		last, lastSlope := law.Drop(q + side/parts)
		best = max(best, 1/lastSlope, side/parts/(last-here))
		for k := 2; k <= parts; k++ {
			best = max(best, side*float64(k)/parts/(last-here))
			last, _ = law.Drop(q + side*float64(k)/parts)
		}
	}
	return best
}

// refinePressures begins to keep pressures in two parts.
func (s *Solver) refinePressures() {
	if s.fine {
		return
	}
	s.fine = true
	s.pressureLow, s.pressureStep = grow(s.pressureLow, s.t.nodes), grow(s.pressureStep, s.t.nodes)
	clear(s.pressureLow)
}

// twoSum returns a+b rounded and what rounding took away (D. E. Knuth, The Art of Computer Programming, volume 2, from memory).
func twoSum(a, b float64) (sum, rest float64) {
	sum = a + b
	c := sum - a
	return sum, (a - (sum - c)) + (b - c)
}

// fineStep does what the end of newtonStep does, with pressures in two parts; the change of the pressures is in right.
func (s *Solver) fineStep() {
	t := s.t
	s.startSlope = 0
	for e := s.first; e < len(s.step); e++ {
		w := s.conductance[e]
		r := s.push[e] - s.drop[e] + (s.right[t.tail[e]] - s.right[t.head[e]])
		s.step[e] = w * r
		s.startSlope -= w * r * r
	}
	copy(s.pressureStep, s.right)
	if s.couple.active() && !s.frozen {
		s.coupledStep(s.pressureStep, false)
	}
	for v := s.first; v < t.free; v++ {
		high, rest := twoSum(s.pressure[v], s.pressureStep[v])
		s.pressure[v], s.pressureLow[v] = twoSum(high, rest+s.pressureLow[v])
	}
	s.setPushFine()
	if s.couple.active() && !s.frozen {
		s.startSlope = 0
		for e, dq := range s.step {
			s.startSlope += (s.drop[e] - s.push[e]) * dq
		}
	}
}

func (s *Solver) setPushFine() {
	s.largestDrop = s.hangingDrop
	for e := s.first; e < len(s.push); e++ {
		a, b := s.t.tail[e], s.t.head[e]
		u, rest := twoSum(s.pressure[a], -s.pressure[b])
		u, more := twoSum(u, s.source[e])
		s.push[e] = u + (rest + more + (s.pressureLow[a] - s.pressureLow[b]))
		s.largestDrop = max(s.largestDrop, math.Abs(s.push[e]))
	}
}

// fineNoise is the round-off in the residual of edge e.
func (s *Solver) fineNoise(e int) float64 {
	terms := math.Abs(s.drop[e]) + math.Abs(s.push[e]) + math.Abs(s.flow[e])/s.conductance[e]
	if s.couple.active() {
		terms += math.Abs(s.couple.dropOf(int32(e)))
	}
	large := math.Abs(s.pressure[s.t.tail[e]]) + math.Abs(s.pressure[s.t.head[e]]) + math.Abs(s.source[e])
	return roundOff * (terms + 0x1p-50*large)
}
