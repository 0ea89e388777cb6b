package study_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/study"
)

// Balancing a real system leaves every register the same share of its want and one damper wide open, and a fresh solution says so.
func TestBalanceByHandDampers(t *testing.T) {
	for _, job := range []string{"two-floor", "noisy-bedroom", "first-look"} {
		t.Run(job, func(t *testing.T) {
			b, err := open(t, job, study.Options{}).Balance(study.Variant{}, "")
			require.NoError(t, err)
			widest := 0.0
			for k := range b.Lines {
				widest = max(widest, b.Open[k])
				assert.InEpsilon(t, b.Ratio, b.After[k], 0.05, "%s, rounded to whole percents", b.Lines[k])
			}
			assert.Equal(t, 1.0, widest)
			fresh, err := open(t, job, study.Options{Choose: only(b.State), Reread: true}).Solve(b.Variant)
			require.NoError(t, err)
			least, most := 1e9, 0.0
			for k, r := range fresh.Outcomes[0].Registers {
				ratio := r.Airflow / fresh.Graph.Registers[k].Wants
				least, most = min(least, ratio), max(most, ratio)
			}
			spread := func(x []float64) float64 {
				lo, hi := x[0], x[0]
				for _, v := range x {
					lo, hi = min(lo, v), max(hi, v)
				}
				return hi/lo - 1
			}
			assert.Less(t, most/least-1, 0.06)
			assert.Less(t, spread(b.After), spread(b.Before))
		})
	}
}

// Two zones share the air by what they ask; at least one damper is wide open; below the least airflow the rest is left over.
func TestModulate(t *testing.T) {
	s := open(t, "four-zone", study.Options{})
	for _, c := range []struct {
		name          string
		demands       []study.Demand
		atLeast, most bool
	}{
		{"between", []study.Demand{{Zone: "living", Share: 0.8}, {Zone: "bedrooms", Share: 0.9}}, false, false},
		{"at its least", []study.Demand{{Zone: "living", Share: 0.3}, {Zone: "bedrooms", Share: 0.3}}, true, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := s.Modulate(study.Variant{}, network.Cooling, c.demands, 500*quantity.CFM, 1600*quantity.CFM)
			require.NoError(t, err)
			widest := 0.0
			for k := range m.Zones {
				widest = max(widest, m.Positions[k])
				// Every zone the same share of what it asks, which is what the search is for; checked on a fresh solution.
				assert.InEpsilon(t, m.Given[0]/m.Asked[0], m.Given[k]/m.Asked[k], 2e-4)
			}
			assert.InDelta(t, 1, widest, 1e-6)
			assert.Equal(t, c.atLeast, m.AtLeast)
			if !m.AtLeast {
				assert.InEpsilon(t, m.Asked[0], m.Given[0], 1e-3)
			} else {
				assert.Greater(t, m.LeftOver, 100*quantity.CFM)
			}
			fresh, err := open(t, "four-zone", study.Options{Choose: only(m.State), Reread: true}).Solve(m.Variant)
			require.NoError(t, err)
			assert.InDelta(t, m.Airflow, fresh.Outcomes[0].Blower.ActualAirflow, 0.02*m.Airflow, "the blower holds what it is told, but for its droop")
			sum := 0.0
			for _, p := range fresh.Outcomes[0].Ledger.Paths {
				sum += p.Airflow
			}
			assert.InEpsilon(t, fresh.Outcomes[0].Blower.Airflow, sum, 1e-9)
		})
	}
	_, err := open(t, "two-floor", study.Options{}).Modulate(study.Variant{}, network.Cooling, []study.Demand{{Zone: "loft", Share: 0.5}}, 0.1, 0.5)
	require.Error(t, err, "a blower of fixed speed cannot be told")
}
