package network

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// exampleWith reads an example with an alternative "try" of the text given.
func exampleWith(t *testing.T, name, text string) (*Job, string) {
	t.Helper()
	data, err := os.ReadFile("../examples/" + name + ".toml")
	require.NoError(t, err)
	job, found := Read(name+".toml", append(data, "\n[alternative.try]\n"+text...),
		Options{Alternative: "try"})
	return job, found.Error()
}

// Removing a part takes along what nothing else uses, and says so; what others need is refused with
// their names. The numbers are counted in the example files.
func TestRemoveTakesAlong(t *testing.T) {
	for _, c := range []struct{ job, remove, want string }{
		{"two-floor", `"zone.loft"`,
			"zone loft, with damper loft, 5 runs, return run loft-grille"},
		{"two-floor", `"supply.study"`, "supply study"},
		{"two-floor", `"port.*"`, "port supply-static; port return-static"},
		{"two-floor", `["supply.study", "supply.bed-2"]`, "supply study; supply bed-2"},
		{"four-zone", `"zone.guest"`,
			"zone guest, with damper guest, 3 runs, call guest-only"},
		{"four-zone", `["zone.guest", "zone.bedrooms"]`,
			"zone guest, with damper guest, 3 runs, call guest-only; " +
				"zone bedrooms, with damper bedrooms, 5 runs, return run upper-grille"},
		{"four-zone", `"panel.call.guest-only"`, "panel call guest-only"},
	} {
		job, said := exampleWith(t, c.job, "remove = "+c.remove+"\n")
		require.NotNil(t, job, "%s: %s", c.remove, said)
		var list []string
		for i := range job.Removed {
			list = append(list, job.Removed[i].Text())
		}
		assert.Equal(t, c.want, strings.Join(list, "; "), c.remove)
	}
	for _, c := range []struct{ job, text, want string }{
		{"two-floor", `remove = "supply.loft-riser"`,
			`"supply.loft-riser" cannot be removed: zone loft needs damper.loft`},
		{"two-floor", `remove = "damper.loft"`,
			`"damper.loft" cannot be removed: zone loft needs damper.loft`},
		{"four-zone", `remove = "supply.upper-trunk"`,
			`"supply.upper-trunk" cannot be removed: zone bedrooms needs damper.bedrooms`},
		{"two-floor", `remove = "supply.loft"`, `there is no part "supply.loft" to remove`},
		{"two-floor", `remove = "zone.lofft"`, `fix: did you mean loft?`},
		{"two-floor", `remove = "supply.loft"`, `fix: write "zone.loft"`},
	} {
		job, said := exampleWith(t, c.job, c.text+"\n")
		assert.Nil(t, job, c.text)
		assert.Contains(t, strings.ReplaceAll(said, `"loft"?`, "loft?"), c.want)
		assert.Equal(t, 1, strings.Count(said, "error:"), "told once: %s", said)
	}
}

// A part that hangs elsewhere in the same alternative stays.
func TestRemoveSeesWhatIsMoved(t *testing.T) {
	job, said := exampleWith(t, "four-zone", `remove = "supply.kitchen-trunk"
supply.kitchen-1.from = "living-trunk"
supply.dining.from = "living-trunk"
supply.pantry.from = "living-trunk"
zone.kitchen.damper = "living"
zone.living.damper = "living"
`)
	assert.Nil(t, job, "one damper of two zones is refused by the checks")
	assert.NotContains(t, said, "kitchen-1")
	assert.NotContains(t, said, "cannot be removed")
}

// A part that is replaced has nothing of what was there, and keeps its place among its neighbors.
func TestReplace(t *testing.T) {
	job, said := exampleWith(t, "two-floor", `replace = "supply.living-1"
supply.living-1 = "off main-trunk, 8 in, 20 ft, tap 45, 12x6, 150 cfm"
`)
	require.NotNil(t, job, said)
	line := job.line("living-1")
	assert.Len(t, line.Fittings, 1, "no boot of what it replaces")
	assert.Equal(t, "living-1", line.Room, "the room is not that of what it replaces")
	var order []string
	for i := range job.Supply {
		order = append(order, job.Supply[i].Name)
	}
	assert.Contains(t, strings.Join(order, " "), "kitchen living-1 living-2")

	job, said = exampleWith(t, "two-floor", `replace = "blower"
equipment.cooling.tap = "one"
equipment.heating.tap = "one"
[alternative.try.blower]
kind = "constant torque"
static = [0.1, 0.5, 1.0]
tap.one = { airflow = [1200, 1100, 900], watts = [300, 400, 500] }
`)
	require.NotNil(t, job, said)
	require.NotNil(t, job.Blower)
	assert.Empty(t, job.Equipment.Blower.Table, "the blower of the catalog is gone")
	_, said = exampleWith(t, "four-zone", "replace = \"blower\"\n")
	assert.Contains(t, said, `"blower" is replaced by nothing`)
	_, said = exampleWith(t, "four-zone", "replace = \"blowre\"\n")
	assert.Contains(t, said, `there is no part "blowre" to replace`)
}

// Fittings are in three slots: elbows of an override leave the takeoff and the boot.
func TestElbowsLeaveTheBoot(t *testing.T) {
	job, said := exampleWith(t, "two-floor", "supply.kitchen = \"2x elbow\"\n")
	require.NotNil(t, job, said)
	var texts []string
	for _, f := range job.line("kitchen").Fittings {
		texts = append(texts, f.Name)
	}
	assert.Equal(t, []string{"wye 45", "elbow 90 smooth", "boot 90"}, texts)
	assert.Equal(t, 2, job.line("kitchen").Fittings[1].Count)
}
