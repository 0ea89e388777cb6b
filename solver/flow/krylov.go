package flow

import "math"

// krylov is the workspace of gmres, in vectors over the edges of S.
type krylov struct {
	rhs, solution, image []float64
	scale                []float64
	basis                []float64 // krylovMost+1 vectors
	upper                []float64 // Hessenberg matrix by columns, turned triangular
	cosine, sine, last   [krylovMost + 1]float64
}

const (
	krylovMost      = 40
	krylovTolerance = 1e-8
)

func (k *krylov) set(n int) {
	k.rhs, k.solution, k.image = grow(k.rhs, n), grow(k.solution, n), grow(k.image, n)
	k.scale = grow(k.scale, n)
	k.basis = grow(k.basis, (min(n, krylovMost)+1)*n)
	k.upper = grow(k.upper, (krylovMost+1)*krylovMost)
}

// gmres solves (I + K C) y = b on S, or (I + K Cᵀ) y = b, by the generalised minimal residual method without restart, in
// flows scaled by the root of their slope, so that lengths are powers. It ends after as many steps as S has edges, or
// krylovMost, or when the residual has fallen by krylovTolerance.
//
// Source: Y. Saad and M. H. Schultz, "GMRES: a generalized minimal residual algorithm for solving nonsymmetric linear
// systems", SIAM J. Sci. Stat. Comput. 7 (1986) 856–869 (cited from memory).
func (s *Solver) gmres(y, b []float64, transposed bool) {
	c := &s.couple
	n := len(c.edges)
	vector := func(j int) []float64 { return c.basis[j*n : (j+1)*n] }
	for m, e := range c.edges {
		c.scale[m] = 0
		if w := s.conductance[e]; w > 0 {
			c.scale[m] = math.Sqrt(1 / w)
		}
	}
	first := vector(0)
	norm := 0.0
	for m, x := range b {
		first[m] = x * c.scale[m]
		norm += first[m] * first[m]
	}
	clear(y)
	norm = math.Sqrt(norm)
	if norm == 0 {
		return
	}
	for m := range first {
		first[m] /= norm
	}
	c.last[0] = norm
	steps := 0
	for j := range min(n, krylovMost) {
		from, to := vector(j), vector(j+1)
		for m, x := range from {
			y[m] = 0
			if c.scale[m] > 0 {
				y[m] = x / c.scale[m]
			}
		}
		c.multiply(c.image, y, transposed)
		s.project(to, c.image)
		for m := range to {
			to[m] = (y[m] - to[m]) * c.scale[m]
		}
		column := c.upper[j*(krylovMost+1) : (j+1)*(krylovMost+1)]
		length := c.orthogonalise(to, column, j, n)
		for i := range j {
			column[i], column[i+1] = c.cosine[i]*column[i]+c.sine[i]*column[i+1], c.cosine[i]*column[i+1]-c.sine[i]*column[i]
		}
		h := math.Hypot(column[j], length)
		if h == 0 {
			break
		}
		c.cosine[j], c.sine[j] = column[j]/h, length/h
		column[j] = h
		c.last[j], c.last[j+1] = c.cosine[j]*c.last[j], -c.sine[j]*c.last[j]
		steps = j + 1
		if math.Abs(c.last[j+1]) <= krylovTolerance*norm {
			break
		}
		for m := range to {
			to[m] /= length
		}
	}
	clear(y)
	for j := steps - 1; j >= 0; j-- {
		x := c.last[j]
		for i := j + 1; i < steps; i++ {
			x -= c.upper[i*(krylovMost+1)+j] * c.last[i]
		}
		c.last[j] = x / c.upper[j*(krylovMost+1)+j]
	}
	for j := range steps {
		for m, x := range vector(j) {
			y[m] += c.last[j] * x
		}
	}
	for m := range y {
		if c.scale[m] > 0 {
			y[m] /= c.scale[m]
		} else {
			y[m] = 0
		}
	}
}

// orthogonalise takes from v its parts along basis vectors 0..j (modified Gram–Schmidt), puts their sizes in column, and
// returns the length that is left.
func (k *krylov) orthogonalise(v, column []float64, j, n int) float64 {
	for i := range j + 1 {
		dot := 0.0
		basis := k.basis[i*n : (i+1)*n]
		for m, x := range basis {
			dot += x * v[m]
		}
		column[i] = dot
		for m, x := range basis {
			v[m] -= dot * x
		}
	}
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	column[j+1] = math.Sqrt(sum)
	return column[j+1]
}
