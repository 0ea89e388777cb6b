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
		for _, gap := range []float64{1e-9, 1e-4, 0.5, 20} {
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

// linearPair couples two edges by a matrix of its own.
type linearPair struct{ own, other float64 }

func (linearPair) Edges() []int { return []int{0, 1} }

func (c linearPair) Add(q, drop, jac []float64) {
	drop[0] += c.own*q[0] + c.other*q[1]
	drop[1] += c.other*q[0] + c.own*q[1]
	jac[0] += c.own
	jac[1] += c.other
	jac[2] += c.other
	jac[3] += c.own
}

// Two edges side by side between known pressures, coupled: the solution is proven to be the only one where the matrix of slopes
// [[R + own, other], [other, R + own]] is positive, that is where |other| < R + own (linear algebra), and not beyond.
func TestUniqueOnlyWhereTheSlopesArePositive(t *testing.T) {
	for _, c := range []struct {
		own, other float64
		unique     bool
	}{{1, 1.5, true}, {1, 1.95, true}, {1, 2.2, false}, {1, 2.8, false}, {0, 0.9, true}, {0, 1.1, false}, {0.5, -1.4, true}, {0.5, -1.6, false}} {
		top, err := New(2, []Edge{{Tail: 0, Head: 1}, {Tail: 0, Head: 1}}, []int{0, 1})
		require.NoError(t, err)
		s := top.NewSolver()
		solution, err := s.Solve(&Problem{Laws: []Law{Linear{R: 1}, Linear{R: 1}}, Known: []float64{10, 0}, Couplings: []Coupling{linearPair{c.own, c.other}}}, nil)
		if err != nil {
			assert.False(t, c.unique, "%+v: %v", c, err)
			continue
		}
		assert.Equal(t, c.unique, solution.Certificate.Isolated, "%+v", c)
		assert.InEpsilon(t, 10/(1+c.own+c.other), solution.Flow[0], 1e-6, "%+v", c)
	}
}
