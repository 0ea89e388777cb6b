package flow

import "math"

// setPush computes push from the pressures.
func (s *Solver) setPush() {
	push := s.push[s.first:]
	source, tail, head := s.source[s.first:][:len(push)], s.t.tail[s.first:][:len(push)], s.t.head[s.first:][:len(push)]
	largest := s.hangingDrop
	for e := range push {
		u := s.pressure[tail[e]] - s.pressure[head[e]] + source[e]
		push[e] = u
		if u = math.Abs(u); u > largest {
			largest = u
		}
	}
	s.largestDrop = largest
	largest = 0
	for _, p := range s.pressure {
		if p = math.Abs(p); p > largest {
			largest = p
		}
	}
	s.noiseDrop = roundOff * (2*largest + s.largestSource)
}

// newtonStep solves the linear system and leaves the new pressures in pressure and push, the step in step and its first slope
// in startSlope.
func (s *Solver) newtonStep() {
	s.iterations++
	t := s.t
	coupled := s.couple.active()
	if coupled {
		copy(s.couple.pushBefore, s.push)
		copy(s.couple.pressureBefore, s.pressure)
	}
	conductance := s.conductance[s.first:]
	m := len(conductance)
	flow, drop, push := s.flow[s.first:][:m], s.drop[s.first:][:m], s.push[s.first:][:m]
	tail, head, target := t.tail[s.first:][:m], t.head[s.first:][:m], t.target[s.first:][:m]
	values, right := s.values, s.right
	clear(values[t.start[s.first]:])
	copy(right[s.first:], s.injection[s.first:])
	for e, w := range conductance {
		values[target[e]] += w
		x := flow[e] + w*(push[e]-drop[e])
		right[tail[e]] -= x
		right[head[e]] += x
	}
	t.factor(values, s.inverse, right, s.work, s.first)
	t.backward(values, s.inverse, right, s.first)
	s.groundRight()
	if s.fine {
		s.fineStep()
		return
	}
	largest := s.largestKnown
	pressure := s.pressure[s.first:t.free]
	for v, dp := range right[s.first:][:len(pressure)] {
		p := pressure[v] + dp
		pressure[v] = p
		if p = math.Abs(p); p > largest {
			largest = p
		}
	}
	s.noiseDrop = roundOff * (2*largest + s.largestSource)
	sum := s.stepAndPush()
	if coupled && !s.frozen {
		s.coupledStep(s.pressure, false)
		s.setPush()
		s.startSlope = 0
		for e, dq := range s.step { // with couplings no edge is left out
			s.startSlope += (drop[e] - push[e]) * dq
		}
	}
	s.noisePower = s.noiseDrop * s.noiseDrop * sum
}

// stepAndPush goes over the edges once, with the change of the pressures in right and the new pressures in place: step, its first slope,
// and push. It returns the sum of the conductances.
//
// The step takes the change of the pressures as it is: taken from the new pressures, rounded to their own size, it would not
// balance where conductances are large.
func (s *Solver) stepAndPush() (sum float64) {
	conductance := s.conductance[s.first:]
	m := len(conductance)
	drop, push, step, source := s.drop[s.first:][:m], s.push[s.first:][:m], s.step[s.first:][:m], s.source[s.first:][:m]
	tail, head := s.t.tail[s.first:][:m], s.t.head[s.first:][:m]
	pressure := s.pressure
	right := s.right[:len(pressure)]
	slope, largest := 0.0, s.hangingDrop
	for e, w := range conductance {
		a, b := uint(tail[e]), uint(head[e])
		r := push[e] - drop[e] + (right[a] - right[b])
		dq := w * r
		step[e] = dq
		slope -= dq * r
		sum += w
		u := pressure[a] - pressure[b] + source[e]
		push[e] = u
		if u = math.Abs(u); u > largest {
			largest = u
		}
	}
	s.startSlope, s.largestDrop = slope, largest
	return sum
}

// sweepBlock is how many edges a sweep takes at a time: what is kept by edge then stays in the innermost cache from the moving of the
// flows to the sums.
const sweepBlock = 256

// evaluateAt evaluates the laws at flow + t·step.
func (s *Solver) evaluateAt(t float64) error { return s.sweep(t, true) }

// evaluate evaluates the laws at trialFlow.
func (s *Solver) evaluate() error { return s.sweep(0, false) }

// sweep evaluates all laws, at flow + t·step if the flows are to move there, and sets
//
//	slope    = (φ(q) − u)·δq        the slope of the content along the step
//	estimate = Σ (φ(q) − u)²/φ′     twice the gap, to second order
//	power    = Σ |φ(q) q|
//	rough    = number of edges whose residual is more than round-off and edgeTolerance
func (s *Solver) sweep(t float64, move bool) error {
	s.sweeps++
	s.slope, s.estimate, s.power, s.rough = 0, 0, s.hangingPower, 0
	m, block := len(s.flow), sweepBlock
	if s.couple.active() {
		block = m // couplings read flows from anywhere
	}
	for from := s.first; from < m; from += block {
		to := min(from+block, m)
		if move {
			flow, step := s.flow[from:to], s.step[from:to]
			trial := s.trialFlow[from:to]
			for e, q := range flow {
				trial[e] = q + t*step[e]
			}
		}
		if err := s.evaluateLaws(from, to); err != nil {
			return err
		}
		if s.couple.active() {
			if err := s.couple.evaluate(s); err != nil {
				return err
			}
		}
		s.sumUp(from, to)
	}
	s.maxPower = max(s.maxPower, s.power)
	return nil
}

func (s *Solver) evaluateLaws(from, to int) error {
	flow := s.trialFlow[from:to]
	m := len(flow)
	laws, drop, conductance := s.laws[from:to][:m], s.trialDrop[from:to][:m], s.trialConductance[from:to][:m]
	pinned := s.pinned - from
	for e, q := range flow {
		if e == pinned {
			drop[e], conductance[e] = 0, 0
			continue
		}
		f, d := laws[e].Drop(q)
		if !(d > 0 && d <= math.MaxFloat64) || !finite(f) {
			return &LawError{Edge: from + e, Flow: q, From: q, Drop: f, Slope: d, Reason: badLaw(f, d)}
		}
		drop[e], conductance[e] = f, 1/d
	}
	return nil
}

// sumUp adds the edges from..to to the sums of sweep.
func (s *Solver) sumUp(from, to int) {
	flow := s.trialFlow[from:to]
	m := len(flow)
	drop, conductance := s.trialDrop[from:to][:m], s.trialConductance[from:to][:m]
	push, step := s.push[from:to][:m], s.step[from:to][:m]
	tolerance := edgeTolerance*s.largestDrop + s.noiseDrop
	slope, estimate, power, rough := s.slope, s.estimate, s.power, s.rough
	for e, q := range flow {
		f, w := drop[e], conductance[e]
		power += math.Abs(f * q)
		if w == 0 {
			continue // imposed
		}
		r := f - push[e]
		slope += r * step[e]
		estimate += r * r * w
		if (math.Abs(r)-tolerance)*w > roundOff*math.Abs(q) {
			rough++
		}
	}
	s.slope, s.estimate, s.power, s.rough = slope, estimate, power, rough
}

func badLaw(drop, slope float64) string {
	switch {
	case !finite(drop):
		return "drop is not finite"
	case !finite(slope):
		return "slope is not finite"
	}
	return "slope is not positive"
}
