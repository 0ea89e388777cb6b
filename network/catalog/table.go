package catalog

import "math"

// interval returns i such that xs[i] <= x < xs[i+1], held to the ends of the table. xs rises strictly and has two
// entries or more.
func interval(xs []float64, x float64) int {
	i := 0
	for i < len(xs)-2 && x >= xs[i+1] {
		i++
	}
	return i
}

// position returns the interval of x in xs and how far through it x lies, 0 to 1; x outside the table counts as its end.
func position(xs []float64, x float64) (i int, t float64) {
	i = interval(xs, x)
	return i, min(max((x-xs[i])/(xs[i+1]-xs[i]), 0), 1)
}

// linear interpolates ys over xs and holds the end values.
func linear(xs, ys []float64, x float64) float64 {
	i, t := position(xs, x)
	return ys[i] + t*(ys[i+1]-ys[i])
}

// logLog interpolates ln y over ln x and holds the end values. All entries are positive.
func logLog(xs, ys []float64, x float64) float64 {
	i, t := logPosition(xs, x)
	return geometric(ys[i], ys[i+1], t)
}

// logPosition is position with ln x as the measure.
func logPosition(xs []float64, x float64) (i int, t float64) {
	x = min(max(x, xs[0]), xs[len(xs)-1])
	i = interval(xs, x)
	return i, math.Log(x/xs[i]) / math.Log(xs[i+1]/xs[i])
}

// geometric goes from a to b in equal ratios.
func geometric(a, b, t float64) float64 { return a * math.Pow(b/a, t) }

// logMonotone interpolates ln y over x by the piecewise cubic of Fritsch and Butland (1984), SIAM J. Sci. Stat. Comput. 5,
// 300-304: continuous with its slope, and as monotone as the table. It returns ln y and its slope at x, which must lie
// within the table of three entries or more. Only the entries beside x matter, so the table stays a plain slice.
func logMonotone(xs, ys []float64, x float64) (logY, slope float64) {
	i := interval(xs, x)
	first, last := max(i-1, 0), min(i+2, len(xs)-1)
	var window [4]float64
	logs := window[:last-first+1]
	for k := range logs {
		logs[k] = math.Log(ys[first+k])
	}
	xs, i = xs[first:last+1], i-first
	return hermite(x, xs[i], xs[i+1], logs[i], logs[i+1], knotSlope(xs, logs, i), knotSlope(xs, logs, i+1))
}

// knotSlope is the slope that logMonotone takes at knot i: inside, the weighted harmonic mean of the slopes on both sides, or
// 0 when they differ in sign; at an end, the three-point slope held to the sign and to three times the slope beside it.
func knotSlope(xs, ys []float64, i int) float64 {
	last := len(xs) - 1
	switch {
	case i == 0:
		return endSlope(xs[1]-xs[0], xs[2]-xs[1], (ys[1]-ys[0])/(xs[1]-xs[0]), (ys[2]-ys[1])/(xs[2]-xs[1]))
	case i == last:
		return endSlope(xs[last]-xs[last-1], xs[last-1]-xs[last-2],
			(ys[last]-ys[last-1])/(xs[last]-xs[last-1]), (ys[last-1]-ys[last-2])/(xs[last-1]-xs[last-2]))
	}
	h0, h1 := xs[i]-xs[i-1], xs[i+1]-xs[i]
	d0, d1 := (ys[i]-ys[i-1])/h0, (ys[i+1]-ys[i])/h1
	if d0*d1 <= 0 {
		return 0
	}
	w0, w1 := 2*h1+h0, h1+2*h0
	return (w0 + w1) / (w0/d0 + w1/d1)
}

func endSlope(h0, h1, d0, d1 float64) float64 {
	s := ((2*h0+h1)*d0 - h0*d1) / (h0 + h1)
	switch {
	case s*d0 <= 0:
		return 0
	case d0*d1 <= 0 && math.Abs(s) > 3*math.Abs(d0):
		return 3 * d0
	}
	return s
}

// hermite is the cubic through (x0, y0) and (x1, y1) with slopes s0 and s1.
func hermite(x, x0, x1, y0, y1, s0, s1 float64) (y, slope float64) {
	h := x1 - x0
	t := (x - x0) / h
	d := (y1 - y0) / h
	c := 3*d - 2*s0 - s1
	b := s0 + s1 - 2*d
	return y0 + h*t*(s0+t*(c+t*b)), s0 + t*(2*c+3*t*b)
}

// smoothStep rises from 0 at x = from to 1 at x = from + width, flat at both ends. It returns the value and the slope.
func smoothStep(x, from, width float64) (y, slope float64) {
	t := (x - from) / width
	switch {
	case t <= 0:
		return 0, 0
	case t >= 1:
		return 1, 0
	}
	return t * t * (3 - 2*t), 6 * t * (1 - t) / width
}
