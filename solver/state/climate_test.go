package state_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// seasons is a house of two zones with round loads: 20 kBtu/h at a difference of 60 °F, so 1/3 kBtu/h per °F, and 15 kBtu/h of gain at a
// difference of 20 °F, of which conduction is 6 2/3 and sun, people and appliances 8 1/3.
const seasons = `
title = "seasons"
[weather]
cold   = { mode = "heating", outdoor = "10 F", indoor = "70 F" }
cool   = { mode = "heating", outdoor = "40 F", indoor = "70 F" }
hot    = { mode = "cooling", outdoor = "95 F", indoor = "75 F" }
warm   = { mode = "cooling", outdoor = "85 F", indoor = "75 F" }
[equipment]
cooling = { capacity = "3 ton", tap = "high" }
heating = { output = "54 kBtu/h", tap = "medium" }
blower  = { table = "generic psc 3 ton" }
[zone]
a = { wants = "500 cfm", damper = "a", heat-loss = "20 kBtu/h", heat-gain = "15 kBtu/h", floor = "800 ft2" }
b = { wants = "500 cfm", damper = "b", heat-loss = "20 kBtu/h", heat-gain = "15 kBtu/h", floor = "800 ft2" }
[damper]
a = { stop = "30 %" }
b = { stop = "30 %" }
[supply]
a1 = { from = "supply plenum", size = "10 in", length = "20 ft", damper = "a", register = "20x8 in", zone = "a" }
b1 = { from = "supply plenum", size = "10 in", length = "20 ft", damper = "b", register = "20x8 in", zone = "b" }
[return]
r = { to = "return plenum", size = "18 in", length = "10 ft", grille = "24x20 in" }
`

// Loads by conduction and gains, computed by hand from the figures of the job; heat delivered by the trade's 1.08 cfm ΔT (standard air;
// moist air carries up to 1.5 % more); the share of the time that a call lasts is the load over what it is given.
func TestLoadsAndDelivery(t *testing.T) {
	g := networktest.Build(t, "seasons.toml", []byte(seasons), network.Options{})
	kBtu := 1000 * quantity.BtuPerHour
	for name, want := range map[string]float64{
		"cold: a": 20, "cool: a": 10,
		"hot: a": -15, "warm: a": -(10.0/3 + 25.0/3),
	} {
		o := statetest.Solve(t, g, name)
		indoor := 70.0
		if o.State.Mode == network.Cooling {
			indoor = 75
		}
		for i, z := range o.Zones {
			assert.InDelta(t, want, z.Load/kBtu, 0.001, "%s, zone %d", name, i)
			cfm, difference := z.Airflow/quantity.CFM, z.SupplyTemperature*1.8+32-indoor
			assert.InEpsilon(t, 1.08*cfm*difference/1000, z.Delivered/kBtu, 0.025, "%s, zone %d", name, i)
		}
		calling, satisfied := o.Zones[0], o.Zones[1]
		require.True(t, calling.Calling)
		share := calling.Load / calling.Delivered
		require.Less(t, share, 1.0, name)
		assert.InDelta(t, share, satisfied.CallDuty, 1e-9, name)
	}
}

// A first stage that is not enough gets the second, where the panel has one for that call: then a zone is short only for a while.
func TestMoreStagesToCome(t *testing.T) {
	g := networktest.Graph(t, "four-zone", "")
	g.Job.Panel = network.Panel{SecondStageNeeds: 2}
	seen := map[bool]int{}
	for _, cs := range state.States(g) {
		want := len(cs.Calling) >= 2 && cs.Stage < cs.Stages
		assert.Equal(t, want, cs.More, cs.Name)
		seen[cs.More]++
		if cs.Stage == cs.Stages-1 && len(cs.Calling) >= 2 {
			assert.True(t, cs.More, "%s: the last stage is still to come", cs.Name)
		}
	}
	assert.Positive(t, seen[true])
	assert.Positive(t, seen[false])
}
