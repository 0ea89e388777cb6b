package chart

import (
	"math"
	"strconv"
	"strings"
)

// scale turns values of one axis into px.
type scale struct {
	from, to  float64 // values at both ends
	low, high float64 // px at both ends
	step      float64
	decimals  int
}

func (s scale) px(v float64) float64 {
	if s.to == s.from {
		return s.low
	}
	return s.low + (v-s.from)/(s.to-s.from)*(s.high-s.low)
}

// clamp holds a value within the axis.
func (s scale) clamp(v float64) float64 { return math.Max(s.from, math.Min(s.to, v)) }

// newScale rounds a range outwards to whole steps of 1, 2, 2.5 or 5 times a power of ten, about count of them.
func newScale(from, to float64, count int) scale {
	if !finite(from) || !finite(to) {
		from, to = 0, 1
	}
	if to < from {
		from, to = to, from
	}
	if to == from {
		pad := math.Max(math.Abs(to)*0.1, 1e-3)
		from, to = from-pad, to+pad
	}
	step := niceStep((to - from) / float64(max(count, 1)))
	s := scale{step: step, from: math.Floor(from/step+1e-9) * step, to: math.Ceil(to/step-1e-9) * step}
	s.decimals = decimalsOf(step)
	return s
}

func niceStep(rough float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(rough)))
	switch m := rough / power; {
	case m <= 1.0000001:
		return power
	case m <= 2.0000001:
		return 2 * power
	case m <= 2.5000001:
		return 2.5 * power
	case m <= 5.0000001:
		return 5 * power
	}
	return 10 * power
}

func decimalsOf(step float64) int {
	for d := 0; d < 7; d++ {
		scaled := step * math.Pow(10, float64(d))
		if math.Abs(scaled-math.Round(scaled)) < 1e-6*scaled {
			return d
		}
	}
	return 7
}

// ticks are the values with a number.
func (s scale) ticks() []float64 {
	var out []float64
	n := int(math.Round((s.to - s.from) / s.step))
	for i := 0; i <= n && i < 60; i++ {
		out = append(out, s.from+float64(i)*s.step)
	}
	return out
}

func (s scale) text(v float64) string { return number(v, s.decimals) }

// number prints v with that many decimals, thousands parted by commas, a true minus sign, and no minus on a rounded zero.
func number(v float64, decimals int) string {
	if !finite(v) {
		return "–"
	}
	t := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	whole, rest, dot := strings.Cut(t, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if dot {
		whole += "." + rest
	}
	if v < 0 && strings.Trim(whole, "0.,") != "" {
		return "−" + whole
	}
	return whole
}
