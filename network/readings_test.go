package network

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/catalog"
	"spillway/network/quantity"
)

const badReadings = "../testdata/badreadings"

// house is an installation to take readings on, with the names of its call states as its users have them.
func house(t testing.TB) (*Graph, []string) {
	t.Helper()
	data, err := os.ReadFile("../testdata/jobs/long/two-floor.toml")
	require.NoError(t, err)
	job, found := Read("two-floor.toml", data, Options{Alternative: "bypass-to-plenum", Set: []string{`port.riser={ at = "loft-riser start" }`}})
	require.NotNil(t, job, found.Error())
	g, err := Build(job)
	require.NoError(t, err)
	return g, []string{"cooling: main", "cooling: loft", "cooling: all zones", "heating: main", "heating: loft", "heating: all zones"}
}

// TestBadReadings holds the whole text that a person sees for every broken readings file against a golden file. The golden files were
// read one by one; -update rewrites them.
func TestBadReadings(t *testing.T) {
	g, states := house(t)
	files, err := filepath.Glob(filepath.Join(badReadings, "*.toml"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 9)
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".toml")
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			r, found := ReadReadings(name+".toml", data, g, states)
			assert.Nil(t, r)
			assert.True(t, found.HasErrors())
			golden(t, filepath.Join(badReadings, name+".golden"), found)
		})
	}
}

func TestReadings(t *testing.T) {
	g, states := house(t)
	r, found := ReadReadings("r.toml", []byte(`
note  = "first visit"
state = "cooling: loft"

[reading]
inlet  = { at = "Blower Inlet", static = -0.31 }
riser  = { at = "riser", static = "40 Pa", state = "heating: loft", with = "manometer" }
behind = { at = "bed-2 end", total = "0.10 inwc" }
hood   = { at = "bed-2", airflow = "96 cfm", sigma = "8 %" }
grille = { at = "hall-grille", airflow = 500 }
face   = { at = "study", face-velocity = "500 fpm" }
filter = { across = "filter", drop = "0.21 inwc" }
main   = { across = "main", drop = "0.05 inwc" }
whole  = { between = ["supply plenum", "return plenum"], drop = "0.40 inwc", sigma = "0.02 inwc" }
warm   = { at = "loft-bed", temperature = "55 F" }
rise   = { rise = "-20 F" }
loud   = { at = "loft bed", sound = 41 }
power  = { watts = "540 W" }
`), g, states)
	require.Empty(t, found)
	require.NotNil(t, r)
	assert.Equal(t, "first visit", r.Note)
	assert.Equal(t, quantity.IP, r.Units)
	require.Len(t, r.List, 13)
	by := map[string]Reading{}
	for _, x := range r.List {
		by[x.Name] = x
	}
	const inwc = 249.089 // Pa, from the definition
	assert.InDelta(t, -0.31*inwc, by["inlet"].Value, 1e-9)
	assert.Equal(t, "cooling: loft", by["inlet"].State)
	assert.Equal(t, g.NodeNamed(BlowerInlet), by["inlet"].Place.Node)
	assert.InDelta(t, math.Hypot(0.01*0.31*inwc, 0.01*inwc), by["inlet"].Sigma, 1e-9, "1 % and 0.01 in. of water, as squares")
	assert.Equal(t, "heating: loft", by["riser"].State)
	assert.InDelta(t, math.Hypot(0.4, 1), by["riser"].Sigma, 1e-9, "1 % and 1 Pa")
	assert.GreaterOrEqual(t, by["riser"].Place.Start, 0)
	assert.InDelta(t, 0.08*96*4.719474432e-4, by["hood"].Sigma, 1e-12)
	assert.True(t, by["hood"].SigmaGiven)
	assert.Equal(t, "bed-2", g.Registers[by["hood"].Place.Register].Line)
	assert.Equal(t, KindGrille, g.Elements[by["grille"].Place.Element].Kind)
	assert.Equal(t, "filter", g.Elements[by["filter"].Place.Element].Name)
	assert.Equal(t, "main damper", g.Elements[by["main"].Place.Element].Name)
	require.NotNil(t, by["whole"].Place.Behind)
	assert.Equal(t, g.NodeNamed(ReturnPlenum), by["whole"].Place.Behind.Node)
	assert.InDelta(t, -20/1.8, by["rise"].Value, 1e-9)
	assert.Equal(t, "loft bed", by["loud"].Place.Room)
}

// Every kind of reading has a usual instrument, and every instrument a source.
func TestInstrumentsHaveSources(t *testing.T) {
	for _, k := range readingKinds() {
		i := InstrumentFor(k)
		assert.NotEqual(t, "instrument", i.Name, k)
		assert.Contains(t, i.Kinds, k)
	}
	for _, i := range Instruments() {
		assert.NotEmpty(t, i.Source.Text, i.Name)
		assert.Positive(t, i.Sigma(1), i.Name)
		assert.LessOrEqual(t, i.Source.Mark, catalog.OurChoice)
	}
}

// What instruments are good for, as their sources say it: half of a ± of two standard deviations, squares added.
func TestInstrumentsAsTheirSourcesSay(t *testing.T) {
	const inwc, cfm = quantity.InchWater, quantity.CFM
	for _, c := range []struct {
		name, source string
		at, want     float64
	}{
		{"manometer", "NREL Standard Work Specification 662014: 1 Pa; Title 24 Reference Appendices RA3.7: 1 %", 100, math.Sqrt2},
		{"static probe", "±0.02 in. of water at best (from memory)", 0, 0.01 * inwc},
		{"pressure gauge", "2 % of a range of 0.5 in. of water (from memory)", 0, 0.02 * 0.5 * inwc},
		{"flow hood", "flow hoods 5 to 10 %, NREL field-test notes; floor of 3 cfm (our choice)", 100 * cfm, math.Hypot(5, 3) * cfm},
		{"powered hood", "about 6 %, Lawrence Berkeley National Laboratory", 1000 * cfm, math.Hypot(30, 2) * cfm},
		{"two thermometers", "two of ±2 °F (from memory)", 40, math.Sqrt2 / 1.8},
		{"wattmeter", "2 to 3 % (from memory)", 400, math.Hypot(8, 3)},
	} {
		i, ok := InstrumentNamed(c.name)
		require.True(t, ok, c.name)
		assert.InEpsilon(t, c.want, i.Sigma(c.at), 1e-9, c.name)
	}
}

// Every place that is offered can be read back under its own name.
func TestEverySpotIsFoundByItsName(t *testing.T) {
	g, states := house(t)
	values := map[ReadingKind]string{StaticReading: `"10 Pa"`, TotalReading: `"10 Pa"`, DropReading: `"10 Pa"`, AirflowReading: `"50 l/s"`, FaceReading: `"2 m/s"`,
		TemperatureReading: `"20 C"`, SoundReading: "40"}
	for kind, value := range values {
		for _, s := range g.Spots(kind) {
			place := "at"
			name := s.Name
			if kind == DropReading {
				place, name = "across", strings.TrimPrefix(name, "across ")
			}
			r, found := ReadReadings("r.toml", []byte("state = \"cooling: loft\"\n[reading]\nx = { "+place+" = \""+name+"\", "+string(kind)+" = "+value+" }\n"), g, states)
			require.NotNil(t, r, found.Error())
			assert.Equal(t, s, r.List[0].Place)
		}
	}
}
