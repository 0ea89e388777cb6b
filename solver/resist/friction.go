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
// The cost is two logarithms. The first gives a start x0 that is right to a few percent, the second the residual
// r = x0 + k ln s there, s = a + b x0. With c = b/s, what is left to solve for x = x0 + δ is
//
//	g(δ) = δ + r + k ln(1 + c δ) = 0
//
// Newton's first step is δ1 = −r/(1 + kc). With u = c δ1, which stays under 0.07, the residual there is
// k (ln(1+u) − u), taken from its series; one step of Halley then reaches round-off (tested against the equation).
func colebrook(re, rough float64) (f, exponent float64) {
	inverse := 1 / re
	a, b := rough*(1/3.7), 2.51*inverse
	x := -log10Twice * math.Log(a+12*inverse)
	s := a + b*x
	c := b / s
	kc := log10Twice * c
	step := -(x + log10Twice*math.Log(s)) / (1 + kc)
	u := c * step
	g := -log10Twice * u * u * (1.0/2 - u*(1.0/3-u*(1.0/4-u*(1.0/5-u*(1.0/6-u*(1.0/7-u*(1.0/8)))))))
	w := 1 + u
	first := w + kc // g′ w; g″ w² is −k c²
	step -= g * w * first / (first*first + 0.5*g*kc*c)
	x += step
	// Implicit differentiation of Colebrook's equation by ln Re.
	kb := log10Twice * b
	f = 1 / (x * x)
	return f, -2 * kb / (s + b*step + kb)
}

// churchill evaluates Churchill's formula and its logarithmic derivative.
func churchill(re, rough float64) (f, exponent float64) {
	y := math.Exp(0.9 * math.Log(7/re)) // a power, at half the cost of math.Pow
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
	f = 8 * math.Exp(math.Log(g)/12)
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
