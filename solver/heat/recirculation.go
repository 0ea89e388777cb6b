package heat

import "math"

// Recirculation is the steady loop of a heater whose leaving air partly returns to its inlet: constant output and
// airflow, perfect mixing, no losses on the way back.
//
//	T_leaving  = T_return + rise/(1 − r)
//	T_entering = T_return + r rise/(1 − r)
//
// r is the share of the blower's air, by mass, that comes round again. The rise across the heater stays what it was: what
// rises is its level. Derivation: T_entering = (1 − r) T_return + r T_leaving with T_leaving = T_entering + rise. With a
// negative Rise it holds for a cooling coil of fixed sensible output. Valid 0 ≤ r < 1.
type Recirculation struct {
	Return float64 // °C, air from the zones
	Rise   float64 // K across the heater
}

// Leaving temperature, °C, at a recirculated share; an infinity of the sign of the rise at r ≥ 1.
func (c Recirculation) Leaving(share float64) float64 { return c.Return + c.lift(share) }

func (c Recirculation) lift(share float64) float64 {
	if !(share < 1) {
		return math.Copysign(math.Inf(1), c.Rise)
	}
	return c.Rise / (1 - share)
}

// LimitDuty estimates the share of the time a burner is on when it cycles on a limit that opens at one leaving
// temperature and closes at another, °C:
//
//	duty = (1 − r) ((T_open + T_close)/2 − T_return)/rise,  at most 1
//
// It balances the mean heat carried away at the mean of the two temperatures; Loop.Cycle gives the exact figure. 1
// when the steady leaving temperature does not reach the limit.
func (c Recirculation) LimitDuty(share, opens, closes float64) float64 {
	if c.Leaving(share) <= opens {
		return 1
	}
	return math.Min(1, math.Max(0, (1-share)*((opens+closes)/2-c.Return)/c.Rise))
}
