package flow

import "math"

// Limits of the three ways of solving a coupled problem.
const (
	coupledMost  = 40 // Newton iterations by slope, then by residual
	picardPasses = 60
	picardInner  = 40
)

// solveCoupled solves a problem with couplings. The whole operator has no potential, so no function is known that must fall;
// three ways are tried, each from where the last one stopped:
//
//  1. Newton's method with the step judged by the slope (φ(q + t δq) − u)·δq, as without couplings: the slope still rises with
//     t wherever the operator is monotone;
//  2. Newton's method with the step judged by the residual of the energy equations;
//  3. the couplings' drops frozen, the convex problem solved, and the flows moved towards its solution by a part that is halved
//     whenever the distance does not shrink (Picard iteration), finished by Newton's method.
//
// If all fail, so does the solve: there may be no solution.
func (s *Solver) solveCoupled() error {
	err := s.newton(coupledMost, slopeMerit)
	if err == nil || !isConvergence(err) {
		return err
	}
	if err := s.restart(); err != nil {
		return err
	}
	if err = s.newton(coupledMost, residualMerit); err == nil || !isConvergence(err) {
		return err
	}
	if err := s.restart(); err != nil {
		return err
	}
	return s.picard()
}

func isConvergence(err error) bool {
	_, ok := err.(*ConvergenceError)
	return ok
}

// restart evaluates everything at the flows in place, or at the cold start's when these have run away.
func (s *Solver) restart() error {
	copy(s.trialFlow, s.flow)
	if largest := s.largestFlow(); !finite(largest) || largest > 1e12*math.Max(s.p.Scale, 1) {
		scale, _ := s.guessScale()
		if s.p.Scale > 0 {
			scale = s.p.Scale
		}
		for e := range s.trialFlow {
			s.trialFlow[e] = scale
		}
		if s.pinned >= 0 {
			s.trialFlow[s.pinned] = s.pinnedAt
		}
	}
	if err := s.evaluate(); err != nil {
		return err
	}
	s.accept()
	return nil
}

// residualMerit shortens the step until the residual Σ W (φ(q) − u)², with the conductances W at its start, has fallen; flows and
// pressures go the same part of the way.
func residualMerit(s *Solver) error {
	c := &s.couple
	copy(c.whole, s.push)
	start := 0.0
	for e, u := range c.pushBefore {
		r := s.drop[e] - u
		start += r * r * s.conductance[e]
	}
	const least = 1.0 / 1024
	for t := 1.0; ; t /= 2 {
		for e := range s.push {
			s.push[e] = c.pushBefore[e] + t*(c.whole[e]-c.pushBefore[e])
		}
		if err := s.evaluateAt(t); err != nil {
			return err
		}
		now := 0.0
		for e, u := range s.push {
			r := s.trialDrop[e] - u
			now += r * r * s.conductance[e]
		}
		if now <= (1-t/100)*(1-t/100)*start || t <= least || start <= searchNoise*s.power {
			if t < 1 {
				for v, p := range s.pressure {
					s.pressure[v] = c.pressureBefore[v] + t*(p-c.pressureBefore[v])
				}
			}
			return nil
		}
	}
}

// picard is the third way of solveCoupled.
func (s *Solver) picard() error {
	c := &s.couple
	part, last := 1.0, math.Inf(1)
	for range picardPasses {
		copy(c.before, s.flow)
		s.frozen = true
		err := s.newton(picardInner, slopeMerit)
		s.frozen = false
		if err != nil {
			return err
		}
		// How far the frozen problem's solution is, as a power.
		distance := 0.0
		for e, q := range s.flow {
			if w := s.conductance[e]; w > 0 {
				distance += (q - c.before[e]) * (q - c.before[e]) / w
			}
			s.trialFlow[e] = c.before[e] + part*(q-c.before[e])
		}
		if err := s.evaluate(); err != nil {
			return err
		}
		s.accept()
		if distance <= 1e-6*s.power {
			err := s.newton(coupledMost, slopeMerit)
			if err == nil || !isConvergence(err) {
				return err
			}
		}
		if distance > 0.8*last && part > 1.0/64 {
			part /= 2
		}
		last = distance
	}
	return s.failure("the couplings do not settle; there may be no solution")
}
