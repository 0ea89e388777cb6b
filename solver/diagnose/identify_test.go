package diagnose_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"spillway/solver/diagnose"
	"spillway/solver/flow"
)

// The network of the identifiability study: a fan of 250 − 100 q − 500 q², a coil of 80 q^1.8, three zones of 900, 1500 and
// 2500 q² behind dampers of 60 (1/z² − 1), a return of 120 q² and a leak of 4e4 q^1.6.
// Node 0 is the fan's inlet, 1 its outlet, 2 the plenum behind the coil, 3 the room.

// fan as a law: its rise taken as a falling drop.
type fan struct{}

func (fan) Drop(q float64) (drop, slope float64) {
	return -(250 - 100*q - 500*q*math.Abs(q)), 100 + 1000*math.Abs(q)
}

type solvedSmall struct {
	inlet, outlet, plenum float64
	zones                 [3]float64
}

func solveSmall(t testing.TB, ln [6]float64, z [3]float64) solvedSmall {
	t.Helper()
	edges := []flow.Edge{{Tail: 3, Head: 0}, {Tail: 0, Head: 1}, {Tail: 1, Head: 2}, {Tail: 2, Head: 3}, {Tail: 2, Head: 3}, {Tail: 2, Head: 3}, {Tail: 2, Head: 3}}
	top, err := flow.New(4, edges, []int{3})
	require.NoError(t, err)
	m := func(k int) float64 { return math.Exp(ln[k]) }
	damper := func(k int) float64 { return 60 * (1/(z[k]*z[k]) - 1) }
	p := flow.Problem{Laws: []flow.Law{
		flow.Power{R: 120 * m(4), N: 2, Eps: 1e-5}, fan{}, flow.Power{R: 80 * m(0), N: 1.8, Eps: 1e-5},
		flow.Power{R: 900*m(1) + damper(0), N: 2, Eps: 1e-5}, flow.Power{R: 1500*m(2) + damper(1), N: 2, Eps: 1e-5}, flow.Power{R: 2500*m(3) + damper(2), N: 2, Eps: 1e-5},
		flow.Power{R: 4e4 * m(5), N: 1.6, Eps: 1e-5},
	}, Source: make([]float64, 7), Known: make([]float64, 1), Scale: 0.1}
	s, err := top.NewSolver().Solve(&p, nil)
	require.NoError(t, err)
	return solvedSmall{inlet: s.Pressure[0], outlet: s.Pressure[1], plenum: s.Pressure[2], zones: [3]float64{s.Flow[3], s.Flow[4], s.Flow[5]}}
}

func sensitivities(t testing.TB, states [][3]float64, read func(solvedSmall) []float64) *mat.Dense {
	var rows [6][]float64
	for k := range rows {
		var ends [2][]float64
		for e, sign := range []float64{1, -1} {
			var ln [6]float64
			ln[k] = sign * 1e-4
			for _, z := range states {
				ends[e] = append(ends[e], read(solveSmall(t, ln, z))...)
			}
		}
		for i := range ends[0] {
			rows[k] = append(rows[k], (ends[0][i]-ends[1][i])/2e-4)
		}
	}
	j := mat.NewDense(len(rows[0]), 6, nil)
	for k := range rows {
		j.SetCol(k, rows[k])
	}
	return j
}

// The singular values of the small network, computed from the formulas in another program: pressures alone never identify six
// resistances, flows in three call states do.
func TestWhatReadingsIdentify(t *testing.T) {
	names := []string{"coil", "zone 1", "zone 2", "zone 3", "return", "leak"}
	open := [][3]float64{{1, 1, 1}}
	three := [][3]float64{{1, 1, 1}, {1, 0.1, 0.1}, {0.1, 0.1, 1}}
	pressures := func(s solvedSmall) []float64 { return []float64{s.inlet, s.plenum} }
	flows := func(s solvedSmall) []float64 { return append(pressures(s), s.zones[:]...) }
	const pa, litre = 1.0, 0.003 // standard deviations, Pa and m³/s
	for _, c := range []struct {
		name       string
		states     [][3]float64
		read       func(solvedSmall) []float64
		sigma      []float64
		singular   []float64
		determined int
	}{
		{"two pressures, all open", open, pressures, []float64{pa, pa}, []float64{25.9, 16.2}, 2},
		{"two pressures in three states", three, pressures, []float64{pa, pa}, []float64{42.9, 27.9, 21.9, 7.0, 0.004, 0}, 4},
		{"pressures and flows, one state", open, flows, []float64{pa, pa, litre, litre, litre}, []float64{29.7, 26.2, 22.3, 16.2, 5.8}, 5},
		{"pressures and flows in three states", three, flows, []float64{pa, pa, litre, litre, litre}, []float64{47.0, 42.7, 35.1, 23.2, 11.0, 1.07}, 6},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := sensitivities(t, c.states, c.read)
			var sigma []float64
			for range c.states {
				sigma = append(sigma, c.sigma...)
			}
			k, err := diagnose.Identify(names, j, sigma)
			require.NoError(t, err)
			require.Len(t, k.Singular, len(c.singular))
			for i, want := range c.singular {
				assert.InDelta(t, want, k.Singular[i], 0.006*want+0.0005+0.05*math.Min(1, math.Floor(want)), "singular value %d", i+1)
			}
			assert.Equal(t, c.determined, k.Determined)
		})
	}
	j := sensitivities(t, three, flows)
	k, err := diagnose.Identify(names, j, []float64{pa, pa, litre, litre, litre, pa, pa, litre, litre, litre, pa, pa, litre, litre, litre})
	require.NoError(t, err)
	for i, want := range map[int]float64{1: 0.023, 2: 0.044, 3: 0.029} { // the prior of 0.3 hardly matters for these
		assert.InDelta(t, want, k.Known[i], 0.003, names[i])
	}
	assert.ElementsMatch(t, []string{"leak"}, k.Undetermined(), "coil and leak both change the whole flow and nothing else")
}

func TestIdentifyRefusesWhatDoesNotFit(t *testing.T) {
	_, err := diagnose.Identify([]string{"a"}, mat.NewDense(2, 1, []float64{1, 2}), []float64{1})
	assert.Error(t, err)
	_, err = diagnose.Identify([]string{"a"}, mat.NewDense(2, 1, []float64{1, 2}), []float64{1, 0})
	assert.Error(t, err)
}
