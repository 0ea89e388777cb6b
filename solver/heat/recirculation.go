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

// Entering temperature, °C, at a recirculated share.
func (c Recirculation) Entering(share float64) float64 {
	if share == 0 {
		return c.Return
	}
	return c.Return + share*c.lift(share)
}

func (c Recirculation) lift(share float64) float64 {
	if !(share < 1) {
		return math.Copysign(math.Inf(1), c.Rise)
	}
	return c.Rise / (1 - share)
}

// MostForLeaving is the greatest share that keeps the leaving air at or below a limit, °C:
//
//	r = 1 − rise/(limit − T_return)
//
// Negative when the limit is passed without any recirculation; 1 when there is no rise. The limit must lie above the
// return for a heater.
func (c Recirculation) MostForLeaving(limit float64) float64 {
	if c.Rise == 0 {
		return 1
	}
	return 1 - c.Rise/(limit-c.Return)
}

// MostForEntering is the greatest share that keeps the entering air at or below a limit, °C:
//
//	r = x/(1 + x),   x = (limit − T_return)/rise
//
// 0 or less when the return itself is at the limit.
func (c Recirculation) MostForEntering(limit float64) float64 {
	if c.Rise == 0 {
		return 1
	}
	x := (limit - c.Return) / c.Rise
	if x <= -1 {
		return math.Inf(-1)
	}
	return x / (1 + x)
}

// ShareFor is the recirculated share that explains an entering temperature, °C, the inverse of Entering; the same
// formula as MostForEntering.
func (c Recirculation) ShareFor(entering float64) float64 { return c.MostForEntering(entering) }

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
