package study

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/digest"
	"spillway/solver/verdict"
)

// A verdict is sure from 95 in 100 where somebody or the machine can be hurt and from 80 elsewhere:
// the steps of the rule, at the counts of 32 draws.
func TestVerdictOf(t *testing.T) {
	for _, c := range []struct {
		class  verdict.Class
		faults int
		want   Verdict
	}{
		{verdict.Equipment, 32, Fails}, {verdict.Equipment, 31, Fails},
		{verdict.Equipment, 30, CannotTell}, {verdict.Equipment, 2, CannotTell},
		{verdict.Equipment, 1, Holds}, {verdict.SafetyClass, 0, Holds},
		{verdict.Comfort, 26, Fails}, {verdict.Comfort, 25, CannotTell},
		{verdict.Guideline, 7, CannotTell}, {verdict.Guideline, 6, Holds},
	} {
		assert.Equal(t, c.want, VerdictOf(c.class, c.faults, SureDraws), "%v", c)
	}
}

// sureOf is how sure the digest of an example is.
func sureOf(t testing.TB, g *network.Graph) (*Sureness, *digest.Digest) {
	t.Helper()
	s := Of(g, Options{})
	r, err := s.Solve(Variant{})
	require.NoError(t, err)
	e, err := effectOf(r, nil)
	require.NoError(t, err)
	var names []string
	for _, o := range r.Outcomes {
		names = append(names, o.State.Name)
	}
	w, err := SureOf(g, e.Digest, names)
	require.NoError(t, err)
	return w, e.Digest
}

// The few draws count as many plain random draws do: the chance that nothing is at fault, and that
// each check of a cause holds, within what 32 draws can tell (three standard errors of counting).
func TestSureAgainstFullSampling(t *testing.T) {
	const samples = 200
	told := 0
	for _, c := range []struct{ example, alternative string }{{"two-floor", ""},
		{"first-look", ""}} {
		g := networktest.Graph(t, c.example, c.alternative)
		w, d := sureOf(t, g)
		require.NotNil(t, w)
		assert.Equal(t, SureDraws, w.Draws)
		s := Of(g, Options{})
		list, _, err := s.sureInputs()
		require.NoError(t, err)
		draws := draw(len(list), Sampling{Samples: samples, Seed: 7, Random: true})
		faults, clear := make([]float64, len(d.Causes)), 0.0
		for i := range samples {
			r, err := s.drawn(Variant{}, list, draws.RawRowView(i))
			require.NoError(t, err)
			e, err := effectOf(r, nil)
			require.NoError(t, err)
			if e.Causes == 0 {
				clear++
			}
			for k := range d.Causes {
				if o := e.Digest.Same(&d.Causes[k]); o != nil && o.Level == verdict.Fault {
					faults[k]++
				}
			}
		}
		near := func(got int, want float64, what string) {
			p := want / float64(samples)
			band := 3*math.Sqrt(p*(1-p)*(1/float64(SureDraws)+1/float64(samples))) + 1.0/SureDraws
			assert.InDelta(t, p, float64(got)/SureDraws, band, "%s %s: %s", c.example,
				c.alternative, what)
			if p > 0.02 && p < 0.98 {
				told++
			}
		}
		near(w.Clear, clear, "nothing at fault")
		for k := range d.Causes {
			near(w.Causes[k].Faults, faults[k], d.Causes[k].Title())
		}
	}
	assert.Greater(t, told, 3, "chances that are neither none nor sure")
}

// The filter is a case, not a draw, and a due one is never better for the static.
func TestSureHasTheFilterAsACase(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "")
	w, d := sureOf(t, g)
	for _, name := range w.Inputs {
		assert.False(t, strings.Contains(name, "filter"), name)
	}
	assert.Equal(t, SureDraws, w.Due)
	for i := range d.Causes {
		if d.Causes[i].Check == "external static" {
			assert.GreaterOrEqual(t, w.Causes[i].DueFaults, w.Causes[i].Faults)
		}
	}
	none, _ := sureOf(t, networktest.Graph(t, "two-floor", "", "equipment.filter.loading=2.5"))
	assert.Zero(t, none.Due, "it is due already")
}

// A large house is drawn in the call states of its gravest causes, within the bound.
func TestSureIsBounded(t *testing.T) {
	w, d := sureOf(t, networktest.Graph(t, "four-zone", ""))
	assert.True(t, w.Some)
	known := 0
	for i := range d.Causes {
		if w.Causes[i].Known {
			known++
		}
	}
	assert.Greater(t, known, 2)
	assert.Less(t, known, len(d.Causes)+1)
}

// What settles most is the input that goes with the harm, and nothing where none does.
func TestDecides(t *testing.T) {
	u := draw(3, Sampling{Samples: SureDraws, Seed: 3})
	inputs, harm, flat := make([][]float64, 3), []float64{}, []float64{}
	for i := range SureDraws {
		for k := range inputs {
			inputs[k] = append(inputs[k], u.At(i, k))
		}
		harm = append(harm, 3*u.At(i, 1)+0.5*u.At(i, 2))
		flat = append(flat, 1)
	}
	assert.Equal(t, 1, decides(inputs, harm))
	assert.Equal(t, -1, decides(inputs, flat))
}

func BenchmarkSure(b *testing.B) {
	g := networktest.Graph(b, "two-floor", "")
	_, d := sureOf(b, g)
	var names []string
	s := Of(g, Options{})
	r, err := s.Solve(Variant{})
	require.NoError(b, err)
	for _, o := range r.Outcomes {
		names = append(names, o.State.Name)
	}
	for b.Loop() {
		if _, err := SureOf(g, d, names); err != nil {
			b.Fatal(err)
		}
	}
}
