package network

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
)

// Values that are said as a change of what is there: the arithmetic is plain.
func TestRelativeValues(t *testing.T) {
	for _, c := range []struct{ was, said, want, problem string }{
		{"20 ft", "x 1.2", "24 ft", ""},
		{"7 in", "+ 1 in", "8 in", ""},
		{"7 in flex", "+ 1 in", "8 in flex", ""},
		{"40 %", "- 15 %", "25 %", ""},
		{"0.1 inwc", "+ 0.2 inwc", "0.3 inwc", ""},
		{"75 F", "+ 3 F", "78 F", ""},
		{"10 to 30 ft", "x 1.2", "12 to 36 ft", ""},
		{"20 ft +- 2 ft", "x 0.5", "10 ft +- 1 ft", ""},
		{"1450 ft2", "x 2", "2900 ft2", ""},
		{"4 % of blower at 25 Pa", "x 2", "", "that is not one number with its unit"},
		{"20 ft", "x 0.8 to 1.3", "20 ft (16 ft to 26 ft)", ""},
		{"75 F", "x 1.1", "", "a temperature has no factor"},
		{"10x6", "x 1.2", "", "a section has two sides"},
		{"10x6", "+ 1 in", "", "that is not one number with its unit"},
		{"20 ft", "+ 3 in", "", `the amount is to be in the unit of the value, "ft"`},
		{"20 ft", "x 0", "", "a factor is above zero, and the smaller of two comes first"},
	} {
		r := &reader{}
		over := &node{leaf: c.said}
		require.True(t, r.relative(&node{leaf: c.was}, over, []string{"a", "b"}), c.said)
		if c.problem == "" {
			assert.Empty(t, r.found, c.said)
			assert.Equal(t, c.want, over.leaf, "%s, %s", c.was, c.said)
		} else {
			require.Len(t, r.found, 1, "%s, %s: %v", c.was, c.said, over.leaf)
			assert.Contains(t, r.found[0].Summary, c.problem)
		}
	}
	r := &reader{}
	for _, value := range []string{"-9 ft", "+9 ft", "xyz", "x", "20 ft", "2x elbow",
		"10 to 30 ft"} {
		assert.False(t, r.relative(&node{leaf: "1 ft"}, &node{leaf: value}, []string{"a"}), value)
	}
}

// A change of one part, of all by a star, of all downstream, and by a flag, is one grammar.
func TestRelativeInJobs(t *testing.T) {
	job, said := exampleWith(t, "two-floor", `supply.kitchen.size = "+ 1 in"
"from.loft-riser.*.length" = "x 1.5"
"damper.*.stop" = "5 %"
`)
	require.NotNil(t, job, said)
	assert.InDelta(t, 8*quantity.Inch, job.line("kitchen").Size.Width, 1e-12)
	assert.InDelta(t, 1.5*9*quantity.Foot, float64(job.line("study").Length), 1e-12)
	assert.InDelta(t, 14*quantity.Foot, float64(job.line("kitchen").Length), 1e-12)
	assert.InDelta(t, 0.05, float64(job.Dampers[1].Stop), 1e-12)

	job, said = exampleWith(t, "two-floor", "\"from.trunk.**.length\" = \"x 2\"\n")
	require.NotNil(t, job, said)
	assert.InDelta(t, 2*14*quantity.Foot, float64(job.line("kitchen").Length), 1e-12)
	assert.InDelta(t, 2*20*quantity.Foot, float64(job.line("loft-riser").Length), 1e-12)
	assert.InDelta(t, 6*quantity.Foot, float64(job.line("trunk").Length), 1e-12)

	_, said = exampleWith(t, "two-floor", "supply.kitchen.insulation = \"x 2\"\n")
	assert.Contains(t, said, `"x 2": the file does not give what this is to change`)
	_, said = exampleWith(t, "two-floor", "damper.main.stop = \"0 to 60 % step 5 %\"\n")
	assert.Contains(t, said, "is a range to choose from, but a value is meant")
}

// [usual] serves parts that do not say it themselves, after "each".
func TestUsual(t *testing.T) {
	usual := "\n[usual]\n" +
		"branch = \"R-8, attic, tap 45\"\ntrunk = \"R-6\"\ndamper = \"leakage 2 %\"\n"
	data := []byte(usual)
	job, said := exampleWith(t, "two-floor", "")
	require.NotNil(t, job, said)
	assert.Equal(t, "inside", job.line("kitchen").Place)
	source := append(job.source.data, data...)
	job, found := Read("u.toml", source, Options{})
	require.NotNil(t, job, "%s", found)
	assert.Equal(t, "attic", job.line("kitchen").Place)
	assert.Equal(t, "wye 45", job.line("kitchen").Fittings[0].Name, "each comes before usual")
	assert.NotZero(t, job.line("trunk").Insulation)
	assert.Less(t, float64(job.line("trunk").Insulation), float64(job.line("hall").Insulation))
	assert.NotEqual(t, "attic", job.line("trunk").Place)
	_, found = Read("u.toml", append(source, "brnach = \"R-8\"\n"...), Options{})
	assert.Contains(t, found.Error(), `there is no usual "brnach"`)
}
