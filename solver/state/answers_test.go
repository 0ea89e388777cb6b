package state_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network"
	"spillway/solver/state"
)

// p_s = p_t - ρV²/2: 20 Pa less 1.2 · 5²/2 = 15 Pa (computed from the formula).
func TestStaticAtTheStartOfALine(t *testing.T) {
	o := &state.Outcome{Nodes: []state.Node{{Total: 20, Static: 18}}, Elements: []state.Element{{Density: 1.2, Velocity: 5}}}
	pa, ok := o.Static(network.Spot{Node: 0, Start: 0})
	assert.True(t, ok)
	assert.InDelta(t, 5, pa, 1e-12)
	pa, ok = o.Static(network.Spot{Node: 0, Start: network.None})
	assert.True(t, ok)
	assert.InDelta(t, 18, pa, 0, "the end of a line is the node's own")
	_, ok = o.Static(network.Spot{Node: network.None, Start: network.None})
	assert.False(t, ok, "a place that was not found")
}

func TestTheStageThatRuns(t *testing.T) {
	m := &network.Machine{Capacity: 10_000, Sensible: 0.75, Tap: "high", Stages: []network.Stage{{Name: "low", Capacity: 6000, Tap: "low"}, {Name: "high"}}}
	assert.Equal(t, network.Stage{Name: "low", Capacity: 6000, Sensible: 0.75, Tap: "low"}, m.At(1))
	assert.Equal(t, network.Stage{Name: "high", Capacity: 10_000, Sensible: 0.75, Tap: "high"}, m.At(2))
	assert.Equal(t, network.Stage{Capacity: 10_000, Sensible: 0.75, Tap: "high"}, m.At(0))
	assert.Equal(t, network.Stage{}, (*network.Machine)(nil).At(1))

	o := &state.Outcome{State: state.CallState{Mode: network.Cooling, Stage: 1}, Blower: state.Blower{Airflow: 0.3, Power: 150},
		Graph: &network.Graph{Job: &network.Job{Equipment: network.Equipment{Cooling: m}}}}
	assert.InDelta(t, 5e-5, o.PerTon(), 1e-15, "0.3 m³/s over 6 kW")
	assert.InDelta(t, 500, o.PowerPerFlow(), 1e-9)
	o.State.Mode = network.Heating
	assert.True(t, math.IsNaN(o.PerTon()), "no cooling")
	assert.True(t, math.IsNaN(o.RatedHeat()), "no heating machine")
}
