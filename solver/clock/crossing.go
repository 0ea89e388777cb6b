package clock

import "math"

// level is a quantity that must stay below zero until the piece ends:
//
//	f(t) = constant + Σk weight[k] e^(rate[k] t),   every rate < 0
type level struct {
	constant float64
	weight   []float64
}

// reached is how near to zero a level counts as there, K. The transitions of run.settle take 100 times
// as much, so a piece never ends just short of the event that it ended for.
const reached = 1e-11

// first returns the first time in [0, most] at which one of the levels reaches zero, or most.
//
// It walks from the left and never passes a zero: from a point with value f, slope f' the second
// derivative cannot exceed B = Σ weight rate² e^(rate t) over the positive weights, as e^(rate t) only
// falls. Until f + f' s + B s²/2 is zero the level itself cannot be; that s is the step. Near a simple
// zero the steps shrink like Newton's, and a level that only touches zero is found too. A level whose
// bound over the rest of the piece is negative drops out.
//
// The steps are those of all levels at once: the exponentials are taken once a step.
func first(levels []level, rate []float64, most float64, e, end []float64) float64 {
	if most <= 0 {
		return 0
	}
	live := levels[:0]
	for _, l := range levels {
		bound := l.constant
		for _, w := range l.weight {
			bound += math.Max(w, 0)
		}
		if bound > -reached {
			live = append(live, l)
		}
	}
	if len(live) == 0 {
		return most
	}
	for k, r := range rate {
		e[k] = 1
		end[k] = math.Exp(r * most)
	}
	t := 0.0
	for {
		step := math.Inf(1)
		kept := live[:0]
		for _, l := range live {
			f, slope, bend, bound := l.constant, 0.0, 0.0, l.constant
			for k, w := range l.weight {
				x := w * e[k]
				f += x
				d := x * rate[k]
				slope += d
				if w > 0 {
					bend += d * rate[k]
					bound += x
				} else {
					bound += w * end[k]
				}
			}
			if f >= -reached {
				return t
			}
			if bound < -reached {
				continue
			}
			kept = append(kept, l)
			step = math.Min(step, safeStep(f, slope, bend))
		}
		live = kept
		if t+step == t { // below the resolution of the time: it is there
			return t
		}
		if t += step; len(live) == 0 || t >= most {
			return most
		}
		for k, r := range rate {
			e[k] = math.Exp(r * t)
		}
	}
}

// safeStep is the smallest s > 0 with f + slope s + bend s²/2 = 0, for f < 0 and bend ≥ 0; +Inf when
// there is none.
func safeStep(f, slope, bend float64) float64 {
	root := math.Sqrt(slope*slope - 2*bend*f)
	switch {
	case slope > 0:
		return -2 * f / (slope + root)
	case bend > 0:
		return (root - slope) / bend
	}
	return math.Inf(1)
}
