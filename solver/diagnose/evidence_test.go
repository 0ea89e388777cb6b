package diagnose

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// normal is the density of two residuals with a covariance (any text on probability).
func normal(x, y, xx, xy, yy float64) float64 {
	det := xx*yy - xy*xy
	return math.Exp(-(x*x*yy-2*x*y*xy+y*y*xx)/(2*det)) / (2 * math.Pi * math.Sqrt(det))
}

// Two readings with an as-built spread in common: either none is bad, or one is, and then its instrument is off by twenty times its
// uncertainty. The mixture of these three normal densities, worked out here from the formula of the density, is what the evidence is made of,
// what is left of one reading is its conditional residual, and the chance that a reading is bad is its part of the mixture.
func TestLikelihoodIsTheMixtureOfBadReadings(t *testing.T) {
	const sx, sy = 0.3, 0.5 // of the instruments
	jac := mat.NewDense(2, 2, []float64{0.4, 0, 0.2, 0.6})
	const xx, xy, yy = 0.16, 0.08, 0.04 + 0.36 // J Jᵀ
	l, err := newLikelihood([]float64{sx, sy}, jac)
	require.NoError(t, err)
	for _, r := range [][2]float64{{0, 0}, {0.5, -0.4}, {4, 0.1}, {0.2, -7}} {
		x, y := r[0], r[1]
		none := 0.98 * normal(x, y, xx+sx*sx, xy, yy+sy*sy)
		first := 0.01 * normal(x, y, xx+400*sx*sx, xy, yy+sy*sy)
		second := 0.01 * normal(x, y, xx+sx*sx, xy, yy+400*sy*sy)
		all := none + first + second

		w := []float64{x, y}
		l.whiten(w)
		got := l.log(w, make([]float64, 2))
		zero := math.Log(normal(0, 0, xx+sx*sx, xy, yy+sy*sy)) // the normalisation is left out: it is the same for every cause
		assert.InDelta(t, math.Log(all)-zero, got, 1e-9, "%v", r)

		chance, left := l.bad(w)
		assert.InDelta(t, first/all, chance[0], 1e-9, "%v", r)
		assert.InDelta(t, second/all, chance[1], 1e-9, "%v", r)
		conditional := (x - xy/(yy+sy*sy)*y) / math.Sqrt(xx+sx*sx-xy*xy/(yy+sy*sy))
		assert.InDelta(t, conditional, left[0], 1e-9, "%v", r)
	}
	_, err = newLikelihood([]float64{0, 0}, mat.NewDense(2, 1, []float64{1, 1}))
	assert.EqualError(t, err, "the uncertainties of the readings make no covariance")
}

// Averages and intervals of a posterior on a grid: the average of equal evidence is that evidence; of a bell 95 % lies within two standard
// deviations.
func TestGridsOfAPosterior(t *testing.T) {
	assert.InDelta(t, -3, average([]float64{-3, -3, -3, -3}), 1e-12)
	assert.InDelta(t, math.Log((math.Exp(-1)+math.Exp(-2))/2), average([]float64{-1, -2}), 1e-12)

	grid := steps(-5, 5, 1001)
	logs := make([]float64, len(grid))
	for k, x := range grid {
		logs[k] = -(x - 0.7) * (x - 0.7) / 2
	}
	low, high := interval(grid, logs)
	assert.InDelta(t, 0.7-1.96, low, 0.02)
	assert.InDelta(t, 0.7+1.96, high, 0.02)

	// The top of a parabola through three points, whichever side it leans to.
	coarse := []float64{0, 1, 2}
	for _, top := range []float64{0.6, 0.8, 1.3} {
		at := make([]float64, 3)
		for k, x := range coarse {
			at[k] = -(x - top) * (x - top)
		}
		assert.InDelta(t, top, peak(coarse, at, 1), 1e-12)
	}

	// 99.9 % quantiles of χ² (any table): 10.83, 22.46, 29.59 and 49.73 at 1, 6, 10 and 23 degrees of freedom; Wilson and Hilferty's
	// approximation is good to 2 % from 3 on.
	for n, want := range map[int]float64{6: 22.46, 10: 29.59, 23: 49.73} {
		assert.InEpsilon(t, want, farChi2(n), 0.01)
	}
}
