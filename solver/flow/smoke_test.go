package flow

import (
	"testing"

	"github.com/stretchr/testify/require"
)

type quadMachine struct{ c0, c1, c2 float64 }

func (m quadMachine) Drop(q float64) (float64, float64) {
	if q < 0 { // falling for all q
		return -(m.c0 + m.c1*q), -m.c1
	}
	return -(m.c0 + m.c1*q + m.c2*q*q), -(m.c1 + 2*m.c2*q)
}

func TestSmoke(t *testing.T) {
	top, err := New(2, []Edge{{0, 1}, {1, 0}}, []int{0})
	require.NoError(t, err)
	s := top.NewSolver()
	for _, r := range []float64{100, 1000, 5000} {
		for _, sc := range []float64{0, 0.05, 1} {
			sol, err := s.Solve(&Problem{Laws: []Law{quadMachine{250, -100, -500}, Power{r, 2, 1e-9}}, Known: []float64{101325}, Scale: sc}, nil)
			require.NoError(t, err)
			t.Logf("%.12f %v it %d sw %d", sol.Flow, sol.Certificate, sol.Iterations, sol.Sweeps)
		}
	}
}
