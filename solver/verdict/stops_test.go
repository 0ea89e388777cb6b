package verdict_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

func quoted(value float64, unit string) string {
	number := strconv.FormatFloat(value, 'f', 6, 64)
	if unit == "" {
		return number
	}
	return `"` + number + unit + `"`
}

func roomOf(t testing.TB, o *state.Outcome, name string) *state.Room {
	t.Helper()
	for i := range o.Rooms {
		if o.Rooms[i].Name == name {
			return &o.Rooms[i]
		}
	}
	require.Failf(t, "no such room", "%q", name)
	return nil
}

// What five degrees of blade do at a stop, against solving the job with its stop written five degrees off.
func TestStopChecksAreTheJobSolvedAgain(t *testing.T) {
	const name = "design-cooling: loft"
	s := statetest.Solver(t, networktest.Graph(t, "two-floor", ""))
	o := statetest.SolveBy(t, s, name)
	found, err := verdict.StopChecks(s, o)
	require.NoError(t, err)
	f := finding(t, found, "damper stop", "main damper") // the loft's own is open for its call
	assert.Equal(t, "main damper", f.Where)
	bleed := func(degrees float64) float64 {
		moved := statetest.Quick(t, networktest.Graph(t, "two-floor", "", "damper.main.stop="+strconv.FormatFloat(degrees, 'f', 6, 64)+" deg from open"), name)
		for _, d := range moved.Dampers {
			if d.Name == "main damper" {
				return d.Airflow / quantity.CFM
			}
		}
		return math.NaN()
	}
	// 40 % open is 54° from open.
	at := bleed(54)
	want := math.Max(math.Abs(bleed(49)-at), math.Abs(bleed(59)-at)) / at
	assert.InDelta(t, want, f.Value, 1e-9)
	assert.Greater(t, f.Value, 0.05, "a stop matters")
}

// A damper that is shut or open has no stop to be wrong.
func TestNoStopNoCheck(t *testing.T) {
	for _, set := range []string{"damper.main.stop=0 %", "damper.main.stop=100 %"} {
		s := statetest.Solver(t, networktest.Graph(t, "two-floor", "", set))
		found, err := verdict.StopChecks(s, statetest.SolveBy(t, s, "design-cooling: loft"))
		require.NoError(t, err)
		assert.Empty(t, found, set)
	}
}

// A stop that stands just where a limit is met says what tips when it slips.
func TestStopCheckNamesWhatTips(t *testing.T) {
	const name = "design-cooling: loft"
	o := statetest.Quick(t, networktest.Graph(t, "two-floor", ""), name)
	static := o.Blower.ExternalStatic / quantity.InchWater
	s := statetest.Solver(t, networktest.Graph(t, "two-floor", "", "limits.max-static="+quoted(static*1.001, " inwc")))
	found, err := verdict.StopChecks(s, statetest.SolveBy(t, s, name))
	require.NoError(t, err)
	slip := finding(t, found, "damper stop slip", "main damper")
	assert.Equal(t, verdict.Caution, slip.Level)
	assert.GreaterOrEqual(t, slip.Value, 1.0)
	assert.Contains(t, slip.Remedy, "5° nearer shut brings")
	assert.Contains(t, slip.Remedy, "external static")
	assert.NotContains(t, slip.Remedy, "nearer open brings external static")
	assert.NotContains(t, finding(t, found, "damper stop", "main damper").Remedy, "brings", "its own value and limit")
}
