// Package bracket finds the root of a continuous function of one variable between two points where its sign differs.
//
// It is the one scalar root finder of the thermal side: saturation temperatures, wet bulbs, the coil's balance with the
// network and the instant a limit opens all go through it. It cannot leave its bracket, so a caller that brackets a
// physical range never sees an unphysical argument. It knows nothing of air.
package bracket

import (
	"errors"
	"fmt"
	"math"
)

// ErrNoSignChange reports that the function has the same sign at both ends of the interval.
var ErrNoSignChange = errors.New("no sign change in the interval")

// ErrNotFinite reports that the function returned NaN or an infinity.
var ErrNotFinite = errors.New("function is not finite")

// maxEvaluations is far above what bisection of any float64 interval needs (about 1100 in the worst case, 60 in all
// ordinary ones); it guards the loop only.
const maxEvaluations = 1200

// Root returns x between a and b with f(x) = 0, to within the absolute tolerance on x (0: as close as float64 allows).
// The interval may be given in either order; f must have different signs, or a zero, at its ends.
//
// The method is inverse quadratic interpolation guarded by bisection in the form of
// T. R. Chandrupatla, "A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear function without
// using derivatives", Advances in Engineering Software 28 (1997) 145–149. The bracket shrinks in every step.
//
// Errors: ErrNoSignChange, with the end values; ErrNotFinite, with the point.
func Root(f func(float64) float64, a, b, tolerance float64) (float64, error) {
	fa, fb := f(a), f(b)
	switch {
	case !finite(fa):
		return 0, fmt.Errorf("%w at %g", ErrNotFinite, a)
	case !finite(fb):
		return 0, fmt.Errorf("%w at %g", ErrNotFinite, b)
	case fa == 0:
		return a, nil
	case fb == 0:
		return b, nil
	case math.Signbit(fa) == math.Signbit(fb):
		return 0, fmt.Errorf("%w: %g at %g, %g at %g", ErrNoSignChange, fa, a, fb, b)
	}
	// a is the newest point, b the other end of the bracket, c the point given up last.
	c, fc := a, fa
	t := 0.5
	for range maxEvaluations {
		x := a + t*(b-a)
		fx := f(x)
		if !finite(fx) {
			return 0, fmt.Errorf("%w at %g", ErrNotFinite, x)
		}
		if math.Signbit(fx) == math.Signbit(fa) {
			c, fc = a, fa
		} else {
			c, fc = b, fb
			b, fb = a, fa
		}
		a, fa = x, fx
		best, fbest := a, fa
		if math.Abs(fb) < math.Abs(fa) {
			best, fbest = b, fb
		}
		allowed := 2*epsilon*math.Abs(best) + 0.5*tolerance
		limit := allowed / math.Abs(b-a)
		if fbest == 0 || limit > 0.5 {
			return best, nil
		}
		t = 0.5
		xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
		if phi*phi < xi && (1-phi)*(1-phi) < 1-xi {
			t = fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
		}
		t = math.Min(1-limit, math.Max(limit, t))
	}
	return a, nil
}

// Edge halves the interval between a point where a condition holds and one where it does not until the two are
// no farther apart than a width (0: as close as float64 allows), and returns both.
func Edge(holds func(x float64) (bool, error), yes, no, width float64) (lastYes, firstNo float64, err error) {
	for math.Abs(no-yes) > width {
		x := (yes + no) / 2
		if x == yes || x == no {
			break
		}
		is, err := holds(x)
		if err != nil {
			return yes, no, err
		}
		if is {
			yes = x
		} else {
			no = x
		}
	}
	return yes, no, nil
}

const epsilon = 0x1p-52

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
