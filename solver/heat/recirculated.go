package heat

import (
	"math"

	"spillway/solver/air"
)

// Recirculated is the share of the air reaching the device of a branch that has passed the same branch since it last was
// in a reservoir: the r of the loop, by mass, whatever the way back (a bypass, a leak, a dump into the return). 0 for a
// branch without flow. It refers to the network of the last successful Solve, which must be unchanged.
func (s *Solver) Recirculated(n *Network, branch int) float64 {
	if branch < 0 || branch >= len(s.moving) || s.moving[branch] == 0 {
		return 0
	}
	// A tracer that is zero in every reservoir and set to one by the branch.
	value := make([]float64, len(n.Nodes))
	mark := make([]float64, len(n.Branches))
	keep := make([]float64, len(n.Branches))
	for b := range keep {
		keep[b] = 1
	}
	keep[branch], mark[branch] = 0, 1
	if !s.transport.solve(value, make([]float64, len(n.Nodes)), keep, mark) {
		return math.NaN() // cannot happen: Solve succeeded on the same loops
	}
	return value[s.transport.up[branch]]
}

// Strip is the air in the least mixed strip of a duct behind the point where a recirculated stream joins:
//
//	strip = mixed + figure · (recirculated − mixed)        in enthalpy and humidity ratio
//
// figure 0 is perfect mixing, 1 a strip of recirculated air that has not mixed at all. This is our choice of a model: no
// published one was found for bypass air behind a return plenum. A limit sensor or a coil circuit in that strip sees
// this air; behind a furnace add the rise.
//
// Errors: a figure outside 0 to 1.
func Strip(mixed, recirculated air.Moist, figure float64) (air.Moist, error) {
	if !(figure >= 0 && figure <= 1) {
		return air.Moist{}, badInput("mixing figure %g outside 0 to 1", figure)
	}
	h := mixed.Enthalpy() + figure*(recirculated.Enthalpy()-mixed.Enthalpy())
	w := mixed.HumidityRatio + figure*(recirculated.HumidityRatio-mixed.HumidityRatio)
	return air.FromEnthalpy(h, w), nil
}
