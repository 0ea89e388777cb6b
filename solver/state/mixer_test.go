package state

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Maps whose fixed points are known by their making, and from which plain repetition runs away.
func TestMixer(t *testing.T) {
	for _, m := range []struct {
		name string
		rest []float64
		of   func(x, image []float64)
		most int
	}{
		{"a column that turns round", []float64{21}, func(x, image []float64) { image[0] = 21 - 15*math.Tanh(2*(x[0]-21)) }, 60},
		{"swings and runs away at once", []float64{20, 30}, func(x, image []float64) { // eigenvalues −30 and 5
			a, b := x[0]-20, x[1]-30
			image[0], image[1] = 20-30*a+2*b, 30+5*b
		}, 60},
		{"a kink", []float64{25}, func(x, image []float64) {
			slope := -2.0
			if x[0] < 25 {
				slope = -200
			}
			image[0] = 25 + slope*(x[0]-25)
		}, 80},
	} {
		t.Run(m.name, func(t *testing.T) {
			var mix mixer
			x, image := make([]float64, len(m.rest)), make([]float64, len(m.rest))
			for i := range x {
				x[i] = m.rest[i] + 3
			}
			for range m.most {
				m.of(x, image)
				mix.mix(x, image)
			}
			assert.InDeltaSlice(t, m.rest, x, 1e-6)
		})
	}
}

// Of directions that say the same only one counts; the rest are solved as by hand.
func TestLeastSquares(t *testing.T) {
	assert.InDeltaSlice(t, []float64{2, 0}, leastSquares([][]float64{{1, 0, 0}, {1, 0, 0}}, []float64{2, 5, 0}), 1e-14)
	// d = 3 a₁ − 2 a₂ + something square to both
	a1, a2 := []float64{1, 1, 0, 0}, []float64{0, 1, 1, 0}
	assert.InDeltaSlice(t, []float64{3, -2}, leastSquares([][]float64{a1, a2}, []float64{3, 1, -2, 7}), 1e-13)
}
