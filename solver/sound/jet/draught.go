package jet

// Limits of comfort where people are. ADPI: ASHRAE Handbook – Fundamentals, ch. 20, and SMACNA HVAC Systems – Duct Design,
// ch. 3. The velocity caps: ASHRAE Journal, April 1999.
const (
	DraughtLow       = -1.7 // K, effective draft temperature; below it feels cold
	DraughtHigh      = 1.1  // K; above it feels warm
	DraughtVelocity  = 0.35 // m/s, 70 fpm, the most in ADPI
	CoolingVelocity  = 0.25 // m/s, 50 fpm
	HeatingVelocity  = 0.15 // m/s, 30 fpm
	OccupiedHeight   = 1.8  // m, the top of the zone where people are
	draughtCoolness  = 8.0  // K per m/s
	stillAirVelocity = 0.15 // m/s
)

// Draught is what somebody in the jet at one point would feel.
type Draught struct {
	Distance    float64 // m along the jet
	Velocity    float64 // m/s
	Difference  float64 // K, air there less room
	Effective   float64 // K, effective draft temperature
	Comfortable bool
}

// EffectiveDraft is the effective draft temperature, K,
//
//	θ = (T_x − T_c) − 8.0 (V_x − 0.15)
//
// from the temperature difference between the point and the room (K) and the velocity there (m/s). Comfortable is −1.7 <
// θ < 1.1 with V_x under 0.35 m/s; ADPI is the share of points in a room that are. ASHRAE Handbook – Fundamentals, ch. 20;
// in °F and fpm the coefficient is 0.07, exactly 7.66 in SI. For cooling only.
func EffectiveDraft(difference, velocity float64) float64 {
	return difference - draughtCoolness*(velocity-stillAirVelocity)
}

// DraughtAt is what the jet of an outlet feels like at a distance (m): its velocity there and
//
//	T_x − T_A = 0.8 (V_x/V_o)(T_o − T_A)
//
// (from memory). Cooling is judged by the effective draft temperature, heating and fan by the velocity cap alone
// (HeatingVelocity, CoolingVelocity).
func (a Air) DraughtAt(o Outlet, distance float64) Draught {
	d := Draught{Distance: distance}
	velocity := o.Velocity()
	if velocity == 0 {
		d.Effective = EffectiveDraft(0, 0)
		d.Comfortable = true
		return d
	}
	d.Velocity = o.VelocityAt(distance)
	d.Difference = 0.8 * d.Velocity / velocity * a.Difference()
	d.Effective = EffectiveDraft(d.Difference, d.Velocity)
	switch {
	case a.Difference() < 0:
		d.Comfortable = d.Effective > DraughtLow && d.Effective < DraughtHigh && d.Velocity < DraughtVelocity
	case a.Difference() > 0:
		d.Comfortable = d.Velocity <= HeatingVelocity
	default:
		d.Comfortable = d.Velocity <= CoolingVelocity
	}
	return d
}
