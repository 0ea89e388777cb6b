package resist

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"
)

// Limits of the flow regimes by Reynolds number.
const (
	// Below LaminarReynolds Churchill's formula equals 64/Re to 2e-13, so the plain form is used.
	LaminarReynolds = 1000.0
	// Between these two Churchill's formula passes smoothly into Colebrook's. 2300 is the handbook's laminar limit,
	// 4000 the usual lower end of Colebrook's formula.
	BlendStart = 2300.0
	BlendEnd   = 4000.0
)

// log10Twice turns −2 log10(s) into −log10Twice·ln(s).
const log10Twice = 2 / math.Ln10

// FrictionFactor is the Darcy friction factor of a duct at a Reynolds number and a relative roughness ε/D:
//
//	Re < 1000          f = 64/Re
//	1000 to 2300       Churchill:  f = 8 [ (8/Re)^12 + (A+B)^-1.5 ]^(1/12)
//	                   A = [2.457 ln 1/((7/Re)^0.9 + 0.27 ε/D)]^16,  B = (37530/Re)^16
//	2300 to 4000       smooth passage from one to the other
//	above 4000         Colebrook:  1/√f = −2 log10( (ε/D)/3.7 + 2.51/(Re √f) )
//
// Colebrook's equation is solved to 1e-12 of f (Re up to 1e9, ε/D up to 0.05). Pressure drop, which goes as f Re²,
// rises with Re throughout. Both arguments are without unit; Re 0 gives +Inf.
//
// Sources: Handbook of fundamentals (2021 SI), duct design chapter, eq. 18 and 19 (Darcy, Colebrook, laminar limit);
// Churchill, S. W., "Friction-factor equation spans all fluid-flow regimes", Chemical Engineering 84 (1977). How
// Colebrook's equation is solved is ours.
func FrictionFactor(reynolds, relativeRoughness float64) float64 {
	f, _ := friction(reynolds, relativeRoughness)
	return f
}

// friction returns the friction factor and its logarithmic derivative d ln f / d ln Re.
func friction(re, rough float64) (f, exponent float64) {
	switch {
	case re < LaminarReynolds:
		return laminarFriction / re, -1
	case re < BlendStart:
		return churchill(re, rough)
	case re < BlendEnd:
		fc, ec := churchill(re, rough)
		ft, et := colebrook(re, rough)
		t, w := passage(re)
		dw := 6 * t * (1 - t) / (BlendEnd - BlendStart)
		f = fc + w*(ft-fc)
		derivative := (1-w)*fc*ec + w*ft*et + dw*re*(ft-fc)
		return f, derivative / f
	default:
		return colebrook(re, rough)
	}
}

// colebrook solves x = −k ln(a + b x) for x = 1/√f, with a = (ε/D)/3.7, b = 2.51/Re, k = 2/ln 10, for Re from 2000.
//
// The cost is one logarithm and three divisions. For smooth walls x is nearly a straight line over ln Re; put into the right-hand
// side, with a logarithm that is good to a thousandth, it gives a start x0 good to a percent for any roughness. The residual there is
// r = x0 + k ln s, s = a + b x0. With c = b/s, κ = kc/(1 + kc) and u = c (x − x0), what is left to solve is
//
//	u = u1 + κ (u − ln(1 + u)),  u1 = −c r/(1 + kc)
//
// and its solution as a series in u1 is
//
//	u = u1 (1 + A2 u1 + A3 u1² + A4 u1³ + A5 u1⁴ + …)
//	A2 = κ/2,  A3 = κ (A2 − 1/3),  A4 = κ (A3 + A2²/2 − A2 + 1/4),  A5 = κ (A4 + A2 A3 − A3 − A2² + A2 − 1/5)
//
// |u1| stays under 0.006, so that the next term is below 1e-14 of u (tested against the equation).
func colebrook(re, rough float64) (f, exponent float64) {
	inverse := 1 / re
	a, b := rough*(1/colebrookRough), colebrookSmooth*inverse
	binary := float64(int64(math.Float64bits(re)))*0x1p-52 - 1023 // log2 Re, to within 0.09
	x := 0.5419*binary - 1.51
	x = -log10Twice * roughLog(a+b*x)
	s := a + b*x
	kb := log10Twice * b
	over := 1 / (s * (s + kb)) // for both c = b/s and 1/(1 + kc) = s/(s + kb)
	c, newton := b*(s+kb)*over, s*s*over
	step := -(x + log10Twice*math.Log(s)) * newton
	u, kappa := c*step, log10Twice*c*newton
	a2 := kappa * 0.5
	a3 := kappa * (a2 - 1.0/3)
	a4 := kappa * (a3 + 0.5*a2*a2 - a2 + 1.0/4)
	a5 := kappa * (a4 + a2*a3 - a3 - a2*a2 + a2 - 1.0/5)
	step *= 1 + u*(a2+u*(a3+u*(a4+u*a5)))
	x += step
	// Implicit differentiation of Colebrook's equation by ln Re: −2 kb/(s + kb) at the solution.
	w := s + b*step + kb
	over = 1 / (x * x * w)
	return w * over, -2 * kb * x * x * over
}

// roughLog is the natural logarithm of a positive normal number to within 7e-4: the exponent, and the cubic through the logarithm
// of the mantissa at Chebyshev's points.
func roughLog(v float64) float64 {
	bits := math.Float64bits(v)
	m := math.Float64frombits(bits&(1<<52-1) | 1023<<52)
	return float64(int(bits>>52)-1023)*math.Ln2 + (-1.480723 + m*(2.087179+m*(-0.711727+m*0.105844)))
}

// churchill evaluates Churchill's formula and its logarithmic derivative.
func churchill(re, rough float64) (f, exponent float64) {
	y := math.Exp(churchillPower * math.Log(churchillSmooth/re)) // a power, at half the cost of math.Pow
	theta := -churchillFactor * math.Log(y+churchillRough*rough)
	a := sixteenth(theta)
	b := sixteenth(churchillPassage / re)
	laminar := 8 / re
	laminar *= laminar * laminar // ^3
	laminar *= laminar           // ^6
	laminar *= laminar           // ^12
	sum := a + b
	turbulent := 1 / (sum * math.Sqrt(sum))
	g := laminar + turbulent
	f = 8 * math.Exp(math.Log(g)/12)
	dsum := a*16/theta*churchillFactor*churchillPower*y/(y+churchillRough*rough) - 16*b
	return f, -(laminar + 0.125*turbulent*dsum/sum) / g
}

// sixteenth raises to the power 16.
func sixteenth(x float64) float64 {
	x *= x
	x *= x
	x *= x
	return x * x
}

// passage is how far the transition has gone at a Reynolds number, 0 to 1, and Colebrook's weight there.
func passage(re float64) (t, weight float64) {
	t = (re - BlendStart) / (BlendEnd - BlendStart)
	return t, t * t * (3 - 2*t)
}

// Constants of the friction formulas.
const (
	laminarFriction                 = 64.0
	colebrookRough, colebrookSmooth = 3.7, 2.51
	churchillFactor, churchillRough = 2.457, 0.27
	churchillSmooth, churchillPower = 7.0, 0.9
	churchillPassage                = 37530.0
)

func number(name string, low, high float64) formula.Symbol {
	return formula.Symbol{Name: name, Kind: quantity.KindNumber, Low: low, High: high}
}

// LaminarFormula is the friction factor below LaminarReynolds.
func LaminarFormula() *formula.Formula {
	return &formula.Formula{Name: "laminar", Text: formula.Write("# / Re", laminarFriction), Result: number("f", 0, 0),
		In: []formula.Symbol{number("Re", 1, LaminarReynolds*(1-1e-9))}, Eval: func(in []float64) float64 { return FrictionFactor(in[0], 0) }}
}

// ChurchillFormula is the friction factor up to BlendStart.
func ChurchillFormula() *formula.Formula {
	return &formula.Formula{Name: "Churchill, all regimes", Source: "Chemical Engineering 84, 1977",
		Text: formula.Write("8 * ((8 / Re)^12 + ((-# * ln((# / Re)^# + # * r))^16 + (# / Re)^16)^(-1.5))^(1 / 12)", churchillFactor,
			churchillSmooth, churchillPower, churchillRough, churchillPassage),
		Result: number("f", 0, 0), In: []formula.Symbol{number("Re", LaminarReynolds, BlendEnd), number("r", 1e-6, 0.05)},
		Eval: func(in []float64) float64 {
			f, _ := churchill(in[0], in[1])
			return f
		}}
}

// ColebrookFormula is the friction factor from BlendEnd on.
func ColebrookFormula() *formula.Formula {
	return &formula.Formula{Name: "Colebrook", Source: "Handbook of Fundamentals 2021 SI, ch. 21, eq. 19",
		Text:   formula.Write("1 / sqrt(f) = -2 * log10(r / # + # / (Re * sqrt(f)))", colebrookRough, colebrookSmooth),
		Result: number("f", 0, 0), In: []formula.Symbol{number("Re", BlendStart, 1e7), number("r", 1e-6, 0.05)},
		Eval: func(in []float64) float64 {
			f, _ := colebrook(in[0], in[1])
			return f
		}}
}

// TransitionFormula is the friction factor between the two, by Churchill's and Colebrook's.
func TransitionFormula() *formula.Formula {
	const start, span = BlendStart, BlendEnd - BlendStart
	return &formula.Formula{Name: formula.Write("smooth passage between Re # and # (our choice)", start, BlendEnd),
		Text:   formula.Write("f1 + (f2 - f1) * ((Re - #) / #)^2 * (3 - 2 * (Re - #) / #)", start, span, start, span),
		Result: number("f", 0, 0), In: []formula.Symbol{number("f1", 0.03, 0.06), number("f2", 0.03, 0.06), number("Re", BlendStart, BlendEnd)},
		Eval: func(in []float64) float64 {
			_, w := passage(in[2])
			return in[0] + w*(in[1]-in[0])
		}}
}
