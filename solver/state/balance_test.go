package state_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/air"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// everyPart builds the job that has one of every kind of part.
func everyPart(t testing.TB, set ...string) *network.Graph {
	t.Helper()
	return networktest.Build(t, "every-part.toml", networktest.File(t, "testdata/jobs/every-part.toml"), network.Options{Set: set})
}

// otherParts builds the job of the parts that everyPart has no room for.
func otherParts(t testing.TB, set ...string) *network.Graph {
	t.Helper()
	return networktest.Build(t, "other-parts.toml", networktest.File(t, "testdata/jobs/other-parts.toml"), network.Options{Set: set})
}

// Laws of nature that every outcome of every job must keep, reckoned here from the elements alone.
func TestEveryOutcomeBalances(t *testing.T) {
	graphs := examples(t)
	graphs["every part"] = everyPart(t)
	graphs["other parts"] = otherParts(t)
	for name, g := range graphs {
		t.Run(name, func(t *testing.T) {
			s := statetest.Solver(t, g)
			states := state.States(g)
			require.NotEmpty(t, states)
			outcomes, err := s.SolveAll(states)
			require.NoError(t, err)
			for _, o := range outcomes {
				t.Run(o.State.Name, func(t *testing.T) { balances(t, o) })
			}
		})
	}
}

func balances(t *testing.T, o *state.Outcome) {
	g := o.Graph
	blower := o.Blower.Airflow
	require.Positive(t, blower)

	// Mass: what flows into a node flows out, save where the pressure is known.
	net := make([]float64, len(g.Nodes))
	for i, e := range g.Elements {
		net[e.From] -= o.Elements[i].Flow
		net[e.To] += o.Elements[i].Flow
	}
	known := 0.0
	for n := range g.Nodes {
		if g.Nodes[n].Known {
			known += net[n]
			continue
		}
		assert.InDelta(t, 0, net[n], 1e-9*blower*air.StandardDensity, "mass at %s", g.Nodes[n].Name)
	}
	assert.InDelta(t, 0, known, 1e-9*blower, "what leaves the house comes back to it")

	// Pressure: each element's drop is the difference of its ends and what buoyancy lends. Power: what the blower and buoyancy
	// give is what the elements take.
	given, taken := 0.0, 0.0
	for i, e := range g.Elements {
		x := &o.Elements[i]
		assert.InDelta(t, o.Nodes[e.From].Total-o.Nodes[e.To].Total+x.Lift, x.Drop, 1e-5, "drop of %s", e.Name)
		given += x.Lift * x.Flow
		if i == g.Blower {
			given -= x.Drop * x.Flow
		} else {
			taken += x.Drop * x.Flow
		}
	}
	assert.InEpsilon(t, given, taken, 1e-6)

	// Heat: what the machine, the fan and the duct walls give is what the streams carry off, to a billionth.
	assert.LessOrEqual(t, math.Abs(o.Equipment.EnergyResidual), 1e-9*o.Equipment.EnergyTotal)

	// The ledger adds up to the blower's flow, and the strands agree with it.
	sum, surplus := 0.0, 0.0
	for _, p := range o.Ledger.Paths {
		sum += p.Airflow
		if p.Kind != state.PathWanted {
			surplus += p.Airflow
		}
	}
	assert.InDelta(t, blower, sum, 1e-9*blower, "ledger")
	assert.InDelta(t, o.Ledger.Surplus, surplus, 1e-9*blower)
	assert.InDelta(t, o.Ledger.Surplus, o.Elements[g.Blower].Surplus, 1e-9*blower, "the blower's surplus strand")
	assert.LessOrEqual(t, o.Ledger.Wanted, o.Ledger.Asked+1e-12)
	strandsAdd(t, o)

	// Nothing is printed that is not a number where one is meant.
	for i := range o.Elements {
		require.False(t, math.IsNaN(o.Elements[i].Drop+o.Elements[i].Airflow+o.Elements[i].Surplus+o.Elements[i].Low+o.Elements[i].High), g.Elements[i].Name)
		assert.LessOrEqual(t, o.Elements[i].Low, o.Elements[i].Airflow+1e-12)
		assert.GreaterOrEqual(t, o.Elements[i].High, o.Elements[i].Airflow-1e-12)
	}
	for n := range o.Nodes {
		require.False(t, math.IsNaN(o.Nodes[n].Total+o.Nodes[n].Static+o.Nodes[n].Temperature), g.Nodes[n].Name)
	}

	// The certificate.
	c := o.Certificate
	assert.LessOrEqual(t, c.MassResidual, 1e-9*blower)
	assert.Less(t, c.PressureResidual, 1e-5)
	assert.Less(t, c.FlowBound/quantity.CFM, 0.01)
	assert.True(t, c.Isolated, "no second solution nearby")
	assert.LessOrEqual(t, c.Iterations, 400, "over all turns between flow, heat and regulators")
}

// strandsAdd checks that the asked-for strand is handed on without loss at every joint and chamber of the supply side.
func strandsAdd(t *testing.T, o *state.Outcome) {
	g := o.Graph
	asked := func(i int) float64 { return math.Abs(o.Elements[i].Airflow) - o.Elements[i].Surplus }
	for n := range g.Nodes {
		if k := g.Nodes[n].Kind; k != network.Joint && k != network.Chamber {
			continue
		}
		supply, in, out := true, 0.0, 0.0
		for i, e := range g.Elements {
			if e.From != n && e.To != n {
				continue
			}
			if e.Side != network.SupplySide && e.Side != network.DumpSide && e.Kind != network.KindCoil && i != g.Blower {
				supply = false
			}
			into := e.To == n
			if o.Elements[i].Flow < 0 {
				into = !into
			}
			if into {
				in += asked(i)
			} else {
				out += asked(i)
			}
		}
		if supply && g.Nodes[n].Name != network.BlowerInlet && g.Nodes[n].Name != network.ReturnPlenum {
			assert.InDelta(t, in, out, 1e-9*o.Blower.Airflow, "strands at %s", g.Nodes[n].Name)
		}
	}
}

func TestSolvingAgainGivesTheSameBits(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "bypass-to-return-box")
	s := statetest.Solver(t, g)
	states := state.States(g)
	first, err := s.SolveAll(states)
	require.NoError(t, err)
	backwards := slices.Clone(states)
	slices.Reverse(backwards)
	second, err := s.SolveAll(backwards)
	require.NoError(t, err)
	for i := range first {
		other := second[len(second)-1-i]
		assert.Equal(t, first[i].State, other.State)
		for k := range first[i].Elements {
			assert.Equal(t, first[i].Elements[k].Flow, other.Elements[k].Flow, "%s in %s", g.Elements[k].Name, first[i].State.Name)
		}
	}
}
