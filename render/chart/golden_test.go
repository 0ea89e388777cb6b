package chart_test

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/render/chart"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

var update = flag.Bool("update", false, "rewrite the golden charts")

func named(t *testing.T, outcomes []*state.Outcome, name string) int {
	t.Helper()
	for i, o := range outcomes {
		if o.State.Name == name {
			return i
		}
	}
	require.Fail(t, "no such state", name)
	return -1
}

// TestGolden holds the drawing code still: plain invented numbers go in, so that only a change of the drawing changes a file. The
// files are regression values; read the pictures before they are committed.
func TestGolden(t *testing.T) {
	nan := math.NaN()
	figures := map[string]*chart.Figure{
		"sweep": chart.Sweep{
			Title: "Static at the blower", Setting: "main damper's stop, % open", Label: "in. w.c.", Now: 40,
			At:     []float64{0, 20, 40, 60, 80, 100},
			Curves: []chart.SweepCurve{{Name: "loft calls", Values: []float64{0.66, 0.6, 0.51, 0.44, 0.4, 0.39}}, {Name: "both call", Values: []float64{0.35, 0.35, 0.35, 0.35, nan, 0.35}}},
			Limits: []chart.SweepLimit{{Value: 0.5, Level: chart.Fault, Text: "rating plate, 0.50"}, {Value: 0.36, Below: true, Level: chart.Caution, Text: "least, 0.36"}},
		}.Figure(),
		"bars": {
			Title: `Bars <of> "every" & kind`, Desc: "bars", Y: chart.Axis{Label: "cfm", Zero: true},
			Bars: []chart.Bar{
				{Name: "wants more", Group: "a", Value: 80, Asked: 80, Target: 120, Active: true, Text: "80 of 120"},
				{Name: "gets more", Group: "a", Value: 150, Asked: 100, Target: 100, Active: true, Text: "150 of 100"},
				{Name: "bleed 🏠 <b>", Group: "b", Value: 40, Asked: 0, Target: nan, Text: "40"},
				{Name: "nothing known", Group: "b", Value: nan, Asked: nan, Target: nan},
				{Name: "drawn backwards", Group: "b", Value: -12, Asked: nan, Target: nan, Level: chart.Caution},
			},
			Key: []chart.Key{{Text: "asked for", Fill: "asked"}, {Text: "surplus", Fill: "surplus"}, {Text: "wanted", Fill: "target"}},
		},
		"empty": {Title: "Nothing to show", X: chart.Axis{Label: "x"}, Y: chart.Axis{Label: "y"}},
		"marks": {
			Title: "Lines and marks", X: chart.Axis{Label: "cfm", Zero: true}, Y: chart.Axis{Label: "Pa"},
			Lines: []chart.Line{{Name: "falls", Style: chart.Strong, Label: "tap high", Points: []chart.XY{{X: 0, Y: 200}, {X: 500, Y: 150}, {X: nan, Y: nan}, {X: 900, Y: 20}}}},
			Marks: []chart.Mark{{At: chart.XY{X: 500, Y: 150}, Name: "here", Label: "500 cfm, 150 Pa", Strong: true}, {At: chart.XY{X: 510, Y: 150}, Name: "there", Label: "too near to be named"}, {At: chart.XY{X: nan, Y: 1}}},
			Notes: []chart.Note{{X: 250, Text: "filter"}},
			Bands: []chart.Band{{Upright: true, From: 700, To: math.Inf(1), Level: chart.Neutral, Rule: 700, Text: "off the table"}},
		},
	}
	for _, name := range []string{"sweep", "bars", "empty", "marks"} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, chart.Write(&b, figures[name], chart.Options{}))
			file := filepath.Join("testdata", name+".svg")
			if *update {
				require.NoError(t, os.WriteFile(file, b.Bytes(), 0o666))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(want, b.Bytes()), "the drawing of %s changed: look at it, then run with -update", file)
		})
	}
}

// everyChart is every chart of one state.
func everyChart(outcomes []*state.Outcome, i int, sys quantity.System) []*chart.Figure {
	noise := make([]chart.NoiseOf, len(outcomes[i].Registers))
	for k := range noise {
		noise[k] = chart.NoiseOf{NC: 10 + 3*float64(k), Low: 2 + 3*float64(k), High: 22 + 3*float64(k), Target: 30, Fault: 35}
	}
	return []*chart.Figure{chart.Blower(outcomes, nil, i, sys), chart.Way(outcomes[i], sys), chart.Course(outcomes[i], sys), chart.Airflow(outcomes[i], sys), chart.Noise(outcomes[i], noise)}
}

// TestShow writes the charts of an example to a folder, to be looked at: SPILLWAY_SHOW=folder go test -run Show ./render/chart
func TestShow(t *testing.T) {
	folder := os.Getenv("SPILLWAY_SHOW")
	if folder == "" {
		t.Skip("writes pictures only when SPILLWAY_SHOW names a folder; it checks nothing")
	}
	outcomes := statetest.SolveAll(t, networktest.Graph(t, "two-floor", "bypass-to-plenum"))
	for _, name := range []string{"design-cooling: loft", "heating: loft"} {
		i := named(t, outcomes, name)
		for k, f := range everyChart(outcomes, i, quantity.IP) {
			var b bytes.Buffer
			require.NoError(t, chart.Write(&b, f, chart.Options{}))
			require.NoError(t, os.WriteFile(filepath.Join(folder, string(outcomes[i].State.Mode)+string(rune('0'+k))+".svg"), b.Bytes(), 0o666))
		}
	}
}
