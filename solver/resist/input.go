package resist

import (
	"fmt"
	"math"

	"spillway/solver/air"
)

// inputs gathers the first complaint about the numbers a constructor is given, so that a constructor reads as a list of
// what it requires.
type inputs struct {
	element string
	err     error
}

func (in *inputs) complain(format string, args ...any) {
	if in.err == nil {
		in.err = fmt.Errorf(in.element+": "+format, args...)
	}
}

func (in *inputs) positive(name string, value float64) {
	if !(value > 0) || math.IsInf(value, 0) {
		in.complain("%s must be positive and finite, not %g", name, value)
	}
}

func (in *inputs) notNegative(name string, value float64) {
	if !(value >= 0) || math.IsInf(value, 0) {
		in.complain("%s must be zero or more and finite, not %g", name, value)
	}
}

func (in *inputs) within(name string, value, low, high float64) {
	if !(value >= low && value <= high) {
		in.complain("%s must lie between %g and %g, not %g", name, low, high, value)
	}
}

func (in *inputs) state(s air.State) {
	in.positive("air density", s.Density)
	in.positive("air viscosity", s.Viscosity)
}
