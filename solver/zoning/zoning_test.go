package zoning_test

import (
	"iter"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network"
	"spillway/solver/zoning"
)

// twoPaths is the house of the table below: a blower that moves 1,200 cfm whatever the pressure, paths
// q = k √p with 400 cfm of A and 800 of B at 0.10 in. The stop of the zone that does not call passes
// the share m of its flow. A calls alone:
//
//	q_A = 1200/(1 + 2m),  p = 0.1 (3/(1 + 2m))²
//
// and B alone: q_A = 1200 m/(m + 2).
func aCalls(m float64) (a, b float64) { return 1200 / (1 + 2*m), 2400 * m / (1 + 2*m) }
func bCalls(m float64) (a, b float64) { return 1200 * m / (m + 2), 2400 / (m + 2) }

// Two zones on a blower of constant airflow, computed by hand: share, zoning kept and the difference
// held between A at 70 °F and B, at 20 °F outdoors with air of 120 °F, without a coupling.
func TestTwoPathsByHand(t *testing.T) {
	const uaA, uaB, outdoor, indoor, supply = 200.0, 400.0, 20.0, 70.0, 120.0 // Btu/h°F, °F
	for _, row := range []struct{ m, qA, qB, share, kept, duty, held float64 }{
		{0, 1200, 0, 1.000, 1.00, 0.1543, 50.0},
		{0.25, 800, 400, 0.667, 0.50, 0.2315, 30.0},
		{1.0 / 3, 720, 480, 0.600, 0.40, 0.2572, 25.0},
		{0.5, 600, 600, 0.500, 0.25, 0.3086, 16.67},
		{1, 400, 800, 0.333, 0, 0.4630, 0},
	} {
		qA, qB := aCalls(row.m)
		assert.InDelta(t, row.qA, qA, 0.5)
		assert.InDelta(t, row.qB, qB, 0.5)
		given := []float64{1.08 * qA * (supply - indoor), 1.08 * qB * (supply - indoor)}
		calling := []bool{true, false}
		share := zoning.Share(paired(given, calling))
		assert.InDelta(t, row.share, share, 5e-4)
		assert.InDelta(t, row.kept, zoning.Kept(share, 1.0/3), 5e-3)
		duty := uaA * (indoor - outdoor) / given[0]
		assert.InDelta(t, row.duty, duty, 5e-5)
		held := zoning.Held(network.Heating, uaB, uaB*(indoor-outdoor), duty*1.08*qB, supply-indoor)
		assert.InDelta(t, row.held, held, 5e-3)
	}
}

// The difference held depends on the bleed ratio alone, and cooling is the mirror of heating.
func TestHeldDependsOnTheRatio(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		positive := func(name string) float64 { return rapid.Float64Range(0.1, 100).Draw(t, name) }
		ua, load, q, ratio, scale, supply := positive("ua"), positive("load"), positive("q"), positive("r"), positive("scale"), positive("supply")
		held := func(q float64) float64 {
			duty := load / (q * supply) // of the caller
			return zoning.Held(network.Heating, ua, load, duty*q*ratio, supply)
		}
		assert.InEpsilon(t, 1+held(q), 1+held(q*scale), 1e-9)
		rate := positive("rate")
		assert.Equal(t, zoning.Held(network.Heating, ua, load, rate, supply), zoning.Held(network.Cooling, ua, -load, rate, -supply))
	})
	assert.True(t, math.IsNaN(zoning.Held(network.Heating, 0, 1, 0, 1)))
	assert.True(t, math.IsNaN(zoning.Kept(1, 1)), "every zone calls")
	assert.True(t, math.IsNaN(zoning.Share(paired([]float64{0, 0}, []bool{true, false}))))
	assert.Equal(t, 2.0, zoning.Past(network.Cooling, -2))
	assert.Zero(t, zoning.Past(network.Cooling, 2), "a zone that warms in cooling calls for itself")
	assert.Zero(t, zoning.Past(network.Fan, 2))
}

// states are what three call states give, kBtu/h: A alone, B alone, both; 30 kBtu/h shared by flow.
func states(m float64) [][]float64 {
	part := func(a, b float64) []float64 { return []float64{30 * a / 1200, 30 * b / 1200} }
	return [][]float64{part(aCalls(m)), part(bCalls(m)), {10, 20}}
}

// The cone and the linear programme of the same house, by hand: over-conditioning of A and B, kBtu/h.
func TestConeAndProgramByHand(t *testing.T) {
	for _, row := range []struct{ m, low, high float64 }{{0.25, 0.125, 2}, {0.5, 0.25, 1}, {1, 0.5, 0.5}} {
		r := zoning.Range(states(row.m))[0]
		assert.InDelta(t, row.low, r[0]/(1-r[0]), 1e-12, "least load of A over that of B")
		assert.InDelta(t, row.high, r[1]/(1-r[1]), 1e-12)
	}
	for _, row := range []struct{ m, a, b, overA, overB float64 }{
		{0.25, 10, 5, 0, 0}, {0.25, 10, 2, 0, 3},
		{0.5, 10, 5, 0, 5}, {0.5, 10, 2, 0, 8}, {0.5, 4, 20, 1, 0},
		{1, 10, 5, 0, 15}, {1, 4, 20, 6, 0},
		{0, 10, 5, 0, 0}, {0, 10, 2, 0, 0}, {0, 4, 20, 0, 0},
	} {
		e, err := zoning.Program(states(row.m), []float64{row.a, row.b})
		require.NoError(t, err)
		assert.InDelta(t, row.overA, e.Over[0], 1e-9, "%+v", row)
		assert.InDelta(t, row.overB, e.Over[1], 1e-9, "%+v", row)
		assert.InDeltaSlice(t, []float64{0, 0}, e.Lack, 1e-9)
	}
}

// Where the capacity is short the programme says by how much: 30 kBtu/h serve a load of 40 in no way.
func TestProgramNamesWhatIsShort(t *testing.T) {
	e, err := zoning.Program(states(1), []float64{10, 30})
	require.NoError(t, err)
	assert.InDelta(t, 10, e.Lack[0]+e.Lack[1], 1e-9)
	assert.InDeltaSlice(t, []float64{0, 0}, e.Over, 1e-9)

	_, err = zoning.Program(states(1), []float64{-1, 2})
	require.Error(t, err)
	_, err = zoning.Program([][]float64{{math.NaN(), 1}}, []float64{1, 2})
	require.Error(t, err)
	e, err = zoning.Program(states(1), []float64{0, 0})
	require.NoError(t, err)
	assert.Equal(t, []float64{0, 0, 0}, e.Run)
}

// The programme's answer carries the load, and no mixture of run times on a grid does so with less
// excess: brute force over the simplex of three states.
func TestProgramAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.Float64Range(0, 1).Draw(t, "m")
		load := []float64{rapid.Float64Range(0, 8).Draw(t, "a"), rapid.Float64Range(0, 16).Draw(t, "b")}
		given := states(m)
		e, err := zoning.Program(given, load)
		require.NoError(t, err)
		run, sum := 0.0, 0.0
		for s := range given {
			require.GreaterOrEqual(t, e.Run[s], -1e-12)
			run += e.Run[s]
		}
		require.LessOrEqual(t, run, 1+1e-9)
		for i := range load {
			got := 0.0
			for s := range given {
				got += e.Run[s] * given[s][i]
			}
			require.InDelta(t, load[i]+e.Over[i]-e.Lack[i], got, 1e-7)
			sum += e.Over[i] + 1e4*e.Lack[i]
		}
		const steps = 40
		for x := range steps + 1 {
			for y := range steps + 1 - x {
				for z := range steps + 1 - x - y {
					over, lack := 0.0, 0.0
					for i := range load {
						d := (float64(x)*given[0][i]+float64(y)*given[1][i]+float64(z)*given[2][i])/steps - load[i]
						over, lack = over+max(d, 0), lack+max(-d, 0)
					}
					if over+1e4*lack < sum-1e-6 {
						t.Fatalf("%d/%d/%d of %d: %g and %g short beat %g", x, y, z, steps, over, lack, sum)
					}
				}
			}
		}
	})
}

// The cases of two zones: all at design, and either with the other at a fifth. Of three there are seven.
func TestDiversity(t *testing.T) {
	two := zoning.Diversity(2)
	require.Len(t, two, 3)
	assert.Equal(t, []float64{1, 1}, two[0].Part)
	assert.Equal(t, []float64{1, 0.2}, two[1].Part)
	assert.Equal(t, []int{0}, two[1].Full)
	assert.Equal(t, []float64{0.2, 1}, two[2].Part)
	assert.Len(t, zoning.Diversity(3), 7)
	assert.Len(t, zoning.Diversity(1), 2)
}

// paired yields what each zone is given with whether it calls.
func paired(given []float64, calls []bool) iter.Seq2[float64, bool] {
	return func(yield func(float64, bool) bool) {
		for i := range given {
			if !yield(given[i], calls[i]) {
				return
			}
		}
	}
}
