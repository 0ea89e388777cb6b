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
