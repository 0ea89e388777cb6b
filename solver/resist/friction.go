package resist

import "math"

// Limits of the flow regimes by Reynolds number.
const (
	// Below laminarReynolds Churchill's formula equals 64/Re to 2e-13, so the plain form is used.
	laminarReynolds = 1000.0
	// Between these two Churchill's formula passes smoothly into Colebrook's. 2300 is the handbook's laminar limit,
	// 4000 the usual lower end of Colebrook's formula.
	blendStart = 2300.0
	blendEnd   = 4000.0
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
// Churchill, S. W., "Friction-factor equation spans all fluid-flow regimes", Chemical Engineering 84 (1977); the start
// of the Colebrook solution is the first step of Serghides, T. K., Chemical Engineering 91 (1984).
func FrictionFactor(reynolds, relativeRoughness float64) float64 {
	f, _ := friction(reynolds, relativeRoughness)
	return f
}

// friction returns the friction factor and its logarithmic derivative d ln f / d ln Re.
func friction(re, rough float64) (f, exponent float64) {
	switch {
	case re < laminarReynolds:
		return 64 / re, -1
	case re < blendStart:
		return churchill(re, rough)
	case re < blendEnd:
		fc, ec := churchill(re, rough)
		ft, et := colebrook(re, rough)
		t := (re - blendStart) / (blendEnd - blendStart)
		w := t * t * (3 - 2*t)
		dw := 6 * t * (1 - t) / (blendEnd - blendStart)
		f = fc + w*(ft-fc)
		derivative := (1-w)*fc*ec + w*ft*et + dw*re*(ft-fc)
		return f, derivative / f
	default:
		return colebrook(re, rough)
	}
}

// colebrook solves x = −k ln(a + b x) for x = 1/√f, with a = (ε/D)/3.7, b = 2.51/Re, k = 2/ln 10.
//
// The cost is two logarithms. The first gives a start x0 that is right to a few percent; the second the residual there.
// What is left, with s = a + b x0 and c = b/s, is
//
//	g(δ) = δ + x0 + k ln s + k ln(1 + c δ) = 0
//
// where |c δ| stays under 0.05, so that a short atanh series replaces the logarithm. Two Newton steps reach
// round-off (tested against the equation itself).
func colebrook(re, rough float64) (f, exponent float64) {
	a, b := rough/3.7, 2.51/re
	x := -log10Twice * math.Log(a+12/re)
	s := a + b*x
	residual := x + log10Twice*math.Log(s)
	c := b / s
	step := -residual / (1 + log10Twice*c)
	for range 2 {
		u := c * step
		z := u / (2 + u)
		z2 := z * z
		log1p := 2 * z * (1 + z2*(1.0/3+z2*(1.0/5+z2*(1.0/7))))
		step -= (step + residual + log10Twice*log1p) / (1 + log10Twice*c/(1+u))
	}
	x += step
	// Implicit differentiation of Colebrook's equation by ln Re.
	kbs := log10Twice * b / (a + b*x)
	f = 1 / (x * x)
	return f, -2 * kbs / (1 + kbs)
}

// churchill evaluates Churchill's formula and its logarithmic derivative.
func churchill(re, rough float64) (f, exponent float64) {
	y := math.Pow(7/re, 0.9)
	theta := -2.457 * math.Log(y+0.27*rough)
	a := sixteenth(theta)
	b := sixteenth(37530 / re)
	laminar := 8 / re
	laminar *= laminar * laminar // ^3
	laminar *= laminar           // ^6
	laminar *= laminar           // ^12
	sum := a + b
	turbulent := 1 / (sum * math.Sqrt(sum))
	g := laminar + turbulent
	f = 8 * math.Pow(g, 1.0/12)
	dsum := a*16/theta*2.457*0.9*y/(y+0.27*rough) - 16*b
	return f, -(laminar + 0.125*turbulent*dsum/sum) / g
}

// sixteenth raises to the power 16.
func sixteenth(x float64) float64 {
	x *= x
	x *= x
	x *= x
	return x * x
}
