package state

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/solver/resist"
)

// regulate finds the openings at which every pressure-holding damper agrees with the pressure at its sensor. For one damper the
// sensed pressure falls as it opens, so its opening is the root of a falling function and is bracketed; several are taken in
// turn until none moves.
func (c *calculation) regulate() error {
	const (
		most      = 60
		tolerance = 1e-9
	)
	for range most {
		moved := 0.0
		for i, e := range c.regulators {
			before := c.set.position[e]
			var err error
			if c.jumps[i], err = c.regulateOne(e); err != nil {
				return err
			}
			moved = max(moved, math.Abs(c.set.position[e]-before))
		}
		if moved < tolerance || len(c.regulators) == 1 {
			return nil
		}
	}
	return fmt.Errorf("%s and the other pressure-holding dampers work against each other and come to no rest", c.solver.graph.Elements[c.regulators[0]].Name)
}

// regulateOne finds the opening of one pressure-holding damper with the others where they are. It sets out from where the damper
// stands, since between turns with the heat side it hardly moves. It tells whether the damper ended where the pressure at its sensor
// jumps: a blower whose curve dips leaves one operating point for another, or a junction one division of its flow. There no opening
// holds the pressure.
func (c *calculation) regulateOne(e int) (jumps bool, err error) {
	g := c.solver.graph
	spec := g.Elements[e].Spec.(*network.RegulatorSpec)
	controller := resist.Regulator{Set: spec.Holds, Band: spec.Band}
	var start []float64
	if c.warmStart { // junctions can have two solutions: stay with the one at hand
		start = append(start, c.start...)
	}
	excess := func(opening float64) (float64, error) {
		zeta, err := damperZeta(&spec.Blade, opening)
		if err != nil {
			return 0, err
		}
		law, err := resist.NewLocal(zeta, spec.Section.Area(), c.set.air[e])
		if err != nil {
			return 0, err
		}
		c.set.position[e], c.zeta[e] = opening, zeta
		c.locals[e] = law
		if err := c.solve(start); err != nil {
			return 0, err
		}
		start = append(start[:0], c.solution.Flow...)
		wanted, _ := controller.Opening(c.pressureAt(spec.Sensor))
		return wanted - opening, nil
	}
	found, jumps, err := fallingRoot(excess, c.set.position[e])
	if err == nil && !found {
		err = fmt.Errorf("%s finds no opening at which it holds its pressure", g.Elements[e].Name)
	}
	return jumps, err
}

// jumpNotes says of each pressure-holding damper that stands at a jump that it does.
func (c *calculation) jumpNotes(o *Outcome) {
	for i, e := range c.regulators {
		if c.jumps[i] {
			o.Notes = append(o.Notes, fmt.Sprintf("%s holds its pressure at no opening: as it passes %.0f %% the pressure at its sensor jumps, and it would hunt there; one side of the jump is shown",
				c.solver.graph.Elements[e].Name, 100*c.set.position[e]))
		}
	}
}

// fallingRoot brings a falling function of an opening in 0..1 to zero, or as near as the ends allow; the last call of f is at the
// root. It searches outwards from a first guess, then closes in by false position with Illinois halving. Where the function jumps past
// zero it ends at the jump, on either side of it, and says so.
func fallingRoot(f func(float64) (float64, error), guess float64) (found, jumps bool, err error) {
	const (
		tolerance = 1e-10
		most      = 200
		// A function that falls by more than this over an interval of the tolerance's width jumps: were it steep instead, its pressure
		// would change by ten million bands over the whole travel.
		jump = 1e-3
	)
	at, err := f(guess)
	if err != nil || math.Abs(at) < tolerance {
		return true, false, err
	}
	low, high := guess, guess
	atLow, atHigh := at, at
	for reach := 0.02; atLow < 0 || atHigh > 0; reach *= 4 {
		if at > 0 {
			if high == 1 {
				return true, false, nil // fully open and still asked to open further
			}
			low, atLow, high = high, atHigh, min(1, guess+reach)
			if atHigh, err = f(high); err != nil || math.Abs(atHigh) < tolerance {
				return true, false, err
			}
		} else {
			if low == 0 {
				return true, false, nil // shut and still asked to close
			}
			high, atHigh, low = low, atLow, max(0, guess-reach)
			if atLow, err = f(low); err != nil || math.Abs(atLow) < tolerance {
				return true, false, err
			}
		}
	}
	// The values at the ends as they are; those in use are halved.
	ofLow, ofHigh := atLow, atHigh
	stayed := 0
	for range most {
		mid := (low*atHigh - high*atLow) / (atHigh - atLow)
		if !(mid > low && mid < high) {
			mid = (low + high) / 2
		}
		if at, err = f(mid); err != nil {
			return false, false, err
		}
		if math.Abs(at) < tolerance {
			return true, false, nil
		}
		if at > 0 {
			low, atLow, ofLow = mid, at, at
			if stayed > 0 {
				atHigh /= 2
			}
			stayed = 1
		} else {
			high, atHigh, ofHigh = mid, at, at
			if stayed < 0 {
				atLow /= 2
			}
			stayed = -1
		}
		if high-low < tolerance {
			return true, ofLow-ofHigh > jump, nil
		}
	}
	return false, false, nil
}
