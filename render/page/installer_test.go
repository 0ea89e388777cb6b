package page_test

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/render/page"
	"spillway/render/sheet"
	"spillway/solver/diagnose"
	"spillway/solver/state"
)

// The sheet for the installer expects of every reading what the commissioning sheet of a fit expects, with the same tolerance: readings
// that are just as expected go through the fit, and its sheet is searched for them.
func TestInstallerSheetExpectsWhatAFitExpects(t *testing.T) {
	d := dossier(t, "two-floor", networktest.Example(t, "two-floor"), false, 2, 0)
	v := d.Variants[0]
	g := v.In.Graph()
	html := string(written(t, d))
	_, html, _ = strings.Cut(html, `id="v0-sheet"`)
	_, html, _ = strings.Cut(html, "<h3>Then read</h3>")
	assert.Contains(t, html, escaped(sheet.Tolerances))
	cells := regexp.MustCompile(`<td class="n"[^>]*>([^<]*)</td><td class="n within">([^<]*)</td><td class="blank"></td>`).FindAllStringSubmatch(html, -1)
	var plan []diagnose.Query
	var values []diagnose.Value
	readings := &network.Readings{}
	for _, c := range v.Cases {
		for _, q := range diagnose.Commissioning(g, c.Outcome.State) {
			value := diagnose.Predict(c.Outcome, q.Kind, q.Place)
			usual := network.InstrumentFor(q.Kind)
			plan, values = append(plan, q), append(values, diagnose.Value{Value: value, Sigma: usual.Sigma(value)})
			readings.List = append(readings.List, network.Reading{Name: q.Place.Name, Kind: q.Kind, Place: q.Place, State: q.State, Value: value, Sigma: usual.Sigma(value)})
		}
	}
	require.Len(t, cells, len(plan))
	bench, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	result, err := bench.Fit(values)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, sheet.Write(&b, sheet.Commissioning(&sheet.Sheet{Units: d.Units, Job: g.Job}, &sheet.Fitted{Graph: g, Bench: bench, Result: result, Readings: readings}), "text", sheet.Style{}))
	found := b.String()
	rows := len(plan) / len(v.Cases)
	for i, q := range plan {
		// On the page a row holds all states, on the fit's sheet a state holds all rows.
		cell := cells[i%rows*len(v.Cases)+i/rows]
		row := regexp.MustCompile(fmt.Sprintf(`(?m)^ +%s +\S.* %s +%s +%s `, regexp.QuoteMeta(q.Place.Name), q.Kind, regexp.QuoteMeta(cell[1]), regexp.QuoteMeta(cell[2])))
		_, part, ok := strings.Cut(found, q.State+"\n")
		require.True(t, ok, q.State)
		if next := i/rows + 1; next < len(v.Cases) {
			part, _, _ = strings.Cut(part, v.Cases[next].Outcome.State.Name+"\n")
		}
		assert.Regexp(t, row, part, "%s at %s: the page has %s %s", q.State, q.Place.Name, cell[1], cell[2])
	}
}

// What Expect gives is what a bench of the same plan gives, for the usual kit too.
func TestExpectIsTheBenchs(t *testing.T) {
	for _, mode := range []network.Mode{network.Cooling, network.Heating} {
		d := dossier(t, "two-floor", networktest.Example(t, "two-floor"), false, 1, 0)
		g := d.Variants[0].In.Graph()
		var plan []diagnose.Query
		for _, kind := range []network.ReadingKind{network.StaticReading, network.AirflowReading} {
			for _, s := range state.States(g) {
				for _, spot := range g.Spots(kind) {
					if s.Mode == mode && len(plan) < 8 {
						plan = append(plan, diagnose.Query{Kind: kind, Place: spot, State: s.Name})
					}
				}
			}
		}
		require.NotEmpty(t, plan)
		bench, err := diagnose.NewBench(g, plan)
		require.NoError(t, err)
		value, asBuilt := bench.Expected()
		list, err := diagnose.Expect(g, plan)
		require.NoError(t, err)
		for i, e := range list {
			assert.Equal(t, value[i], e.Value)
			assert.Equal(t, asBuilt[i], e.AsBuilt)
			// Twice what is open, or the customary share, whichever is more; the shares are those the sheet prints.
			share := map[network.ReadingKind]float64{network.AirflowReading: 0.10, network.StaticReading: 0.15}[e.Kind]
			assert.GreaterOrEqual(t, e.Tolerance, share*abs(e.Value)-1e-12)
			assert.GreaterOrEqual(t, e.Tolerance*e.Tolerance, 4*(e.Sigma*e.Sigma+e.AsBuilt*e.AsBuilt)-1e-9)
			assert.Positive(t, e.AsBuilt)
		}
	}
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}

// Every example has its sheet, with a tolerance beside every reading.
func TestInstallerSheetOfEveryExample(t *testing.T) {
	for _, name := range []string{"first-look", "noisy-bedroom", "three-zone"} {
		html := string(written(t, dossier(t, name, networktest.Example(t, name), false, 9, 0)))
		_, html, _ = strings.Cut(html, "<h3>Then read</h3>")
		assert.NotContains(t, html, ">NaN<", name)
		assert.Greater(t, strings.Count(html, `<td class="n within">±`), 10, name)
	}
	assert.ErrorIs(t, page.Report(&bytes.Buffer{}, &page.Dossier{}), page.ErrNothing)
}
