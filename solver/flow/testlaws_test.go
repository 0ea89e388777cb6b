package flow

import "math"

// Laws that only the tests need.

// quadraticMachine adds c0 + c1 q + c2 q² (c1, c2 ≤ 0, not both 0) at q ≥ 0 and c0 + c1 q below.
type quadraticMachine struct{ c0, c1, c2 float64 }

func (m quadraticMachine) Drop(q float64) (float64, float64) {
	if q < 0 {
		return -(m.c0 + m.c1*q), -m.c1
	}
	return -(m.c0 + m.c1*q + m.c2*q*q), -(m.c1 + 2*m.c2*q)
}

// hazenWilliams is the head loss in ft of a pipe of L ft and D ft at q ft³/s,
//
//	h = 4.73 L / (C^1.85185 D^4.87037) q^1.85185,
//
// exponents 1/0.54 and 2.63/0.54, as in R. W. Jeppson, Analysis of Flow in Pipe Networks (1976).
func hazenWilliams(c, diameter, length float64) Law {
	r := 4.73 * length / (math.Pow(c, 1/0.54) * math.Pow(diameter, 2.63/0.54))
	return Power{R: r, N: 1 / 0.54, Eps: 1e-6}
}

// colebrookPipe is the head loss h = (f L/D + K) v²/2g (times weight, for pressures), f by Colebrook above and 64/Re below
// the Reynolds number where the two drops cross.
type colebrookPipe struct {
	diameter, length, roughness, viscosity, minor float64
	perSquare                                     float64 // v²/2g (or ρv²/2) per q²
}

func newColebrookPipe(diameter, length, roughness, viscosity, minor, perVelocity float64) colebrookPipe {
	area := math.Pi / 4 * diameter * diameter
	return colebrookPipe{diameter, length, roughness, viscosity, minor, perVelocity / (area * area)}
}

func (p colebrookPipe) Drop(q float64) (float64, float64) {
	size := math.Abs(q)
	reynoldsPerFlow := 4 / (math.Pi * p.diameter * p.viscosity)
	laminar := 64 / reynoldsPerFlow * p.length / p.diameter * p.perSquare // drop = laminar·q
	drop, slope := laminar*size, laminar
	if re := reynoldsPerFlow * size; re > 500 {
		a, b := p.roughness/(3.7*p.diameter), 2.51/reynoldsPerFlow
		x := 6.0 // 1/√f
		const k = 2 / math.Ln10
		for range 50 {
			y := a + b*x/size
			dx := (x + k*math.Log(y)) / (1 + k*b/(size*y))
			x -= dx
			if math.Abs(dx) < 1e-15*x {
				break
			}
		}
		y := a + b*x/size
		dxdq := k * b * x / (size * size * y) / (1 + k*b/(size*y))
		c := p.perSquare * p.length / p.diameter
		turbulent := c * size * size / (x * x)
		if turbulent > drop {
			drop, slope = turbulent, 2*c*size/(x*x)-2*c*size*size/(x*x*x)*dxdq
		}
	}
	drop += p.minor * p.perSquare * size * size
	slope += 2 * p.minor * p.perSquare * size
	return math.Copysign(drop, q), slope
}

// explicitFriction is a duct law with one logarithm: f = [−1.8 log₁₀((ε/3.7D)^1.11 + 6.9/Re)]⁻² (S. E. Haaland, J. Fluids Eng. 105
// (1983) 89–90, cited from memory) at Re smoothed to stay above its pole, Re² → Re² + 2300², and a minor loss.
type explicitFriction struct{ rough, reynoldsPerFlow, friction, minor float64 }

func newExplicitFriction(diameter, length, minor float64) explicitFriction {
	const density, viscosity, roughness = 1.2, 1.5e-5, 9e-5
	area := math.Pi / 4 * diameter * diameter
	return explicitFriction{
		rough:           math.Pow(roughness/(3.7*diameter), 1.11),
		reynoldsPerFlow: 4 / (math.Pi * diameter * viscosity),
		friction:        length / diameter * density / 2 / (area * area),
		minor:           minor * density / 2 / (area * area),
	}
}

func (l explicitFriction) Drop(q float64) (float64, float64) {
	size := math.Abs(q)
	const floor = 2300
	raw := l.reynoldsPerFlow * size
	re := math.Sqrt(raw*raw + floor*floor)
	y := l.rough + 6.9/re
	x := -1.8 / math.Ln10 * math.Log(y)
	f := 1 / (x * x)
	// df/dq: f = x⁻², x′ = −1.8/ln10 · y′/y, y′ = −6.9/Re² · dRe/dq
	dx := 1.8 / math.Ln10 / y * 6.9 / (re * re) * (raw / re * l.reynoldsPerFlow)
	df := -2 * f / x * dx
	smooth := math.Sqrt(size*size + 1e-8)
	c := l.friction*f + l.minor
	return c * q * smooth, c*(smooth+size*size/smooth) + l.friction*df*size*smooth
}

// constantPower adds a rise of c/q at q > 0, continued below a small flow as a straight line.
type constantPower struct{ c, least float64 }

func (m constantPower) Drop(q float64) (float64, float64) {
	if q < m.least {
		s := m.c / (m.least * m.least)
		return -(m.c / m.least) + s*(q-m.least), s
	}
	return -m.c / q, m.c / (q * q)
}

// relief opens at u0: its leak always flows; above u0 a flow that rises by 1/k joins it, until the open device's own
// resistance takes over.
type relief struct{ u0, k, leak, open float64 }

func (r relief) Drop(q float64) (float64, float64) {
	if q <= r.leak*r.u0 {
		return q / r.leak, 1 / r.leak
	}
	slope := 1 / (r.leak + 1/r.k)
	drop := (q + r.u0/r.k) * slope
	if full := r.open * q * q; full > drop {
		return full, 2 * r.open * q
	}
	return drop, slope
}

// check passes flow forwards with r and backwards with r·back.
type check struct{ r, back, eps float64 }

func (c check) Drop(q float64) (float64, float64) {
	r := c.r
	if q < 0 {
		r *= c.back
	}
	return Power{r, 2, c.eps}.Drop(q)
}

// tee adds to the straight and branch outlets of a dividing junction the losses
//
//	straight: ks(r) Qc²,   branch: kb(r) Qc²,   r = qb/Qc,
//
// for ks and kb quadratic in r, so that both are quadratic forms in the common flow Qc and branch flow qb.
type tee struct {
	common, straight, branch int
	ks, kb                   [3]float64 // coefficients of 1, r, r²
}

func (t tee) Edges() []int { return []int{t.common, t.straight, t.branch} }

func (t tee) Add(q, drop, jac []float64) {
	c, b := q[0], q[2]
	for row, k := range [3][3]float64{1: t.ks, 2: t.kb} {
		drop[row] += k[0]*c*c + k[1]*c*b + k[2]*b*b
		jac[row*3+0] += 2*k[0]*c + k[1]*b
		jac[row*3+2] += k[1]*c + 2*k[2]*b
	}
}
