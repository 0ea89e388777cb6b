package state_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// What the solver brings is told with the path of what the file does not say. Temperatures are computed from the formula: indoors
// 21 °C, outdoors −12 °C, a garage 80 % of the way, a crawlspace 50 %, a basement 25 %.
func TestAssumptionsOfTheSolver(t *testing.T) {
	g := otherParts(t, "bypass.held.unmixed=20 %")
	told := map[string]network.Assumption{}
	for _, a := range state.Assumptions(g) {
		told[a.Path+" = "+a.Value] = a
	}
	has := func(text, why string) {
		t.Helper()
		a, ok := told[text]
		if assert.True(t, ok, text) {
			assert.Contains(t, a.Why, why, text)
		}
	}
	has("weather.winter.garage = -5.4 °C", "our choice")
	has("weather.winter.crawlspace = 4.5 °C", "our choice")
	has("weather.winter.basement = 12.8 °C", "our choice")
	has("weather.winter.attic = -12.0 °C", "as outdoors")
	has("weather.summer = 40 % relative humidity outdoors", "our choice")
	has("weather.winter.humidity = 35 %", "our choice")
	has("bypass.weight.unmixed = 50 % at the coil, band 30 to 90 %; 20 % at the limit, band 0 to 50 %", "our choice")
	has("supply.*.insulation = 1.06 m²K/W", "up-run, down-run, study, loft") // 6 × 0.1761
	has("zone.down.heat-loss = 1.1 W/K per m² of floor", "from memory")      // 0.20 Btu/(h·°F·ft²) × 5.678
	for text := range told {
		assert.False(t, strings.HasPrefix(text, "weather.summer.attic"), "the file gives the attic in summer")
		assert.False(t, strings.HasPrefix(text, "bypass.held.unmixed"), "the file gives it")
		assert.False(t, strings.HasPrefix(text, "zone.up.heat-loss"), "the file gives it")
		assert.False(t, strings.HasPrefix(text, "equipment.heating.leaving-limit"), "the file gives it")
	}
	// In a summer without a figure for the attic the sun on the roof puts it 25 °F (13.9 K) above outdoors.
	bare := everyPart(t, "supply.onward.place=attic")
	found, wet := false, false
	for _, a := range state.Assumptions(bare) {
		found = found || a.Path == `weather."design cooling".attic` && a.Value == "120.0 °F" // 95 + 25
		wet = wet || a.Path == "equipment.coil.wet" && a.Value == "true, 1.25 times its dry drop when cooling"
	}
	assert.True(t, found)
	assert.True(t, wet)
}

// The job's own figure for a place is the one that the ducts there feel: air warms up in a hot garage by more than in a cool one, by the
// share 1 − exp(−UA/(m c_p)) of the difference.
func TestPlaceIsTheJobs(t *testing.T) {
	gain := func(garage string) (rise, entering float64) {
		g := otherParts(t, "weather.summer.garage="+garage)
		o := statetest.Solve(t, g, "cooling: all zones")
		i := g.ElementNamed("down-run")
		require.GreaterOrEqual(t, i, 0)
		e := g.Elements[i]
		in := o.Nodes[e.From].Temperature
		return o.Nodes[e.To].Temperature - in, in
	}
	hot, hotIn := gain("45 C")
	cool, coolIn := gain("15 C")
	assert.Positive(t, hot)
	assert.Greater(t, hot, cool)
	// The ratio of the gains is that of the differences; flows hardly differ.
	assert.InEpsilon(t, (45-hotIn)/(15-coolIn), hot/cool, 0.02)
}
