package flow

import (
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTopologyIsShared runs many solvers on one topology at once: each answer to the last bit the same as alone.
func TestTopologyIsShared(t *testing.T) {
	h := newHouse(houseFriction)
	top, err := New(39, h.edges, []int{0})
	require.NoError(t, err)
	const states = 16
	alone := make([]Solution, states)
	problems := make([]*Problem, states)
	for i := range problems {
		state := newHouse(houseFriction)
		state.setDamper(0, 1/float64(1+i))
		problems[i] = state.problem()
		alone[i], err = top.NewSolver().Solve(problems[i], nil)
		require.NoError(t, err)
	}
	together := make([]Solution, states)
	var wait sync.WaitGroup
	for i := range problems {
		wait.Go(func() {
			s := top.NewSolver()
			for range 20 {
				solution, err := s.Solve(problems[i], nil)
				if err != nil {
					t.Error(err)
					return
				}
				together[i] = solution
			}
		})
	}
	wait.Wait()
	assert.Equal(t, alone, together)
}
