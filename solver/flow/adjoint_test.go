package flow

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// added is a law with a constant drop added: what Gradient.Drop is the derivative by.
type added struct {
	Law
	drop float64
}

func (a added) Drop(q float64) (float64, float64) {
	f, d := a.Law.Drop(q)
	return f + a.drop, d
}

// TestAdjointAgainstDifferences checks every entry of the gradient of a weighted sum of flows and pressures against central
// differences of whole solves, without and with a coupling that has no potential.
func TestAdjointAgainstDifferences(t *testing.T) {
	edges := []Edge{{0, 1}, {1, 2}, {2, 3}, {1, 3}, {3, 0}, {2, 4}, {3, 4}}
	laws := []Law{quadraticMachine{250, -100, -500}, Power{300, 2, 1e-3}, Power{900, 1.8, 1e-3}, Power{500, 2, 1e-3},
		Power{80, 2, 1e-3}, Power{4e3, 1.6, 1e-3}, Power{2e3, 1.7, 1e-3}}
	known := []int{0, 4}
	byFlow := []float64{1, -2, .5, 3, 0, 7, 1}
	byPressure := []float64{.01, .02, -.03, .04, .05}
	couplings := map[string][]Coupling{
		"no coupling": nil,
		"a tee":       {tee{common: 0, straight: 1, branch: 3, ks: [3]float64{0, -3, 24}, kb: [3]float64{60, -54, 24}}},
		"two tees": {tee{common: 0, straight: 1, branch: 3, ks: [3]float64{0, -3, 24}, kb: [3]float64{60, -54, 24}},
			tee{common: 1, straight: 2, branch: 5, ks: [3]float64{0, -30, 240}, kb: [3]float64{600, -540, 240}}},
	}
	for name, list := range couplings {
		t.Run(name, func(t *testing.T) {
			top, err := New(5, edges, known)
			require.NoError(t, err)
			s := top.NewSolver()
			solve := func(drop, injection, pressure []float64) float64 {
				p := &Problem{Known: []float64{0, 5}, Injection: []float64{0, .01, -.02, .005, 0}, Source: []float64{0, 3, 0, 0, -2, 0, 0}, Couplings: list, Scale: .1}
				for e, l := range laws {
					p.Laws = append(p.Laws, added{l, drop[e]})
				}
				for v := range p.Injection {
					p.Injection[v] += injection[v]
				}
				for k := range p.Known {
					p.Known[k] += pressure[k]
				}
				solution, err := s.Solve(p, nil)
				require.NoError(t, err)
				// Once more from there: differences want more digits than a solve promises.
				solution, err = s.Solve(p, solution.Clone().Flow)
				require.NoError(t, err)
				j := 0.0
				for e, q := range solution.Flow {
					j += byFlow[e] * q
				}
				for v, x := range solution.Pressure {
					j += byPressure[v] * x
				}
				return j
			}
			none := func() ([]float64, []float64, []float64) {
				return make([]float64, len(edges)), make([]float64, 5), make([]float64, 2)
			}
			solve(none())
			g, err := s.Adjoint(byFlow, byPressure)
			require.NoError(t, err)
			for e := range edges {
				const h = 1e-3
				drop, injection, pressure := none()
				drop[e] = h
				up := solve(drop, injection, pressure)
				drop[e] = -h
				assert.InDelta(t, (up-solve(drop, injection, pressure))/(2*h), g.Drop[e], 1e-6, "drop of edge %d", e)
			}
			for v := 1; v < 4; v++ {
				const h = 1e-5
				drop, injection, pressure := none()
				injection[v] = h
				up := solve(drop, injection, pressure)
				injection[v] = -h
				assert.InDelta(t, (up-solve(drop, injection, pressure))/(2*h), g.Node[v], 2e-4, "injection at node %d", v)
			}
			for k, v := range known {
				const h = 1e-3
				drop, injection, pressure := none()
				pressure[k] = h
				up := solve(drop, injection, pressure)
				pressure[k] = -h
				assert.InDelta(t, (up-solve(drop, injection, pressure))/(2*h), g.Node[v], 1e-6, "pressure of node %d", v)
			}
		})
	}
}

func TestAdjointOfPowerLawParameter(t *testing.T) {
	// Closed form: q = √(P/R) against a constant P, so dq/d ln R = −q/2.
	_, s := network(t, 2, []Edge{{0, 1}}, []int{0, 1}, &Problem{Laws: []Law{Power{40, 2, 1e-9}}, Known: []float64{90, 0}})
	top, err := New(2, []Edge{{0, 1}}, []int{0, 1})
	require.NoError(t, err)
	solver := top.NewSolver()
	_, err = solver.Solve(&Problem{Laws: []Law{Power{40, 2, 1e-9}}, Known: []float64{90, 0}}, nil)
	require.NoError(t, err)
	g, err := solver.Adjoint([]float64{1}, nil)
	require.NoError(t, err)
	assert.InEpsilon(t, -s.Flow[0]/2, g.Drop[0]*90, 1e-8) // ∂φ/∂ ln R = φ = 90
	_, err = solver.Adjoint([]float64{1, 2}, nil)
	assert.Error(t, err)
	_, err = solver.Adjoint(nil, []float64{1})
	assert.Error(t, err)
}
