package independent_test

import (
	"fmt"
	"math"
)

// edge is a way of the air from one node to another. The loss is in Pa at the flows of all edges,
// in kg/s.
type edge struct {
	name     string
	from, to string
	loss     func(q float64, flows map[string]float64) float64
}

// house is the node at zero pressure: all rooms and outdoors.
const house = "house"

// solve finds the flows at which the losses along every edge are the difference of pressure between
// its ends and no node gains air: Newton's method with derivatives by differences, on flows and
// pressures together, halving a step that does not help.
func solve(edges []edge, guess map[string]float64) (flows, pressures map[string]float64, err error) {
	number := map[string]int{}
	for _, e := range edges {
		for _, n := range []string{e.from, e.to} {
			if _, ok := number[n]; !ok && n != house {
				number[n] = len(number)
			}
		}
	}
	m, n := len(edges), len(edges)+len(number)
	x := make([]float64, n)
	for i, e := range edges {
		x[i] = guess[e.name]
	}
	at := map[string]float64{}
	residual := func(x []float64) []float64 {
		r := make([]float64, n)
		for i, e := range edges {
			at[e.name] = x[i]
		}
		for i, e := range edges {
			r[i] = -e.loss(x[i], at)
			if k, ok := number[e.from]; ok {
				r[i] += x[m+k]
				r[m+k] -= x[i] * scale
			}
			if k, ok := number[e.to]; ok {
				r[i] -= x[m+k]
				r[m+k] += x[i] * scale
			}
		}
		return r
	}
	r := residual(x)
	for range 200 {
		if norm(r) < 1e-8 {
			flows, pressures = map[string]float64{}, map[string]float64{house: 0}
			for i, e := range edges {
				flows[e.name] = x[i]
			}
			for name, k := range number {
				pressures[name] = x[m+k]
			}
			return flows, pressures, nil
		}
		a := make([][]float64, n)
		for i := range a {
			a[i] = make([]float64, n+1)
			a[i][n] = -r[i]
		}
		for j := range n {
			h := 1e-7
			if j >= m {
				h = 1e-3
			}
			kept := x[j]
			x[j] = kept + h
			up := residual(x)
			x[j] = kept - h
			down := residual(x)
			x[j] = kept
			for i := range n {
				a[i][j] = (up[i] - down[i]) / (2 * h)
			}
		}
		step, ok := eliminate(a)
		if !ok {
			return nil, nil, fmt.Errorf("the linear system is singular")
		}
		for share := 1.0; ; share /= 2 {
			trial := make([]float64, n)
			for j := range trial {
				trial[j] = x[j] + share*step[j]
			}
			if next := residual(trial); norm(next) < norm(r) || share < 1e-3 {
				x, r = trial, next
				break
			}
		}
	}
	return nil, nil, fmt.Errorf("no solution: a residual of %g is left", norm(r))
}

const scale = 1000 // Pa per kg/s, so that pressures and flows count alike

func norm(r []float64) float64 {
	sum := 0.0
	for _, v := range r {
		sum += v * v
	}
	return math.Sqrt(sum)
}

// eliminate solves a linear system, its right-hand side in the last column, by Gauss with the
// largest pivot of each column.
func eliminate(a [][]float64) ([]float64, bool) {
	n := len(a)
	for c := range n {
		p := c
		for i := c + 1; i < n; i++ {
			if math.Abs(a[i][c]) > math.Abs(a[p][c]) {
				p = i
			}
		}
		if a[p][c] == 0 {
			return nil, false
		}
		a[c], a[p] = a[p], a[c]
		for i := c + 1; i < n; i++ {
			f := a[i][c] / a[c][c]
			for j := c; j <= n && f != 0; j++ {
				a[i][j] -= f * a[c][j]
			}
		}
	}
	x := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		x[i] = a[i][n]
		for j := i + 1; j < n; j++ {
			x[i] -= a[i][j] * x[j]
		}
		x[i] /= a[i][i]
	}
	return x, true
}
