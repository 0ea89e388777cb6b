package state

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"spillway/solver/air"
	"spillway/solver/heat"
)

// agree brings flow and heat to agreement. There may be several states of rest; the one that is taken is the one to which the turns come
// from supply air at its nominal temperature everywhere. Where they come to none, since the flow of a nearly still leg swings between
// two states, it is the one nearest the middle of the swing: the leg is held and the flow sought at which it needs no holding (holdLeg; the
// legs that swing most are tried one by one).
// What does not come to rest is an error.
func (c *calculation) agree() error {
	c.takeAir()
	err := c.settle(fullTurns)
	if err == nil {
		return c.machineHolds()
	}
	var swing *swingError
	hottest := slices.Max(c.state)
	beyond := c.machineHolds()
	if errors.As(err, &swing) {
		state, flow := slices.Clone(c.state), slices.Clone(c.solution.Flow)
		for _, l := range swing.legs {
			copy(c.state, state)
			copy(c.solution.Flow, flow)
			if c.holdLeg(l) {
				return c.machineHolds()
			}
		}
		hottest = swing.hottest
	}
	if beyond != nil {
		return fmt.Errorf("%w; and so far beyond it the air comes to no rest", beyond)
	}
	if hottest > greatestTemperature && (swing != nil || errors.Is(err, heat.ErrCertificate)) {
		return fmt.Errorf("%w: the little air that moves would be heated to %.3g °C, and so hot that its flow comes to no rest", heat.ErrBeyondRange, hottest)
	}
	return err
}

// swingError tells that flow and heat come to no rest.
type swingError struct {
	element string
	by      float64 // K
	hottest float64 // °C, of all air in all of the swing
	legs    []leg   // whose flows swing most
}

func (e *swingError) Error() string {
	return fmt.Sprintf("flow and heat do not come to agreement: the air in %s swings by %.2g K, as warm and cold columns work against almost no flow", e.element, e.by)
}

// fullTurns are taken as they come before they are mixed.
const fullTurns = 6

// Turns that come to rest, each moving the air by less than this part of what the one before did, and by less than this, K, are helped
// on by the secant through the last two.
const (
	coming = 0.3
	near   = 2.0
)

// settle solves flow and heat in turn until no element's air moves. The coupling is weak (a density moves by a few percent), so a few
// turns taken in full do nearly always, with the secant's help in the end. Where they do not, the turns are mixed: see mixer.
func (c *calculation) settle(full int) error {
	const (
		patience = 60
		most     = 600
	)
	tolerance := 1e-7 // K
	if c.solver.brief {
		tolerance = 1e-6 // a density moves by 3e-9 of itself
	}
	var (
		m *mixer
		s swings
	)
	moved, before, worst := 0.0, 0.0, 0
	c.secant.begin()
	for turn := 0; turn < most; turn++ {
		if err := c.ctx.Err(); err != nil {
			return err
		}
		if err := c.balance(); err != nil {
			return err
		}
		c.start, c.warmStart = append(c.start[:0], c.solution.Flow...), true
		before = moved
		var err error
		if moved, worst, err = c.carryHeat(); err != nil {
			return err
		}
		if moved < tolerance {
			return nil // the densities that these flows were found with are those that the heat asks for
		}
		switch {
		case turn < full:
		case m == nil:
			m = new(mixer)
		case m.idle > patience:
			return c.swingError(&s, worst, moved)
		}
		if turn >= full {
			s.note(c.solution.Flow, c.hottest())
		}
		if m == nil {
			c.secant.step(c.state, c.aim, moved < coming*before && moved < near)
		} else {
			m.mix(c.state, c.aim)
		}
		c.setAir()
	}
	return c.swingError(&s, worst, moved)
}

// machineHolds is an error where the machine's model may not be used at the state of the last turn. It is asked only where all is at
// rest: on the way there a model may be stretched (see heat.Solver.Balance), as the first turns set out from supply air of one temperature.
func (c *calculation) machineHolds() error {
	if c.steady == nil {
		return nil
	}
	err := c.heat.Check(&c.net)
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", c.solver.graph.Elements[c.machineElement()].Name, errors.Unwrap(err)) // the only device there is
}

// swingError describes the turns so far.
func (c *calculation) swingError(s *swings, worst int, moved float64) error {
	const held = 4 // legs that are tried, one by one
	return &swingError{element: c.solver.graph.Elements[worst].Name, by: moved, hottest: s.hottest, legs: s.widest(held)}
}

// greatestTemperature is the end of the moist-air formulas, °C (ASHRAE Handbook – Fundamentals 2017, ch. 1); every limit opens long before.
const greatestTemperature = 200.0

// hottest is the highest temperature of air that moves, °C.
func (c *calculation) hottest() float64 {
	hottest := math.Inf(-1)
	for i := range c.steady.Branches {
		if b := &c.steady.Branches[i]; b.Moving {
			hottest = max(hottest, b.In.Temperature, b.Out.Temperature)
		}
	}
	return hottest
}

// perHumidity makes a humidity ratio comparable with a temperature: about as many K as change the density by as much.
const perHumidity = 180.0

// carryHeat solves the heat network for the present flows. It leaves in state how the air of every element is, in aim how it comes
// out (temperature and humidity by turns, in K), and returns how far apart the worst are and which element that is.
func (c *calculation) carryHeat() (away float64, worst int, err error) {
	c.carry(c.set.machine.device)
	c.steady, err = c.heat.Balance(&c.net) // whether the machine's model holds is asked where all is at rest
	if err != nil {
		return 0, 0, err
	}
	for i := range c.steady.Branches {
		x, y := c.state[2*i:2*i+2], c.aim[2*i:2*i+2]
		copy(y, x)
		if t, w, ok := c.meanAir(i); ok {
			y[0], y[1] = t, perHumidity*w
		}
		if d := max(math.Abs(y[0]-x[0]), math.Abs(y[1]-x[1])); d > away {
			away, worst = d, i
		}
	}
	return away, worst, nil
}

// takeAir sets state from the air as it stands: the humidity is what makes the density at the temperature.
func (c *calculation) takeAir() {
	for i, t := range c.set.warm {
		dry := air.Moist{Temperature: t}
		moist := air.Moist{Temperature: t, HumidityRatio: 1}
		full := dry.Density(c.set.pressure)
		heavier := 2 * full / moist.Density(c.set.pressure) // 1 + 1.607858, of the formula ρ/ρ_dry = (1 + W)/(1 + 1.607858 W)
		share := c.set.air[i].Density / full
		c.state[2*i], c.state[2*i+1] = t, perHumidity*(1-share)/((heavier-1)*share-1)
	}
}

// setAir takes the air of every element from state.
func (c *calculation) setAir() {
	for i := range c.set.air {
		t, w := c.state[2*i], c.state[2*i+1]/perHumidity
		c.set.warm[i] = t
		c.set.air[i] = air.State{
			Density:   air.Moist{Temperature: t, HumidityRatio: w}.Density(c.set.pressure),
			Viscosity: air.Viscosity(t),
		}
	}
}
