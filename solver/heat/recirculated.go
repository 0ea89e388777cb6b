package heat

import (
	"math"
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
