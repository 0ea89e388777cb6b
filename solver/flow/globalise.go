package flow

import "math"

// Limits of the ways of solving a coupled problem.
const (
	coupledMost  = 40 // Newton iterations by slope, then by residual
	partMost     = 60 // steps of continuation
	partLeast    = 1.0 / 4096
	picardPasses = 60
	picardInner  = 40
)

// solveCoupled solves a problem with couplings. The whole operator has no potential, so no function is
// known that must fall; several ways are tried, each from where the last one stopped:
//
//  1. Newton's method with the step judged by the slope (φ(q + t δq) − u)·δq, as without couplings: the
//     slope still rises with t wherever the operator is monotone;
//  2. Newton's method with the step judged by the residual of the energy equations;
//  3. continuation: the couplings weighted by a part that grows from 0, where the problem is convex, to 1,
//     each solve from the last, in steps that shrink where a solve fails;
//  4. the couplings' drops frozen, the convex problem solved, and the flows moved towards its solution by
//     a part that is halved whenever the distance does not shrink (Picard iteration), finished by
//     Newton's method.
//
// Where the ways lead depends on where they set out. So when all have failed they are tried again from
// the solution without couplings, which the laws alone determine. If that fails as well, so does the
// solve: there may be no solution.
func (s *Solver) solveCoupled() error {
	err := s.tryWays()
	if err == nil || !isConvergence(err) {
		return err
	}
	return s.fromUncoupled(err)
}

// tryWays tries the ways of solveCoupled from the flows in place.
func (s *Solver) tryWays() error {
	err := s.newton(coupledMost, slopeMerit)
	if err == nil || !isConvergence(err) {
		return err
	}
	if err = s.restart(); err != nil {
		return err
	}
	if err = s.newton(coupledMost, residualMerit); err == nil || !isConvergence(err) {
		return err
	}
	if err = s.continuation(); err == nil || !isConvergence(err) {
		return err
	}
	return s.picard()
}

// fromUncoupled tries the ways of solveCoupled from the solution without couplings. If they fail as well
// it returns the error of the first attempt.
func (s *Solver) fromUncoupled(failed error) error {
	c := &s.couple
	uncoupled := func() error {
		c.part = 0
		defer func() { c.part = 1 }()
		if err := s.begin(nil); err != nil {
			return err
		}
		return s.newton(maxIterations, slopeMerit)
	}
	if err := uncoupled(); err != nil {
		return failed
	}
	c.uncoupled = append(c.uncoupled[:0], s.flow...)
	for _, way := range []func() error{
		s.tryWays,
		func() error { return s.newton(maxIterations, residualMerit) },
		s.picard,
	} {
		copy(s.flow, c.uncoupled)
		if err := s.restart(); err != nil {
			return failed
		}
		if err := way(); err == nil || !isConvergence(err) {
			return err
		}
	}
	return failed
}

// continuation is the third way of solveCoupled. It leaves the flows of the largest part that was solved.
func (s *Solver) continuation() error {
	c := &s.couple
	copy(c.reached, s.flow)
	solved, step := -1.0, 1.0
	part := 0.0
	defer func() { c.part = 1 }()
	var err error
	for range partMost {
		c.part = part
		copy(s.flow, c.reached)
		if err = s.restart(); err != nil {
			return err
		}
		if err = s.newton(coupledMost, slopeMerit); err != nil {
			if !isConvergence(err) {
				return err
			}
			if step /= 2; step < partLeast || solved < 0 {
				break
			}
		} else {
			if part == 1 {
				return nil
			}
			solved = part
			step *= 1.5
			copy(c.reached, s.flow)
		}
		part = min(1, max(solved, 0)+step/4)
	}
	copy(s.flow, c.reached)
	c.part = 1
	if err := s.restart(); err != nil {
		return err
	}
	return s.failure("the couplings cannot be brought in gradually")
}

func isConvergence(err error) bool {
	_, ok := err.(*ConvergenceError)
	return ok
}

// runsAway reports whether the step leads to flows far beyond any that the problem speaks of: the linear system is near singular, as
// it can be where couplings are not monotone.
func (s *Solver) runsAway() bool {
	const far = 1e12
	limit := max(s.startFlow, s.p.Scale, math.Abs(s.pinnedAt))
	for _, x := range s.injection {
		limit = max(limit, math.Abs(x))
	}
	if limit == 0 {
		limit = 1
	}
	for e, q := range s.flow {
		if !(math.Abs(q+s.step[e]) <= far*limit) {
			return true
		}
	}
	return false
}

// restart evaluates everything at the flows in place.
func (s *Solver) restart() error {
	copy(s.trialFlow, s.flow)
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
				if s.fine {
					clear(s.pressureLow)
					s.setPushFine()
				}
			}
			return nil
		}
	}
}

// picard is the fourth way of solveCoupled.
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
