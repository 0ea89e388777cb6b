package diagnose

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Knowledge is what a set of readings determines of a set of resistances.
type Knowledge struct {
	Names []string
	// Singular values of the Jacobian in standard deviations of the readings per unit of the logarithm of a multiplier, greatest first.
	// A direction with a value below 1 is not determined: a resistance e times as large would move the readings by less than their noise.
	Singular []float64
	// Determined is how many directions are.
	Determined int
	// Known is the standard deviation of each multiplier's logarithm (0.1 = 10 %) with the readings and the prior of PriorSigma.
	Known []float64
	// Together lists pairs of which the readings know the product or ratio far better than either: correlation beyond 0.9.
	Together [][2]int
}

// PriorSigma is how well a resistance is known before any reading: ±30 %, as tables of fittings and makers' figures are.
const PriorSigma = 0.3

// Identify says what readings determine: jac is their change (rows) per unit of ln multiplier (columns), sigma their uncertainty.
//
//	A = Σ^(−1/2) J,   cov = (AᵀA + 1/PriorSigma²)^(−1)
//
// Singular value decomposition of sensitivities for parameters that few readings must tell: Weber and Hős, Journal of Water Resources
// Planning and Management, 2019 (abstract).
func Identify(names []string, jac *mat.Dense, sigma []float64) (*Knowledge, error) {
	rows, columns := jac.Dims()
	if rows != len(sigma) || columns != len(names) {
		return nil, errors.New("names, sensitivities and uncertainties do not fit together")
	}
	a := mat.NewDense(rows, columns, nil)
	for i := range rows {
		if !(sigma[i] > 0) {
			return nil, errors.New("a reading has no uncertainty")
		}
		for j := range columns {
			a.Set(i, j, jac.At(i, j)/sigma[i])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDNone) {
		return nil, errors.New("the sensitivities have no singular value decomposition")
	}
	k := &Knowledge{Names: slices.Clone(names), Singular: svd.Values(nil)}
	for _, s := range k.Singular {
		if s >= 1 {
			k.Determined++
		}
	}
	information := mat.NewSymDense(columns, nil)
	for i := range columns {
		for j := i; j < columns; j++ {
			information.SetSym(i, j, mat.Dot(a.ColView(i), a.ColView(j)))
		}
		information.SetSym(i, i, information.At(i, i)+1/(PriorSigma*PriorSigma))
	}
	var chol mat.Cholesky
	if !chol.Factorize(information) {
		return nil, errors.New("the information matrix is not positive")
	}
	var covariance mat.SymDense
	if err := chol.InverseTo(&covariance); err != nil {
		return nil, err
	}
	for i := range columns {
		k.Known = append(k.Known, math.Sqrt(covariance.At(i, i)))
		for j := range i {
			if r := covariance.At(i, j) / math.Sqrt(covariance.At(i, i)*covariance.At(j, j)); math.Abs(r) > 0.9 {
				k.Together = append(k.Together, [2]int{j, i})
			}
		}
	}
	return k, nil
}

// Identify says what the readings of a fit determine of the resistances, the blower and the leaks of the installation as it stands.
func (b *Bench) Identify(r *Result) (*Knowledge, error) {
	list := spreads(b.g)
	jac := mat.DenseCopyOf(b.jac)
	rows, _ := jac.Dims()
	for k := range list {
		for i := range rows {
			jac.Set(i, k, jac.At(i, k)/list[k].sigma)
		}
	}
	return Identify(b.names, jac, r.Sigma)
}

// Undetermined lists the names of what readings hardly improve: known to worse than four fifths of PriorSigma.
func (k *Knowledge) Undetermined() []string {
	var names []string
	for i, s := range k.Known {
		if s > 0.8*PriorSigma {
			names = append(names, k.Names[i])
		}
	}
	return names
}
