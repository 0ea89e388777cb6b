package flow

import "math"

// setPush computes push from the pressures.
func (s *Solver) setPush() {
	push := s.push
	source, tail, head := s.source[:len(push)], s.t.tail[:len(push)], s.t.head[:len(push)]
	largest := 0.0
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
	conductance := s.conductance
	m := len(conductance)
	flow, drop, push := s.flow[:m], s.drop[:m], s.push[:m]
	tail, head, target := t.tail[:m], t.head[:m], t.target[:m]
	values, right := s.values, s.right
	clear(values)
	copy(right, s.injection)
	for e, w := range conductance {
		values[target[e]] += w
		x := flow[e] + w*(push[e]-drop[e])
		right[tail[e]] -= x
		right[head[e]] += x
	}
	t.factor(values, s.inverse, right, s.work)
	t.backward(values, s.inverse, right)
	s.groundRight()
	largest := s.largestKnown
	pressure := s.pressure[:t.free]
	for v, dp := range right[:len(pressure)] {
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
		for e, dq := range s.step {
			s.startSlope += (drop[e] - push[e]) * dq
		}
	}
	s.noisePower = s.noiseDrop * s.noiseDrop * sum
	s.maxDrop = max(s.maxDrop, s.largestDrop)
}

// stepAndPush goes over the edges once, with the change of the pressures in right and the new pressures in place: step, its first slope,
// and push. It returns the sum of the conductances.
//
// The step takes the change of the pressures as it is: taken from the new pressures, rounded to their own size, it would not
// balance where conductances are large.
func (s *Solver) stepAndPush() (sum float64) {
	conductance := s.conductance
	m := len(conductance)
	drop, push, step, source := s.drop[:m], s.push[:m], s.step[:m], s.source[:m]
	tail, head := s.t.tail[:m], s.t.head[:m]
	pressure := s.pressure
	right := s.right[:len(pressure)]
	slope, largest := 0.0, 0.0
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

// evaluateAt evaluates the laws at flow + t·step.
func (s *Solver) evaluateAt(t float64) error {
	flow := s.flow
	step, trial := s.step[:len(flow)], s.trialFlow[:len(flow)]
	for e, q := range flow {
		trial[e] = q + t*step[e]
	}
	return s.evaluate()
}

// evaluate evaluates all laws at trialFlow and sets
//
//	slope    = (φ(q) − u)·δq        the slope of the content along the step
//	estimate = Σ (φ(q) − u)²/φ′     twice the gap, to second order
//	power    = Σ |φ(q) q|
//	rough    = number of edges whose residual is more than round-off and edgeTolerance
func (s *Solver) evaluate() error {
	s.sweeps++
	flow := s.trialFlow
	m := len(flow)
	laws, drop, conductance := s.laws[:m], s.trialDrop[:m], s.trialConductance[:m]
	for e, q := range flow {
		if e == s.pinned {
			drop[e], conductance[e] = 0, 0
			continue
		}
		f, d := laws[e].Drop(q)
		if !(d > 0 && d <= math.MaxFloat64) || !finite(f) {
			return &LawError{Edge: e, Flow: q, From: q, Drop: f, Slope: d, Reason: badLaw(f, d)}
		}
		drop[e], conductance[e] = f, 1/d
	}
	if s.couple.active() {
		if err := s.couple.evaluate(s); err != nil {
			return err
		}
	}
	push, step := s.push[:m], s.step[:m]
	tolerance := edgeTolerance*s.largestDrop + restDrop*s.maxDrop + s.noiseDrop
	slope, estimate, power, rough := 0.0, 0.0, 0.0, 0
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
	s.maxPower = max(s.maxPower, power)
	return nil
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
