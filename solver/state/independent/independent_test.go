// Package independent_test holds the program against a model of one example house that shares no
// code with it: written from the sources that stand beside each formula, with its own air,
// friction, fittings, junctions, blower, coil and solver. The model is in the other files of this
// folder; this one alone knows the program.
package independent_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// How near the program and the model must be. Reached over the 27 states: 0.71 cfm, 0.0006 in. of
// water, 0.05 °F. What is left lies in what the sources leave open: straight lines instead of
// parabolas between the rows of the blade's table alone move registers by up to 1.1 cfm.
const (
	flowWithin   = 1.0   // cfm
	staticWithin = 0.002 // in. of water
	heatWithin   = 0.2   // °F
)

// Airflows, static and temperatures of two-floor in every call state, as it stands and with a
// bypass to the plenum and to the drop.
func TestTwoFloorAgainstAnIndependentModel(t *testing.T) {
	states := 0
	worst := map[string]float64{} // by the tolerance's unit
	for _, alternative := range []string{"", "bypass-to-plenum", "bypass-to-return-box"} {
		for _, o := range statetest.SolveAll(t, networktest.Graph(t, "two-floor", alternative)) {
			weather, who, _ := strings.Cut(o.State.Name, ": ")
			c := call{weather: weather, zones: []string{who}}
			if weather == "heating" {
				c.weather = "design-heating"
			}
			if who == "all zones" {
				c.zones = []string{"main", "loft"}
			}
			states++
			name := alternative
			if name == "" {
				name = "as it stands"
			}
			t.Run(name+"/"+o.State.Name, func(t *testing.T) {
				compare(t, o, run(t, "two-floor", alternative, c), worst)
			})
		}
	}
	assert.Equal(t, 27, states, "three weathers, three calls, three alternatives")
	t.Logf("worst: %.3f cfm, %.4f in. w.c., %.3f °F", worst["cfm"], worst["in. w.c."], worst["°F"])
}

// compare holds an outcome against the model and keeps the worst differences by unit.
func compare(t *testing.T, o *state.Outcome, r result, worst map[string]float64) {
	t.Helper()
	check := func(what, unit string, program, model, within float64) {
		t.Helper()
		worst[unit] = math.Max(worst[unit], math.Abs(program-model))
		t.Logf("%-14s program %8.3f model %8.3f  %+.4f %s", what, program, model, program-model, unit)
		assert.InDelta(t, model, program, within, what)
	}
	element := func(name string) float64 {
		i := o.Graph.ElementNamed(name)
		require.GreaterOrEqual(t, i, 0, name)
		return o.Elements[i].Airflow / cfm
	}
	for i, register := range o.Graph.Registers {
		model, ok := r.registers[register.Line]
		require.True(t, ok, register.Line)
		check(register.Line, "cfm", o.Registers[i].Airflow/cfm, model, flowWithin)
		if air := o.Registers[i].Temperature; assert.False(t, math.IsNaN(air), register.Line) {
			check(fmt.Sprint(register.Line, " °F"), "°F", fahrenheit(air), r.leaving, heatWithin)
		}
	}
	for name, model := range r.grilles {
		check(name, "cfm", element(name+" grille"), model, flowWithin)
	}
	check("blower", "cfm", o.Blower.Airflow/cfm, r.blower, flowWithin)
	check("bypass", "cfm", o.Bypass*o.Blower.Airflow/cfm, r.bypass, flowWithin)
	check("static", "in. w.c.", o.Blower.ExternalStatic/inwc, r.static, staticWithin)
	at := func(node string) float64 {
		i := o.Graph.NodeNamed(node)
		require.GreaterOrEqual(t, i, 0, node)
		return fahrenheit(o.Nodes[i].Temperature)
	}
	check("entering °F", "°F", at("blower inlet"), r.entering, heatWithin)
	check("leaving °F", "°F", at("supply plenum"), r.leaving, heatWithin)
}
