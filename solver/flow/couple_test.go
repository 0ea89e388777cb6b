package flow

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The toy: a machine 200 − 400 q² on a trunk of 100 that divides into a straight outlet and a branch, both back to the machine's
// inlet.
func teeToy(straight, branch float64) ([]Edge, *Problem) {
	edges := []Edge{{0, 1}, {1, 2}, {2, 0}, {2, 0}}
	law := func(r float64) Law { return Power{r, 2, 1e-7} }
	return edges, &Problem{
		Laws:  []Law{quadraticMachine{200, -1e-9, -400}, law(100), law(straight), law(branch)},
		Known: []float64{0},
		Couplings: []Coupling{tee{common: 1, straight: 2, branch: 3,
			ks: [3]float64{0, 60 * -.05, 60 * .4}, kb: [3]float64{60, 60 * -.9, 60 * .4}}},
		Scale: .3,
	}
}

func TestCoupledTee(t *testing.T) {
	// Computed from the formulas by another program, with frozen coefficients iterated (regression).
	cases := []struct {
		straight, branch float64
		flow, side       float64 // 0 = not given
		tolerance        float64
	}{
		{300, 600, .566484, .206507, 1e-6},
		{300, 5000, .532850, .093246, 1e-6},
		{50, 100, 0, -.0845, 5e-5}, // the branch reverses: outside what tee data are good for, but it must solve
	}
	for _, c := range cases {
		t.Run(fmt.Sprintf("straight %g branch %g", c.straight, c.branch), func(t *testing.T) {
			edges, p := teeToy(c.straight, c.branch)
			_, s := network(t, 3, edges, []int{0}, p)
			if c.flow > 0 {
				assert.InDelta(t, c.flow, s.Flow[1], c.tolerance)
			}
			assert.InDelta(t, c.side, s.Flow[3], c.tolerance)
			assert.True(t, s.Certificate.Coupled)
			t.Logf("%.9f, %d iterations, unique %v, %+v", s.Flow, s.Iterations, s.Certificate.Isolated, s.Certificate)

			// An independent check: the equations of both loops, written out.
			q, b := s.Flow[1], s.Flow[3]
			r := b / q
			signed := func(r, q float64) float64 { f, _ := Power{r, 2, 1e-7}.Drop(q); return f }
			rise := 200 - 400*q*q - 100*q*q
			assert.InDelta(t, 0, rise-signed(c.straight, q-b)-60*(.4*r*r-.05*r)*q*q, 1e-6)
			assert.InDelta(t, 0, rise-signed(c.branch, b)-60*(1-.9*r+.4*r*r)*q*q, 1e-6)
		})
	}
}

// noSolution is a tee with fixed common flow 0.5, outlets of 100 and 300, and losses 400 r² Qc² and 50 (1 − r) Qc² along
// them. With x the branch flow the balance of the outlets is 200x² − 75x + 12.5 = 0 for 0 ≤ x ≤ 0.5, whose discriminant is negative;
// for x < 0 it is 800x² − 75x + 12.5 = 0, negative as well; for x > 0.5 it is 125x − 37.5 = 0, whose root 0.3 is not there.
func noSolution() ([]Edge, *Problem) {
	law := func(r float64) Law { return Power{r, 2, 1e-9} }
	return []Edge{{0, 1}, {1, 2}, {1, 2}}, &Problem{
		Laws: []Law{Linear{1}, law(100), law(300)}, Known: []float64{0}, Injection: []float64{.5, 0, 0}, Scale: .3,
		Couplings: []Coupling{tee{common: 0, straight: 1, branch: 2, ks: [3]float64{0, 0, 400}, kb: [3]float64{50, -50, 0}}},
	}
}

func TestCoupledWithoutSolution(t *testing.T) {
	edges, p := noSolution()
	top, err := New(3, edges, []int{2})
	require.NoError(t, err)
	for _, start := range [][]float64{nil, {.5, .5, 0}, {.5, 0, .5}, {.5, 1, -.5}, {.5, -3, 3.5}} {
		s, err := top.NewSolver().Solve(p, start)
		var failed *ConvergenceError
		require.ErrorAs(t, err, &failed)
		assert.Nil(t, s.Flow, "no numbers with an error")
		assert.Nil(t, s.Pressure)
		t.Log(err)
	}
	// The same tee with losses that rise with their own flow does solve.
	p.Couplings = []Coupling{tee{common: 0, straight: 1, branch: 2, ks: [3]float64{0, 0, 40}, kb: [3]float64{5, 0, 0}}}
	s, err := top.NewSolver().Solve(p, nil)
	require.NoError(t, err)
	x := s.Flow[2]
	assert.InDelta(t, 0, 100*(.5-x)*(.5-x)+40*x*x-300*x*x-5*.25, 1e-8)
}

// linearCoupling adds G q for a fixed matrix G.
type linearCoupling struct {
	edges []int
	g     []float64
}

func (c linearCoupling) Edges() []int { return c.edges }
func (c linearCoupling) Add(q, drop, jac []float64) {
	for i := range q {
		for j := range q {
			drop[i] += c.g[i*len(q)+j] * q[j]
			jac[i*len(q)+j] += c.g[i*len(q)+j]
		}
	}
}

func TestCoupledLinearAgainstElimination(t *testing.T) {
	// Two parallel edges carrying 1 together, drops (R1+a) q1 + b q2 and c q1 + (R2+d) q2: one linear equation.
	cases := []struct {
		name       string
		a, b, c, d float64
		unique     bool
	}{
		{"weak", 0, .5, -.5, 0, true},
		{"strongly skew", 0, 50, -50, 0, true},
		{"negative off the diagonal", 0, -2.5, -2.5, 0, true},
		{"negative own slope, still rising", -.8, 0, 0, -1.5, true},
		{"own slopes negative, sum of the loop falling", -3, 0, 0, -3, false},
	}
	for _, k := range cases {
		t.Run(k.name, func(t *testing.T) {
			const r1, r2 = 1.0, 2.0
			// With q2 = 1 − q1: (r1+a) q1 + b (1−q1) = c q1 + (r2+d)(1−q1)
			q1 := (r2 + k.d - k.b) / (r1 + k.a - k.b - k.c + r2 + k.d)
			_, s := network(t, 2, []Edge{{0, 1}, {0, 1}}, []int{1}, &Problem{Laws: []Law{Linear{r1}, Linear{r2}}, Known: []float64{0},
				Injection: []float64{1, 0}, Couplings: []Coupling{linearCoupling{[]int{0, 1}, []float64{k.a, k.b, k.c, k.d}}}})
			assert.InDelta(t, q1, s.Flow[0], 1e-9)
			assert.Equal(t, k.unique, s.Certificate.Isolated)
		})
	}
}

func TestCoupledInputErrors(t *testing.T) {
	top, err := New(2, []Edge{{0, 1}, {0, 1}}, []int{1})
	require.NoError(t, err)
	for name, edges := range map[string][]int{"no such edge": {0, 2}, "negative": {-1}, "twice": {1, 1}} {
		p := &Problem{Laws: []Law{Linear{1}, Linear{2}}, Known: []float64{0}, Couplings: []Coupling{linearCoupling{edges, make([]float64, 4)}}}
		_, err := top.NewSolver().Solve(p, nil)
		var input *InputError
		assert.ErrorAs(t, err, &input, name)
	}
	_, err = top.NewSolver().Solve(&Problem{Laws: []Law{Linear{1}, Linear{2}}, Known: []float64{0}, Couplings: []Coupling{nil}}, nil)
	assert.Error(t, err)
	assert.False(t, errors.Is(err, nil))
}
