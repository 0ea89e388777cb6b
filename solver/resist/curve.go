package resist

import "gonum.org/v1/gonum/interp"

// curve is a piecewise cubic through a table, monotone where the table is: Fritsch and Butland's slopes ("A method for
// constructing local monotone piecewise cubic interpolants", SIAM J. Sci. Stat. Comput. 5 (1984) 300-304) as fitted by
// gonum, kept here as coefficients so that it can be inverted and continued beyond its ends.
type curve struct {
	x    []float64
	c    [][4]float64 // on interval i: c0 + c1 t + c2 t² + c3 t³, t = (x − x_i)/(x_{i+1} − x_i)
	lowM float64      // slope at the first knot
	topM float64      // slope at the last knot
}

// fitCurve needs at least two points with x strictly increasing.
func fitCurve(x, y []float64) curve {
	var fit interp.FritschButland
	_ = fit.Fit(x, y) // always nil
	k := curve{x: x, c: make([][4]float64, len(x)-1)}
	for i := range k.c {
		h := x[i+1] - x[i]
		m0, m1 := h*fit.PredictDerivative(x[i]), h*fit.PredictDerivative(x[i+1])
		rise := y[i+1] - y[i]
		k.c[i] = [4]float64{y[i], m0, 3*rise - 2*m0 - m1, m0 + m1 - 2*rise}
	}
	k.lowM = fit.PredictDerivative(x[0])
	k.topM = fit.PredictDerivative(x[len(x)-1])
	return k
}

// interval returns i with x_i ≤ x ≤ x_{i+1}, the end ones for x outside. Tables have about ten rows: a plain walk.
func (k *curve) interval(x float64) int {
	i := 0
	for i < len(k.c)-1 && x > k.x[i+1] {
		i++
	}
	return i
}

// at returns value and slope inside the table.
func (k *curve) at(x float64) (y, slope float64) {
	i := k.interval(x)
	h := k.x[i+1] - k.x[i]
	t := (x - k.x[i]) / h
	c := &k.c[i]
	return c[0] + t*(c[1]+t*(c[2]+t*c[3])), (c[1] + t*(2*c[2]+t*3*c[3])) / h
}

// held returns the value with the end values held beyond the ends.
func (k *curve) held(x float64) float64 {
	y, _ := k.at(min(max(x, k.x[0]), k.x[len(k.x)-1]))
	return y
}
