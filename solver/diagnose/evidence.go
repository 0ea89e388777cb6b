package diagnose

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// What one bad reading is: with a chance of badShare each, a reading's uncertainty is badScale times what its instrument has (a wrong
// unit, a wrong place, a hose that fell off). Our choice.
const (
	badShare = 0.01
	badScale = 20.0
)

// likelihood judges residuals of readings against instruments and as-built spread.
//
//	r = y − M,   S = diag(σ²) + J Jᵀ
//	ln L = −½ rᵀ S⁻¹ r − ½ ln det S, and the same with one reading's σ enlarged, weighted by how rare that is
//
// J holds what a standard deviation of each as-built multiplier does to the readings. The mixture makes the fit robust to one bad
// reading without hiding it: see bad.
type likelihood struct {
	n     int
	sigma []float64
	chol  mat.Cholesky
	lower mat.TriDense
	det   float64   // −½ ln det S
	diag  []float64 // of S⁻¹
	delta []float64 // (badScale² − 1) σ²
	prior []float64 // ln of the share and of the enlarged determinant
	good  float64
}

func newLikelihood(sigma []float64, jac mat.Matrix) (*likelihood, error) {
	n := len(sigma)
	s := mat.NewSymDense(n, nil)
	var spread mat.Dense
	spread.Mul(jac, jac.T())
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, spread.At(i, j))
		}
		s.SetSym(i, i, s.At(i, i)+sigma[i]*sigma[i])
	}
	l := &likelihood{n: n, sigma: sigma, diag: make([]float64, n), delta: make([]float64, n), prior: make([]float64, n)}
	if !l.chol.Factorize(s) {
		return nil, errors.New("the uncertainties of the readings make no covariance")
	}
	l.chol.LTo(&l.lower)
	var inverse mat.SymDense
	if err := l.chol.InverseTo(&inverse); err != nil {
		return nil, err
	}
	l.det = -l.chol.LogDet() / 2
	share := badShare
	if float64(n)*share > 0.5 {
		share = 0.5 / float64(n)
	}
	l.good = math.Log(1 - float64(n)*share)
	for i := range n {
		l.diag[i] = inverse.At(i, i)
		l.delta[i] = (badScale*badScale - 1) * sigma[i] * sigma[i]
		l.prior[i] = math.Log(share) - math.Log1p(l.delta[i]*l.diag[i])/2
	}
	return l, nil
}

// whiten solves L w = r in place.
func (l *likelihood) whiten(r []float64) {
	blas64.Trsv(blas.NoTrans, l.lower.RawTriangular(), blas64.Vector{N: l.n, Data: r, Inc: 1})
}

// log is the logarithm of the likelihood of whitened residuals, up to a constant of the readings; work is scratch of length n.
func (l *likelihood) log(w, work []float64) float64 {
	q := 0.0
	for _, v := range w {
		q += v * v
	}
	l.back(w, work)
	best := l.good - q/2
	total := 1.0
	for i, z := range work {
		term := l.prior[i] - (q-l.delta[i]*z*z/(1+l.delta[i]*l.diag[i]))/2
		if term > best {
			total = total*math.Exp(best-term) + 1
			best = term
		} else {
			total += math.Exp(term - best)
		}
	}
	return best + math.Log(total)
}

// back solves Lᵀ z = w: z = S⁻¹ r.
func (l *likelihood) back(w, z []float64) {
	copy(z, w)
	blas64.Trsv(blas.Trans, l.lower.RawTriangular(), blas64.Vector{N: l.n, Data: z, Inc: 1})
}

// bad is, for each reading, the chance that it is a bad one under a hypothesis, and its residual against what all others predict for it
// (leave one out), in standard deviations.
//
//	t_i = (S⁻¹ r)_i / √(S⁻¹)_ii
func (l *likelihood) bad(w []float64) (chance, left []float64) {
	chance, left = make([]float64, l.n), make([]float64, l.n)
	work := make([]float64, l.n)
	all := l.log(w, work) // fills work with S⁻¹ r
	q := 0.0
	for _, v := range w {
		q += v * v
	}
	for i, z := range work {
		chance[i] = math.Exp(l.prior[i] - (q-l.delta[i]*z*z/(1+l.delta[i]*l.diag[i]))/2 - all)
		left[i] = z / math.Sqrt(l.diag[i])
	}
	return chance, left
}

// chi2 of whitened residuals.
func chi2(w []float64) float64 {
	q := 0.0
	for _, v := range w {
		q += v * v
	}
	return q
}
