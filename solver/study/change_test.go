package study_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/solver/state"
	"spillway/solver/study"
)

// A setting that is changed in the graph gives the same outcome as the job file read again with it.
func TestChangeIsTheSameAsReading(t *testing.T) {
	for _, c := range []struct{ job, alternative, set, state string }{
		{"two-floor", "", "damper.main.stop=27.5 %", "design-cooling: loft"},
		{"two-floor", "", "damper.main.stop=68 deg from open", "heating: loft"},
		{"two-floor", "", "damper.loft.open=80 %", "heating: loft"},
		{"two-floor", "", "equipment.filter.loading=2.5", "heating: main"},
		{"two-floor", "", "supply.study.compression=12 %", "design-cooling: loft"},
		{"two-floor", "", "supply.loft-bed.sag=1.7", "design-cooling: loft"},
		{"two-floor", "bypass-to-plenum", "bypass.relief.opens-at=0.21 inwc", "design-cooling: loft"},
		{"two-floor", "bypass-to-return-box", "bypass.relief.fully-open-at=0.33 inwc", "design-cooling: loft"},
		{"two-floor", "dump-zone", "dump.hall-dump.opens-at=30 Pa", "design-cooling: loft"},
		{"three-zone", "weighted-bypass", "bypass.relief.opens-at=0.21 inwc", "heating stage 1: studio"},
		{"three-zone", "weighted-bypass", "bypass.relief.fully-open-at=0.9 inwc", "heating stage 1: studio"},
		{"three-zone", "weighted-bypass", "bypass.relief.opens-at=0.7 inwc|bypass.relief.fully-open-at=0.8 inwc", "heating stage 1: studio"},
		{"three-zone", "weighted-bypass", "bypass.relief.fully-open-at=0.25 inwc|bypass.relief.opens-at=0.1 inwc", "heating stage 1: studio"},
		{"three-zone", "motorised-bypass", "bypass.relief.holds=0.2 inwc", "heating stage 1: studio"},
		{"three-zone", "motorised-bypass", "damper.living.stop=10 %", "heating stage 1: studio"},
	} {
		t.Run(c.job+" "+c.alternative+" "+c.set, func(t *testing.T) {
			v := study.Variant{Alternative: c.alternative}
			plain, err := open(t, c.job, study.Options{Choose: only(c.state)}).Solve(v)
			require.NoError(t, err)
			v.Set = strings.Split(c.set, "|")
			quick, err := open(t, c.job, study.Options{Choose: only(c.state)}).Solve(v)
			require.NoError(t, err)
			read, err := open(t, c.job, study.Options{Choose: only(c.state), Reread: true}).Solve(v)
			require.NoError(t, err)
			require.Len(t, quick.Outcomes, 1)
			if strings.Contains(c.set, "open-at") || strings.Contains(c.set, "opens-at") {
				assert.Equal(t, read.Graph.Job.Assumptions, quick.Graph.Job.Assumptions)
			}
			assert.Same(t, &plain.Graph.Nodes[0], &with(t, plain.Graph, v.Set).Nodes[0], "without reading anything again")
			// The way to the solution differs, since one sets out from the base as solved; so does its certificate.
			for i := range quick.Outcomes {
				q, r := *quick.Outcomes[i], *read.Outcomes[i]
				q.Graph, r.Graph = nil, nil
				q.Certificate, r.Certificate = state.Certificate{}, state.Certificate{}
				sameWithin(t, r, q)
			}
			sameWithin(t, read.Findings, quick.Findings)
			assert.NotEqual(t, plain.Outcomes[0].Blower.ExternalStatic, quick.Outcomes[0].Blower.ExternalStatic, "the setting must do something")
		})
	}
}

// What the reader refuses is refused, whichever way it is asked.
func TestChangeRefusesWhatReadingRefuses(t *testing.T) {
	for _, set := range []string{
		"damper.main.stop=140 %", "damper.main.stop=-3 %", "damper.main.stop=0.4", "damper.nobody.stop=40 %", "bypass.relief.opens-at=0.2 inwc",
		"equipment.filter.loading=-1", "supply.kitchen.compression=10 %", "damper.main.holds=-5 Pa",
	} {
		t.Run(set, func(t *testing.T) {
			for _, reread := range []bool{false, true} {
				_, err := open(t, "two-floor", study.Options{Choose: only("heating: loft"), Reread: reread}).Solve(study.Variant{Set: []string{set}})
				assert.Error(t, err)
			}
		})
	}
}

// The graph that others share is not touched.
func TestChangeLeavesTheBaseAlone(t *testing.T) {
	s := open(t, "two-floor", study.Options{Choose: only("design-cooling: loft")})
	before, err := s.Solve(study.Variant{})
	require.NoError(t, err)
	_, err = s.Solve(study.Variant{Set: []string{"damper.main.stop=5 %", "equipment.filter.loading=3"}})
	require.NoError(t, err)
	after, err := s.Solve(study.Variant{})
	require.NoError(t, err)
	assert.Equal(t, before.Outcomes[0].Blower.Airflow, after.Outcomes[0].Blower.Airflow)
}

func with(t *testing.T, g *network.Graph, set []string) *network.Graph {
	t.Helper()
	next, found := g.With(set...)
	require.NotNil(t, next, found)
	return next
}
