package resist

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/flow"
)

// must unwraps the two results of a constructor.
func must[T any](law T, err error) T {
	if err != nil {
		panic(err) // programmer's mistake in a test table
	}
	return law
}

// dropOf is the drop alone.
func dropOf(law flow.Law, q float64) float64 {
	drop, _ := law.Drop(q)
	return drop
}

// flowOf solves law.Drop(q) = drop by bisection between two flows.
func flowOf(t testing.TB, law flow.Law, drop, low, high float64) float64 {
	t.Helper()
	require.Less(t, dropOf(law, low), drop)
	require.Greater(t, dropOf(law, high), drop)
	for range 200 {
		middle := (low + high) / 2
		if dropOf(law, middle) < drop {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// assertSlope compares a law's slope with the central difference of its drop, to a relative tolerance. The step is a
// hundred-thousandth of the flow, small against any bend in the law yet large against round-off.
func assertSlope(t assert.TestingT, law flow.Law, q, tolerance float64) bool {
	h := 1e-5 * math.Abs(q)
	_, slope := law.Drop(q)
	numerical := (dropOf(law, q+h) - dropOf(law, q-h)) / (2 * h)
	return assert.InEpsilonf(t, numerical, slope, tolerance, "slope of %T at q = %g", law, q)
}
