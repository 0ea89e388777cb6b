package network_test

import (
	"flag"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/diag"
	"spillway/network/networktest"
)

var every = flag.Bool("every", false, "all four values of every local setting, not one in turn")

// tried are three values of each kind of local setting and one that cannot be, as a person types them.
var tried = map[string][]string{
	"Position": {"0 %", "36 deg from shut", "100 %", "140 %"},
	"Pressure": {"12 Pa", "0.25 inwc", "0.9 inwc", "-5 Pa"},
	"Fraction": {"3 %", "21 %", "80 %", "0.4"},
	"float64":  {"1", "1.7", "8", "-1"},
	"Angle":    {"20 deg", "45 deg", "70 deg", "200 deg"},
	"Airflow":  {"600 cfm", "900 cfm", "0.5 m3/s", "purple"},
	"bool":     {"true", "false", "true", "yes"},
	"Leak":     {"3 % of blower at 25 Pa", "40 cfm at 20 Pa", "2 % of blower at 25 Pa to attic", "4 % at 25 Pa"},
}

// A graph with settings changed is the graph of the file read with them, to the last figure, assumption and
// place, and what the reader refuses is refused in the same words: every local setting of every job.
func TestWithIsReading(t *testing.T) {
	local, compared := 0, 0
	for _, path := range networktest.Jobs(t) {
		data := networktest.File(t, path)
		alternatives := networktest.Alternatives(t, data)
		if testing.Short() {
			alternatives = alternatives[len(alternatives)-1:]
		}
		for n, alternative := range alternatives {
			base := networktest.Build(t, path, data, network.Options{Alternative: alternative})
			before := fmt.Sprint(base.Job.Assumptions)
			for k, setting := range network.LocalPaths(base.Job) {
				values := tried[setting.Type]
				require.Len(t, values, 4, setting.Type)
				if !*every {
					values = values[(k+n)%4:][:1]
				}
				for _, value := range values {
					if sameAsRead(t, base, path, data, alternative, setting.Path+"="+value) {
						local++
					}
					compared++
				}
			}
			assert.Equal(t, before, fmt.Sprint(base.Job.Assumptions), "the base is left alone")
		}
	}
	t.Logf("%d of %d without reading the file again", local, compared)
	assert.Greater(t, local, compared/6, "most others are refused, or make a part that is not there")
}

// Settings come together as the reader takes them: the last one holds, and what two of them make of each other
// counts, not the order.
func TestWithSeveral(t *testing.T) {
	data := networktest.Example(t, "three-zone")
	base := networktest.Graph(t, "three-zone", "weighted-bypass")
	for _, sets := range [][]string{
		{"bypass.relief.opens-at=0.7 inwc", "bypass.relief.fully-open-at=0.8 inwc"},
		{"bypass.relief.fully-open-at=0.25 inwc", "bypass.relief.opens-at=0.1 inwc"},
		{"bypass.relief.fully-open-at=0.25 inwc", "bypass.relief.opens-at=0.3 inwc"},
		{"damper.living.stop=10 %", "damper.living.open=60 %", "damper.living.stop=30 %"},
		{"damper.living.stop=10 %", "weather.design-heating.outdoor=10 F"},
		{"damper.living.stop=10 %", "damper.nobody.stop=10 %"},
		{"damper.living.stop"}, {"=3"}, {"units=si"}, {"leakage=3"}, {`supply."no such".sag=2`},
	} {
		sameAsRead(t, base, "three-zone.toml", data, "weighted-bypass", sets...)
	}
	next, found := base.With("damper.living.stop=10 %")
	require.NotNil(t, next, found)
	again, found := next.With("equipment.filter.loading=2")
	require.NotNil(t, again, found)
	want := networktest.Graph(t, "three-zone", "weighted-bypass", "damper.living.stop=10 %", "equipment.filter.loading=2")
	assert.True(t, reflect.DeepEqual(want, again), "one after the other")
}

// sameAsRead compares With against Read and Build, and reports whether With read nothing.
func sameAsRead(t *testing.T, base *network.Graph, name string, data []byte, alternative string, set ...string) bool {
	t.Helper()
	job, found := network.Read(name, data, network.Options{Alternative: alternative, Set: set})
	got, list := base.With(set...)
	if !assert.Equal(t, texts(found), texts(list), "%s %s %s", name, alternative, set) {
		return false
	}
	if job == nil {
		assert.Nil(t, got, set)
		return false
	}
	want, err := network.Build(job)
	require.NoError(t, err)
	if !reflect.DeepEqual(want, got) {
		for _, f := range [][3]any{{"job", want.Job, got.Job}, {"elements", want.Elements, got.Elements}, {"assumptions", want.Assumptions, got.Assumptions}} {
			assert.Equal(t, f[1], f[2], f[0])
		}
		require.Fail(t, "not the same graph", "%s %s %s", name, alternative, set)
	}
	return &got.Nodes[0] == &base.Nodes[0]
}

func texts(list diag.List) []string {
	var out []string
	for _, d := range list {
		out = append(out, d.Text())
	}
	slices.Sort(out)
	return out
}

// A setting's text says its value, in either system and in every kind that a job has.
func TestSettingText(t *testing.T) {
	seen := map[string]bool{}
	for _, system := range []string{"ip", "si"} {
		g := networktest.Graph(t, "two-floor", "bypass-to-plenum", "units="+system)
		for _, pattern := range []string{"supply.*.length", "damper.*.stop", "bypass.*.opens-at", "zone.*.wants", "zone.*.floor", "room.*.heat-loss", "supply.*.insulation",
			"supply.*.compression", "weather.*.outdoor", "equipment.filter.at", "equipment.filter.loading", "site.elevation", "limits.*.zone-drift", "nothing.*.at", "damper.*", "damper.a.b.c"} {
			for _, s := range g.Settings(pattern) {
				seen[s.Kind.String()] = true
				x, err := s.Parse(s.Text(s.Value))
				require.NoError(t, err, "%s %s", system, s.Path)
				assert.InEpsilon(t, s.Value+1000, x+1000, 1e-9, "%s %s", s.Path, s.Text(s.Value))
				assert.True(t, s.Most == 0 || s.Value == 0 || s.Least <= s.Value && s.Value <= s.Most, s.Path)
			}
		}
	}
	assert.GreaterOrEqual(t, len(seen), 7, strings.Join(strings.Fields(fmt.Sprint(seen)), " "))
}

// BenchmarkWith is one setting of a damper changed in the graph of the two-floor house, and read with the file.
func BenchmarkWith(b *testing.B) {
	data := networktest.Example(b, "two-floor")
	base := networktest.Graph(b, "two-floor", "")
	b.Run("changed", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			base.With("damper.main.stop=37 %")
		}
	})
	b.Run("read", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			networktest.Build(b, "two-floor.toml", data, network.Options{Set: []string{"damper.main.stop=37 %"}})
		}
	})
}
