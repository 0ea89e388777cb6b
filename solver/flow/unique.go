package flow

import "math"

// uniqueMost is the size of S up to which the exact test of provenIsolated is made.
const uniqueMost = 96

// provenIsolated reports whether the symmetric part of the whole Jacobian, laws and couplings, is positive definite on all balanced
// changes of flow at the state in place. First a cheap sufficient test: each coupling by itself, with its edges' own
// slopes shared among the couplings that touch them. If that fails, the exact one, for k = |S| up to uniqueMost: with K the
// operator of coupledStep and E the symmetric part of C, both scaled by the slopes,
//
//	D + E > 0 on ker Aᵀ   ⇔   I + LᵀEL > 0,   LLᵀ = K on S
//
// which costs k pairs of triangular solves and two dense factorisations. A small multiple of the identity is added to K, which
// may be singular; that errs on the side of "not proven".
func (s *Solver) provenIsolated() bool {
	return s.blocksPositive() || s.operatorPositive()
}

func (s *Solver) blocksPositive() bool {
	c := &s.couple
	share := c.solution
	clear(share)
	for _, m := range c.local {
		share[m]++
	}
	for _, b := range c.blocks {
		k := b.size
		c.dense = grow(c.dense, k*k)
		jac := c.jac[b.jac : b.jac+k*k]
		for i, m := range c.local[b.local : b.local+k] {
			for j := range i {
				c.dense[i*k+j] = (jac[i*k+j] + jac[j*k+i]) / 2
			}
			own := math.Inf(1) // a pinned edge cannot move
			if w := s.conductance[c.edges[m]]; w > 0 {
				own = (1/w - c.shift[m]) / share[m]
			}
			c.dense[i*k+i] = own + jac[i*k+i]
		}
		if !cholesky(c.dense, k) {
			return false
		}
	}
	return true
}

func (s *Solver) operatorPositive() bool {
	const ridge = 1e-9
	c := &s.couple
	n := len(c.edges)
	if n > uniqueMost {
		return false
	}
	s.refactor()
	c.dense = grow(c.dense, 3*n*n)
	kk, e, product := c.dense[:n*n], c.dense[n*n:2*n*n], c.dense[2*n*n:3*n*n]
	for j := range n {
		clear(c.rhs)
		c.rhs[j] = 1
		s.project(c.image, c.rhs)
		for i, x := range c.image {
			kk[i*n+j] = -x
		}
		c.multiply(c.image, c.rhs, false)
		for i, x := range c.image {
			e[i*n+j] = x
		}
	}
	scale := func(m int) float64 {
		if w := s.conductance[c.edges[m]]; w > 0 {
			return math.Sqrt(1 / w)
		}
		return 0
	}
	for i := range n {
		a := scale(i)
		for j := range i + 1 {
			b := scale(j)
			kk[i*n+j] *= a * b
			sym := 0.0
			if a*b > 0 {
				sym = (e[i*n+j] + e[j*n+i]) / (2 * a * b)
			}
			e[i*n+j], e[j*n+i] = sym, sym
		}
		kk[i*n+i] += ridge
	}
	if !cholesky(kk, n) {
		return false
	}
	for i := range n { // product = E L
		for j := range n {
			x := 0.0
			for k := j; k < n; k++ {
				x += e[i*n+k] * kk[k*n+j]
			}
			product[i*n+j] = x
		}
	}
	for i := range n { // e = I + Lᵀ E L
		for j := range i + 1 {
			x := 0.0
			for k := i; k < n; k++ {
				x += kk[k*n+i] * product[k*n+j]
			}
			e[i*n+j] = x
		}
		e[i*n+i]++
	}
	return cholesky(e, n)
}

// cholesky factors the lower triangle of a in place and tells whether a is positive definite. Infinite diagonals are allowed.
func cholesky(a []float64, n int) bool {
	for i := range n {
		for j := range i + 1 {
			x := a[i*n+j]
			for k := range j {
				x -= a[i*n+k] * a[j*n+k]
			}
			switch {
			case i > j:
				a[i*n+j] = x / a[j*n+j]
			case x > 0:
				a[i*n+i] = math.Sqrt(x)
			default:
				return false
			}
		}
	}
	return true
}
