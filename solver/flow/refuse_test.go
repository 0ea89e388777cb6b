package flow

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A machine whose rise rises on part of its range is refused as a law, wherever the solution and the start are. Before, the
// dipped curve was solved from 0.05 to 0.108 and from 0.50 to 0.435, each with Unique.
func TestFallingRefusesAMachineThatRises(t *testing.T) {
	top, err := New(2, []Edge{{0, 1}, {1, 0}}, []int{0})
	require.NoError(t, err)
	s := top.NewSolver()
	level, err := NewCurve([]float64{0, .2, .4}, []float64{100, 100, 0})
	require.NoError(t, err)
	for name, m := range map[string]Machine{"dip": stallMachine(t), "level": level} {
		for _, start := range [][]float64{nil, {.05, .05}, {.5, .5}} {
			solution, err := s.Solve(&Problem{Laws: []Law{Falling{m}, Power{60, 2, 1e-6}}, Source: []float64{0, -158}, Known: []float64{0}}, start)
			var input *InputError
			require.ErrorAs(t, err, &input, name)
			assert.Equal(t, 0, input.Edge)
			assert.Contains(t, input.Reason, "OperatingPoints")
			assert.Nil(t, solution.Flow)
		}
	}
	// Two at once: one may be searched, the other is refused by name.
	top, err = New(3, []Edge{{0, 1}, {1, 2}, {2, 0}}, []int{0})
	require.NoError(t, err)
	_, err = top.NewSolver().OperatingPoints(&Problem{Laws: []Law{nil, Falling{stallMachine(t)}, Power{60, 2, 1e-6}}, Known: []float64{0}}, 0, stallMachine(t))
	var input *InputError
	require.ErrorAs(t, err, &input)
	assert.Equal(t, 1, input.Edge)
}

// Exponents and smoothing out of range are refused up front, not when an edge comes to rest.
func TestPowerOutOfRange(t *testing.T) {
	top, err := New(2, []Edge{{0, 1}, {1, 0}}, []int{0})
	require.NoError(t, err)
	for _, bad := range []Power{{1, 2, 0}, {1, 2, -1}, {1, 2, math.NaN()}, {1, 2, math.Inf(1)}, {1, .5, 1e-6}, {1, math.NaN(), 1e-6}, {1, math.Inf(1), 1e-6}} {
		for _, law := range []Law{bad, &bad, Series{Linear{1}, bad}} {
			_, err := top.NewSolver().Solve(&Problem{Laws: []Law{Linear{1}, law}, Known: []float64{0}, Injection: []float64{0, 1}}, nil)
			var input *InputError
			require.ErrorAs(t, err, &input, "%+v", law)
			assert.Equal(t, 1, input.Edge)
		}
	}
}

// Laws in series are the same in one edge and in several.
func TestSeries(t *testing.T) {
	parts := []Law{Linear{3}, Power{40, 2, 1e-4}, Power{7, 1.8, 1e-4}}
	_, whole := network(t, 2, []Edge{{0, 1}, {0, 1}}, []int{0, 1}, &Problem{Laws: []Law{Series(parts), Linear{1}}, Known: []float64{50, 0}})
	_, apart := network(t, 4, []Edge{{0, 2}, {2, 3}, {3, 1}}, []int{0, 1}, &Problem{Laws: parts, Known: []float64{50, 0}})
	assert.InEpsilon(t, apart.Flow[0], whole.Flow[0], 1e-12)
}

// A law that jumps just where the solution would be has none: that is said, with the place, soon.
func TestJumpAtTheSolution(t *testing.T) {
	jumping := lawFunc(func(q float64) (float64, float64) {
		if q < .3 {
			return q, 1
		}
		return q + 10, 1
	})
	top, err := New(3, []Edge{{0, 1}, {1, 2}}, []int{0, 2})
	require.NoError(t, err)
	_, err = top.NewSolver().Solve(&Problem{Laws: []Law{Linear{1}, jumping}, Known: []float64{5, 0}}, nil)
	var law *LawError
	require.ErrorAs(t, err, &law)
	assert.Equal(t, 1, law.Edge)
	assert.InDelta(t, .3, law.Flow, 1e-9)
	assert.Contains(t, law.Reason, "jumps by 10")
	// Beside it, the jump does no harm.
	_, solution := network(t, 3, []Edge{{0, 1}, {1, 2}}, []int{0, 2}, &Problem{Laws: []Law{Linear{1}, jumping}, Known: []float64{12, 0}})
	assert.InDelta(t, 1, solution.Flow[0], 1e-9)
}

// The round-off of a law whose terms are far larger than its drop is no jump. Two edges side by side,
// (50 + 127 q) − 50.023 and R q, carry 0.023/(127 + R) round (closed form).
func TestRoundOffIsNoJump(t *testing.T) {
	coarse := lawFunc(func(q float64) (float64, float64) { return (50 + 127*q) - 50.023, 127 })
	for _, r := range []float64{1, 1e-2, 1e-4, 1e-6, 1e-8} {
		_, solution := network(t, 2, []Edge{{1, 0}, {1, 0}}, []int{0},
			&Problem{Laws: []Law{coarse, Linear{r}}, Known: []float64{0}})
		assert.InEpsilon(t, .023/(127+r), solution.Flow[0], 1e-11, r)
	}
}
