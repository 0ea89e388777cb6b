package verdict_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/solver/sound/validity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// Of formulas outside their range only what bears on the result is a finding: what may move a fiftieth of the blower's air, and a coil whose
// air or weather lies beyond its curve by more than a tenth of the curve's range. One finding per element, its worst.
func TestWhatMattersOfFormulasOutsideTheirRange(t *testing.T) {
	o := statetest.Solve(t, networktest.Graph(t, "two-floor", ""), "design-cooling: loft")
	blower := o.Blower.Airflow
	stretch := func(element string, value, airflow float64) state.Stretch {
		i := o.Graph.ElementNamed(element)
		require.GreaterOrEqual(t, i, 0, element)
		return state.Stretch{Element: i, Where: element, Airflow: airflow, Note: validity.Note{Value: value,
			Range: validity.Range{Quantity: "ratio", Low: 1, High: 2, Of: "a formula"}}}
	}
	for _, c := range []struct {
		name      string
		stretches []state.Stretch
		where     []string
	}{
		{"moves little", []state.Stretch{stretch("trunk", 3, 0.019*blower)}, nil},
		{"moves a fiftieth", []state.Stretch{stretch("trunk", 3, 0.021*blower)}, []string{"trunk"}},
		{"two in one element", []state.Stretch{stretch("trunk", 3, 0.03*blower), stretch("trunk", 0.5, 0.05*blower)}, []string{"trunk"}},
		{"two elements", []state.Stretch{stretch("trunk", 3, 0.03*blower), stretch("coil", 0.5, 0.05*blower)}, []string{"trunk", "coil"}},
		{"just beyond a curve", []state.Stretch{stretch("coil", 2.09, math.NaN())}, nil},
		{"far beyond a curve", []state.Stretch{stretch("coil", 2.11, math.NaN())}, []string{"coil"}},
		{"below it", []state.Stretch{stretch("coil", 0.89, math.NaN())}, []string{"coil"}},
	} {
		o.Stretches = c.stretches
		var where []string
		for _, f := range verdict.Judge(o) {
			if f.Check == "outside a formula's range" && f.Source == "ratio: a formula" {
				where = append(where, f.Where)
				assert.Equal(t, verdict.Caution, f.Level, c.name)
				assert.Contains(t, f.Remedy, "extrapolation", c.name)
			}
		}
		assert.ElementsMatch(t, c.where, where, c.name)
	}
	o.Stretches = []state.Stretch{stretch("trunk", 3, 0.03*blower), stretch("trunk", 0.5, 0.05*blower)}
	assert.Equal(t, 0.5, finding(t, verdict.Judge(o), "outside a formula's range", "trunk").Value, "the worst of the element")
	o.Stretches[1].Clamped = true
	assert.Contains(t, finding(t, verdict.Judge(o), "outside a formula's range", "trunk").Remedy, "end of its range")
}
