package flow

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The same answer in every unit, and beside every shut branch: what is solved is judged by itself, not by the size of the first guess.

// scaledLaw is a law in other units: pressures are a times, flows b times as large.
type scaledLaw struct {
	Law
	a, b float64
}

func (l scaledLaw) Drop(q float64) (drop, slope float64) {
	drop, slope = l.Law.Drop(q / l.b)
	return l.a * drop, l.a / l.b * slope
}

// inOtherUnits is the problem with pressures a times and flows b times as large.
func (p *Problem) inOtherUnits(a, b float64) *Problem {
	scaled := &Problem{Known: slices.Clone(p.Known), Source: slices.Clone(p.Source), Injection: slices.Clone(p.Injection), Scale: b * p.Scale}
	for _, l := range p.Laws {
		scaled.Laws = append(scaled.Laws, scaledLaw{l, a, b})
	}
	for i := range scaled.Known {
		scaled.Known[i] *= a
	}
	for i := range scaled.Source {
		scaled.Source[i] *= a
	}
	for i := range scaled.Injection {
		scaled.Injection[i] *= b
	}
	return scaled
}

// Seven laws of second power, 100 across them, in units in which the flows are ever smaller, without a Scale. Before, 1e-8 was off by
// 2e-4, 1e-9 by 2 %, 1e-10 by 28 %.
func TestSmallFlowsWithoutScale(t *testing.T) {
	edges := []Edge{{0, 1}, {1, 2}, {1, 3}, {3, 2}, {2, 4}, {3, 4}, {1, 4}}
	n := &randomNetwork{nodes: 5, edges: edges, known: []int{0, 4}, p: &Problem{Known: []float64{100, 0}}}
	for _, r := range []float64{1, 3, .2, 5, .7, 2, 9} {
		n.p.Laws = append(n.p.Laws, Power{r, 2, 1e-9})
	}
	truth, ok := n.reference([]float64{1, 1, 1, 1, 1, 1, 1})
	require.True(t, ok)
	top, err := New(n.nodes, n.edges, n.known)
	require.NoError(t, err)
	for _, b := range []float64{1e12, 1, 1e-7, 1e-8, 1e-9, 1e-10, 1e-11, 1e-20, 1e-40} {
		s, err := top.NewSolver().Solve(n.p.inOtherUnits(1, b), nil)
		require.NoError(t, err, "flows of %g", b)
		for e, q := range truth {
			assert.InEpsilon(t, q, s.Flow[e]/b, 1e-9, "flows of %g, edge %d", b, e)
		}
	}
}

// Live 0–1–2 beside 1–3–2 with a shut edge of ever larger resistance. In series the live edges carry √(drive/2) of second power and
// drive/2 of first; the shut way carries √ or the whole of its part over the resistance (closed forms). Before, 1e18 with a drive of 1e-3
// was off by 6.5 %, and 1e30 gave 0.0015 for 7.07.
func TestShutBranches(t *testing.T) {
	edges := []Edge{{0, 1}, {1, 2}, {1, 3}, {3, 2}}
	top, err := New(4, edges, []int{0, 2})
	require.NoError(t, err)
	for _, r := range []float64{1e6, 1e12, 1e18, 1e24, 1e30, 1e60, 1e120, 1e300} {
		for _, drive := range []float64{1e-3, 1, 100} {
			for _, scale := range []float64{0, 1e-3, 1, 1e3} {
				name := fmt.Sprintf("resistance %g, drive %g, scale %g", r, drive, scale)
				for power, law := range []func(r float64) Law{
					func(r float64) Law { return Linear{r} }, func(r float64) Law { return Power{r, 2, 1e-9 / math.Sqrt(r)} },
				} {
					if power == 1 && r > 1e200 { // the drop at the first guess would not be a number
						continue
					}
					s := top.NewSolver()
					solution, err := s.Solve(&Problem{Laws: []Law{law(1), law(1), law(r), law(1)}, Known: []float64{drive, 0}, Scale: scale}, nil)
					require.NoError(t, err, name)
					// The two ways in parallel: 1/√R = 1/√1 + 1/√(r+1), and without roots for first power.
					n := 1 / float64(power+1)
					side := math.Pow(1/(r+1), n) // over the live way's flow
					live := math.Pow(drive/(math.Pow(1+side, 1/n)+1), n)
					assert.InEpsilon(t, live, solution.Flow[1], 1e-9, name)
					assert.InEpsilon(t, live*(1+side), solution.Flow[0], 1e-9, name)
					lo, hi := s.Interval(2)
					assert.True(t, lo <= live*side*(1+1e-12) && live*side*(1-1e-12) <= hi, "%s: %g not in %g to %g", name, live*side, lo, hi)
				}
			}
		}
	}
}

// TestEveryUnit: laws, sources, pressures and injections in units up to 15 decades apart, with every sort of law: the flows are the
// same to within 1e-9 of the largest, and what a machine at rest rounds off.
func TestEveryUnit(t *testing.T) {
	networks := 400
	if *long {
		networks = 50_000
	}
	for number := range networks {
		r := rand.New(rand.NewPCG(9, uint64(number)))
		chance := func(one int) bool { return r.IntN(one) == 0 }
		n := drawNetwork(r, randomKind{nodes: 2 + r.IntN(39), chords: r.IntN(31), decades: 3 + 9*r.Float64(),
			sources: chance(2), injections: chance(2), machines: chance(2), lawful: chance(6)})
		s, one := n.solve(t)
		slack := 2*flowAim*s.largestFlow() + 2*s.lawNoise()
		if n.p.Scale > 0 { // then only the gap is promised
			slack = 2*flowTolerance*s.largestFlow() + 2*s.lawNoise()
		}
		a, b := math.Pow(10, 30*r.Float64()-15), math.Pow(10, 30*r.Float64()-15)
		two, err := s.Solve(n.p.inOtherUnits(a, b), nil)
		require.NoError(t, err, "number %d in units of %g and %g\n%v", number, a, b, n)
		if c := &two.Certificate; c.Power <= c.RoundOff {
			continue // at rest
		}
		for e, q := range one.Flow {
			require.InDelta(t, q, two.Flow[e]/b, slack, "number %d edge %d in units of %g and %g\n%v", number, e, a, b, n)
		}
	}
}
