package chart

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Ticks as a person would choose them: whole steps of 1, 2, 2.5 or 5 (common practice).
func TestScale(t *testing.T) {
	for _, c := range []struct {
		from, to float64
		count    int
		want     []string
	}{
		{0, 1130, 6, []string{"0", "200", "400", "600", "800", "1,000", "1,200"}},
		{0, 0.51, 5, []string{"0.0", "0.2", "0.4", "0.6"}},
		{-0.16, 0.35, 5, []string{"−0.2", "0.0", "0.2", "0.4"}},
		{0, 30, 6, []string{"0", "5", "10", "15", "20", "25", "30"}},
		{31, 77, 5, []string{"30", "40", "50", "60", "70", "80"}},
	} {
		s := newScale(c.from, c.to, c.count)
		var got []string
		for _, v := range s.ticks() {
			got = append(got, s.text(v))
		}
		assert.Equal(t, c.want, got, "%g to %g", c.from, c.to)
	}
}

// Whatever the numbers, an axis holds them, has a few ticks, and no tick prints as another.
func TestScaleHoldsItsNumbers(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		from := rapid.Float64Range(-1e6, 1e6).Draw(r, "from")
		to := from + math.Pow(10, rapid.Float64Range(-3, 6).Draw(r, "span"))
		s := newScale(from, to, rapid.IntRange(3, 8).Draw(r, "count"))
		span := to - from
		assert.LessOrEqual(r, s.from, from+1e-6*span)
		assert.GreaterOrEqual(r, s.to, to-1e-6*span)
		ticks := s.ticks()
		assert.GreaterOrEqual(r, len(ticks), 2)
		assert.LessOrEqual(r, len(ticks), 14)
		seen := map[string]bool{}
		for _, v := range ticks {
			assert.False(r, seen[s.text(v)], s.text(v))
			seen[s.text(v)] = true
		}
	})
}
