package diagnose_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/diagnose"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// spot is a place where something of a kind can be read, by its name.
func spot(t testing.TB, g *network.Graph, kind network.ReadingKind, name string) network.Spot {
	t.Helper()
	spots := g.Spots(kind)
	i := slices.IndexFunc(spots, func(s network.Spot) bool { return s.Name == name })
	require.GreaterOrEqual(t, i, 0, "%q among %v", name, spots)
	return spots[i]
}

// What a bench cannot answer it refuses, and says why.
func TestBenchRefuses(t *testing.T) {
	g := networktest.Graph(t, "first-look", "")
	plan := diagnose.Kit(g, network.Cooling)
	_, err := diagnose.NewBench(g, nil)
	assert.EqualError(t, err, "there are no readings")

	other := slices.Clone(plan)
	other[1].State = "cooling: attic"
	_, err = diagnose.NewBench(g, other)
	assert.EqualError(t, err, `the installation has no call state "cooling: attic"`)
	_, err = diagnose.Expect(g, other)
	assert.EqualError(t, err, `the installation has no call state "cooling: attic"`)

	nowhere := network.Spot{Name: "the moon", Node: -1, Start: -1, Element: -1, Register: -1}
	for _, kind := range []network.ReadingKind{network.StaticReading, network.TotalReading, network.DropReading, network.AirflowReading, network.FaceReading,
		network.TemperatureReading, network.SoundReading} {
		_, err = diagnose.NewBench(g, []diagnose.Query{{Kind: kind, Place: nowhere, State: plan[0].State}})
		assert.EqualError(t, err, fmt.Sprintf("nothing can be expected of a reading of %s at the moon in %s", kind, plan[0].State))
	}

	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	values := exact(t, g, plan)
	_, err = b.Fit(values[1:])
	assert.EqualError(t, err, "readings and plan differ in number")
	for _, wrong := range []diagnose.Value{{Value: 1}, {Value: math.NaN(), Sigma: 1}, {Value: 1, Sigma: math.NaN()}} {
		_, err = b.Fit(append([]diagnose.Value{wrong}, values[1:]...))
		assert.EqualError(t, err, "a reading has no uncertainty or no value")
	}
}

// Each kind of reading is the figure of the outcome that the instrument would show.
func TestPredictsEveryKindOfReading(t *testing.T) {
	g := networktest.Build(t, "other-parts.toml", networktest.File(t, "testdata/jobs/other-parts.toml"), network.Options{})
	o := statetest.Solve(t, g, "cooling: up")
	at := func(kind network.ReadingKind, name string) float64 {
		return diagnose.Predict(o, kind, spot(t, g, kind, name))
	}

	assert.Equal(t, o.Blower.ExternalStatic, at(network.DropReading, "across blower"))
	assert.True(t, math.IsNaN(at(network.WattsReading, "blower")), "its table has no watts")
	small := networktest.Graph(t, "first-look", "")
	measured := statetest.Solve(t, small, "cooling: day")
	assert.Equal(t, measured.Blower.Power, diagnose.Predict(measured, network.WattsReading, spot(t, small, network.WattsReading, "blower")))
	assert.InDelta(t, o.Equipment.Leaving-o.Equipment.Entering, at(network.RiseReading, "equipment"), 1e-12)
	// A Pitot tube's two holes differ by the velocity pressure ρV²/2.
	start := spot(t, g, network.StaticReading, "before the run")
	first := &o.Elements[start.Start]
	assert.InDelta(t, first.Density*first.Velocity*first.Velocity/2, diagnose.Predict(o, network.TotalReading, start)-diagnose.Predict(o, network.StaticReading, start), 1e-9)
	// A drop across a part in still air is the difference of the statics at its ends.
	filter := spot(t, g, network.DropReading, "across filter")
	e := &g.Elements[filter.Element]
	assert.Equal(t, o.Nodes[e.From].Static-o.Nodes[e.To].Static, diagnose.Predict(o, network.DropReading, filter))
	// Between two places, the first against the second.
	behind := spot(t, g, network.StaticReading, network.BlowerInlet)
	between := spot(t, g, network.StaticReading, network.ReturnPlenum)
	between.Behind = &behind
	assert.InDelta(t, at(network.StaticReading, network.ReturnPlenum)-at(network.StaticReading, network.BlowerInlet), diagnose.Predict(o, network.DropReading, between), 1e-12)
	for k, r := range g.Registers {
		name := r.Line + " register"
		x := &o.Registers[k]
		assert.Equal(t, x.Airflow, at(network.AirflowReading, name))
		assert.Equal(t, x.FaceVelocity, at(network.FaceReading, name))
		if x.Airflow > 0 {
			assert.Equal(t, x.Temperature, at(network.TemperatureReading, name))
		}
	}
	for i := range o.Rooms {
		assert.Equal(t, math.Max(o.Rooms[i].DBA, 0), at(network.SoundReading, o.Rooms[i].Name), "a meter shows nothing below 0")
	}
	assert.Equal(t, o.Nodes[g.NodeNamed(network.SupplyPlenum)].Temperature, at(network.TemperatureReading, network.SupplyPlenum))
}

// The model's own uncertainty and the tolerances of balancing: ±10 % of an airflow as commonly specified (from memory), the rest our choice.
func TestTolerances(t *testing.T) {
	for _, c := range []struct {
		kind          network.ReadingKind
		value, within float64
	}{
		{network.AirflowReading, 0.2, 0.02}, {network.StaticReading, -40, 6}, {network.DropReading, 20, 3}, {network.TemperatureReading, 40, 3},
		{network.RiseReading, 20, 3}, {network.SoundReading, 30, 5},
	} {
		assert.InDelta(t, c.within, diagnose.Tolerance(c.kind, c.value, 0, 0), 1e-12, string(c.kind))
	}
	assert.InDelta(t, 2*5.0, diagnose.Tolerance(network.AirflowReading, 0.2, 3, 4), 1e-12, "twice 3 and 4, as squares")
	assert.Equal(t, 6.0, diagnose.ModelSigma(network.SoundReading, 30))
	assert.Equal(t, 1.5, diagnose.ModelSigma(network.RiseReading, 20))
	assert.InDelta(t, 0.16, diagnose.ModelSigma(network.FaceReading, -2), 1e-12)
}

// A hand damper that was turned and a controller off its set point are found, with what they stand at. A run that is choked takes as
// much air away as its damper does, at any airflow, so that one of them may stand for the other.
func TestFitFindsHandDampersAndControllers(t *testing.T) {
	g := networktest.Build(t, "every-part.toml", networktest.File(t, "testdata/jobs/every-part.toml"), network.Options{})
	var plan []diagnose.Query
	for _, s := range []string{"cooling: west", "cooling: all zones"} {
		for _, q := range []struct {
			kind network.ReadingKind
			name string
		}{{network.StaticReading, network.SupplyPlenum}, {network.StaticReading, network.ReturnPlenum}, {network.AirflowReading, "room-2 register"},
			{network.AirflowReading, "west-3 register"}, {network.AirflowReading, "steady"}, {network.AirflowReading, "relief"}} {
			plan = append(plan, diagnose.Query{Kind: q.kind, Place: spot(t, g, q.kind, q.name), State: s})
		}
	}
	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	for _, c := range []struct {
		kind     diagnose.Kind
		severity float64
	}{{diagnose.MovedBalance, 0.3}, {diagnose.WrongSetPoint, 0.35}} {
		truth := causeOf(t, b, c.kind)
		r, err := b.Fit(exact(t, b.Causes()[truth].Apply(g, c.severity), plan))
		require.NoError(t, err)
		alike := append([]int{0}, r.Twins...)
		k := slices.IndexFunc(alike, func(k int) bool { return slices.Equal(r.Hypotheses[k].Causes, []int{truth}) })
		require.GreaterOrEqual(t, k, 0, string(c.kind))
		h := r.Hypotheses[alike[k]]
		assert.InEpsilon(t, c.severity, h.Severities[0], 0.25, string(c.kind))
		assert.Less(t, h.Chi2, 2.0, "of 12 readings: %s", c.kind)
	}
}

// Settings are what the job file says, part by part.
func TestSettingsAsTheJobHasThem(t *testing.T) {
	g := networktest.Build(t, "every-part.toml", networktest.File(t, "testdata/jobs/every-part.toml"), network.Options{})
	const inwc = 249.089 // Pa
	got := map[string]diagnose.Setting{}
	for _, s := range diagnose.Settings(g) {
		got[s.Name+", "+s.What] = s
	}
	for name, want := range map[string]float64{
		"weight damper, begins to open at": 0.30 * inwc, "holder damper, holds": 0.22 * inwc, "east-b damper, stop, when its zone does not call": 0.10,
		"east-b damper, when its zone calls": 1, "west damper, stop, when its zone does not call": 0.20, "room-2 balance, set by hand": 0.70,
		"east-a damper, stop, when its zone does not call": 1 - 68.0/90,
	} {
		s, ok := got[name]
		if assert.True(t, ok, "%s among %v", name, got) {
			assert.InDelta(t, want, s.Value, 1e-9*math.Max(1, want), name)
		}
	}
	assert.Equal(t, "high", got["blower tap, cooling"].Word)
	assert.Equal(t, "medium", got["blower tap, heating"].Word)
}

// A reading of a sum alone knows neither part: what one has more the other has less. With information a² for the sum and 1/0.3² for each,
// the correlation of the two is −a²/(a² + 1/0.3²) (computed from the formula).
func TestPartsThatAreOnlyKnownTogether(t *testing.T) {
	k, err := diagnose.Identify([]string{"one", "two", "three"}, mat.NewDense(2, 3, []float64{1, 1, 0, 0, 0, 1}), []float64{0.01, 0.2})
	require.NoError(t, err)
	assert.Equal(t, [][2]int{{0, 1}}, k.Together)
	assert.Empty(t, k.Undetermined(), "0.3/√2 is known of each")
	assert.InDelta(t, 0.3/math.Sqrt2, k.Known[0], 1e-3)
	assert.InDelta(t, 1/math.Sqrt(1/0.04+1/0.09), k.Known[2], 1e-12)
}

// A reading in a call state in which none was taken yet gives what it gives in a plan that had it from the beginning.
func TestAFurtherReadingInAnotherState(t *testing.T) {
	g := networktest.Graph(t, "first-look", "")
	var plan, whole []diagnose.Query
	for _, q := range diagnose.Kit(g, network.Cooling) {
		if q.State == "cooling: day" {
			plan = append(plan, q)
		}
	}
	further := diagnose.Query{Kind: network.StaticReading, Place: spot(t, g, network.StaticReading, network.SupplyPlenum), State: "cooling: bed"}
	whole = append(slices.Clone(plan), further)
	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	truth := causeOf(t, b, diagnose.LoadedFilter)
	values := exact(t, b.Causes()[truth].Apply(g, 3), whole)
	r, err := b.Fit(values[:len(plan)])
	require.NoError(t, err)
	grown, err := b.With(further, r, values[len(plan)])
	require.NoError(t, err)
	all, err := diagnose.NewBench(g, whole)
	require.NoError(t, err)
	want, err := all.Fit(values)
	require.NoError(t, err)
	assert.Equal(t, want.Hypotheses[0].Causes, grown.Hypotheses[0].Causes)
	assert.InEpsilon(t, want.Hypotheses[0].Severities[0], grown.Hypotheses[0].Severities[0], 1e-6)
	assert.InDelta(t, want.Hypotheses[0].Weight, grown.Hypotheses[0].Weight, 0.01)
	assert.InDeltaSlice(t, want.Off, grown.Off, 1e-9)
}

// However many readings there are, each may be bad: the chance that one is goes down with their number, so that the chance that none is
// stays a chance.
func TestManyReadings(t *testing.T) {
	g := networktest.Graph(t, "first-look", "")
	var plan []diagnose.Query
	for len(plan) <= 110 {
		for _, s := range state.States(g) {
			for _, kind := range []network.ReadingKind{network.StaticReading, network.AirflowReading} {
				for _, at := range g.Spots(kind) {
					plan = append(plan, diagnose.Query{Kind: kind, Place: at, State: s.Name})
				}
			}
		}
	}
	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	truth := causeOf(t, b, diagnose.FouledCoil)
	r, err := b.Fit(exact(t, b.Causes()[truth].Apply(g, 3), plan))
	require.NoError(t, err)
	assert.Equal(t, []int{truth}, r.Hypotheses[0].Causes)
	assert.Greater(t, r.Hypotheses[0].Weight, 0.9)
}

// Before anything is read: one fault in 88 houses of 100 that have one, by its odds; two at once in the other 12, by the product of theirs,
// in either order. The first thing that anybody looks at is the filter (common practice). And of a fit: what is off counts in standard
// deviations of instrument and house together, and a severity that was fitted costs ln N (Schwarz 1978).
func TestPriorsAndPenalties(t *testing.T) {
	g := networktest.Graph(t, "first-look", "")
	plan := diagnose.Kit(g, network.Cooling)
	b, err := diagnose.NewBench(g, plan)
	require.NoError(t, err)
	values := exact(t, g, plan)
	r, err := b.Fit(values)
	require.NoError(t, err)

	odds, greatest := 0.0, 0.0
	for _, c := range b.Causes() {
		odds += c.Odds
		greatest = math.Max(greatest, c.Odds)
	}
	assert.Equal(t, greatest, b.Causes()[causeOf(t, b, diagnose.LoadedFilter)].Odds)
	pairs, severities := 0, 0
	for _, h := range r.Hypotheses {
		want, parameters := 0.88, 0
		if len(h.Causes) == 2 {
			want = 0.12 * 2
			pairs++
		}
		for _, c := range h.Causes {
			want *= b.Causes()[c].Odds / odds
			if len(b.Causes()[c].Knots) > 1 {
				parameters++
				severities++
			}
		}
		assert.InEpsilon(t, want, h.Prior, 1e-12)
		assert.InDelta(t, float64(parameters)*math.Log(float64(len(plan))), h.BIC-h.Chi2, 1e-9)
	}
	assert.Positive(t, pairs)
	assert.Positive(t, severities)

	values[0].Value += 3 * math.Hypot(r.Sigma[0], r.AsBuilt[0])
	r, err = b.Fit(values)
	require.NoError(t, err)
	assert.InDelta(t, 3, r.Off[0], 1e-3)
}
