package diagnose_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/diagnose"
)

// exact reads a faulty installation without noise, with the usual instruments' uncertainties.
func exact(t testing.TB, g *network.Graph, plan []diagnose.Query) []diagnose.Value {
	var out []diagnose.Value
	for i, v := range predictPlan(t, g, plan) {
		in := network.InstrumentFor(plan[i].Kind)
		out = append(out, diagnose.Value{Value: v, Sigma: in.Sigma(v)})
	}
	return out
}

func causeOf(t testing.TB, b *diagnose.Bench, kind diagnose.Kind) int {
	for c, cause := range b.Causes() {
		if cause.Kind == kind {
			return c
		}
	}
	require.Fail(t, "no such cause", kind)
	return -1
}

// A fault of the cause's own kind and severity, read without noise, is found with its severity.
func TestFitFindsAFaultAndItsSeverity(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "bypass-to-plenum")
	plan := diagnose.Kit(g, network.Cooling)
	require.Len(t, plan, 12, "two statics and four registers in two states")
	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	for _, c := range []struct {
		kind     diagnose.Kind
		severity float64
		within   float64 // of the severity
	}{
		{diagnose.LoadedFilter, 4, 0.1},
		{diagnose.FouledCoil, 3, 0.1},
		{diagnose.ShutDamper, 0.25, 0.1},
		{diagnose.SlippedDamper, 0.8, 0.15},
		{diagnose.SupplyLeak, 0.3, 0.15},
		{diagnose.ChokedRun, 40, 0.3},
		{diagnose.WrongTap, 1, 0},
		{diagnose.WeightOff, 0.5, 0.15},
	} {
		t.Run(string(c.kind), func(t *testing.T) {
			truth := causeOf(t, b, c.kind)
			r, err := b.Fit(exact(t, b.Causes()[truth].Apply(g, c.severity), plan))
			require.NoError(t, err)
			h := r.Hypotheses[0]
			assert.Equal(t, []int{truth}, h.Causes, "first of the ranking")
			assert.InEpsilon(t, c.severity, h.Severities[0], c.within+1e-9)
			assert.Less(t, h.Chi2, 1.0, "nothing is left when the readings have no noise")
			assert.True(t, r.Fits)
		})
	}
}

// Two faults at once are found as a pair.
func TestFitFindsAPair(t *testing.T) {
	g := networktest.Graph(t, "noisy-bedroom", "")
	plan := diagnose.Kit(g, network.Cooling)
	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	damper, filter := causeOf(t, b, diagnose.SlippedDamper), causeOf(t, b, diagnose.LoadedFilter)
	both := b.Causes()[filter].Apply(b.Causes()[damper].Apply(g, 0.5), 3)
	r, err := b.Fit(exact(t, both, plan))
	require.NoError(t, err)
	h := r.Hypotheses[0]
	assert.ElementsMatch(t, []int{damper, filter}, h.Causes)
	assert.Greater(t, h.Weight, 0.5)
}

func TestNothingWrongIsSaidSo(t *testing.T) {
	g := networktest.Graph(t, "first-look", "")
	plan := diagnose.Kit(g, network.Cooling)
	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	r, err := b.Fit(exact(t, g, plan))
	require.NoError(t, err)
	assert.Equal(t, diagnose.Nothing, b.Causes()[r.Hypotheses[0].Causes[0]].Kind)
	for i, off := range r.Off {
		assert.InDelta(t, 0, off, 1e-9, "reading %d", i)
	}
}

// One reading in another unit, and the rest right: the fault is still found and the reading flagged.
func TestOneBadReadingIsFlaggedAndDoesNotMislead(t *testing.T) {
	g := networktest.Graph(t, "noisy-bedroom", "")
	plan := diagnose.Kit(g, network.Cooling)
	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	truth := causeOf(t, b, diagnose.FouledCoil)
	for bad := range plan {
		values := exact(t, b.Causes()[truth].Apply(g, 3), plan)
		values[bad].Value += 8 * values[bad].Sigma
		r, err := b.Fit(values)
		require.NoError(t, err)
		if plan[bad].Kind == network.AirflowReading && values[bad].Value < 0.01 {
			continue // a hood that reads a seeping register: the floor of its uncertainty
		}
		assert.Equal(t, []int{truth}, r.Hypotheses[0].Causes, "bad reading %d", bad)
		assert.Greater(t, r.Bad[bad], 0.5, "bad reading %d", bad)
		for i := range r.Bad {
			if i != bad {
				assert.Less(t, r.Bad[i], 0.5, "reading %d with %d bad", i, bad)
			}
		}
	}
}

// With one return grille a loaded filter and a blocked grille look the same to the usual kit; the drop across the filter parts them.
func TestTwinsArePartedByTheNextReading(t *testing.T) {
	g := networktest.Graph(t, "noisy-bedroom", "")
	plan := diagnose.Kit(g, network.Cooling)
	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	grille := causeOf(t, b, diagnose.BlockedGrille)
	faulty := b.Causes()[grille].Apply(g, 0.2)
	r, err := b.Fit(exact(t, faulty, plan))
	require.NoError(t, err)
	kinds := func(r *diagnose.Result, k int) diagnose.Kind { return b.Causes()[r.Hypotheses[k].Causes[0]].Kind }
	require.NotEmpty(t, r.Twins)
	assert.ElementsMatch(t, []diagnose.Kind{diagnose.LoadedFilter, diagnose.BlockedGrille}, []diagnose.Kind{kinds(r, 0), kinds(r, r.Twins[0])})

	next, err := b.Next(r)
	require.NoError(t, err)
	require.NotEmpty(t, next)
	assert.Greater(t, next[0].Apart, 4.0)
	v := predict(t, faulty, next[0].Query)
	in := network.InstrumentFor(next[0].Kind)
	r, err = b.With(next[0].Query, r, diagnose.Value{Value: v, Sigma: in.Sigma(v)})
	require.NoError(t, err)
	assert.Equal(t, diagnose.BlockedGrille, kinds(r, 0))
	assert.Greater(t, r.Hypotheses[0].Weight, 0.9)
}

// The remedy of a fault is the installation as drawn.
func TestRemedyIsTheInstallationAsDrawn(t *testing.T) {
	g := networktest.Graph(t, "first-look", "")
	plan := diagnose.Kit(g, network.Cooling)
	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	truth := causeOf(t, b, diagnose.LoadedFilter)
	r, err := b.Fit(exact(t, b.Causes()[truth].Apply(g, 4), plan))
	require.NoError(t, err)
	fixed, err := b.Remedy(r, 0)
	require.NoError(t, err)
	require.NotEmpty(t, fixed.States)
	for _, s := range fixed.States {
		assert.Greater(t, s.AirflowAfter, s.Airflow, "a clean filter lets more air through: %s", s.State)
		blower := predict(t, g, diagnose.Query{Kind: network.DropReading, State: s.State, Place: network.Spot{Element: g.Blower, Node: -1, Start: -1, Register: -1}})
		assert.InDelta(t, blower, s.StaticAfter, 1e-6)
	}
}

// Every cause changes a copy and leaves the installation alone.
func TestCausesLeaveTheInstallationAlone(t *testing.T) {
	for _, c := range []struct{ name, alternative string }{{"first-look", ""}, {"two-floor", "bypass-to-plenum"}, {"noisy-bedroom", "bypass"}, {"four-zone", ""}} {
		g := networktest.Graph(t, c.name, c.alternative)
		again := networktest.Graph(t, c.name, c.alternative)
		causes := diagnose.Causes(g, network.Cooling)
		for _, cause := range causes {
			for _, knot := range cause.Knots {
				assert.NotNil(t, cause.Apply(g, knot))
			}
			assert.Positive(t, cause.Odds, cause.Name())
			assert.NotEmpty(t, cause.Why, cause.Name())
		}
		assert.Equal(t, again.Elements, g.Elements, c.name)
		assert.Equal(t, again.Nodes, g.Nodes, c.name)
	}
}

func TestSameReadingsSameAnswer(t *testing.T) {
	g := networktest.Graph(t, "first-look", "")
	plan := diagnose.Kit(g, network.Cooling)
	var first *diagnose.Result
	for range 3 {
		b, err := diagnose.NewBench(g, plan)
		require.NoError(t, err)
		r, err := b.Fit(exact(t, b.Causes()[causeOf(t, b, diagnose.TornRun)].Apply(g, 0.7), plan))
		require.NoError(t, err)
		if first == nil {
			first = r
			continue
		}
		require.Equal(t, first.Hypotheses[:5], r.Hypotheses[:5])
	}
}

// The short form of the long study (-draws 500): faults of each kind alike, drawn with the noise of the instruments on the examples
// (a), (b) and (e). A property: the bounds are the goals less what so few draws scatter.
func TestSimulatedFaults(t *testing.T) {
	if testing.Short() {
		t.Skip("some thousand solutions")
	}
	var all tally
	for _, c := range []struct{ name, alternative string }{{"first-look", ""}, {"two-floor", "bypass-to-plenum"}, {"noisy-bedroom", "bypass"}} {
		r := simulate(t, networktest.Graph(t, c.name, c.alternative), 12, 3, true, false)
		r.report(t, c.name)
		all.n, all.first, all.three, all.confidentWrong, all.grouped, all.after = all.n+r.n, all.first+r.first, all.three+r.three, all.confidentWrong+r.confidentWrong, all.grouped+r.grouped, all.after+r.after
	}
	assert.GreaterOrEqual(t, all.first, 30, "of 36 first")
	assert.GreaterOrEqual(t, all.grouped, 34, "of 36 first or not to be told from the first")
	assert.GreaterOrEqual(t, all.three, 35, "of 36 among the first three")
	assert.LessOrEqual(t, all.confidentWrong, 1, "of 36 confident and wrong")
	assert.GreaterOrEqual(t, all.after, all.first, "following the suggested reading helps")
}
