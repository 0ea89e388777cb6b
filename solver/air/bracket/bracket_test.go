package bracket

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Analytic functions with known roots.
func TestRootFindsKnownRoots(t *testing.T) {
	cases := []struct {
		name      string
		f         func(float64) float64
		a, b, def float64
	}{
		{"linear", func(x float64) float64 { return 2*x - 3 }, 0, 10, 1.5},
		{"reversed interval", func(x float64) float64 { return 2*x - 3 }, 10, 0, 1.5},
		{"cube root of two", func(x float64) float64 { return x*x*x - 2 }, 0, 2, math.Cbrt(2)},
		{"triple root", func(x float64) float64 { return (x - 1) * (x - 1) * (x - 1) }, -1, 2.7, 1},
		{"steep exponential", func(x float64) float64 { return math.Exp(50*x) - 1 }, -3, 1, 0},
		{"root at the lower end", func(x float64) float64 { return x }, 0, 1, 0},
		{"kink", func(x float64) float64 { return math.Max(x-0.25, 100*(x-0.25)) }, -5, 5, 0.25},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			calls := 0
			got, err := Root(func(x float64) float64 { calls++; return c.f(x) }, c.a, c.b, 1e-12)
			require.NoError(t, err)
			assert.InDelta(t, c.def, got, 2e-6) // a triple root is only defined to the cube root of rounding
			assert.Less(t, calls, 120)
		})
	}
}

func TestRootRefuses(t *testing.T) {
	_, err := Root(func(x float64) float64 { return x*x + 1 }, -1, 1, 0)
	require.ErrorIs(t, err, ErrNoSignChange)
	_, err = Root(math.Log, -1, 1, 0)
	require.ErrorIs(t, err, ErrNotFinite)
}

// For a monotone cubic with a known root, the answer stays inside the bracket and meets the tolerance.
func TestRootOfRandomMonotoneCubic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		root := rapid.Float64Range(-50, 50).Draw(t, "root")
		slope := rapid.Float64Range(1e-3, 100).Draw(t, "slope")
		cubic := rapid.Float64Range(0, 10).Draw(t, "cubic")
		low := root - rapid.Float64Range(0.1, 100).Draw(t, "below")
		high := root + rapid.Float64Range(0.1, 100).Draw(t, "above")
		f := func(x float64) float64 { d := x - root; return slope*d + cubic*d*d*d }
		got, err := Root(f, low, high, 1e-10)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got-root) > 1e-9 {
			t.Fatalf("root %g, found %g", root, got)
		}
	})
}

// Newton finds the same root as Root from any start, in few evaluations where the function is smooth.
func TestNewtonFindsTheRootOfRoot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		root := rapid.Float64Range(-50, 50).Draw(t, "root")
		slope := rapid.Float64Range(1e-3, 100).Draw(t, "slope")
		cubic := rapid.Float64Range(0, 10).Draw(t, "cubic")
		low := root - rapid.Float64Range(0.1, 100).Draw(t, "below")
		high := root + rapid.Float64Range(0.1, 100).Draw(t, "above")
		f := func(x float64) (value, rise float64) {
			d := x - root
			return slope*d + cubic*d*d*d, slope + 3*cubic*d*d
		}
		got, err := Newton(f, low, high, rapid.Float64Range(-200, 200).Draw(t, "start"))
		require.NoError(t, err)
		assert.InDelta(t, root, got, 1e-9)
	})
}

func TestNewtonCases(t *testing.T) {
	line := func(x float64) (value, slope float64) { return 2*x - 3, 2 }
	steep := func(x float64) (value, slope float64) { e := math.Exp(50 * x); return e - 1, 50 * e }
	saddle := func(x float64) (value, slope float64) { return (x - 1) * (x - 1) * (x - 1), 3 * (x - 1) * (x - 1) }
	for _, c := range []struct {
		name             string
		f                func(float64) (float64, float64)
		low, high, start float64
		want             float64
		most             int
	}{
		{"a line is one step", line, 0, 10, 4, 1.5, 2},
		{"start outside", line, 0, 10, 99, 1.5, 2},
		{"root at an end", line, 1.5, 10, 8, 1.5, 3},
		{"steep, from the flat side", steep, -3, 1, -3, 0, 70},
		{"triple root", saddle, -1, 2.7, 2.7, 1, 60},
	} {
		t.Run(c.name, func(t *testing.T) {
			calls := 0
			got, err := Newton(func(x float64) (float64, float64) { calls++; return c.f(x) }, c.low, c.high, c.start)
			require.NoError(t, err)
			assert.InDelta(t, c.want, got, 1e-6)
			assert.LessOrEqual(t, calls, c.most)
		})
	}
	for _, start := range []float64{2, 5, 10} {
		_, err := Newton(line, 2, 10, start)
		require.ErrorIs(t, err, ErrNoSignChange)
		_, err = Newton(line, -10, 1, -start)
		require.ErrorIs(t, err, ErrNoSignChange)
	}
	_, err := Newton(func(x float64) (float64, float64) { return math.Log(x), 1 / x }, -1, 1, -0.5)
	require.ErrorIs(t, err, ErrNotFinite)
}
