package chart_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/units"
	"spillway/render/chart"
	"spillway/solver/state"
	"spillway/solver/study"
)

// A sweep of the main floor's stop while the loft calls: the wider the stop, the less static at the blower (the same blower against
// less resistance), and the job's own limit of 0.50 in. w.c. is drawn.
func TestChartOfASweep(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "examples", "two-floor.toml"))
	require.NoError(t, err)
	choose := func(g *network.Graph) ([]state.CallState, error) {
		var out []state.CallState
		for _, s := range state.States(g) {
			if s.Name == "design-cooling: loft" {
				out = append(out, s)
			}
		}
		return out, nil
	}
	span, err := study.ParseSpan("damper.main.stop=0..100 %", 6)
	require.NoError(t, err)
	w, err := study.New("two-floor.toml", data, study.Options{Choose: choose}).Sweep(study.Variant{}, span)
	require.NoError(t, err)
	var checks []study.Series
	for _, s := range w.Checks {
		if s.Name == "external static" {
			checks = append(checks, s)
		}
	}
	f := chart.OfStudy(checks, "main damper's stop, % open", 40, units.IP)
	require.NotNil(t, f)
	require.Len(t, f.Lines, 1)
	points := f.Lines[0].Points
	require.Len(t, points, 6)
	for i := 1; i < len(points); i++ {
		assert.Less(t, points[i].Y, points[i-1].Y)
	}
	limits := map[string]bool{}
	for _, b := range f.Bands {
		limits[b.Text] = true
		assert.InDelta(t, 0.5, b.Rule, 0.06)
	}
	assert.True(t, limits["limit 0.500"], "%v", limits)
	assert.Nil(t, chart.OfStudy(nil, "", 0, units.IP))
}
