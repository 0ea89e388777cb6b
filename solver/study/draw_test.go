package study

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// A bell's range is two standard deviations either way of its middle (as the job file means it), cut at three; the quantiles of the normal
// distribution are any table's.
func TestDrawsFromABell(t *testing.T) {
	in := input{low: 10, high: 14, bell: true}
	for _, c := range []struct{ u, want float64 }{{0.5, 12}, {0.841345, 13}, {0.977250, 14}, {0.158655, 11}, {0, 9}, {1, 15}} {
		assert.InDelta(t, c.want, in.draw(c.u), 1e-3, "%g", c.u)
	}
	flat := input{low: 10, high: 14}
	for _, c := range []struct{ u, want float64 }{{0, 10}, {0.25, 11}, {1, 14}} {
		assert.InDelta(t, c.want, flat.draw(c.u), 1e-12)
	}
}

// What a draw makes of the job, each way of saying it: a share of the value in place, so much either way, from one value to another.
func TestToleranceIsAssigned(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "")
	drop, stop := float64(g.Job.Equipment.Filter.Drop), 0.40
	for _, c := range []struct {
		of         network.Tolerance
		u          float64 // of the range
		read       func(g *network.Graph) float64
		want, near float64
	}{
		{network.Tolerance{Of: "equipment.filter.drop", Share: 0.3}, 1, func(g *network.Graph) float64 { return float64(g.Job.Equipment.Filter.Drop) }, 1.3 * drop, 1e-9 * drop},
		{network.Tolerance{Of: "equipment.filter.drop", Share: 0.3}, 0, func(g *network.Graph) float64 { return float64(g.Job.Equipment.Filter.Drop) }, 0.7 * drop, 1e-9 * drop},
		{network.Tolerance{Of: "damper.main.stop", By: "9 deg"}, 0, func(g *network.Graph) float64 { return float64(damperOf(g.Job, "main").Stop) }, stop - 0.1, 1e-9},
		{network.Tolerance{Of: "damper.main.stop", By: "63 deg"}, 1, func(g *network.Graph) float64 { return float64(damperOf(g.Job, "main").Stop) }, 1, 1e-9}, // no further than open
		{network.Tolerance{Of: "equipment.filter.drop", From: "0.4 inwc", To: "0.2 inwc"}, 1, func(g *network.Graph) float64 { return float64(g.Job.Equipment.Filter.Drop) }, 0.4 * quantity.InchWater, 1e-6},
	} {
		list, err := inputs(g, []network.Tolerance{c.of})
		require.NoError(t, err, c.of.Of)
		v := vary(Variant{}, list, []float64{c.u})
		g := networktest.Graph(t, "two-floor", "", v.Set...)
		assert.InDelta(t, c.want, c.read(g), c.near, "%+v", c.of)
	}
}

// What is taken where a job says nothing of its tolerances, by our choice.
func TestDefaultTolerances(t *testing.T) {
	got := map[string]network.Tolerance{}
	for _, x := range DefaultTolerances(networktest.Graph(t, "two-floor", "")) {
		got[x.Of] = x
	}
	for of, share := range map[string]quantity.Fraction{"coefficients.fittings": 0.20,
		"coefficients.dampers": 0, "coefficients.shut-dampers": 0, "coefficients.parts": 0.15,
		"coefficients.leakage": 0.50,
		"coefficients.blower":  0.05, "equipment.cooling.capacity": 0.02,
		"equipment.heating.output": 0.02} {
		assert.Equal(t, share, got[of].Share, of)
	}
	for _, of := range []string{"coefficients.dampers", "coefficients.shut-dampers", "coefficients.junctions"} {
		assert.Contains(t, got, of)
		assert.True(t, network.ScatterKnown(of))
	}
	assert.Equal(t, "5 deg", got["damper.*.stop"].By)
	assert.Equal(t, []string{"1", "2.5"}, []string{got["equipment.filter.loading"].From, got["equipment.filter.loading"].To})
}

// Blades and the gaps round them scatter by what the catalogue says, in standard deviations; with a share it is the share, of the loss of a
// damper and of the leak of a shut one, whose loss goes with the square.
func TestDampersScatter(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "")
	spec := func(of string, share quantity.Fraction, u float64) *network.DamperSpec {
		list, err := inputs(g, []network.Tolerance{{Name: "x", Of: of, Share: share, Shape: network.BellShape}})
		require.NoError(t, err)
		c := *g
		c.Elements = slices.Clone(g.Elements)
		scale(&c, list[0].coefficient, list[0].draw(u))
		d, ok := c.Elements[c.ElementNamed("main damper")].Spec.(*network.DamperSpec)
		require.True(t, ok)
		return d
	}
	const above = 0.841345 // one standard deviation of the normal distribution
	assert.InDelta(t, 1, spec("coefficients.dampers", 0, above).Deviation, 1e-3)
	assert.InDelta(t, -1, spec("coefficients.shut-dampers", 0, 1-above).LeakDeviation, 1e-3)
	assert.InDelta(t, 1.15, spec("coefficients.dampers", 0.30, above).Factor, 1e-3)
	leaky := spec("coefficients.shut-dampers", 0.50, above)
	assert.InDelta(t, -2*math.Log(1.25), leaky.LeakDeviation*catalog.DamperLeakageDeviation, 1e-3)
}

// Junctions scatter by what the catalogue says, together; with a share it is that of a narrow branch's loss. A solver made over for it finds what
// a new one does, and lossier junctions take more of the blower's pressure.
func TestJunctionsScatter(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "")
	scaled := func(share quantity.Fraction, u float64) *network.Graph {
		list, err := inputs(g, []network.Tolerance{{Name: "x", Of: "coefficients.junctions", Share: share, Shape: network.BellShape}})
		require.NoError(t, err)
		c := *g
		c.Elements = slices.Clone(g.Elements)
		scale(&c, list[0].coefficient, list[0].draw(u))
		return &c
	}
	const above = 0.841345 // one standard deviation of the normal distribution
	assert.InDelta(t, 1, scaled(0, above).JunctionDeviation, 1e-3)
	assert.InDelta(t, 1, scaled(0.30, above).JunctionDeviation, 1e-3)

	base := statetest.Solver(t, g)
	static := map[float64]float64{}
	for _, u := range []float64{1 - above, 0.5, above} {
		made, err := base.With(scaled(0, u))
		require.NoError(t, err)
		over := statetest.SolveBy(t, made, "design-cooling: loft").Blower.ExternalStatic
		assert.InDelta(t, statetest.Solve(t, scaled(0, u), "design-cooling: loft").Blower.ExternalStatic, over, 1e-9)
		static[u] = over
	}
	assert.Greater(t, static[above], static[0.5]+0.2)
	assert.Less(t, static[1-above], static[0.5]-0.2)
}

// Every job with a bypass whose mixing it does not state has it among its default tolerances, and beside those of a [spread] of its own, over the
// whole band: at a furnace's limit after a bypass into the return plenum 0 to 50 % (inference from mixing boxes).
func TestMixingIsInEverySpread(t *testing.T) {
	seen := 0
	for _, name := range networktest.Examples(t) {
		for _, alternative := range networktest.Alternatives(t, networktest.Example(t, name)) {
			g := networktest.Graph(t, name, alternative)
			job := g.Job
			for i := range job.Bypass {
				path := "bypass." + job.Bypass[i].Name + ".unmixed"
				has := func(list []network.Tolerance) bool {
					return slices.ContainsFunc(list, func(x network.Tolerance) bool { return x.Of == path && x.From != x.To })
				}
				open := job.Bypass[i].Unmixed == nil
				assert.Equal(t, open, has(DefaultTolerances(g)), "%s %s", name, alternative)
				assert.Equal(t, open, has(mixingTolerances(job, job.Spread)), "%s %s", name, alternative)
				seen++
			}
		}
	}
	assert.Positive(t, seen)
	job := networktest.Graph(t, "two-floor", "bypass-to-plenum").Job
	assert.Equal(t, []network.Tolerance{{Name: "mixing", Of: "bypass.relief.unmixed", From: "0 %", To: "50 %"}}, mixingTolerances(job, nil))
	assert.Empty(t, mixingTolerances(job, []network.Tolerance{{Of: "bypass.*.unmixed"}}), "a job that varies it already")
	assert.Empty(t, mixingTolerances(networktest.Graph(t, "two-floor", "bypass-to-plenum", "bypass.relief.unmixed=20 %").Job, nil), "stated")
}

// Five degrees of blade are a little more than five percent of a quarter turn: towards open by percent, and towards nought by degrees from
// open; neither goes past its ends.
func TestBladeOff(t *testing.T) {
	percent := Span{Path: "damper.main.stop", From: "0 %", To: "100 %", Steps: 2}
	degrees := Span{Path: "damper.main.stop", From: "0 deg from open", To: "90 deg from open", Steps: 2}
	shut := Span{Path: "damper.main.stop", From: "0 deg from shut", To: "90 deg from shut", Steps: 2}
	for _, c := range []struct {
		span             Span
		x, degrees, want float64
	}{{percent, 50, 5, 50 + 500.0/90}, {percent, 50, -5, 50 - 500.0/90}, {percent, 98, 5, 100}, {percent, 2, -5, 0}, {degrees, 45, 5, 40}, {degrees, 45, -5, 50}, {degrees, 88, -5, 90},
		{shut, 45, 5, 50}, {shut, 3, -5, 0}} {
		assert.InDelta(t, c.want, c.span.bladeOff(c.x, c.degrees), 1e-12, "%+v", c)
	}
}

// Noise under NC 15, the lowest curve, is heard by nobody and counts as that; above it the loudest register counts, and only of equals the
// drift.
func TestQuietObjective(t *testing.T) {
	measures := []Measure{{Name: "register noise", Where: "a"}, {Name: "register noise", Where: "b"}, {Name: "zone drift", Where: "c"}}
	cost := func(a, b, drift float64) float64 {
		r := StateReport{State: state.CallState{Mode: network.Heating}, Values: []float64{a, b, drift}}
		as := &Report{Measures: measures, States: []StateReport{r}}
		return Quiet.together(Quiet.objective(as)(&r, measures))
	}
	assert.Equal(t, cost(3, 12, 0), cost(15, 9, 0), "nobody hears either")
	assert.Equal(t, 15.0, cost(3, 12, 0))
	assert.Equal(t, 28.0, cost(28, 20, 0), "the loudest, not the sum")
	const perHour = quantity.FahrenheitDeg / 3600
	assert.Greater(t, cost(28, 20, 5*perHour), cost(28, 20, 1*perHour), "of equals the least drift")
	assert.Less(t, cost(28, 20, 5*perHour), cost(29, 20, 0), "drift of an ordinary size does not outweigh a decibel")
}

// Of several crossings of one kind of check the foremost counts: passed below, the one farthest up; passed above, the one farthest down.
func TestForemostKnees(t *testing.T) {
	knee := func(x float64, below bool, where string) Knee {
		k := Knee{X: x, Below: below}
		k.Name, k.Where, k.Finding.Level = "static", where, verdict.Fault
		return k
	}
	kept := foremost([]Knee{knee(30, true, "a"), knee(40, true, "b"), knee(20, true, "c"), knee(70, false, "a"), knee(60, false, "b"), knee(80, false, "c")})
	require.Len(t, kept, 2)
	assert.Equal(t, []float64{40, 60}, []float64{kept[0].X, kept[1].X})
	assert.Equal(t, []int{2, 2}, []int{kept[0].Also, kept[1].Also})
}

// A limit that a value has passed lies below it where values above pass it; one that is kept lies above it.
func TestSidesOfALimit(t *testing.T) {
	for _, c := range []struct {
		value, limit float64
		level        verdict.Level
		upper        bool
	}{{6, 5, verdict.Fault, true}, {4, 5, verdict.Fault, false}, {4, 5, verdict.OK, true}, {6, 5, verdict.OK, false}} {
		var l Series
		l.addLimit(verdict.Finding{Value: c.value, Limit: c.limit, Level: c.level})
		require.Len(t, l.Limits, 1)
		assert.Equal(t, c.upper, l.Limits[0].Upper, "%+v", c)
	}
}
