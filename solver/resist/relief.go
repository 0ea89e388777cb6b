package resist

import (
	"math"

	"spillway/network/catalog"
	"spillway/solver/air"
)

const (
	leastArmAngle    = 10.0 // below this the arm regulates without droop and the blade hunts
	greatestArmAngle = 80.0
	reliefKnots      = 16 // intervals of the bracketing table over the blade's travel
)

// ReliefData describes a weighted (barometric) relief damper by its geometry.
type ReliefData struct {
	SetPressure  float64 // p0, Pa: the drop at which the blade starts to open
	ArmAngle     float64 // δ, degrees the weight's arm hangs below horizontal when shut; 10 to 80, usual 30
	Area         float64 // of the duct it fills, m²
	LeakFraction float64 // f_l, open share of the area when shut; 0.001 to 0.5
	MaxOpening   float64 // φ_max, degrees from shut at the end stop; zero means catalog.ReliefFullOpen
	OpenLoss     float64 // ζ0, coefficient when fully open; zero means catalog.OpenBladeZeta, a shaft and blade edge on
	Air          air.State
}

// SimpleReliefData describes a relief damper by two pressures, when nobody knows its arm.
type SimpleReliefData struct {
	StartPressure float64 // Pa, starts to open
	FullPressure  float64 // Pa, fully open; zero means catalog.ReliefOpenRatio times StartPressure
	Area          float64 // m²
	LeakFraction  float64 // as in ReliefData
	MaxOpening    float64 // as in ReliefData
	OpenLoss      float64 // as in ReliefData
	Air           air.State
}

// Relief is a relief damper whose blade opens by itself when the drop across it exceeds a set pressure.
//
// With a weight on an arm hanging δ below horizontal and the blade φ from shut, the moments balance when
//
//	Δp(φ) = p0 (1 + tan δ tan φ)        0 ≤ φ ≤ φ_max
//
// if the moment of the air on the blade fades as cos φ (own derivation; an assumption to be calibrated, since no test
// curve of the house type is published). The simple variant opens in proportion:
//
//	Δp(φ) = p0 + (p_full − p0) φ/φ_max
//
// The blade passes the flow of a flat disc in a duct,
//
//	q = A √(2ρΔp/ζ),   ζ = ((0.707 √(1−f) + 1 − f)/f)² + ζ0,   f = f_l + (1 − f_l)(1 − cos φ)
//
// (thin grid of Idelchik, Handbook of Hydraulic Resistance, from memory, on the free area projected by the blade).
// Below p0 and against reverse flow only the leak passes. Drop inverts this by bracketed Newton on φ: strictly
// increasing, with finite positive slopes everywhere, kinked where the blade reaches its stop. Pressures are the total
// drop across the blade, while the moment feels the static one; the difference, a velocity pressure at most, is inside
// the calibration of p0.
type Relief struct {
	set       float64 // p0
	perTan    float64 // p0 tan δ, Pa per unit tan φ; zero in the simple variant
	perRadian float64 // (p_full − p0)/φ_max; zero in the weighted variant
	leak      float64 // f_l
	openLoss  float64 // ζ0
	stop      float64 // φ_max, radians
	dynamic   float64 // 1/(2ρA²)
	knee2     float64
	shutZeta  float64
	stopZeta  float64
	// speed[i] is √(Δp/ζ) at φ_max i/reliefKnots: flow without its constant factor, rising with i.
	speed [reliefKnots + 1]float64
}

// NewRelief returns the law of a weighted relief damper.
func NewRelief(d ReliefData) (*Relief, error) {
	in := inputs{element: "relief damper"}
	in.positive("set pressure", d.SetPressure)
	in.within("arm angle", d.ArmAngle, leastArmAngle, greatestArmAngle)
	if in.err != nil {
		return nil, in.err
	}
	r := &Relief{set: d.SetPressure, perTan: d.SetPressure * math.Tan(d.ArmAngle*math.Pi/180)}
	err := r.prepare(&in, d.Area, d.LeakFraction, d.MaxOpening, d.OpenLoss, d.Air)
	if err != nil {
		return nil, err
	}
	return r, nil
}

// NewSimpleRelief returns the law of a relief damper known by its start and full-open pressures.
func NewSimpleRelief(d SimpleReliefData) (*Relief, error) {
	in := inputs{element: "relief damper"}
	in.positive("start pressure", d.StartPressure)
	full := d.FullPressure
	if full == 0 {
		full = catalog.ReliefOpenRatio * d.StartPressure
	}
	if !(full >= 1.02*d.StartPressure) || math.IsInf(full, 0) {
		in.complain("full-open pressure %g Pa must exceed the start pressure %g Pa by at least 2 %%", full, d.StartPressure)
	}
	if in.err != nil {
		return nil, in.err
	}
	stop := d.MaxOpening
	if stop == 0 {
		stop = catalog.ReliefFullOpen
	}
	r := &Relief{set: d.StartPressure, perRadian: (full - d.StartPressure) / (stop * math.Pi / 180)}
	if err := r.prepare(&in, d.Area, d.LeakFraction, stop, d.OpenLoss, d.Air); err != nil {
		return nil, err
	}
	return r, nil
}

func (r *Relief) prepare(in *inputs, area, leak, stop, openLoss float64, a air.State) error {
	if stop == 0 {
		stop = catalog.ReliefFullOpen
	}
	if openLoss == 0 {
		openLoss = catalog.OpenBladeZeta
	}
	in.positive("area", area)
	in.within("leak fraction", leak, 0.001, 0.5)
	in.within("opening at the stop, degrees", stop, 5, 85)
	in.positive("open loss coefficient", openLoss)
	in.state(a)
	if in.err != nil {
		return in.err
	}
	r.leak, r.openLoss, r.stop = leak, openLoss, stop*math.Pi/180
	r.dynamic = 1 / (2 * a.Density * area * area)
	for i := range r.speed {
		angle := r.stop * float64(i) / reliefKnots
		p, zeta, _, _ := r.blade(angle)
		r.speed[i] = math.Sqrt(p / zeta)
		switch i {
		case 0:
			r.shutZeta = zeta
		case reliefKnots:
			r.stopZeta = zeta
		}
	}
	diameter := math.Sqrt(4 * area / math.Pi)
	knee := KneeReynolds * a.Viscosity * area / diameter
	r.knee2 = knee * knee / (1 + r.shutZeta)
	return nil
}

// blade returns the balancing pressure and the loss coefficient at an opening (radians) and their derivatives.
func (r *Relief) blade(angle float64) (p, zeta, dp, dzeta float64) {
	sin, cos := math.Sincos(angle)
	tan := sin / cos
	p = r.set + r.perTan*tan + r.perRadian*angle
	dp = r.perTan*(1+tan*tan) + r.perRadian
	f := r.leak + (1-r.leak)*(1-cos)
	df := (1 - r.leak) * sin
	root := math.Sqrt(1 - f)
	g := (catalog.GridEdge*root + 1 - f) / f
	dg := (-catalog.GridEdge/2/root-1)/f - g/f // by f
	return p, g*g + r.openLoss, dp, 2 * g * dg * df
}

// open solves √(Δp/ζ) = speed for the opening strictly between shut and the stop.
func (r *Relief) open(speed float64) (angle float64) {
	i := 0
	for j := reliefKnots / 2; j > 0; j /= 2 { // the last knot at or below speed
		if r.speed[i+j] <= speed {
			i += j
		}
	}
	step := r.stop / reliefKnots
	low, high := step*float64(i), step*float64(i+1)
	angle = low + step*(speed-r.speed[i])/(r.speed[i+1]-r.speed[i])
	for range 60 {
		p, zeta, dp, dzeta := r.blade(angle)
		u := math.Sqrt(p / zeta)
		miss := u - speed
		if miss > 0 {
			high = angle
		} else {
			low = angle
		}
		next := angle
		if du := u / 2 * (dp/p - dzeta/zeta); du > 0 {
			next = angle - miss/du
		}
		if !(next >= low && next <= high) {
			next = (low + high) / 2
		}
		// Newton converges quadratically: after a step this small the next would be lost in round-off.
		if math.Abs(next-angle) <= 1e-10 {
			return next
		}
		angle = next
	}
	return angle
}

// Drop implements flow.Law.
func (r *Relief) Drop(q float64) (drop, slope float64) {
	q2 := q * q
	root := math.Sqrt(q2 + r.knee2)
	y := r.dynamic * q * root                 // Δp/ζ
	dy := r.dynamic * (2*q2 + r.knee2) / root // by q
	if q <= 0 || y*r.shutZeta <= r.set {      // leaking
		return r.shutZeta * y, r.shutZeta * dy
	}
	speed := math.Sqrt(y)
	if speed >= r.speed[reliefKnots] { // against the stop
		return r.stopZeta * y, r.stopZeta * dy
	}
	p, zeta, dp, dzeta := r.blade(r.open(speed))
	// y = p(φ)/ζ(φ), so dφ/dy = ζ/(p′ − y ζ′).
	return p, dp * zeta / (dp - p/zeta*dzeta) * dy
}

// Opening is the blade's angle from shut, degrees, when q passes.
func (r *Relief) Opening(q float64) float64 {
	drop, _ := r.Drop(q)
	return r.OpeningAt(drop)
}

// OpeningAt is the blade's angle from shut, degrees, under a drop (Pa).
func (r *Relief) OpeningAt(drop float64) float64 { return r.angleAt(drop) * 180 / math.Pi }

func (r *Relief) angleAt(drop float64) float64 {
	excess := drop - r.set
	if !(excess > 0) {
		return 0
	}
	if r.perRadian > 0 {
		return min(excess/r.perRadian, r.stop)
	}
	return min(math.Atan(excess/r.perTan), r.stop)
}

// Flow is the law the other way round: the mass flow (kg/s) under a drop (Pa).
func (r *Relief) Flow(drop float64) float64 {
	_, zeta, _, _ := r.blade(r.angleAt(drop))
	v := math.Abs(drop) / (zeta * r.dynamic)
	q := math.Sqrt(2 * v * v / (r.knee2 + math.Sqrt(r.knee2*r.knee2+4*v*v)))
	return math.Copysign(q, drop)
}
