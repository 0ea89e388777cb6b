package heat

import (
	"fmt"
	"math"
)

// derivative writes dy/dt at (t, y) into dy.
type derivative func(t float64, y, dy []float64) error

// integrator advances a system of ordinary differential equations by the embedded Runge–Kutta pair of orders 5 and 4 of
// J. R. Dormand and P. J. Prince, "A family of embedded Runge–Kutta formulae", J. Comput. Appl. Math. 6 (1980) 19–26 (the
// pair RK5(4)7M), with local extrapolation and the step control of E. Hairer, S. P. Nørsett, G. Wanner, "Solving Ordinary
// Differential Equations I", 2nd ed. (1993), section II.4.
type integrator struct {
	f        derivative
	relative float64   // tolerance per step, relative to each component
	absolute []float64 // and absolute
	k        [7][]float64
	trial    []float64
	next     []float64
}

// leastStep is the share of the interval below which a step counts as a failure.
const leastStep = 1e-12

func newIntegrator(f derivative, relative float64, absolute []float64) *integrator {
	g := &integrator{f: f, relative: relative, absolute: absolute, trial: make([]float64, len(absolute)), next: make([]float64, len(absolute))}
	for i := range g.k {
		g.k[i] = make([]float64, len(absolute))
	}
	return g
}

// The pair's coefficients.
const (
	a21                                     = 1.0 / 5
	a31, a32                                = 3.0 / 40, 9.0 / 40
	a41, a42, a43                           = 44.0 / 45, -56.0 / 15, 32.0 / 9
	a51, a52, a53, a54                      = 19372.0 / 6561, -25360.0 / 2187, 64448.0 / 6561, -212.0 / 729
	a61, a62, a63, a64, a65                 = 9017.0 / 3168, -355.0 / 33, 46732.0 / 5247, 49.0 / 176, -5103.0 / 18656
	a71, a73, a74, a75, a76                 = 35.0 / 384, 500.0 / 1113, 125.0 / 192, -2187.0 / 6784, 11.0 / 84
	e1, e3, e4, e5, e6, e7                  = 71.0 / 57600, -71.0 / 16695, 71.0 / 1920, -17253.0 / 339200, 22.0 / 525, -1.0 / 40
	stageTwo, stageThree, stageFour, stage5 = 1.0 / 5, 3.0 / 10, 4.0 / 5, 8.0 / 9
)

// step takes one step of length h from (t, y), leaving the fifth-order result in next, and returns the error estimate
// over the tolerance (1 or less: good). k[0] must hold the derivative at y.
func (g *integrator) step(t float64, y []float64, h float64) (float64, error) {
	k, s := &g.k, g.trial
	k0, k1, k2, k3, k4, k5 := k[0], k[1], k[2], k[3], k[4], k[5]
	for j := range y {
		s[j] = y[j] + h*(a21*k0[j])
	}
	if err := g.f(t+stageTwo*h, s, k1); err != nil {
		return 0, err
	}
	for j := range y {
		s[j] = y[j] + h*(a31*k0[j]+a32*k1[j])
	}
	if err := g.f(t+stageThree*h, s, k2); err != nil {
		return 0, err
	}
	for j := range y {
		s[j] = y[j] + h*(a41*k0[j]+a42*k1[j]+a43*k2[j])
	}
	if err := g.f(t+stageFour*h, s, k3); err != nil {
		return 0, err
	}
	for j := range y {
		s[j] = y[j] + h*(a51*k0[j]+a52*k1[j]+a53*k2[j]+a54*k3[j])
	}
	if err := g.f(t+stage5*h, s, k4); err != nil {
		return 0, err
	}
	for j := range y {
		s[j] = y[j] + h*(a61*k0[j]+a62*k1[j]+a63*k2[j]+a64*k3[j]+a65*k4[j])
	}
	if err := g.f(t+h, s, k5); err != nil {
		return 0, err
	}
	for j := range y {
		s[j] = y[j] + h*(a71*k0[j]+a73*k2[j]+a74*k3[j]+a75*k4[j]+a76*k5[j])
	}
	if err := g.f(t+h, s, k[6]); err != nil {
		return 0, err
	}
	copy(g.next, s)
	sum := 0.0
	for j := range y {
		e := h * (e1*k0[j] + e3*k2[j] + e4*k3[j] + e5*k4[j] + e6*k5[j] + e7*k[6][j])
		scale := g.absolute[j] + g.relative*math.Max(math.Abs(y[j]), math.Abs(g.next[j]))
		sum += (e / scale) * (e / scale)
	}
	return math.Sqrt(sum / float64(len(y))), nil
}

// advance takes y from t to end, in place, and returns the step it would try next; h is the step to try first. each,
// when not nil, is called after every accepted step with its start (t and y), its end time and end state, and may stop
// the run.
func (g *integrator) advance(t, end float64, y []float64, h float64, each func(t0 float64, y0 []float64, t1 float64, y1 []float64) (stop bool, err error)) (float64, error) {
	span := end - t
	h = math.Min(h, span)
	if err := g.f(t, y, g.k[0]); err != nil {
		return h, err
	}
	for t < end {
		last := t+h >= end-1e-14*math.Abs(end)
		if last {
			h = end - t
		}
		ratio, err := g.step(t, y, h)
		if err != nil || !(ratio <= 1) {
			shrink := 0.2
			if err == nil && !math.IsNaN(ratio) {
				shrink = math.Max(0.2, 0.9*math.Pow(ratio, -0.2))
			}
			h *= shrink
			if h < leastStep*span {
				if err == nil {
					err = fmt.Errorf("%w: no step length meets the tolerance at %g s", ErrNoSteadyState, t)
				}
				return h, err
			}
			// Stages of the failed step may have overwritten nothing of k[0].
			continue
		}
		t1 := t + h
		if last {
			t1 = end
		}
		stop := false
		if each != nil {
			if stop, err = each(t, y, t1, g.next); err != nil {
				return h, err
			}
			if stop {
				return h, nil
			}
		}
		t = t1
		copy(y, g.next)
		g.k[0], g.k[6] = g.k[6], g.k[0] // the last stage is the first of the next step
		h *= math.Min(5, math.Max(0.2, 0.9*math.Pow(math.Max(ratio, 1e-10), -0.2)))
	}
	return h, nil
}
