package derive_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/derive"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// Renaming everything in a job changes no derivation but for the names in it: the same numbers are offered in the same order, each comes
// of the same numbers, to the last bit, and from the same kind of place.
func TestRenamingChangesNoDerivation(t *testing.T) {
	for _, file := range networktest.LongJobs(t) {
		data := networktest.File(t, file)
		alternatives := networktest.Alternatives(t, data)
		if testing.Short() {
			alternatives = alternatives[len(alternatives)-1:]
		}
		same, _ := networktest.Parts(t, data)
		plain := networktest.Rename(t, data, same)
		for _, alternative := range alternatives {
			t.Run(filepath.Base(file)+" "+alternative, func(t *testing.T) {
				other := networktest.Rename(t, data, networktest.Scramble(t, data, rand.New(rand.NewPCG(3, 5))))
				one, two := explained(t, plain, alternative), explained(t, other, alternative)
				require.Len(t, two, len(one))
				alike := map[[2]*derive.Step]bool{}
				for i := range one {
					if d := apart(one[i], two[i], alike); d != "" {
						t.Fatalf("%s: %s\n%s", one[i].Name, d, other)
					}
				}
			})
		}
	}
}

// explained are the derivations of all numbers of the first and the last call state.
func explained(t *testing.T, data []byte, alternative string) (steps []*derive.Step) {
	t.Helper()
	g := networktest.Build(t, "job.toml", data, network.Options{Alternative: alternative})
	solver, err := state.New(g)
	require.NoError(t, err)
	states := state.States(g)
	for _, cs := range []state.CallState{states[0], states[len(states)-1]} {
		o, err := solver.Solve(cs)
		require.NoError(t, err)
		derive.New(o, verdict.Judge(o)).Every(func(_ derive.Name, s *derive.Step) { steps = append(steps, s) })
	}
	return steps
}

// apart says in what two derivations differ besides names; alike are pairs that have been compared.
func apart(a, b *derive.Step, alike map[[2]*derive.Step]bool) string {
	if a == nil || b == nil || alike[[2]*derive.Step{a, b}] {
		if (a == nil) != (b == nil) {
			return "one is missing"
		}
		return ""
	}
	alike[[2]*derive.Step{a, b}] = true
	switch {
	case math.Float64bits(a.Value) != math.Float64bits(b.Value):
		return fmt.Sprintf("%s is %v, %s %v", a.Name, a.Value, b.Name, b.Value)
	case a.Quantity != b.Quantity || a.Origin.Kind != b.Origin.Kind || a.Equation != b.Equation || len(a.Inputs) != len(b.Inputs):
		return fmt.Sprintf("%s: %q of %d, %s; %s: %q of %d, %s", a.Name, a.Equation, len(a.Inputs), a.Origin.Kind, b.Name, b.Equation, len(b.Inputs), b.Origin.Kind)
	}
	for i := range a.Inputs {
		if d := apart(a.Inputs[i].Step, b.Inputs[i].Step, alike); d != "" {
			return d
		}
	}
	return ""
}
