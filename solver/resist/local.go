package resist

import (
	"math"

	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/solver/air"
	"spillway/solver/internal/formula"
)

const (
	// KneeReynolds sets where a local loss turns from linear to square: the Reynolds number Re = KneeReynolds/√(1+C) on
	// the stated section. It is our choice: low enough to bias a loss by under 1e-4 wherever coefficients are tabulated
	// (Re ≥ 2e4), and equal to a pressure of the order of 1e-4 Pa in a house duct whatever the coefficient.
	KneeReynolds = 200.0

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
	return makeLocal(c, 1/(2*a.Density*area*area), KneeReynolds*a.Viscosity*area/diameter), nil
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

// symbols of the pressure laws.
var (
	flowSymbol      = formula.Symbol{Name: "m", Kind: quantity.KindMassFlow, Low: 0.01, High: 1}
	densitySymbol   = formula.Symbol{Name: "ρ", Kind: quantity.KindDensity, Low: 0.8, High: 1.4}
	areaSymbol      = formula.Symbol{Name: "A", Kind: quantity.KindSection, Low: 0.005, High: 0.4}
	viscositySymbol = formula.Symbol{Name: "μ", Kind: quantity.KindViscosity, Low: 1.6e-5, High: 2.2e-5}
	lossSymbol      = number("ζ", 0.01, 1e4)
	dropSymbol      = formula.Symbol{Name: "Δp", Kind: quantity.KindPressure}
)

// LocalFormula is the drop of a Local by its knee flow.
func LocalFormula() *formula.Formula {
	return &formula.Formula{Name: "coefficient times velocity pressure", Text: "ζ * m * sqrt(m^2 + d^2) / (2 * ρ * A^2)", Result: dropSymbol,
		In: []formula.Symbol{lossSymbol, flowSymbol, {Name: "d", Kind: quantity.KindMassFlow, Low: 1e-6, High: 0.01}, densitySymbol, areaSymbol},
		Eval: func(in []float64) float64 {
			l := makeLocal(in[0], 1/(2*in[3]*in[4]*in[4]), 0)
			l.knee2 = in[2] * in[2]
			drop, _ := l.Drop(in[1])
			return drop
		}}
}

// KneeFormula is the knee flow of a Local.
func KneeFormula() *formula.Formula {
	return &formula.Formula{Name: "flow of that Reynolds number (our choice, below all tabulated ranges)",
		Text:   formula.Write("# * μ * A / sqrt(4 * A / π) / sqrt(1 + ζ)", KneeReynolds),
		Result: formula.Symbol{Name: "d", Kind: quantity.KindMassFlow}, In: []formula.Symbol{viscositySymbol, areaSymbol, lossSymbol},
		Eval: func(in []float64) float64 {
			l, _ := NewLocal(in[2], in[1], air.State{Density: 1, Viscosity: in[0]})
			return math.Sqrt(l.knee2)
		}}
}

// VelocityKneeFormula is the same as a velocity, in a section of a hydraulic diameter.
func VelocityKneeFormula() *formula.Formula {
	return &formula.Formula{Name: formula.Write("velocity at which Re = #/√(1 + C): slower air is resisted in proportion (our choice)", KneeReynolds),
		Text:   formula.Write("# * μ / (ρ * D) / sqrt(1 + C)", KneeReynolds),
		Result: formula.Symbol{Name: "Vk", Kind: quantity.KindVelocity},
		In:     []formula.Symbol{viscositySymbol, densitySymbol, {Name: "D", Kind: quantity.KindLength, Low: 0.05, High: 1}, number("C", 0.01, 1e3)},
		Eval: func(in []float64) float64 {
			d, _ := NewDuct(DuctData{Area: 1, Diameter: in[2], Local: in[3], Air: air.State{Density: in[1], Viscosity: in[0]}})
			return math.Sqrt(d.knee2) / in[1]
		}}
}
