package heat

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const btuF = 1055.05585 / fahr // J/K per Btu/°F

// The figures of a house per floor area in the units of the trade, as the trade states them (from memory and our choice): a fast node of
// seven times the air at 8 ft, 0.20 Btu/(h·°F·ft²) to outdoors and 3.75 Btu/(°F·ft²) in all.
func TestHousePerFloorArea(t *testing.T) {
	const perFoot = squareFt / btuF // of J/(K·m²) in Btu/(°F·ft²)
	assert.InEpsilon(t, 7*8*0.075*0.24, FastCapacityPerArea*perFoot, 0.01)
	assert.InEpsilon(t, 3.75, WholeCapacityPerArea*perFoot, 1e-4)
	// 2000 ft² at 70 °F and 10 °F outdoors lose 24 kBtu/h, 12 Btu/h per ft².
	assert.InEpsilon(t, 12, ConductancePerArea*squareFt*(70-10)*fahr/btuh, 1e-4)
}

// Bleed of 55 °F air into a satisfied zone at 75 °F with UA 160 Btu/(h·°F): the table, computed from the formula. In cooling
// an offset below zero is over-cooling; the table counts it positive.
func TestComputedBleedTable(t *testing.T) {
	for _, c := range []struct{ cfm, duty, load, offset, tau, fastTau, rate, fastRate float64 }{
		{100, 0.5, 800, 1.3, 9.3, 3.8, 0.14, 0.35},
		{150, 0.5, 800, 3.4, 8.3, 3.3, 0.41, 1.0},
		{150, 1.0, 800, 7.6, 6.2, 2.5, 1.2, 3.0},
		{150, 0.5, 2400, -3.2, 8.3, 3.3, -0.39, -0.97},
		{260, 1.0, 5600, 0.04, 4.5, 1.8, 0.01, 0.02},
	} {
		b := Bleed{CapacityRate: capacityRate(c.cfm), Duty: c.duty, Supply: celsius(55), Setpoint: celsius(75)}
		for _, n := range []struct{ capacity, tau, rate float64 }{{2000, c.tau, c.rate}, {806, c.fastTau, c.fastRate}} {
			z := Zone{Capacity: n.capacity * btuF, Conductance: 160 * btuhF, Load: -c.load * btuh}
			d, err := z.Drift(b)
			require.NoError(t, err)
			name := fmt.Sprintf("%g CFM, duty %g, load %g, C %g, ", c.cfm, c.duty, c.load, n.capacity)
			computed(t, name+"offset", c.offset, -d.Offset/fahr, 0.06)
			computed(t, name+"tau, h", n.tau, d.TimeConstant/3600, 0.06)
			computed(t, name+"rate, °F/h", n.rate, -d.Rate*3600/fahr, 0.06)
		}
	}
	computed(t, "neutral bleed, CFM", 800.0/(1.08*0.5*20), NeutralBleed(-800*btuh, 0.5, celsius(55), celsius(75))/capacityRate(1), 1e-6)
	assert.True(t, math.IsNaN(NeutralBleed(-800, 0.5, 30, 24)), "warm air cannot cool")
}

// Neutral bleed leaves the zone where it is; heating mirrors cooling; a zone without any loss drifts for ever.
func TestDriftProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := Zone{rapid.Float64Range(1e5, 1e8).Draw(t, "C"), rapid.Float64Range(0, 500).Draw(t, "UA"), -rapid.Float64Range(10, 5000).Draw(t, "load")}
		b := Bleed{Duty: rapid.Float64Range(0.05, 1).Draw(t, "duty"), Supply: 13, Setpoint: 24}
		b.CapacityRate = NeutralBleed(z.Load, b.Duty, b.Supply, b.Setpoint)
		d, err := z.Drift(b)
		if err != nil || math.Abs(d.Offset) > 1e-9 {
			t.Fatal(d, err)
		}
		b.CapacityRate *= 1.5
		cold, _ := z.Drift(b)
		mirror := z
		mirror.Load = -z.Load
		b.Supply = 2*b.Setpoint - b.Supply
		warm, _ := mirror.Drift(b)
		if !(cold.Offset < 0) || math.Abs(cold.Offset+warm.Offset) > 1e-9 {
			t.Fatal(cold, warm)
		}
	})
	d, err := Zone{Capacity: 1e6, Load: -100}.Drift(Bleed{})
	require.NoError(t, err)
	assert.True(t, math.IsInf(d.Offset, 1))
	_, err = Zone{}.Drift(Bleed{})
	require.ErrorIs(t, err, ErrInput)
	_, err = Zone{Capacity: 1}.Drift(Bleed{Duty: 2})
	require.ErrorIs(t, err, ErrInput)
}
