package clock_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/clock"
)

// always answers every call with the same supply.
type always struct{ supply clock.Supply }

func (c *always) At(clock.Call, clock.Conditions) (*clock.Supply, error) { return &c.supply, nil }

// Where the air that leaves a zone is not what it is given, temperatures may oscillate, and the run
// takes every zone to return what it is given and counts that. Zones that do so anyway are not
// counted.
func TestCirclingAirIsSimplifiedAndCounted(t *testing.T) {
	given := []float64{0.7 * 600, 0.1 * 600, 0.2 * 600} // W/K
	run := func(back []float64) *clock.Ledger {
		zone := clock.Zone{Air: 3e5, Mass: 3e6, AirLoss: 60, MassLoss: 30, AirToMass: 900}
		h := &clock.House{Zones: []clock.Zone{zone, zone, zone},
			Thermostat: clock.Thermostat{Lag: 360, Band: 0.3, Anticipation: 0.5},
			Heating:    &clock.Machine{Lag: 90, OffLag: 600, Start: 45, Purge: 90, MinimumOff: 180}}
		rise := []float64{20, 20, 20} // K
		source := &always{clock.Supply{Rate: given, Rise: rise, Return: back, Output: 12000}}
		set := []float64{20, 20, 20} // °C
		climate := &steady{season: clock.Heating, out: 0, set: set}
		l, err := clock.Run(h, source, climate, clock.Options{Steps: 24, Start: set})
		require.NoError(t, err)
		assert.Less(t, l.Balance(), 1e-9)
		assert.Positive(t, l.Heating.Starts)
		return l
	}
	assert.Zero(t, run(nil).Simplified)
	assert.Zero(t, run([]float64{0.7, 0.1, 0.2}).Simplified)
	assert.Zero(t, run([]float64{0.2, 0.6, 0.2}).Simplified, "no oscillation")
	l := run([]float64{0.65, 0.3, 0.05})
	assert.Positive(t, l.Simplified)
	assert.LessOrEqual(t, l.Simplified, l.Decompose)
}
