package resist

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// iteratedColebrook solves the equation by plain substitution until nothing changes.
func iteratedColebrook(re, rough float64) float64 {
	x := 8.0
	for range 200 {
		x = -2 * math.Log10(rough/3.7+2.51*x/re)
	}
	return 1 / (x * x)
}

// roughnesses covers smooth to as rough as any chart goes.
var roughnesses = []float64{0, 1e-7, 1e-6, 1e-5, 1e-4, 3e-4, 1e-3, 3e-3, 0.01, 0.02, 0.03, 0.05}

func TestFrictionSolvesColebrook(t *testing.T) {
	worst := 0.0
	for _, rough := range append([]float64{greatestRoughness}, roughnesses...) {
		for lg := math.Log10(blendStart); lg <= 12; lg += 0.003 {
			re := math.Pow(10, lg)
			want := iteratedColebrook(re, rough)
			got, _ := colebrook(re, rough)
			worst = max(worst, math.Abs(got-want)/want)
		}
	}
	t.Logf("largest relative difference from iterated Colebrook: %.1e", worst)
	assert.Less(t, worst, 1e-13)
}

func TestRoughLog(t *testing.T) {
	for lg := -300.0; lg < 300; lg += 0.0137 {
		v := math.Pow(10, lg)
		assert.InDelta(t, math.Log(v), roughLog(v), 7e-4, "%g", v)
	}
}

// newtonColebrook is the plain way: an explicit start (Swamee and Jain's formula, J. Hydraulics Div. 102 (1976), from memory, or a
// fixed one) and Newton's method until nothing changes.
func newtonColebrook(re, rough, x float64) (f, exponent float64) {
	a, b := rough/3.7, 2.51/re
	for range 20 {
		s := a + b*x
		step := (x + log10Twice*math.Log(s)) / (1 + log10Twice*b/s)
		x -= step
		if math.Abs(step) < 1e-10*x { // what is left is the square of it
			break
		}
	}
	kb := log10Twice * b
	return 1 / (x * x), -2 * kb / (a + b*x + kb)
}

// Laminar flow by theory: f = 64/Re (Hagen and Poiseuille).
func TestFrictionIsLaminarAtLowReynolds(t *testing.T) {
	for _, re := range []float64{1e-3, 1, 500, 999.999, 1000, 1500} {
		assert.InEpsilon(t, 64/re, FrictionFactor(re, 1e-3), 1e-7, "Re %g", re)
	}
}

// The drop goes as f Re²; it must rise throughout, without steps where the formulas change hands.
func TestFrictionDropRisesEverywhere(t *testing.T) {
	for _, rough := range roughnesses {
		before, beforeRe := 0.0, 0.0
		for lg := -3.0; lg <= 8; lg += 5e-4 {
			re := math.Pow(10, lg)
			f, exponent := friction(re, rough)
			drop := f * re * re
			require.Greater(t, drop, before, "ε/D %g between Re %g and %g", rough, beforeRe, re)
			require.Greater(t, 2+exponent, 0.5, "slope at ε/D %g, Re %g", rough, re)
			if before > 0 {
				// No step: a rise of Re by 0.12 % cannot raise the drop by more than a few times that.
				require.Less(t, drop/before, 1.01, "step at ε/D %g, Re %g", rough, re)
			}
			before, beforeRe = drop, re
		}
	}
}

func TestFrictionIsContinuousWhereFormulasMeet(t *testing.T) {
	for _, rough := range roughnesses {
		for _, re := range []float64{laminarReynolds, blendStart, blendEnd} {
			below, eBelow := friction(math.Nextafter(re, 0), rough)
			above, eAbove := friction(re, rough)
			assert.InEpsilon(t, below, above, 1e-12, "value at Re %g, ε/D %g", re, rough)
			assert.InDelta(t, eBelow, eAbove, 1e-9, "exponent at Re %g, ε/D %g", re, rough)
		}
	}
}

func TestFrictionExponentIsTheDerivative(t *testing.T) {
	for _, rough := range roughnesses {
		for lg := -1.0; lg <= 8; lg += 0.0137 {
			re := math.Pow(10, lg)
			const h = 1e-5
			high, low := FrictionFactor(re*(1+h), rough), FrictionFactor(re*(1-h), rough)
			_, exponent := friction(re, rough)
			assert.InDelta(t, math.Log(high/low)/(math.Log1p(h)-math.Log1p(-h)), exponent, 2e-7, "Re %g, ε/D %g", re, rough)
		}
	}
}

// Every step of Churchill's formula kept as Churchill printed it, against the arranged one.
func TestChurchillArrangedAsPrinted(t *testing.T) {
	for _, rough := range roughnesses {
		for _, re := range []float64{1000, 1800, 2300, 3000, 4000, 1e4, 1e5} {
			a := math.Pow(2.457*math.Log(1/(math.Pow(7/re, 0.9)+0.27*rough)), 16)
			b := math.Pow(37530/re, 16)
			want := 8 * math.Pow(math.Pow(8/re, 12)+math.Pow(a+b, -1.5), 1.0/12)
			ours, _ := churchill(re, rough)
			assert.InEpsilon(t, want, ours, 1e-12, "Re %g, ε/D %g", re, rough)
		}
	}
}
