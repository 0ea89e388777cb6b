package sound

import "spillway/solver/sound/validity"

// DamperPlace is where a throttled damper sits before an outlet.
type DamperPlace uint8

const (
	// InNeck is a register's own damper, or one in the neck of a diffuser.
	InNeck DamperPlace = iota
	// InPlenumInlet is a damper where the duct enters the outlet's plenum box.
	InPlenumInlet
	// InDuct is a damper in the supply duct, 1.5 m or more upstream (the distance is from memory).
	InDuct
)

const throttledMethod = "noise of throttled dampers (ASHRAE HVAC Applications 2019, ch. 49, Table 10)"

var throttledRange = validity.Range{Quantity: "throttled over wide-open pressure drop", Low: 1, High: 6, Of: throttledMethod}

var (
	throttledRatios = [...]float64{1, 1.5, 2, 2.5, 3, 4, 6}
	throttledGains  = [...][len(throttledRatios)]float64{
		InNeck:        {0, 5, 9, 12, 15, 18, 24},
		InPlenumInlet: {0, 2, 3, 4, 5, 6, 9},
		InDuct:        {0, 0, 0, 0, 2, 3, 5},
	}
)

// Throttled is what the damper of an outlet adds to the outlet's rating, dB in every band, when it takes a share of the
// pressure: the ratio is the pressure drop of outlet and damper as set, over the same with the damper wide open at the
// same flow.
//
//	ratio              1.5  2  2.5   3   4   6
//	in the neck          5  9   12  15  18  24
//	plenum inlet         2  3    4   5   6   9
//	duct, well upstream  0  0    0   2   3   5
//
// ASHRAE Handbook – HVAC Applications 2019, ch. 49, Table 10; straight lines between, 0 at ratio 1. The neck row is
// 30 log(ratio) within 1 dB. Range 1 to 6, clamped. It says why balancing at the face is noisy and far upstream is not.
// The ratio must be a positive number. Add the result with Spectrum.Raised to the power of an Outlet whose Drop is that
// of the open outlet, or to a Rated; an Outlet that is given the whole throttled drop has it already.
func Throttled(place DamperPlace, ratio float64) (float64, []validity.Note, error) {
	in := inputs{of: "a throttled outlet"}
	in.within("pressure ratio", ratio, 1e-6, 1e12, "")
	in.within("damper place", float64(place), 0, float64(len(throttledGains)-1), "")
	if in.err != nil {
		return 0, nil, in.err
	}
	ratio, notes := throttledRange.Clamp(nil, ratio)
	gains := &throttledGains[place]
	for i := 1; i < len(throttledRatios); i++ {
		if low, high := throttledRatios[i-1], throttledRatios[i]; ratio <= high {
			return gains[i-1] + (gains[i]-gains[i-1])*(ratio-low)/(high-low), notes, nil
		}
	}
	return gains[len(gains)-1], notes, nil
}
