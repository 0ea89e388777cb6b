package network

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// PLACE = VALUE by call state is the same reading as a [reading] line: kind, place, value and
// uncertainty.
func TestReadingsByState(t *testing.T) {
	g, states := house(t)
	read := func(text string) *Readings {
		r, found := ReadReadings("r.toml", []byte(text), g, states)
		require.NotNil(t, r, "%s\n%s", text, found)
		return r
	}
	long := read(`[reading]
a = { at = "blower inlet", static = "-0.35 inwc", state = "cooling: main" }
b = { at = "kitchen", airflow = "69 cfm", state = "cooling: main" }
c = { at = "kitchen", airflow = "72 cfm", with = "field hood", state = "cooling: main" }
d = { across = "filter", drop = "0.21 inwc", sigma = "0.01 inwc", state = "cooling: loft" }
e = { rise = "-18 F", state = "cooling: loft" }
f = { watts = "410 W", state = "cooling: loft" }
g = { at = "kitchen", face-velocity = "600 fpm", state = "cooling: loft" }
h = { at = "kitchen", temperature = "55 F", state = "cooling: loft" }
`)
	short := read(`outdoor = "88 F"
[state."cooling: main"]
"blower inlet" = "-0.35 inwc"
kitchen = ["69 cfm", "72 cfm, field hood"]
[state."cooling: loft"]
filter = "0.21 inwc +- 0.02 inwc"
rise = "-18 F"
blower = "410 W"
"kitchen register" = "600 fpm"
kitchen = "55 F"
`)
	require.Len(t, short.List, len(long.List))
	names := map[string]bool{}
	for i := range long.List {
		a, b := long.List[i], short.List[i]
		names[b.Name] = true
		a.Name, b.Name, a.Where = "", "", b.Where
		assert.Equal(t, a, b, long.List[i].Name)
	}
	assert.Len(t, names, len(short.List), "every reading has a name of its own")
	assert.Nil(t, long.Outdoor)
	assert.InDelta(t, (88-32)/1.8, *short.Outdoor, 1e-9)
	for text, want := range map[string]string{
		"kitchen = \"69\"":              "what was measured?",
		"kitchen = 69":                  "but a reading is meant",
		"kitchen = \"about 69 cfm\"":    "is not what an instrument shows",
		"kitchen = \"60 to 70 cfm\"":    "is not what an instrument shows",
		"kitchen = \"69 cfm +-\"":       "does not say how far",
		"kitchen = \"69 cfm, hood\"":    `there is no instrument "hood"`,
		"kitchen = \"69 furlongs\"":     "what was measured?",
		"kitchin = \"69 cfm\"":          `did you mean "kitchen"?`,
		"kitchen = \"99999 cfm\"":       "is the unit right?",
		"kitchen = \"69 cfm +- x cfm\"": "does not say how far",
	} {
		r, found := ReadReadings("r.toml", []byte("[state.\"cooling: main\"]\n"+text+"\n"), g,
			states)
		assert.Nil(t, r, text)
		assert.Contains(t, found.Error(), want, text)
		assert.Len(t, strings.Split(strings.TrimSpace(found.Error()), "\n\n"), 1, text)
	}
	_, found := ReadReadings("r.toml", []byte("outdoor = \"880 F\"\n[state.\"cooling: up\"]\nkitchen = \"69 cfm\"\n"), g, states)
	assert.Contains(t, found.Error(), "outdoor temperature cannot be")
	assert.Contains(t, found.Error(), `no call state "cooling: up"`)
}
