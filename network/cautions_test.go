package network

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Cautions come with a job and do not stop the reading.
func TestCautions(t *testing.T) {
	for _, test := range []struct {
		name     string
		old, new string // a change of the small job; old "" appends
		want     []string
	}{
		{"nothing to say", "", "", nil},
		{"damper of the wrong size", `day = { stop = "25 %" }`, `day = { stop = "25 %", size = "10 in" }`, []string{`damper "day" is 10 in but sits in "day-trunk", which is 12 in`}},
		{"blade of the wrong shape", `bed = {}`, `bed = { blade = "opposed" }`, []string{`damper "bed" has a blade that is opposed in a duct of 9 in`}},
		{"unused damper", `bed = {}`, "bed = {}\nspare = {}", []string{`damper "spare" sits in no duct and belongs to no zone`}},
		{"bypass without a damper", "", "[bypass]\nrelief = { from = \"supply plenum\", to = \"drop\", size = \"8 in\", length = \"5 ft\" }\n", []string{`"relief" has no damper: it is always open`}},
		{"a very long run", `length = "16 ft"`, `length = "160 ft"`, []string{`"length" is 160 ft, unusually large; check the unit`}},
		{"a length that is a size", `length = "16 ft"`, `length = "12 in"`, []string{`"length" is 12 in; is that the size of the duct?`}},
		{"branch larger than its trunk", `size = "8 in", length`, `size = "14 in", length`, []string{`"living" (14 in) is larger than "day-trunk" (12 in), which it comes from`}},
		{"a place along a plenum", `size = "16x8 in", length`, `at = "2 ft", size = "16x8 in", length`, []string{`"trunk" is tied to a chamber, where a distance has no meaning`}},
		{"behind another zone's damper", `room = "bed 2"`, `room = "bed 2", zone = "day"`, []string{`"bed-2" is in zone "day" but hangs behind the damper of zone "bed"`}},
		{"zone and registers disagree", `room = "living"`, `room = "living", wants = "350 cfm"`, []string{`zone "day" wants 500 cfm, but its registers want 350 cfm`}},
		{"no filter", `filter  = { drop = "0.08 inwc", at = "800 cfm" }`, ``, []string{`the equipment has no filter drop`}},
		{"no coil", `coil    = { drop = "0.14 inwc", at = "800 cfm" }`, ``, []string{`the equipment cools but has no coil drop`}},
		{"coil in the table", `coil    = { drop = "0.14 inwc", at = "800 cfm" }`, `included = ["coil"]`, nil},
		{"coil twice", `coil    = {`, "included = [\"coil\"]\ncoil    = {", []string{`the coil has a drop of its own but is included in the blower's table`}},
		{"squeezed flexible duct", `size = "6 in flex"`, `compression = "40 %", size = "6 in flex"`, []string{`"bed-2" is compressed by 40 %`}},
		{"near name of a room", "", "[room]\n\"bed  1\" = { zone = \"bed\" }\n", []string{`no register, grille or door is in room "bed  1"`, `[room] has no room "bed 1"`}},
		{"other number of a room", "", "[room]\n\"bed 1\" = { zone = \"bed\" }\n", nil},
		{"celsius for fahrenheit", "", "[weather]\nhot = { mode = \"cooling\", outdoor = 35, indoor = \"75 F\" }\n", []string{`cooling weather with 35.0 °F outdoors`}},
		{"supply air of the other mode", "", "[weather]\nhot = { mode = \"cooling\", supply-air = \"120 F\" }\n", []string{`supply air of 120.0 °F does not serve cooling with 75.0 °F indoors`}},
		{"heating in summer", "", "[weather]\ncold = { mode = \"heating\", outdoor = \"80 F\", indoor = \"70 F\" }\n", []string{`heating weather that is warmer outdoors than indoors`}},
		{"idle box", "", "[box]\nfar = {}\n", []string{`box "far" is tied to nothing`}},
		{"set airflow on a blower with taps", `tap = "medium"`, `tap = "medium", airflow = "700 cfm"`, []string{`heating sets an airflow, but the blower only has taps`}},
	} {
		t.Run(test.name, func(t *testing.T) {
			text := small + test.new
			if test.old != "" {
				require.Contains(t, small, test.old)
				text = strings.Replace(small, test.old, test.new, 1)
			}
			job, found := Read("small.toml", []byte(text), Options{})
			require.NotNil(t, job, "%s", found)
			var got []string
			for _, d := range found {
				got = append(got, d.Summary)
			}
			assert.ElementsMatch(t, test.want, got)
		})
	}
}

// A piece of a blower's table that rises is its stall: unusual, but it can be solved.
func TestStallIsACaution(t *testing.T) {
	text := strings.Replace(small, `blower  = { table = "generic psc 2 ton" }`, "", 1) + `
[blower]
kind   = "multi-tap"
static = [0.1, 0.3, 0.5]
[blower.tap]
high   = { airflow = [900, 910, 700] }
medium = { airflow = [700, 650, 500], watts = [400, 380, 350] }
`
	job, found := Read("small.toml", []byte(text), Options{})
	require.NotNil(t, job, "%s", found)
	require.Len(t, found, 1)
	assert.Equal(t, `the airflow of tap "high" rises here although the static rises`, found[0].Summary)
	require.Len(t, job.Blower.Taps, 2)
	assert.Equal(t, "high", job.Blower.Taps[0].Name, "file order")
}
