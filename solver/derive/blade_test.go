package derive_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/derive"
	"spillway/solver/state/statetest"
)

// A weighted blade that stands between its ends is explained by its balance: the loss of its opening takes what its weight holds against. It
// is not merely stated, and its angle follows from the printed inputs.
func TestWeightedBladeIsExplainedByItsBalance(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "bypass-to-plenum")
	explained := 0
	for _, o := range statetest.SolveAll(t, g) {
		for _, d := range o.Dampers {
			if _, ok := g.Elements[d.Element].Spec.(*network.ReliefSpec); !ok || d.Position < 0.05 || d.Position > 0.8 {
				continue
			}
			step, err := derive.New(o, nil).Explain(d.Name + " blade")
			require.NoError(t, err)
			balanced := false
			var visit func(s *derive.Step)
			visit = func(s *derive.Step) {
				if strings.Contains(s.Equation, "tan(φ") || strings.Contains(s.Equation, "(p1 - p0) * φ") {
					balanced = true
					assert.NoError(t, check(s))
				}
				for _, in := range s.Inputs {
					visit(in.Step)
				}
			}
			visit(step)
			assert.True(t, balanced, o.State.Name)
			explained++
		}
	}
	assert.Positive(t, explained)
}
