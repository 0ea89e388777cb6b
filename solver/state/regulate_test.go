package state

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
)

// The roots are known by construction, wherever the search sets out from.
func TestFallingRoot(t *testing.T) {
	step := func(at, before, after float64) func(float64) float64 {
		return func(y float64) float64 {
			if y < at {
				return before
			}
			return after
		}
	}
	for name, c := range map[string]struct {
		f     func(float64) float64
		root  float64
		jumps bool
	}{
		"straight":              {func(y float64) float64 { return 0.25 - y }, 0.25, false},
		"curved":                {func(y float64) float64 { return math.Exp(-5*y) - 0.2 }, math.Log(5) / 5, false},
		"steep":                 {func(y float64) float64 { return math.Tanh(1e5 * (0.37 - y)) }, 0.37, false},
		"kinked":                {func(y float64) float64 { return max(0.3-y, 50*(0.3-y)) }, 0.3, false},
		"wants more than open":  {func(y float64) float64 { return 1.5 - y }, 1, false},
		"wants less than shut":  {func(y float64) float64 { return -0.5 - y }, 0, false},
		"jumps":                 {step(0.37, 0.5, -0.2), 0.37, true},
		"jumps unevenly":        {step(0.8, 1e-2, -1), 0.8, true},
		"falls, jumps, falls":   {func(y float64) float64 { return 0.6 - y + step(0.5, 0, -0.3)(y) }, 0.5, true},
		"falls, jumps, no root": {func(y float64) float64 { return 0.9 - y + step(0.5, 0, -0.3)(y) }, 0.6, false}, // the jump is not where the root is
	} {
		t.Run(name, func(t *testing.T) {
			for _, guess := range []float64{0, 0.05, 0.36, 0.5, 0.75, 1} {
				last := math.NaN()
				found, jumps, err := fallingRoot(func(y float64) (float64, error) { last = y; return c.f(y), nil }, guess)
				require.NoError(t, err)
				assert.True(t, found)
				assert.Equal(t, c.jumps, jumps, "from %g", guess)
				assert.InDelta(t, c.root, last, 1e-9, "from %g: the last opening tried is the one that counts", guess)
			}
		})
	}
	broken := errors.New("broken")
	_, _, err := fallingRoot(func(y float64) (float64, error) { return 0.5 - y, broken }, 0.1)
	assert.ErrorIs(t, err, broken)
}

// A damper that ends at a jump is named in the outcome's notes; others are not.
func TestJumpIsTold(t *testing.T) {
	g := &network.Graph{Elements: []network.Element{{Name: "bypass"}, {Name: "holder"}, {Name: "relief"}}}
	c := &calculation{solver: &Solver{graph: g}, set: &setting{position: []float64{0.2, 0.374, 1}}, regulators: []int{0, 1, 2}, jumps: []bool{false, true, false}}
	var o Outcome
	c.jumpNotes(&o)
	require.Len(t, o.Notes, 1)
	assert.True(t, strings.HasPrefix(o.Notes[0], "holder holds its pressure at no opening: as it passes 37 % "), o.Notes[0])
}
