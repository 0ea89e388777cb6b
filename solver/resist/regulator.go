package resist

import "spillway/network/catalog"

// Regulator is the controller of a motorised damper that holds a pressure, such as a constant-pressure bypass. It says
// how far the damper stands open at a sensed pressure; the damper itself is then an ordinary Local, and finding the
// opening that agrees with the flow is left to whoever solves the network, because the sensor may sit elsewhere.
//
//	y = clip( (p − Set)/Band + Rest, 0, 1 )
//
// y is the fraction of travel: 0 shut, 1 open, blade at 90(1 − y) degrees from open. A proportional controller in its
// steady state, common practice.
type Regulator struct {
	Set  float64 // Pa
	Band float64 // Pa from shut to open; zero means catalog.BypassBand
	Rest float64 // opening at the set pressure, 0 to 1
}

// Opening is the fraction open at a sensed pressure (Pa) and its derivative, which is zero at either end of travel.
func (r Regulator) Opening(sensed float64) (y, slope float64) {
	band := r.Band
	if !(band > 0) {
		band = catalog.BypassBand
	}
	y = (sensed-r.Set)/band + r.Rest
	switch {
	case y <= 0:
		return 0, 0
	case y >= 1:
		return 1, 0
	}
	return y, 1 / band
}
