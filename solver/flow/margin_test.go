package flow

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a duality gap G leaves open of an edge's flow q (convex duality, any text): the content of its law between q and a flow y, less what
// the straight line of the drop at y takes,
//
//	∫ from q to y of (f(y) − f(x)) dx,
//
// is no more than G. So an end of the interval may not lie where that integral, reckoned here by Simpson's rule of many steps, is less than
// G; and it lies not far beyond.
func TestIntervalHoldsWhatTheGapLeavesOpen(t *testing.T) {
	for _, law := range []Law{Linear{R: 3}, Power{R: 200, N: 2, Eps: 1e-4}, Power{R: 50, N: 1.5, Eps: 1e-3}} {
		top, err := New(3, []Edge{{Tail: 0, Head: 1}, {Tail: 1, Head: 2}, {Tail: 2, Head: 0}}, []int{0})
		require.NoError(t, err)
		s := top.NewSolver()
		_, err = s.Solve(&Problem{Laws: []Law{law, law, Linear{R: 5}}, Source: []float64{30, 0, 0}, Known: []float64{0}}, nil)
		require.NoError(t, err)
		q := s.flow[s.t.place[0]]
		open := func(y float64) float64 {
			const steps = 2000
			far, _ := law.Drop(y)
			h, sum := (y-q)/steps, 0.0
			for k := range steps + 1 {
				f, _ := law.Drop(q + float64(k)*h)
				weight := 2 + 2*float64(k%2)
				if k == 0 || k == steps {
					weight = 1
				}
				sum += weight * (far - f)
			}
			return sum * h / 3
		}
		for _, gap := range []float64{1e-9, 1e-4, 0.5} {
			s.certificate.Gap = gap
			low, high := s.Interval(0)
			for _, end := range []float64{low, high} {
				at := open(end)
				name := fmt.Sprintf("%v, gap %g, from %g to %g", law, gap, q, end)
				assert.GreaterOrEqual(t, at, gap*(1-1e-6), name)
				assert.Less(t, math.Abs(at), 4*gap, name)
			}
		}
	}
}
