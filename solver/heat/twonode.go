package heat

import (
	"math"

	"spillway/solver/air/bracket"
)

// House is a zone as two nodes: a fast one (air, furniture, the skin of the walls), which the thermostat feels, and the mass behind it:
//
//	C_f dT/dt   = UA (T_out − T) + G + g (T_supply − T) − K (T − T_m)
//	C_m dT_m/dt = K (T − T_m)
//
// The fast node alone moves too fast after the first minutes and the whole capacity as one node too slowly before the first hours;
// the two together give both. Both start at the setpoint.
type House struct {
	Fast, Mass  float64 // J/K
	Between     float64 // W/K between the two
	Conductance float64 // W/K to outdoors
	Load        float64 // W, as in Zone
}

// BetweenPerArea couples air and mass, W/K per m² of floor: about 4 W/(m²·K) on 2.5 m² of surface. Our choice, an assumption to show.
const BetweenPerArea = 10.0

// Swing is the course of a House's fast node after a step: a sum of two exponentials that rises from 0 to Offset.
type Swing struct {
	Offset     float64 // K from the setpoint, where it ends
	fast, slow float64 // 1/s, rates of the two exponentials
	share      float64 // of the fast one in the course
}

// Drift of the house under bleed, as the exact solution of the two equations:
//
//	T(t) − T₀ = offset (1 − w e^(−λ₁ t) − (1 − w) e^(−λ₂ t))
//
// with offset as in Zone.Drift. Errors: figures that cannot be; no conductance and no bleed, when it has no end.
func (h House) Drift(b Bleed) (Swing, error) {
	single, err := Zone{Capacity: h.Fast, Conductance: h.Conductance, Load: h.Load}.Drift(b)
	if err != nil {
		return Swing{}, err
	}
	if !(h.Mass > 0) || !(h.Between > 0) || math.IsInf(single.TimeConstant, 0) {
		return Swing{}, badInput("zone of %g J/K of mass joined by %g W/K with %g W/K to outdoors", h.Mass, h.Between, h.Conductance)
	}
	// u = T − T_end, v = T_m − T_end:  u' = −a u + b v,  v' = c (u − v).
	loss := h.Conductance + b.CapacityRate*b.Duty
	p, q, r := (loss+h.Between)/h.Fast, h.Between/h.Fast, h.Between/h.Mass
	half, root := (p+r)/2, math.Sqrt((p-r)*(p-r)/4+q*r)
	s := Swing{Offset: single.Offset, fast: half + root, slow: half - root}
	// u(0) = v(0) = −offset and u'(0) = (p − q) offset fix the shares: w λ₁ + (1 − w) λ₂ = p − q.
	s.share = (p - q - s.slow) / (s.fast - s.slow)
	return s, nil
}

// At is how far the fast node is from the setpoint after a time in s, K.
func (s Swing) At(t float64) float64 {
	return -s.Offset * (s.share*math.Expm1(-s.fast*t) + (1-s.share)*math.Expm1(-s.slow*t))
}

// Until is the time, s, to a swing (K, of either sign) from the setpoint; +Inf when it ends short of it.
func (s Swing) Until(swing float64) float64 {
	swing = math.Abs(swing)
	if swing == 0 {
		return 0
	}
	if math.Abs(s.Offset) <= swing {
		return math.Inf(1)
	}
	within := 1 / s.slow
	for math.Abs(s.At(within)) < swing {
		within *= 2
	}
	t, err := bracket.Root(func(t float64) float64 { return math.Abs(s.At(t)) - swing }, 0, within, 1e-9*within)
	if err != nil {
		return math.NaN() // cannot happen: the ends bracket the root
	}
	return t
}
