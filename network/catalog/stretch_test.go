package catalog_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/catalog"
)

// Where the printed tables end: handbook fittings CD9-1 (round), CR9-1 (rectangular), CR9-3 and CR9-4 (multi-blade), from memory.
func TestLastAngle(t *testing.T) {
	for name, last := range map[string]float64{"round": 80, "rectangular": 70, "parallel": 80, "opposed": 80} {
		b, ok := catalog.LookupBlade(name)
		require.True(t, ok)
		assert.Equal(t, last, b.LastAngle(), name)
	}
}

func TestStretched(t *testing.T) {
	for _, c := range []struct {
		name, kind string
		divides    bool
		q, a, s    float64
		quantities []string
	}{
		// The handbook's own points: Tables 10 and 11 (q 0.2, a 0.25, run of 0.69), Example 8 (v 0.879 and 1.021, x 0.75 and 0.667).
		{"45-entry tap, Table 10", "45-entry tap", true, 0.2, 0.25, 0.69, nil},
		{"45-entry tap, Example 8", "45-entry tap", true, 0.25, 0.25 / 0.879, 1, nil},
		{"conical tee, Table 10", "conical tee", true, 0.2, 0.25, 0.69, nil},
		{"tee, equal legs", "tee", true, 0.5, 1, 1, nil},
		{"tap that hardly flows", "45-entry tap", true, 0.05, 0.5, 1, []string{"branch over main velocity"}},
		{"tap faster than the main", "45-entry tap", true, 0.5, 0.25, 1, []string{"branch over main velocity"}},
		{"conical tee elsewhere", "conical tee", true, 0.5, 0.5, 1, []string{"branch over main velocity"}},
		{"branch wider than the main", "tee", true, 0.5, 1.2, 1, []string{"branch over main area"}},
		{"run wider than the main", "wye 45", true, 0.5, 0.5, 1.5, []string{"run over main area"}},
		{"run nearly dead", "wye 45", true, 0.95, 1, 1, []string{"run over main velocity"}},
		{"narrow run", "wye 45", true, 0.3, 0.5, 0.5, []string{"run over main velocity"}},
		{"narrow run of a tee: of the printed form", "tee", true, 0.3, 0.5, 0.5, nil},
		{"joining", "wye 45", false, 0.95, 1, 1, nil},
		{"joining, branch too wide", "wye 45", false, 0.5, 1.5, 1, []string{"branch over main area"}},
		{"still air has no range", "box", true, 0.5, 3, 3, nil},
		{"a bullhead neither", "bullhead tee", true, 0.5, 3, 3, nil},
	} {
		j, ok := catalog.LookupJunction(c.kind)
		require.True(t, ok)
		var got []string
		for _, s := range j.Stretched(c.divides, c.q, c.a, c.s) {
			got = append(got, s.Quantity)
			assert.True(t, s.Value < s.Low || s.Value > s.High, c.name)
			assert.Contains(t, s.Source, c.kind, c.name)
		}
		assert.Equal(t, c.quantities, got, c.name)
	}
}
