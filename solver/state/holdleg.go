package state

import (
	"cmp"
	"math"
	"slices"

	"spillway/solver/air/bracket"
)

// swings notes between what flows every edge of the flow network has swung since it was begun, and how hot any air was, °C.
type swings struct {
	low, high []float64
	hottest   float64
}

func (s *swings) note(flow []float64, hottest float64) {
	if s.low == nil {
		s.hottest = hottest
		s.low, s.high = append([]float64(nil), flow...), append([]float64(nil), flow...)
	}
	s.hottest = max(s.hottest, hottest)
	for e, q := range flow {
		s.low[e], s.high[e] = min(s.low[e], q), max(s.high[e], q)
	}
}

// leg is an edge of the flow network whose flow swings between low and high.
type leg struct {
	edge      int
	low, high float64
}

// widest lists the edges that have swung most, the first first: by their swing times their swing as a part of the flow.
func (s *swings) widest(most int) []leg {
	var legs []leg
	for e, low := range s.low {
		if s.high[e] > low {
			legs = append(legs, leg{e, low, s.high[e]})
		}
	}
	slices.SortStableFunc(legs, func(a, b leg) int { return cmp.Compare(b.weight(), a.weight()) })
	return legs[:min(most, len(legs))]
}

func (l leg) weight() float64 {
	swing := l.high - l.low
	return swing * swing / max(l.high, -l.low)
}

// holdLeg finds a state of rest by holding the flow of one leg, an edge of the flow network. As a function of the flow that is held, with
// all else at rest, the pressure that is left over in the leg falls through zero where the leg needs no holding. Where junctions let a leg
// carry two flows at the same temperatures, and each makes the temperatures that lead to the other, turns of flow and heat never rest; the
// state of rest has a flow in between, which this finds. It searches outwards from the middle of the swing. In the end the leg is
// let go, and holdLeg tells whether all came to rest so.
func (c *calculation) holdLeg(l leg) bool {
	const enough = 1e-9 // Pa; what is left the free leg takes
	edge := l.edge
	if c.solver.rises {
		return false
	}
	state, start := append([]float64(nil), c.state...), append([]float64(nil), c.solution.Flow...)
	setOut := func() {
		copy(c.state, state)
		c.setAir()
		c.start, c.warmStart = append(c.start[:0], start...), true
	}
	defer func() { c.held = -1 }()
	left := func(q float64) float64 {
		setOut()
		c.held, c.heldAt = edge, q
		if c.settle(fullTurns) != nil {
			return math.NaN()
		}
		copy(state, c.state)
		copy(start, c.solution.Flow)
		over := c.leftOver(edge)
		if math.Abs(over) < enough {
			return 0
		}
		return over
	}
	q, reach := (l.low+l.high)/2, (l.high-l.low)/2
	if at := left(q); at != 0 {
		end := q
		for step := math.Copysign(reach, at); ; step *= 2 { // with pressure left over the leg would carry more
			end = q + step
			next := left(end)
			if math.IsNaN(next) || math.Abs(step) > 1e6*reach {
				return false
			}
			if next == 0 || math.Signbit(next) != math.Signbit(at) {
				break
			}
		}
		if _, err := bracket.Root(left, q, end, 0); err != nil {
			return false
		}
	}
	c.held = -1
	setOut()
	return c.settle(0) == nil
}

// leftOver is the pressure that the network offers along an edge beyond what the edge takes, Pa.
func (c *calculation) leftOver(edge int) float64 {
	e := &c.solver.plan.edges[edge]
	drop, _ := c.problem.Laws[edge].Drop(c.solution.Flow[edge])
	for _, part := range e.parts {
		drop += part.sign * c.turn[part.element]
	}
	return c.solution.Pressure[e.tail] - c.solution.Pressure[e.head] + c.problem.Source[edge] - drop
}
