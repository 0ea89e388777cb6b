package heat_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/heat"
)

func TestHouseAgainstItsEquations(t *testing.T) {
	// The two equations stepped by the midpoint rule with a small step: independent of the closed form.
	h := heat.House{Fast: 1.5e6, Mass: 8e6, Between: 600, Conductance: 85, Load: -900}
	b := heat.Bleed{CapacityRate: 90, Duty: 0.7, Supply: 13, Setpoint: 24}
	s, err := h.Drift(b)
	require.NoError(t, err)
	g := b.CapacityRate * b.Duty
	rate := func(x, y float64) (float64, float64) {
		drive := g*(b.Supply-b.Setpoint) - h.Load
		return (drive - (h.Conductance+g)*x - h.Between*(x-y)) / h.Fast, h.Between * (x - y) / h.Mass
	}
	x, y, step := 0.0, 0.0, 1.0
	for i := 1; i <= 36000; i++ {
		dx, dy := rate(x, y)
		dx, dy = rate(x+step/2*dx, y+step/2*dy)
		x, y = x+step*dx, y+step*dy
		if i%3600 == 0 {
			assert.InDelta(t, x, s.At(float64(i)), 1e-6, "after %d s", i)
		}
	}
	assert.InDelta(t, s.Offset, s.At(1e9), 1e-9)
	swing := s.Offset / 2
	assert.InDelta(t, math.Abs(swing), math.Abs(s.At(s.Until(swing))), 1e-6)
	assert.True(t, math.IsInf(s.Until(1.01*s.Offset), 1))
}

func TestHouseLimits(t *testing.T) {
	b := heat.Bleed{CapacityRate: 80, Duty: 1, Supply: 50, Setpoint: 21}
	t.Run("strongly joined it is one node with both capacities", func(t *testing.T) {
		h := heat.House{Fast: 1e6, Mass: 5e6, Between: 1e7, Conductance: 90, Load: 1200}
		s, err := h.Drift(b)
		require.NoError(t, err)
		one, err := heat.Zone{Capacity: 6e6, Conductance: 90, Load: 1200}.Drift(b)
		require.NoError(t, err)
		for _, at := range []float64{600, 3600, 36000} {
			assert.InEpsilon(t, -one.Offset*math.Expm1(-at/one.TimeConstant), s.At(at), 1e-3)
		}
	})
	t.Run("hardly joined it begins as the fast node alone", func(t *testing.T) {
		h := heat.House{Fast: 1e6, Mass: 5e6, Between: 1e-3, Conductance: 90, Load: 1200}
		s, err := h.Drift(b)
		require.NoError(t, err)
		one, err := heat.Zone{Capacity: 1e6, Conductance: 90, Load: 1200}.Drift(b)
		require.NoError(t, err)
		assert.InEpsilon(t, -one.Offset*math.Expm1(-3600/one.TimeConstant), s.At(3600), 1e-4)
	})
	for name, h := range map[string]heat.House{
		"no mass":    {Fast: 1e6, Between: 100, Conductance: 90},
		"not a sum":  {Fast: math.NaN(), Mass: 1, Between: 100, Conductance: 90},
		"no way out": {Fast: 1e6, Mass: 5e6, Between: 100},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := h.Drift(heat.Bleed{Setpoint: 20, Supply: 20})
			assert.Error(t, err)
		})
	}
}
