package study_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/study"
)

// Jobs that cannot be: every point of the grid is solved, and the limits that tuning names are such that each point passes one of them
// while each set without one of them is kept somewhere.
func TestConflictAgainstTryingAll(t *testing.T) {
	for _, c := range []struct {
		name, job string
		set       []string // besides, so that the zoning is not the reason, least-zoning-kept
		states    []string
		stops     []string
		steps     int
		pair      []string // of checks, where the job is made for them
	}{
		// A low static asks for wide stops of either zone, slow trunks for narrow ones.
		{"two stops", "two-floor", []string{"limits.max-static=0.43 inwc", "limits.trunk-velocity=725 fpm"},
			[]string{"design-cooling: loft", "design-cooling: main"}, []string{"main", "loft"}, 11, nil},
		// The studio's ducts ask for wide stops of the others, what the bedrooms want for narrow ones.
		{"three stops", "three-zone", []string{"limits.shortfall=3 %", "limits.flex-branch-velocity=420 fpm"},
			[]string{"heating stage 1: studio", "heating stage 1: bedrooms"}, []string{"living", "bedrooms", "studio"}, 6, nil},
		{"three stops, high speed", "three-zone", []string{"limits.branch-velocity=560 fpm", "limits.trunk-velocity=745 fpm"},
			[]string{"heating stage 2: bedrooms + studio", "heating stage 2: living + studio", "heating stage 1: bedrooms"}, []string{"living", "bedrooms", "studio"}, 6, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.set = append(c.set, "limits.least-zoning-kept=0.1 %")
			s := open(t, c.job, study.Options{Choose: only(c.states...)})
			var moves []study.Span
			variants := []study.Variant{{Set: c.set}}
			for _, damper := range c.stops {
				m := stop(damper, c.steps)
				moves = append(moves, m)
				var next []study.Variant
				for _, v := range variants {
					for i := range m.Len() {
						next = append(next, v.With(m.Path, m.Value(i)))
					}
				}
				variants = next
			}
			found, err := s.Tune(study.Variant{Set: c.set}, study.Goal{Moves: moves, Priority: study.Static})
			require.NoError(t, err)
			require.False(t, found.Meets)
			require.NotNil(t, found.Conflict)
			assert.True(t, found.Proved)
			assert.True(t, found.Conflict.Proved)
			require.GreaterOrEqual(t, len(found.Conflict.Checks), 2)
			if c.pair != nil {
				var names []string
				for _, k := range found.Conflict.Checks {
					names = append(names, k.Name+" "+k.Where)
				}
				assert.ElementsMatch(t, c.pair, names)
			}

			reports, err := s.Reports(variants)
			require.NoError(t, err)
			hopeless := map[study.Check]bool{}
			for _, f := range reports[0].Faults(false) {
				hopeless[f.Check] = true
			}
			passed := make([]map[study.Check]float64, len(reports))
			for i, p := range reports {
				passed[i] = map[study.Check]float64{}
				for _, f := range p.Faults(false) {
					passed[i][f.Check] = math.Abs(f.Finding.Value-f.Finding.Limit) / math.Abs(f.Finding.Limit)
				}
				for k := range hopeless {
					if _, bad := passed[i][k]; !bad {
						delete(hopeless, k)
					}
				}
			}
			assert.Equal(t, len(hopeless) == 0, len(found.Never) == 0)
			keptWithout := make([]bool, len(found.Conflict.Checks))
			nearest := make([]float64, len(found.Conflict.Checks))
			for k := range nearest {
				nearest[k] = math.Inf(1)
			}
			for i := range reports {
				broken, last := 0, 0
				for k, check := range found.Conflict.Checks {
					if _, bad := passed[i][check]; bad {
						broken, last = broken+1, k
					}
				}
				assert.NotZero(t, broken, "%v keeps all that is named", reports[i].Variant)
				if broken == 1 {
					keptWithout[last] = true
					nearest[last] = min(nearest[last], passed[i][found.Conflict.Checks[last]])
				}
			}
			for k, kept := range keptWithout {
				assert.True(t, kept, "%v is not needed", found.Conflict.Checks[k])
				assert.InDelta(t, nearest[k], found.Conflict.Beyond[k], 2e-3*(1+nearest[k]))
			}
			t.Logf("%d limits, %d points; solved %d call states for %d variants", len(found.Conflict.Checks), len(reports), found.States, found.Solved)
		})
	}
}
