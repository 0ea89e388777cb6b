package network

import (
	"math"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
)

func readSet(t *testing.T, set ...string) *Job {
	t.Helper()
	job, found := Read("s.toml", []byte(small), Options{Set: set})
	require.NotNil(t, job, "%v\n%s", set, found)
	return job
}

// Middle, span and shape of each form, for every kind of quantity. The factors of "about" are our
// choice.
func TestDoubtOfEveryKind(t *testing.T) {
	const ft, degF = 0.3048, 5.0 / 9
	for _, c := range []struct {
		set               string
		middle, low, high float64 // in the unit that one stands for
		one               float64
		shape             string
	}{
		{"supply.living.length=about 20 ft", 20, 16, 25, ft, BellShape},
		{"supply.living.length=20 ft +- 2 ft", 20, 18, 22, ft, BellShape},
		{"supply.living.length=10 to 30 ft", 20, 10, 30, ft, EvenShape},
		{"supply.living.length=12 ft (10 to 30 ft)", 12, 10, 30, ft, EvenShape},
		{"supply.living.length=10 ft to 4 m", (10*ft + 4) / 2, 10 * ft, 4, 1, EvenShape},
		{"supply.living.length=unknown", 12, 5, 30, ft, EvenShape},
		{"supply.day-trunk.length=unknown", 14, 5, 30, ft, EvenShape},
		{"supply.living.size=about 7 in", 7, 6, 8, 0.0254, BellShape},
		{"supply.living.size=7 in +- 1 in", 7, 6, 8, 0.0254, BellShape},
		{"supply.living.size=6 to 8 in", 7, 6, 8, 0.0254, EvenShape},
		{"supply.living.size=unknown", 8, 7, 9, 0.0254, EvenShape}, // 12x6
		{"zone.day.wants=about 500 cfm", 500, 425, 575, 0.3048 * 0.3048 * 0.3048 / 60, BellShape},
		{"zone.day.wants=500 cfm +- 10 %", 500, 450, 550, 0.3048 * 0.3048 * 0.3048 / 60, BellShape},
		{"zone.day.heat-loss=about 20 kBtu/h", 20, 17, 23, 293.07107, BellShape},
		{"damper.day.stop=about 25 %", 25, 25 - 100*5/90.0, 25 + 100*5/90.0, 0.01, BellShape},
		{"damper.day.stop=25 % +- 9 deg", 25, 15, 35, 0.01, BellShape},
		{"damper.day.stop=36 deg from shut (20 to 60 %)", 40, 20, 60, 0.01, EvenShape},
		{"damper.day.leakage=about 3 %", 3, 1.5, 6, 0.01, BellShape},
		{"leakage.supply=about 4 % of blower at 25 Pa", 4, 2, 8, 0.01, BellShape},
		{"leakage.supply=4 % (2 to 8 %) of blower at 25 Pa to attic", 4, 2, 8, 0.01, EvenShape},
		{"leakage.supply=20 to 60 cfm at 25 Pa", 40, 20, 60, 0.3048 * 0.3048 * 0.3048 / 60,
			EvenShape},
		{"equipment.filter.loading=about 1.5", 1.5, 1, 2.25, 1, BellShape},
		{"equipment.filter.loading=1.5 (1 to 4)", 1.5, 1, 4, 1, EvenShape},
		{"equipment.filter.loading=unknown", 1.5, 1, 4, 1, EvenShape},
		{"equipment.filter.drop=0.08 inwc +- 0.02 inwc", 0.08, 0.06, 0.10, 249.08891, BellShape},
		{"supply.living.fittings=[\"unknown elbows\"]", 2, 0, 5, 1, EvenShape},
		{"supply.living.fittings=[\"1 to 4 elbow 45\", \"boot 90\"]", 2, 1, 4, 1, EvenShape},
	} {
		job := readSet(t, c.set)
		require.Len(t, job.Doubts, 1, c.set)
		d := job.Doubts[0]
		path, _, _ := strings.Cut(c.set, "=")
		assert.Equal(t, path, d.Path)
		assert.Equal(t, c.shape, d.Shape, c.set)
		for k, pair := range [][2]float64{{c.middle, d.Middle}, {c.low, d.Low}, {c.high, d.High}} {
			assert.InEpsilon(t, c.one*pair[0]+1, pair[1]+1, 1e-6, "%s: %d", c.set, k)
		}
		// An override by its own middle or end is read as that, without doubt.
		for _, x := range []float64{d.Middle, d.High} {
			path, value := d.Override(x)
			other := readSet(t, c.set, path+"="+value)
			assert.Empty(t, other.Doubts, "%s=%s", path, value)
			if d.Kind != quantity.Unknown && d.Kind != quantity.KindSize && !strings.HasPrefix(path,
				"leakage") {
				g, err := Build(other)
				require.NoError(t, err)
				if list := g.Settings(path); len(list) == 1 {
					assert.InEpsilon(t, x, list[0].Value, 1e-9, "%s=%s", path, value)
				}
			}
		}
	}
	job := readSet(t, "weather.hot={ mode = \"cooling\", outdoor = \"about 95 F\" }",
		"weather.cold={ mode = \"heating\" }")
	assert.InDelta(t, 4*degF, job.Doubts[0].High-job.Doubts[0].Low, 1e-9)
}

// What cannot be meant is refused, with what would be right.
func TestDoubtRefused(t *testing.T) {
	for set, want := range map[string]string{
		"supply.living.length=30 to 10 ft":         `write "10 ft to 30 ft"`,
		"supply.living.length=about":               `write "about 20 ft"`,
		"supply.living.length=20 ft +- ":           "does not say how far",
		"supply.living.length=20 ft (30 to 40 ft)": "20 ft lies outside 30 ft to 40 ft",
		"supply.living.length=20 ft +- 30 ft":      "beyond what there can be",
		"supply.living.length=~0 ft":               "nothing is about zero",
		"supply.living.length=10 cfm to 30 ft":     "but a length is meant here",
		"supply.living.length=10 to 1400 ft":       "1400 ft, outside",
		"supply.day-trunk.size=unknown":            "it ends in no register",
		"supply.trunk.size=about 16x8 in":          "only a round size can be in doubt",
		"supply.living.register=about 12x6 in":     "only the size of a run",

		"supply.living.fittings=[\"unknown elbow\",\"about 2 elbow\"]": "one count in doubt, not two",

		"equipment.max-static=about 0.5 inwc":    "a rating or a limit has no doubt",
		"limits.max-static=about 0.5 inwc":       "a rating or a limit has no doubt",
		"equipment.max-static=unknown":           "a rating or a limit has no doubt",
		"equipment.cooling.capacity=unknown":     "cannot be unknown",
		"doubt.\"supply.*.length\"=x 1.3 to 0.8": "is not a range of factors",
		"doubt.\"supply.*.length\"=often":        "does not say how far",
	} {
		job, found := Read("s.toml", []byte(small), Options{Set: []string{set}})
		assert.Nil(t, job, set)
		assert.Contains(t, found.Error(), want, set)
		assert.Len(t, found.Errors(), 1, set)
	}
	_, found := Read("s.toml", []byte(small),
		Options{Set: []string{"supply.living.length=6 to 130 ft"}})
	assert.Contains(t, found.Error(), "130 ft, unusually large",
		"both ends are held against what is usual")
	_, found = Read("s.toml", []byte(small),
		Options{Set: []string{"supply.living.length=2 in to 20 ft"}})
	assert.Contains(t, found.Error(), "2 in, unusually small")
}

// V (V to V) is V: everywhere in every example, to the last digit.
func TestCertainSpanIsTheValue(t *testing.T) {
	files, err := filepath.Glob("../testdata/jobs/long/*.toml")
	require.NoError(t, err)
	written := regexp.MustCompile(`"[0-9.]+ ?(ft|in|m|mm|cfm|l/s|` +
		`inwc|Pa|%|F|C|ton|kBtu/h|kW|W|ft2|m2)"`)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		plain, _ := Read(file, data, Options{})
		require.NotNil(t, plain)
		strip := func(j *Job) *Job {
			other := *j
			other.tree, other.source = nil, nil
			return &other
		}
		taken, places := 0, written.FindAllIndex(data, -1)
		if testing.Short() {
			places = places[:min(len(places), 60)]
		}
		for _, at := range places {
			v := string(data[at[0]+1 : at[1]-1])
			if before := string(data[:at[0]]); strings.HasSuffix(before, "from = ") ||
				strings.HasSuffix(before, "to = ") || strings.HasSuffix(before, "by = ") {
				continue // the ends of a row of [spread], which are kept as they are written
			}
			text := string(data[:at[0]]) + strconv.Quote(v+" ("+v+" to "+v+")") +
				string(data[at[1]:])
			job, found := Read(file, []byte(text), Options{})
			if job == nil {
				assert.Regexp(t, "no doubt|takes no|only the size", found.Error(), v)
				continue
			}
			assert.True(t, reflect.DeepEqual(strip(plain), strip(job)), "%s: %s at %d", file, v,
				at[0])
			taken++
		}
		assert.Greater(t, taken, len(places)/3, file)
	}
}

// A house of which only sizes and statics are known is read whole, every prior told as an
// assumption and no zone judged by a want that nobody knows.
func TestSizesOnly(t *testing.T) {
	data, err := os.ReadFile("../testdata/jobs/sizes-only.toml")
	require.NoError(t, err)
	job, found := Read("sizes-only.toml", data, Options{})
	require.NotNil(t, job, found)
	_, err = Build(job)
	require.NoError(t, err)
	told := map[string]bool{}
	for _, a := range job.assumed {
		told[a.Path] = true
	}
	for _, d := range job.Doubts {
		assert.Equal(t, d.Prior != "", told[d.Path] && strings.Contains(d.Text, "unknown") ||
			d.Text == "not given", d.Path)
		assert.False(t, math.IsNaN(d.Middle) || d.Low >= d.High, d.Path)
	}
	for _, z := range job.Zones {
		assert.True(t, z.WantsUnknown, z.Name)
	}
	again, found := Read("sizes-only.toml", data,
		Options{Set: []string{"equipment.filter.loading=2", "equipment.coil.drop=0.2 inwc"}})
	require.NotNil(t, again, "what is unknown can be set: %s", found)
	assert.Len(t, again.Doubts, len(job.Doubts)-2)
}

// [doubt] and [spread] are one table.
func TestDoubtTable(t *testing.T) {
	const table = "\n[%s]\nflex = { of = \"supply.*.length\", share = \"10 %%\" }\n" +
		"\"supply.*.length\" = \"x 0.8 to 1.3\"\n" +
		"\"damper.day.stop\" = \"+- 5 deg\"\n\"zone.day.wants\" = \"400 to 600 cfm\"\n"
	read := func(name string) *Job {
		job, found := Read("s.toml", []byte(small+strings.ReplaceAll(strings.ReplaceAll(table, "%s",
			name), "%%", "%")), Options{})
		require.NotNil(t, job, found)
		return job
	}
	job := read("doubt")
	assert.Equal(t, read("spread").Spread, job.Spread)
	require.Len(t, job.Spread, 4)
	assert.Equal(t, [2]float64{0.8, 1.3}, job.Spread[1].Factor)
	assert.Equal(t, "supply.*.length", job.Spread[1].Of)
	assert.Equal(t, "5 deg", job.Spread[2].By)
	assert.Equal(t, BellShape, job.Spread[2].Shape)
	assert.Equal(t, [2]string{"400 cfm", "600 cfm"}, [2]string{job.Spread[3].From,
		job.Spread[3].To})
	_, found := Read("s.toml",
		[]byte(small+"\n[doubt]\na = { of = \"x\", share = \"5 %\" }\n"+
			"[spread]\na = { of = \"x\", share = \"5 %\" }\n"), Options{})
	assert.Contains(t, found.Error(), `"a" is in [spread] and in [doubt]`)
}

// Overrides of local settings take the quick way beside doubts and come to the same.
func TestDoubtWithLocalSettings(t *testing.T) {
	job := readSet(t, "damper.day.stop=25 % (10 to 40 %)", "supply.living.length=about 14 ft",
		"equipment.filter.loading=unknown")
	g, err := Build(job)
	require.NoError(t, err)
	for _, set := range []string{"damper.day.stop=30 %", "equipment.filter.loading=2",
		"equipment.filter.drop=0.1 inwc", "damper.day.stop=about 30 %"} {
		quick, found := g.With(set)
		require.NotNil(t, quick, found)
		whole, found := Read("s.toml", []byte(small), Options{Set: append([]string{},
			append(job.source.opt.Set, set)...)})
		require.NotNil(t, whole, found)
		assert.Equal(t, whole.Doubts, quick.Job.Doubts, set)
		assert.Equal(t, whole.assumed, quick.Job.assumed, set)
	}
}
