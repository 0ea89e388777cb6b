package flow

import (
	"fmt"
	"math"
)

// CheckLaw evaluates a law over from..to, on a grid that is logarithmic on both sides of zero (twelve decades, eight points to
// each) with 128 even steps besides, and returns a [LawError] that names the first interval in which the drop falls, or the
// first flow at which drop or slope is not finite or the slope not positive. It is a test by samples: a passing law may
// still misbehave between them.
func CheckLaw(l Law, from, to float64) error {
	if !finite(from) || !finite(to) || from > to {
		return &InputError{Node: -1, Edge: -1, Coupling: -1, Reason: "a law cannot be checked over an interval that is not finite and ascending"}
	}
	const decades, perDecade, even = 12, 8, 128
	reach := max(math.Abs(from), math.Abs(to))
	k, i := 0, 0 // next points of the two grids
	logarithmic := func(k int) float64 {
		const side = decades*perDecade + 1
		switch {
		case k < side:
			return -reach * math.Pow(10, -float64(k)/perDecade)
		case k == side:
			return 0
		case k <= 2*side:
			return reach * math.Pow(10, -float64(2*side-k)/perDecade)
		}
		return math.Inf(1)
	}
	evenly := func(i int) float64 {
		if i > even {
			return math.Inf(1)
		}
		return from + (to-from)*float64(i)/even
	}
	last, lastDrop := math.Inf(-1), 0.0
	for {
		a, b := logarithmic(k), evenly(i)
		q := min(a, b)
		if math.IsInf(q, 1) {
			return nil
		}
		if q == a {
			k++
		}
		if q == b {
			i++
		}
		if q < from || q > to || q == last {
			continue
		}
		f, d := l.Drop(q)
		if !(d > 0) || !finite(d) || !finite(f) {
			return &LawError{Edge: -1, Flow: q, From: q, Drop: f, Slope: d, Reason: badLaw(f, d)}
		}
		if !math.IsInf(last, -1) && f < lastDrop-roundOff*(math.Abs(f)+math.Abs(lastDrop)) {
			return &LawError{Edge: -1, Flow: q, From: last, Drop: f, Slope: d, Reason: "drop falls while the flow rises"}
		}
		last, lastDrop = q, f
	}
}

// findJump looks, when progress has stopped, for a law that jumps at the flow to which its edge has come: no flow has the
// drop that the pressures ask for, and no number of iterations finds one. It looks at the edge of the largest
// residual, over the length of the last step about its flow. Every law jumps by the round-off of its
// terms, which can be far above that of a small drop and is not known here; so newton asks only where
// the residuals are more than the gap of a stalled solve allows.
func (s *Solver) findJump() error {
	edge, residual := -1, 0.0
	for e := s.first; e < len(s.push); e++ {
		if r := math.Abs(s.drop[e] - s.push[e]); e != s.pinned && r > residual {
			edge, residual = e, r
		}
	}
	if edge < 0 {
		return nil
	}
	law, q := s.laws[edge], s.flow[edge]
	reach := max(2*math.Abs(s.step[edge]), 1e-6*math.Abs(q))
	low, high := q-reach, q+reach
	dropLow, slopeLow := law.Drop(low)
	dropHigh, slopeHigh := law.Drop(high)
	for range 2000 { // as far as neighboring numbers
		middle := low + (high-low)/2
		if middle <= low || middle >= high {
			break
		}
		if f, d := law.Drop(middle); f-dropLow > dropHigh-f {
			high, dropHigh, slopeHigh = middle, f, d
		} else {
			low, dropLow, slopeLow = middle, f, d
		}
	}
	least := max(residual/4, 2*s.noise(edge), 1e3*max(slopeLow, slopeHigh)*(high-low))
	if jump := dropHigh - dropLow; jump > least {
		return &LawError{Edge: edge, From: low, Flow: high, Drop: dropHigh, Slope: slopeHigh,
			Reason: fmt.Sprintf("drop jumps by %.6g, and the solution is at the jump; give the law a steep slope instead", jump)}
	}
	return nil
}
