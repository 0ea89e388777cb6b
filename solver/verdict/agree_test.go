package verdict_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// everyCase calls f with every state of every example and alternative, solved.
func everyCase(t *testing.T, f func(t *testing.T, s *state.Solver, o *state.Outcome)) {
	for _, name := range networktest.Examples(t) {
		for _, alternative := range networktest.Alternatives(t, networktest.Example(t, name)) {
			s := statetest.Solver(t, networktest.Graph(t, name, alternative)).Quick()
			for _, cs := range state.States(s.Graph()) {
				o, err := s.Solve(cs)
				require.NoError(t, err)
				t.Run(name+"/"+alternative+"/"+cs.Name, func(t *testing.T) { f(t, s, o) })
			}
		}
	}
}

// A finding is ok where its value is on the good side of its limit, and else it is not, for every check. The two that have no limit
// say so.
func TestLevelAgreesWithValueAndLimit(t *testing.T) {
	seen, n := map[string]int{}, 0
	everyCase(t, func(t *testing.T, s *state.Solver, o *state.Outcome) {
		found := verdict.Judge(o)
		if n++; !testing.Short() || n%8 == 0 { // two further solutions for every stop
			stops, err := verdict.StopChecks(s, o)
			require.NoError(t, err)
			found = append(found, stops...)
		}
		for _, f := range found {
			if math.IsNaN(f.Limit) {
				assert.Contains(t, []string{"blower stall", "blower off its table"}, f.Check)
				continue
			}
			beyond := f.Value - f.Limit
			if f.Bounds == verdict.AtLeast {
				beyond = -beyond
			}
			slack := 1e-9 * max(math.Abs(f.Limit), 1e-3)
			if f.Quantity == verdict.Velocity && f.Class == verdict.Guideline {
				slack = 0.05 * f.Limit // nobody predicts or reads a velocity better (our choice)
			}
			past := beyond > slack
			assert.Equal(t, past, f.Level != verdict.OK, "%s %s: %s at %g, limit %s %g", f.Check, f.Where, f.Level, f.Value, f.Bounds, f.Limit)
			assert.InDelta(t, -beyond, f.Margin, 1e-12*max(math.Abs(f.Value), math.Abs(f.Limit), 1))
			assert.Equal(t, f.Level != verdict.OK, f.Remedy != "", "%s %s: a remedy where one is needed", f.Check, f.Where)
			seen[f.Check]++
		}
	})
	for _, check := range []string{"damper stop", "damper stop slip", "zone shortfall", "return over supply", "room noise", "coil frost"} {
		if !testing.Short() || check != "damper stop slip" {
			assert.NotZero(t, seen[check], check)
		}
	}
}

// A calling zone that misses more air than is allowed never goes without a finding: it is short, or its heat is stated, which decides.
func TestNoZoneIsShortInSilence(t *testing.T) {
	byHeat := 0
	everyCase(t, func(t *testing.T, _ *state.Solver, o *state.Outcome) {
		for i := range o.Zones {
			z := &o.Zones[i]
			if !z.Calling || o.State.More || z.Shortfall <= 0.1*z.Wants { // 10 %: usual balancing tolerance (from memory)
				continue
			}
			f := finding(t, verdict.Judge(o), "zone shortfall", o.Graph.Job.Zones[i].Name)
			if o.State.Mode == network.Heating && z.Delivered >= z.Load { // the job gives the load of every zone of the examples
				byHeat++
				assert.Equal(t, verdict.OK, f.Level)
				assert.InEpsilon(t, z.Delivered/z.Load, f.Value, 1e-12)
				assert.InDelta(t, 1.0, f.Limit, 0)
				assert.Regexp(t, `^air \d+ % short, heat over load$`, f.What)
				continue
			}
			assert.NotEqual(t, verdict.OK, f.Level)
			assert.InEpsilon(t, z.Shortfall/z.Wants, f.Value, 1e-12)
		}
	})
	assert.NotZero(t, byHeat, "the examples have zones that heat decides")
}

// Zones that share a central return through the open house are judged by their return air only where all call.
func TestReturnOverSupplyWhereItMeansSomething(t *testing.T) {
	judged := 0
	everyCase(t, func(t *testing.T, _ *state.Solver, o *state.Outcome) {
		for _, f := range verdict.Judge(o) {
			if f.Check == "return over supply" {
				judged++
				assert.Len(t, o.State.Calling, len(o.Zones), "no grille of the examples that names a zone is behind a door")
			}
		}
	})
	assert.NotZero(t, judged)
	// The loft's grille in a room behind a door is a return of its own.
	g := networktest.Graph(t, "two-floor", "", `room."loft suite"={door={undercut="0.75 in"}}`, `return.loft-grille.room="loft suite"`)
	o := statetest.Quick(t, g, "design-cooling: main")
	assert.Equal(t, verdict.Caution, finding(t, verdict.Judge(o), "return over supply", "loft").Level)
}
