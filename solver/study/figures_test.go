package study_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/study"
)

// The figures of a band are what their names say of its samples: so many of them lie below, and the mean and deviation are theirs.
func TestBandsAreQuantilesOfTheirSamples(t *testing.T) {
	const samples = 200
	s := open(t, "first-look", study.Options{Choose: only("cooling: day")})
	of := []network.Tolerance{{Name: "fittings", Of: "coefficients.fittings", Share: 0.2}, {Name: "parts", Of: "coefficients.parts", Share: 0.15}}
	w, err := s.Spread(study.Variant{}, study.Sampling{Samples: samples, Seed: 3, Tolerances: of})
	require.NoError(t, err)
	for k, m := range w.Measures {
		b := w.Bands[0][k]
		if m.Name != "external static" {
			continue
		}
		below := func(y float64) float64 {
			n := 0
			for _, x := range b.Samples {
				if x <= y {
					n++
				}
			}
			return float64(n) / samples
		}
		assert.InDelta(t, 0.05, below(b.Low), 1.5/samples)
		assert.InDelta(t, 0.50, below(b.Middle), 1.5/samples)
		assert.InDelta(t, 0.95, below(b.High), 1.5/samples)
		sum, square := 0.0, 0.0
		for _, x := range b.Samples {
			sum += x
		}
		for _, x := range b.Samples {
			square += (x - sum/samples) * (x - sum/samples)
		}
		assert.InEpsilon(t, sum/samples, b.Mean, 1e-9)
		assert.InEpsilon(t, math.Sqrt(square/(samples-1)), b.Deviation, 1e-9)

		// A limit put where seven in ten of the samples keep it, and a caution where four in ten do, hold just so often.
		sorted := slices.Clone(b.Samples)
		slices.Sort(sorted)
		fault, caution := (sorted[139]+sorted[140])/2, (sorted[79]+sorted[80])/2
		v := study.Variant{}.With("limits.max-static", fmt.Sprintf(`["%.9f Pa", "%.9f Pa"]`, caution, fault))
		limited, err := s.Spread(v, study.Sampling{Samples: samples, Seed: 3, Tolerances: of})
		require.NoError(t, err)
		i := slices.IndexFunc(limited.Chances, func(c study.Chance) bool { return c.Name == "external static" })
		require.GreaterOrEqual(t, i, 0)
		assert.InDelta(t, 0.70, limited.Chances[i].Holds, 1e-9)
		assert.InDelta(t, 0.40, limited.Chances[i].Clear, 1e-9)
		held := 1.0
		for _, c := range limited.Chances {
			held = math.Min(held, c.Holds)
		}
		assert.LessOrEqual(t, limited.Held, held+1e-9, "all limits hold together no oftener than the one that holds least")
		if held == limited.Chances[i].Holds {
			assert.InDelta(t, 0.70, limited.Held, 1e-9)
		}
	}
}

// What has no influence at all gets a share of nothing as often as not: what slices differ by chance is taken off.
func TestCorrelationRatioOfNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	const tries, n = 300, 100
	none := 0
	for range tries {
		x, y := make([]float64, n), make([]float64, n)
		for i := range n {
			x[i], y[i] = r.Float64(), r.NormFloat64()
		}
		if study.CorrelationRatio(x, y) == 0 {
			none++
		}
	}
	assert.InDelta(t, 0.6, float64(none)/tries, 0.2)
}

// One stop: what is chosen inside the window is the best there by the measure of the priority, found here by solving at every percent,
// and as far from an end that a limit makes as five degrees of blade.
func TestTuneOneTakesTheBest(t *testing.T) {
	for _, c := range []struct {
		priority study.Priority
		cost     func(p *study.Report) float64
	}{
		{study.Static, func(p *study.Report) float64 { return worstOf(p, "external static", "") }},
		{study.Energy, func(p *study.Report) float64 { // watts for each part of the heat that is delivered where it was asked for, on average
			sum := 0.0
			for i := range p.States {
				sum += p.Value(i, "blower power", "") / p.Value(i, "delivered share", "")
			}
			return sum / float64(len(p.States))
		}},
	} {
		s := open(t, "two-floor", study.Options{Choose: only(loftCalls...)})
		v := study.Variant{}.With("limits.least-zoning-kept", "15 %") // so that both ends of the window are a limit's, and it is wide
		found, err := s.Tune(v, study.Goal{Moves: []study.Span{stop("main", 101)},
			Priority: c.priority})
		require.NoError(t, err)
		require.True(t, found.Meets)
		x := 0.0
		_, err = fmt.Sscanf(found.Values[0], "%g %%", &x)
		require.NoError(t, err)
		w := found.Windows[0]
		from, to := w.From, w.To
		const margin = 5.0 / 90 * 100
		aside := math.Min(margin, (to-from)/4)
		require.NotNil(t, w.Low)
		require.NotNil(t, w.High)
		from, to = from+aside, to-aside
		assert.GreaterOrEqual(t, x, from-0.5, string(c.priority))
		assert.LessOrEqual(t, x, to+0.5, string(c.priority))
		best, at := math.Inf(1), 0.0
		for y := math.Ceil(from); y <= to; y++ {
			p, err := s.Report(v.With("damper.main.stop", fmt.Sprintf("%g %%", y)))
			require.NoError(t, err)
			if v := c.cost(p); v < best {
				best, at = v, y
			}
		}
		// Stops are taken to a whole percent, and one percent moves the drift that is left near the best stop by a thirtieth.
		assert.LessOrEqual(t, c.cost(found.Report), best*(1+0.03), "%s: %g %% taken, best at %g %%", c.priority, x, at)
	}
}

// worstOf is the greatest size of a measure over all call states.
func worstOf(p *study.Report, name, where string) float64 {
	worst := 0.0
	for i := range p.States {
		if v := math.Abs(p.Value(i, name, where)); v > worst {
			worst = v
		}
	}
	return worst
}

// The share that is delivered to calling zones is at most all of it, and all of it where every zone calls.
func TestDeliveredShareIsAShare(t *testing.T) {
	p, err := open(t, "two-floor", study.Options{Choose: only("design-cooling: all zones", "design-cooling: loft", "heating: loft")}).Report(study.Variant{})
	require.NoError(t, err)
	for i, st := range p.States {
		share := p.Value(i, "delivered share", "")
		if st.State.Name == "design-cooling: all zones" {
			assert.InDelta(t, 1, share, 1e-12)
			continue
		}
		assert.Less(t, share, 1.0, st.State.Name)
		assert.Greater(t, share, 0.3, st.State.Name)
	}
}

// Where friction may be as much as it likes, velocity sizes the ducts: none faster than the greatest usual, 900 fpm in trunks and branches
// and 700 in returns and flexible branches, as the air is; and the next smaller round size would be.
func TestVelocitySizesWhereFrictionDoesNot(t *testing.T) {
	z, err := open(t, "two-floor", study.Options{}).Size(study.Variant{}, study.SizeGoal{Friction: 20})
	require.NoError(t, err)
	tight := 0
	for _, l := range z.Lines {
		fpm := l.Velocity / quantity.FPM
		assert.LessOrEqual(t, fpm, 900.5, l.Name)
		if l.Table == "return" {
			assert.LessOrEqual(t, fpm, 700.5, l.Name)
		}
		if fpm > 500 {
			tight++
		}
	}
	assert.Greater(t, tight, len(z.Lines)/2, "and not twice as large as they need be")
}

// Ducts sized for a greatest static are as small as it allows: at nearly twice the friction they would pass it.
func TestSizeByStaticWastesNothing(t *testing.T) {
	s := open(t, "first-look", study.Options{})
	const static = 0.44 * quantity.InchWater
	z, err := s.Size(study.Variant{}, study.SizeGoal{Static: static})
	require.NoError(t, err)
	require.True(t, z.Meets)
	require.Less(t, z.Rate, 4.0, "within the range that is tried")
	more, err := s.Size(study.Variant{}, study.SizeGoal{Friction: 1.9 * z.Rate})
	require.NoError(t, err)
	assert.LessOrEqual(t, worstOf(z.After, "external static", ""), static)
	assert.Greater(t, worstOf(more.After, "external static", ""), static)
}
