package jet

import (
	"fmt"
	"math"
)

// Terminal velocities of the three throws, m/s: 150, 100 and 50 fpm in the units in which they are quoted.
const (
	FastAir   = 0.75
	MiddleAir = 0.50
	SlowAir   = 0.25 // about the threshold of feeling air move
)

// SlowZone shortens the throw to SlowAir, which lies in the jet's fourth zone, where it dies faster (ASHRAE Fundamentals,
// ch. 20, Example 1).
const SlowZone = 0.70

// FreeShare is the throw of a jet in the open over that of one along a ceiling (ASHRAE Fundamentals, ch. 20).
const FreeShare = 0.707

// Outlet is an isothermal jet at its source. Flow of either sign counts as its magnitude.
type Outlet struct {
	Flow float64 // m³/s
	Area float64 // m², effective area A_o, see Pattern.EffectiveArea
	K    float64 // throw constant
}

// Check reports inputs that are no outlet: area or K not positive, anything not finite.
func (o Outlet) Check() error {
	for _, c := range []struct {
		name      string
		value     float64
		low, high float64
	}{
		{"flow", math.Abs(o.Flow), 0, 1e5},
		{"effective area", o.Area, 1e-8, 1e6},
		{"throw constant", o.K, 0.01, 100},
	} {
		if !(c.value >= c.low && c.value <= c.high) {
			return fmt.Errorf("jet: %s must lie between %g and %g, not %g", c.name, c.low, c.high, c.value)
		}
	}
	return nil
}

// Velocity at the outlet, m/s, V_o = Q/A_o.
func (o Outlet) Velocity() float64 { return math.Abs(o.Flow) / o.Area }

// Throw is the distance, m, at which the fastest air of the jet has slowed to a terminal velocity (m/s),
//
//	X = K Q/(V_x √A_o)
//
// ASHRAE Handbook – Fundamentals (SI), ch. 20, eqs. 4 to 8, zone 3 of the jet, where V_x falls with 1/X. It holds down to
// about MiddleAir. 0 for no flow; the velocity must be positive (else 0).
func (o Outlet) Throw(velocity float64) float64 {
	if !(velocity > 0) {
		return 0
	}
	return o.K * math.Abs(o.Flow) / (velocity * math.Sqrt(o.Area))
}

// Throws are the distances, m, to 0.75, 0.50 and 0.25 m/s, the last shortened by 0.70 for the jet's fourth zone.
type Throws struct{ T075, T050, T025 float64 }

// Throws of the outlet. They are proportional to flow: a zone at 40 % of its flow throws 40 % as far.
func (o Outlet) Throws() Throws {
	return Throws{T075: o.Throw(FastAir), T050: o.Throw(MiddleAir), T025: SlowZone * o.Throw(SlowAir)}
}

// times is the throws stretched by a factor.
func (t Throws) times(factor float64) Throws {
	return Throws{T075: factor * t.T075, T050: factor * t.T050, T025: factor * t.T025}
}

// VelocityAt is the fastest air at a distance (m), m/s: K V_o √A_o/X, not above V_o. Past MiddleAir the real jet is
// slower, so this is on the safe side for draughts.
func (o Outlet) VelocityAt(distance float64) float64 {
	velocity := o.Velocity()
	core := o.K * math.Sqrt(o.Area)
	if distance <= core {
		return velocity
	}
	return velocity * core / distance
}

// Entrainment is the flow in the jet at a distance (m) over the flow of the outlet, Q_x/Q_o = 2X/(K √A_o), not below 1.
// ASHRAE Handbook – Fundamentals (SI), ch. 20, eq. 10.
func (o Outlet) Entrainment(distance float64) float64 {
	return max(2*distance/(o.K*math.Sqrt(o.Area)), 1)
}
