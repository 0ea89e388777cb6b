package state_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

func stretchesOf(o *state.Outcome, quantity string) map[string]state.Stretch {
	found := map[string]state.Stretch{}
	for _, s := range o.Stretches {
		if s.Quantity == quantity {
			found[s.Where] = s
		}
	}
	return found
}

// A blade between the end of its table and shut is told, with what hangs on it; one within the table and one that is shut are not.
// Computed from the formula: 10 % open is 81° from open, 40 % is 54°.
func TestBladeBeyondItsTableIsTold(t *testing.T) {
	for _, c := range []struct {
		stop  string
		angle float64 // 0: nothing is told
	}{{"40 %", 0}, {"10 %", 81}, {"0 %", 0}} {
		o := statetest.Solve(t, networktest.Graph(t, "two-floor", "", "damper.main.stop="+c.stop), "design-cooling: loft")
		told := stretchesOf(o, "blade from open")
		if c.angle == 0 {
			assert.Empty(t, told, c.stop)
			continue
		}
		s, ok := told["main damper"]
		require.True(t, ok, "%s: %v", c.stop, told)
		assert.InDelta(t, c.angle, s.Value, 1e-9)
		assert.Equal(t, "°", s.Unit)
		assert.Positive(t, s.Airflow)
	}
}

// The doubt is of the size of what the coefficient moves: the damper's loss taken half as much again, all solved anew. It is rough: it leaves
// out that the rest of the system gives way, and that leakage by the blade is not in doubt is in it.
func TestDoubtIsWhatTheCoefficientMoves(t *testing.T) {
	const name = "design-cooling: loft"
	g := networktest.Graph(t, "two-floor", "", "damper.main.stop=2 %", "damper.main.leakage=0.1 %")
	i := g.ElementNamed("main damper")
	require.GreaterOrEqual(t, i, 0)
	before := statetest.Solve(t, g, name)
	s := stretchesOf(before, "blade from open")["main damper"]
	require.InDelta(t, 88.2, s.Value, 1e-9)
	spec := *g.Elements[i].Spec.(*network.DamperSpec)
	spec.Factor = 1.5
	g.Elements[i].Spec = &spec
	after := statetest.Solve(t, g, name)
	moved := math.Abs(after.Elements[i].Airflow - before.Elements[i].Airflow)
	ratio := s.Airflow / moved
	assert.True(t, ratio > 1/3.0 && ratio < 3, "%g cfm told, %g moved", s.Airflow/quantity.CFM, moved/quantity.CFM)
}

// The capacity curve says where it is stated to hold: 55 to 75 °F wet bulb, 64.4 to 115 °F outdoors (the generic curve's own bounds).
func TestCoilBeyondItsCurveIsTold(t *testing.T) {
	dry := statetest.Solve(t, networktest.Graph(t, "two-floor", "", "weather.design-cooling.humidity=15 %", "weather.design-cooling.outdoor=120 F"), "design-cooling: all zones")
	for quantity, limits := range map[string][2]float64{"entering wet bulb": {55, 75}, "outdoor temperature": {64.4, 115}} {
		told := stretchesOf(dry, quantity)
		require.Len(t, told, 1, quantity)
		for _, s := range told {
			assert.InDelta(t, limits[0], s.Low*1.8+32, 0.01, quantity)
			assert.InDelta(t, limits[1], s.High*1.8+32, 0.01, quantity)
			assert.True(t, math.IsNaN(s.Airflow))
		}
	}
	usual := statetest.Solve(t, networktest.Graph(t, "two-floor", ""), "design-cooling: all zones")
	assert.Empty(t, stretchesOf(usual, "entering wet bulb"))
	assert.Empty(t, stretchesOf(usual, "outdoor temperature"))
}

// What is told of a state does not depend on how it is solved, so that a study says the same of it.
func TestStretchesOfAQuickSolution(t *testing.T) {
	g := networktest.Graph(t, "three-zone", "")
	s := statetest.Solver(t, g)
	for _, cs := range state.States(g) {
		full, err := s.Solve(cs)
		require.NoError(t, err)
		quick, err := s.Quick().Solve(cs)
		require.NoError(t, err)
		require.Len(t, quick.Stretches, len(full.Stretches), cs.Name)
		for i := range full.Stretches {
			assert.Equal(t, full.Stretches[i].Where, quick.Stretches[i].Where)
			assert.Equal(t, full.Stretches[i].Range, quick.Stretches[i].Range)
		}
	}
}
