package resist

import (
	"math"

	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/solver/internal/formula"
)

// Formulas of the catalogue, which knows no formulas itself.

// GridFormula is the loss of an opening by the free share of its face.
func GridFormula(role catalog.Role) *formula.Formula {
	f := &formula.Formula{Name: "grid at the end of a duct, the velocity lost in the room included", Result: lossSymbol,
		Text: formula.Write("((1 + # * sqrt(1 - f)) / f)^2", catalog.GridEdge),
		In:   []formula.Symbol{{Name: "f", Kind: quantity.KindFraction, Low: 0.05, High: 1}},
		Eval: func(in []float64) float64 { return catalog.SupplyZeta(in[0]) }}
	switch role {
	case catalog.Return:
		f.Name, f.Text = "grid at the mouth of a duct", formula.Write("((# - f) / f)^2", 1+catalog.GridEdge)
		f.Eval = func(in []float64) float64 { return catalog.ReturnZeta(in[0]) }
	case catalog.Transfer:
		f.Name, f.Text = "sharp-edged opening between rooms", formula.Write("1 / (# * f)^2", catalog.OrificeDischarge)
		f.Eval = func(in []float64) float64 { return catalog.TransferZeta(in[0]) }
	}
	return f
}

// ShutFormula is the loss of a shut damper by the share that it leaks.
func ShutFormula() *formula.Formula {
	return &formula.Formula{Name: formula.Write("a share s of the flow at # fpm passes at # in. of water; p_v = (V/#)² in. of water", catalog.LeakVelocity,
		catalog.LeakPressure, catalog.UnitVelocity),
		Text:   formula.Write("# / (# * s / #)^2", catalog.LeakPressure, catalog.LeakVelocity, catalog.UnitVelocity),
		Result: number("ζl", 0, 0), In: []formula.Symbol{{Name: "s", Kind: quantity.KindFraction, Low: catalog.LeastDamperLeakage, High: 1}},
		Eval: func(in []float64) float64 { return catalog.LeakZeta(in[0]) }}
}

// FlexFormula is the factor on the friction of flexible duct, times a factor for sag.
func FlexFormula() *formula.Formula {
	return &formula.Formula{Name: "flexible duct", Source: "Handbook of Fundamentals 2021 SI, ch. 21, eq. 22 and 23",
		Text:   formula.Write("1 + # * K * exp(-# * D)", catalog.FlexPerPercent, catalog.FlexPerDiameter),
		Result: number("M", 0, 0), In: []formula.Symbol{number("K", 0, catalog.MaxFlexCompression), {Name: "D", Kind: quantity.KindLength, Low: 0.05, High: 0.6}},
		Eval: func(in []float64) float64 {
			factor, _ := catalog.FlexCorrection(in[0], in[1])
			return factor
		}}
}

// bounds of the leak of a weighted damper as an open share.
const leastReliefLeak, mostReliefLeak = 0.001, 0.5

// ReliefLeak is the open share of a shut blade that has a loss.
func ReliefLeak(shut float64) float64 {
	return min(max((1+catalog.GridEdge)/math.Sqrt(shut), leastReliefLeak), mostReliefLeak)
}

// ReliefLeakFormula is ReliefLeak.
func ReliefLeakFormula() *formula.Formula {
	return &formula.Formula{Name: "the share that gives this loss in the blade's own formula",
		Text:   formula.Write("min(max(# / sqrt(ζl), #), #)", 1+catalog.GridEdge, leastReliefLeak, mostReliefLeak),
		Result: formula.Symbol{Name: "l", Kind: quantity.KindFraction}, In: []formula.Symbol{number("ζl", 1, 1e8)},
		Eval: func(in []float64) float64 { return ReliefLeak(in[0]) }}
}

// ReliefFormula is the loss of a weighted damper's blade at an angle from shut: a thin grid on the area that it leaves free.
func ReliefFormula() *formula.Formula {
	const free = "(1 - l) * cos(φ * π / 180)"
	return &formula.Formula{Name: "a disc in a duct, by the share of the area that it leaves free", Source: "Idelchik, thin grid, from memory",
		Text:   formula.Write("((# * sqrt("+free+") + "+free+") / (1 - "+free+"))^2 + ζ0", catalog.GridEdge),
		Result: lossSymbol,
		In: []formula.Symbol{{Name: "l", Kind: quantity.KindFraction, Low: leastReliefLeak, High: mostReliefLeak}, {Name: "φ", Kind: quantity.KindAngle, Low: 1, High: 85},
			number("ζ0", 0.1, 0.3)},
		Eval: func(in []float64) float64 {
			_, zeta, _, _ := (&Relief{leak: in[0], openLoss: in[2]}).blade(in[1] * math.Pi / 180)
			return zeta
		}}
}
