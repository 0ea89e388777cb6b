package schematic

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/render/palette"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// loftCalls solves the two-floor example while the loft calls in cooling.
func loftCalls(t *testing.T, alternative string, set ...string) *state.Outcome {
	t.Helper()
	return statetest.Solve(t, networktest.Graph(t, "two-floor", alternative, set...), "design-cooling: loft")
}

// Against itself nothing changes.
func TestDifferenceOfNothing(t *testing.T) {
	o := loftCalls(t, "")
	sc, err := Lay(o.Graph).Scene(o, Options{Before: o})
	require.NoError(t, err)
	for _, r := range sc.Ribbons {
		if !r.Still {
			assert.Equal(t, palette.Changes/2, r.Class, r.Name)
		}
	}
	for _, text := range parse(t, drawn(t, o, Options{Before: o})) {
		assert.NotRegexp(t, `\([+−]`, text)
	}
}

// A wider stop of the main floor gives it more and the loft less (the same blower, one way made easier: common practice), and the picture
// says so by colour and by signs.
func TestDifferenceOfAStop(t *testing.T) {
	before, after := loftCalls(t, ""), loftCalls(t, "", "damper.main.stop=90 %")
	sc, err := Lay(after.Graph).Scene(after, Options{Before: before, BeforeName: "the file"})
	require.NoError(t, err)
	seen := map[string]int{}
	for _, r := range sc.Ribbons {
		if r.Element >= 0 {
			seen[after.Graph.Elements[r.Element].Name] = r.Class
			d := math.Abs(after.Elements[r.Element].Airflow) - math.Abs(before.Elements[r.Element].Airflow)
			switch {
			case r.Class > palette.Changes/2:
				assert.Positive(t, d, r.Name)
			case r.Class < palette.Changes/2:
				assert.Negative(t, d, r.Name)
			}
		}
		assert.Zero(t, r.Surplus, "no hatching over the colours of a change")
	}
	assert.Greater(t, seen["main-trunk"], palette.Changes/2)
	assert.Less(t, seen["loft-riser"], palette.Changes/2)
	text := string(drawn(t, after, Options{Before: before, BeforeName: "the file"}))
	assert.Contains(t, text, "What changes")
	assert.Contains(t, text, "against the file")
	assert.Regexp(t, `>[0-9,]+ cfm \(\+[0-9]+\)<`, text)
	assert.Regexp(t, `>[0-9,]+ cfm \(−[0-9]+\)<`, text)
}

// What an alternative brings was not there before; what it takes away is said.
func TestDifferenceOfAlternatives(t *testing.T) {
	plain, bypass := loftCalls(t, ""), loftCalls(t, "bypass-to-plenum")
	sc, err := Lay(bypass.Graph).Scene(bypass, Options{Before: plain})
	require.NoError(t, err)
	found := false
	for _, r := range sc.Ribbons {
		if r.Element >= 0 && bypass.Graph.Elements[r.Element].Line == "relief" {
			found = true
			assert.Equal(t, palette.Changes-1, r.Class)
		}
	}
	assert.True(t, found)
	sc, err = Lay(plain.Graph).Scene(plain, Options{Before: bypass})
	require.NoError(t, err)
	assert.True(t, strings.Contains(sc.Desc, "No longer there: relief"), sc.Desc)
}
