package resist

import (
	"math"

	"spillway/network/catalog"
	"spillway/solver/air"
)

const (
	// kneeReynolds sets where a local loss turns from linear to square: the Reynolds number Re = kneeReynolds/√(1+C) on
	// the stated section. It is our choice: low enough to bias a loss by under 1e-4 wherever coefficients are tabulated
	// (Re ≥ 2e4), and equal to a pressure of the order of 1e-4 Pa in a house duct whatever the coefficient.
	kneeReynolds = 200.0

	// leastCoefficient stands in for a coefficient of zero, so that even a perfectly open passage has a strictly
	// increasing law: a millionth of a velocity pressure.
	leastCoefficient = 1e-6
)

// Local is the loss of a fitting by its coefficient C on the velocity pressure in a stated section,
//
//	Δp = C ρV²/2 = C q²/(2ρA²)
//
// rounded off below the knee flow d at which Re = 200/√(1+C) in that section. C is a total-pressure coefficient, A the
// area (m²) it refers to. Handbook of fundamentals (2021 SI), duct design chapter, eq. 29 (C = Δp/p_v); valid where the
// coefficient is.
type Local struct {
	coefficient float64 // C
	resistance  float64 // C·perC
	knee2       float64 // knee flow squared
}

// NewLocal returns the loss of coefficient c on the velocity pressure in an area (m²). c may be zero (a millionth is
// used instead), not negative.
func NewLocal(c, area float64, a air.State) (Local, error) {
	in := inputs{element: "local loss"}
	in.notNegative("loss coefficient", c)
	in.positive("area", area)
	in.state(a)
	if in.err != nil {
		return Local{}, in.err
	}
	diameter := math.Sqrt(4 * area / math.Pi)
	return makeLocal(c, 1/(2*a.Density*area*area), kneeReynolds*a.Viscosity*area/diameter), nil
}

// TransferOpening is the discharge coefficient of undercuts and transfer grilles.
const TransferOpening = catalog.OrificeDischarge

// NewOrifice returns the law of an opening between two rooms (door undercut, transfer grille, jump duct),
//
//	q = C_d A √(2 ρ Δp)
//
// with the net area A (m²) and a discharge coefficient such as TransferOpening. It is the local loss C = 1/C_d² on A.
func NewOrifice(area, discharge float64, a air.State) (Local, error) {
	in := inputs{element: "opening"}
	in.within("discharge coefficient", discharge, 0.05, 2)
	if in.err != nil {
		return Local{}, in.err
	}
	return NewLocal(1/(discharge*discharge), area, a)
}

func makeLocal(c, perC, kneeOpen float64) Local {
	effective := max(c, leastCoefficient)
	return Local{
		coefficient: c,
		resistance:  effective * perC,
		knee2:       kneeOpen * kneeOpen / (1 + effective),
	}
}

// Coefficient is C on the area the law was made with.
func (l Local) Coefficient() float64 { return l.coefficient }

// Drop implements flow.Law.
func (l Local) Drop(q float64) (drop, slope float64) {
	q2 := q * q
	root := math.Sqrt(q2 + l.knee2)
	return l.resistance * q * root, l.resistance * (2*q2 + l.knee2) / root
}
