package state

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// mixer finds the rest of a map by Anderson's method where plain repetition swings: the next state is the one at which, as far as the last
// few turns tell, the map would move least. With x_k the states, d_k how far the map moved each and Δ the differences of successive
// ones,
//
//	x ← x + β d − Σ γ_k (Δx_k + β Δd_k),   γ = argmin ‖d − Σ γ_k Δd_k‖
//
// It is the secant method in as many directions as there are turns to go by. No component goes
// far beyond the range in which it began or the map has ever put it, so an extrapolation cannot run away. Where the distance has not come below its best for a while, memory is cleared and β halved.
//
// Source: D. G. Anderson, "Iterative Procedures for Nonlinear Integral Equations", Journal of the ACM 12 (1965) 547–560 (cited from memory).
type mixer struct {
	beta      float64
	x, d      []float64   // the last state and how far the map moved it
	dx, dd    [][]float64 // the newest first
	low, high []float64   // of each component of what the map gave
	least     float64     // square of the least distance that the map has moved a state
	idle      int         // turns since
}

const (
	mixerDepth    = 6
	mixerPatience = 12
	// A state may leave the range of what the map has given by half that range, within these, K.
	mixerLeast, mixerMost = 0.01, 5
)

// mix replaces x by the next state to try, given what the map makes of it.
func (m *mixer) mix(x, image []float64) {
	n := len(x)
	d := make([]float64, n)
	size := 0.0
	for i := range d {
		d[i] = image[i] - x[i]
		size += d[i] * d[i]
	}
	if m.low == nil {
		m.beta, m.least = 0.5, math.Inf(1)
		m.low, m.high = append([]float64(nil), x...), append([]float64(nil), x...)
	}
	for i, y := range image {
		m.low[i], m.high[i] = min(m.low[i], y), max(m.high[i], y)
	}
	if size < m.least {
		m.least, m.idle = size, 0
	} else if m.idle++; m.idle%mixerPatience == 0 {
		m.beta = max(m.beta/2, 0.01)
		m.dx, m.dd, m.x = nil, nil, nil
	}
	if m.x != nil {
		dx, dd := make([]float64, n), make([]float64, n)
		for i := range dx {
			dx[i], dd[i] = x[i]-m.x[i], d[i]-m.d[i]
		}
		m.dx, m.dd = append([][]float64{dx}, m.dx...), append([][]float64{dd}, m.dd...)
		if len(m.dx) > mixerDepth {
			m.dx, m.dd = m.dx[:mixerDepth], m.dd[:mixerDepth]
		}
	}
	m.x, m.d = append(m.x[:0], x...), d
	gamma := leastSquares(m.dd, d)
	for i := range x {
		y := x[i] + m.beta*d[i]
		for k, g := range gamma {
			y -= g * (m.dx[k][i] + m.beta*m.dd[k][i])
		}
		beyond := mixerLeast + min((m.high[i]-m.low[i])/2, mixerMost)
		x[i] = min(max(y, m.low[i]-beyond), m.high[i]+beyond)
	}
}

// leastSquares finds γ with the least ‖d − Σ γ_k a_k‖. Vectors from the end of the list on that the ones before
// them give as well as get no part (H. F. Walker and P. Ni, SIAM Journal on Numerical Analysis 49 (2011), from memory).
func leastSquares(a [][]float64, d []float64) []float64 {
	const worst = 1e6 // condition number of the directions
	gamma := make([]float64, len(a))
	directions, length := mat.NewDense(len(d), max(len(a), 1), nil), make([]float64, len(a))
	for k, v := range a {
		length[k] = floats.Norm(v, 2)
		for i, x := range v {
			directions.Set(i, k, x/length[k])
		}
	}
	for n := min(len(a), len(d)); n > 0; n-- {
		var qr mat.QR
		qr.Factorize(directions.Slice(0, len(d), 0, n))
		if !(qr.Cond() < worst) {
			continue
		}
		part := mat.NewVecDense(n, gamma[:n])
		if qr.SolveVecTo(part, false, mat.NewVecDense(len(d), d)) != nil {
			continue
		}
		floats.Div(gamma[:n], length[:n])
		break
	}
	return gamma
}
