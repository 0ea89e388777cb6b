package heat

import (
	"math"

	"spillway/solver/air"
	"spillway/solver/air/bracket"
)

// CoilRecirculation is the steady loop of a cooling coil whose leaving air partly returns to its inlet: the cooling
// counterpart of Recirculation, without duct losses. There is no closed form, since the coil gives less as its air gets
// colder; the loop is solved as a network of three nodes.
type CoilRecirculation struct {
	Coil     *Coil
	Return   air.Moist // air from the zones
	MassFlow float64   // kg/s through the coil
	Outdoor  float64   // °C
	Pressure float64   // Pa
	FanHeat  float64   // W, added before the coil
}

// At is the coil at rest with a recirculated share (0 ≤ r < 1, by mass), and the air that enters it behind the fan.
// Errors as for Solver.Solve.
func (c CoilRecirculation) At(share float64) (CoilState, air.Moist, error) {
	if !(share >= 0 && share < 1) {
		return CoilState{}, air.Moist{}, badInput("recirculated share %g outside 0 to 1", share)
	}
	fresh := c.MassFlow * (1 - share)
	sol, err := Solve(&Network{
		Pressure: c.Pressure,
		Nodes:    []Node{{Reservoir: true, State: c.Return}, {}, {}, {}},
		Branches: []Branch{
			{From: 0, To: 1, MassFlow: fresh},
			{From: 1, To: 2, MassFlow: c.MassFlow, Heat: c.FanHeat},
			{From: 2, To: 3, MassFlow: c.MassFlow, Device: Cooler{c.Coil, c.Outdoor}},
			{From: 3, To: 0, MassFlow: fresh},
			{From: 3, To: 1, MassFlow: c.MassFlow * share},
		},
	})
	if err != nil {
		return CoilState{}, air.Moist{}, err
	}
	entering := sol.Nodes[2].State
	s, err := c.Coil.At(entering, c.MassFlow, c.Outdoor, c.Pressure)
	return s, entering, err
}

// largestShare is how far ShareAtEvaporating looks.
const largestShare = 0.8

// ShareAtEvaporating is the recirculated share at which the evaporating temperature falls to a limit, °C (0 °C:
// frost). It is negative infinity when the coil is at or below the limit with no recirculation, and positive infinity
// when no share up to 0.8 reaches it. A loop driven beyond the coil model's reach counts as below the limit.
func (c CoilRecirculation) ShareAtEvaporating(limit float64) (float64, error) {
	s, _, err := c.At(0)
	if err != nil {
		return 0, err
	}
	if s.Evaporating <= limit {
		return math.Inf(-1), nil
	}
	margin := func(share float64) float64 {
		s, _, err := c.At(share)
		if err != nil {
			return -100
		}
		return s.Evaporating - limit
	}
	if margin(largestShare) > 0 {
		return math.Inf(1), nil
	}
	return bracket.Root(margin, 0, largestShare, 1e-9)
}
