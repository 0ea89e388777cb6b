package derive_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/solver/derive"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// Every finding of every example leads back to numbers that have a derivation of their own, those of the damper stops too; and works out again.
func TestFindingsLeadBack(t *testing.T) {
	seen := map[string]int{}
	for _, name := range networktest.Examples(t) {
		for _, alternative := range networktest.Alternatives(t, networktest.Example(t, name)) {
			g := networktest.Graph(t, name, alternative)
			solver := statetest.Solver(t, g)
			for i, cs := range state.States(g) {
				if testing.Short() && i%4 != 0 {
					continue
				}
				o := statetest.SolveBy(t, solver, cs.Name)
				found := verdict.Judge(o)
				if i%8 == 1 { // two further solutions for every stop
					stops, err := verdict.StopChecks(solver, o)
					require.NoError(t, err)
					found = append(found, stops...)
				}
				x := derive.New(o, found)
				for k := range found {
					f := &found[k]
					if f.Value != f.Value || f.Limit != f.Limit {
						continue // nothing to hold against a limit
					}
					s, err := x.Explain(derive.MarginName(f))
					require.NoError(t, err)
					assert.NoError(t, check(s), "%s %s %s", name, alternative, cs.Name)
					for _, in := range s.Inputs {
						assert.NotContains(t, in.Origin.Text, "as judged", "%s %s %s: %s", name, alternative, cs.Name, s.Name)
						if !in.Leaf() {
							assert.NoError(t, check(in.Step), "%s %s %s: %s", name, alternative, cs.Name, s.Name)
						}
					}
					seen[f.Check]++
				}
			}
		}
	}
	if testing.Short() {
		t.Log("-short leads back the findings of a quarter of the states, and does not ask that every check is among them")
		return
	}
	for _, name := range []string{"external static", "airflow per ton", "bypass share", "cooling size", "heating size", "temperature rise", "entering air, cold", "limit", "duct air",
		"coil frost", "register sweating", "zone drift", "zone shortfall", "zone excess", "return over supply", "room noise", "short throw", "dumping",
		"draught", "damper stop", "duct velocity"} {
		assert.NotZero(t, seen[name], "the examples have a finding of %q", name)
	}
}
