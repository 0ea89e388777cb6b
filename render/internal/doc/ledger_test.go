package doc

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Quotas and remainders can be checked by hand: 1/3 each of 100 gives 34, 33, 33 with the spare unit to the first.
func TestApportionByHand(t *testing.T) {
	for _, c := range []struct {
		name    string
		parts   []float64
		quantum float64
		want    []int64
		sum     int64
	}{
		{"thirds", []float64{100. / 3, 100. / 3, 100. / 3}, 1, []int64{34, 33, 33}, 100},
		{"largest remainder wins", []float64{520, 135.3, 384.4, 0, 90.5}, 1, []int64{520, 135, 384, 0, 91}, 1130},
		{"exact stays", []float64{10, 20, 30}, 1, []int64{10, 20, 30}, 60},
		{"noise in the last bits", []float64{10 - 1e-15, 20 + 4e-15, 1e-17, -1e-17}, 1, []int64{10, 20, 0, 0}, 30},
		{"one reversed", []float64{100.4, -20.4}, 1, []int64{100, -20}, 80},
		{"none", nil, 1, []int64{}, 0},
		{"not a number", []float64{1, math.NaN()}, 1, []int64{0, 0}, 0},
		{"tenths", []float64{0.25, 0.25}, 0.1, []int64{3, 2}, 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			whole, sum := Apportion(c.parts, c.quantum)
			assert.Equal(t, c.want, whole)
			assert.Equal(t, c.sum, sum)
		})
	}
}

// Whatever the parts, the printed ones add up to their printed sum, none moves by a whole unit, and a zero stays zero.
func TestApportionAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.OneOf(rapid.Float64Range(0, 2000), rapid.Float64Range(-5, 5), rapid.Just(0.0), rapid.Float64Range(0, 1e-9))
		parts := rapid.SliceOfN(part, 1, 30).Draw(t, "parts")
		quantum := rapid.SampledFrom([]float64{1, 1e-6, 4.719474432e-4}).Draw(t, "quantum")
		whole, sum := Apportion(parts, quantum)
		var added int64
		exact := 0.0
		for i, w := range whole {
			added += w
			exact += parts[i]
			if off := math.Abs(float64(w) - parts[i]/quantum); off >= 1+1e-3 {
				t.Fatalf("part %d moved by %g quanta", i, off)
			}
			if parts[i] == 0 && w != 0 {
				t.Fatalf("zero became %d", w)
			}
		}
		if added != sum {
			t.Fatalf("parts add up to %d, printed sum %d", added, sum)
		}
		if off := math.Abs(float64(sum) - exact/quantum); off > 0.5+1e-3 {
			t.Fatalf("sum is off by %g quanta", off)
		}
	})
}
