package bracket

import (
	"fmt"
	"math"
)

// settled is the Newton step, relative to 1 + |x|, below which the next one would be lost in rounding: the error behind a step is
// of the order of its square.
const settled = 1e-8

// Newton returns x between low and high with f(x) = 0 for a function that rises there and gives its slope as well, from a start in
// the interval (or beyond, which counts as the nearer end). Where the function is smooth and the start is near, it takes two or three
// evaluations instead of the ten of Root. A step that would leave what is left of the bracket goes to its end the first time and to
// its middle afterwards, so the search ends for any start.
//
// Errors: ErrNotFinite, with the point; ErrNoSignChange when the function has not risen through zero between the ends.
func Newton(f func(x float64) (value, slope float64), low, high, start float64) (float64, error) {
	x := math.Min(math.Max(start, low), high)
	lowKnown, highKnown := false, false // the sign at the ends of the bracket has been seen
	for range maxEvaluations {
		value, slope := f(x)
		switch {
		case !finite(value):
			return 0, fmt.Errorf("%w at %g", ErrNotFinite, x)
		case value == 0:
			return x, nil
		case value < 0 && x == high, value > 0 && x == low:
			return 0, fmt.Errorf("%w: %g at the end %g", ErrNoSignChange, value, x)
		case value < 0:
			low, lowKnown = x, true
		default:
			high, highKnown = x, true
		}
		next := x - value/slope
		if next > low && next < high && math.Abs(next-x) <= settled*(1+math.Abs(x)) {
			return next, nil
		}
		switch {
		case next <= low && !lowKnown:
			next = low
		case next >= high && !highKnown:
			next = high
		case !(next > low && next < high):
			next = low + 0.5*(high-low)
			if next == low || next == high {
				return next, nil
			}
		}
		x = next
	}
	return x, nil
}
