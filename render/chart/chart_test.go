package chart_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/render/chart"
	"spillway/render/ink"
	"spillway/solver/state/statetest"
)

// valid reads an SVG as XML to its end; ids are unique and no number is NaN.
func valid(t *testing.T, doc []byte) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(doc))
	ids := map[string]bool{}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return
		}
		require.NoError(t, err)
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range e.Attr {
			require.NotContains(t, a.Value, "NaN", e.Name.Local)
			if a.Name.Local == "id" {
				require.False(t, ids[a.Value], "id %q twice", a.Value)
				ids[a.Value] = true
			}
		}
	}
}

// Every chart of every state of every example can be read.
func TestEveryChart(t *testing.T) {
	for _, name := range networktest.Examples(t) {
		t.Run(name, func(t *testing.T) {
			outcomes := statetest.SolveAll(t, networktest.Graph(t, name, ""))
			for i := range outcomes {
				for _, f := range everyChart(outcomes, i, outcomes[i].Graph.Job.Units) {
					if f == nil {
						continue
					}
					var b, again bytes.Buffer
					require.NoError(t, chart.Write(&b, f, chart.Options{Prefix: "a", Bare: true}))
					require.NoError(t, chart.Write(&again, f, chart.Options{Prefix: "a", Bare: true}))
					assert.True(t, bytes.Equal(b.Bytes(), again.Bytes()))
					valid(t, b.Bytes())
					assert.NotEmpty(t, f.Title)
					assert.NotEmpty(t, f.Desc)
				}
			}
		})
	}
}

func TestAnyNameIsValidXML(t *testing.T) {
	name := "<b>\"'&]]>\x00\x1f\xff 🏠 שלום " + strings.Repeat("long ", 40)
	f := &chart.Figure{Title: name, Desc: name, X: chart.Axis{Label: name}, Y: chart.Axis{Label: name},
		Lines: []chart.Line{{Name: name, Label: name, Points: []chart.XY{{X: 0, Y: math.NaN()}, {X: 1, Y: 2}, {X: math.Inf(1), Y: 2}, {X: 3, Y: 1}}}},
		Marks: []chart.Mark{{At: chart.XY{X: 1, Y: 2}, Name: name, Label: name, Strong: true}},
		Notes: []chart.Note{{X: 2, Text: name}}, Bands: []chart.Band{{From: 1.5, To: math.Inf(1), Rule: 1.5, Text: name, Level: chart.Fault}},
		Key: []chart.Key{{Text: name}, {Text: name, Fill: "surplus"}}}
	for _, theme := range []ink.Theme{ink.Auto, ink.Light, ink.Dark, ink.Print} {
		var b bytes.Buffer
		require.NoError(t, chart.Write(&b, f, chart.Options{Theme: theme, Prefix: name}))
		valid(t, b.Bytes())
	}
}

// The operating point lies on the blower's curve: that is what it is.
func TestBlowerCurveMeetsItsPoint(t *testing.T) {
	for _, name := range networktest.Examples(t) {
		outcomes := statetest.SolveAll(t, networktest.Graph(t, name, ""))
		for i, o := range outcomes {
			f := chart.Blower(outcomes, nil, i, quantity.SI)
			require.NotNil(t, f)
			var at chart.XY
			for _, m := range f.Marks {
				if m.Strong {
					at = m.At
				}
			}
			nearest := math.Inf(1)
			for _, l := range f.Lines {
				if l.Style != chart.Strong {
					continue
				}
				for k := 1; k < len(l.Points); k++ {
					nearest = math.Min(nearest, distance(at, l.Points[k-1], l.Points[k]))
				}
			}
			if !o.Blower.OffTable {
				assert.Less(t, nearest, 1.0, "%s, %s: l/s and Pa off the curve", name, o.State.Name)
			}
		}
	}
}

func distance(p, a, b chart.XY) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	f := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		f = math.Max(0, math.Min(1, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/l))
	}
	return math.Hypot(p.X-a.X-f*dx, p.Y-a.Y-f*dy)
}

// The air's way begins and ends in the house, at the house's pressure, and total pressure falls along it but in the blower: friction
// takes, only the blower gives. A room behind its door may stand a few Pa off.
func TestWayIsAWay(t *testing.T) {
	for _, name := range networktest.Examples(t) {
		for _, o := range statetest.SolveAll(t, networktest.Graph(t, name, "")) {
			f := chart.Way(o, quantity.SI)
			require.NotNil(t, f, o.State.Name)
			total := f.Lines[1].Points
			assert.InDelta(t, 0, total[0].Y, 6, "%s, %s", name, o.State.Name)
			assert.InDelta(t, 0, total[len(total)-1].Y, 6, "%s, %s", name, o.State.Name)
			rises, rise := 0, 0.0
			for k := 1; k < len(total); k++ {
				if d := total[k].Y - total[k-1].Y; d > 8 { // a warm riser lifts a few Pa
					rises, rise = rises+1, d
				}
			}
			assert.Equal(t, 1, rises, "%s, %s", name, o.State.Name)
			assert.Greater(t, rise, o.Blower.ExternalStatic*0.5)
		}
	}
}

// Bars say what the outcome says: in the example the loft's registers get more than they want when it calls alone.
func TestAirflowBars(t *testing.T) {
	outcomes := statetest.SolveAll(t, networktest.Graph(t, "two-floor", ""))
	o := outcomes[named(t, outcomes, "design-cooling: loft")]
	f := chart.Airflow(o, quantity.IP)
	require.Len(t, f.Bars, len(o.Registers))
	for i, b := range f.Bars {
		assert.InDelta(t, o.Registers[i].Airflow/quantity.CFM, b.Value, 1e-9)
		assert.Equal(t, o.Registers[i].Calling, b.Active)
		if b.Active {
			assert.InDelta(t, o.Registers[i].Wants/quantity.CFM, b.Target, 1e-9)
			assert.LessOrEqual(t, b.Asked, b.Target+1e-9)
		} else {
			assert.Zero(t, b.Asked, "nobody asked for bleed")
		}
	}
}

// An independent renderer draws every golden chart.
func TestOtherRenderer(t *testing.T) {
	tool, err := exec.LookPath("rsvg-convert")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("rsvg-convert is not installed, and under CI it must be: apt-get install librsvg2-bin")
		}
		t.Skip("rsvg-convert is not installed: no independent renderer looked at the charts")
	}
	files, err := filepath.Glob("testdata/*.svg")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		out, err := exec.Command(tool, file, "-o", filepath.Join(t.TempDir(), "x.png")).CombinedOutput()
		assert.NoError(t, err, "%s: %s", file, out)
	}
}
