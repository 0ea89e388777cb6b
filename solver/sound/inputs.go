package sound

import (
	"fmt"
	"math"
)

// The largest and smallest inputs that are taken for numbers about air ducts rather than mistakes. They are far outside
// every formula's range and only keep results finite.
const (
	mostFlow     = 1e5  // m³/s
	mostPressure = 1e6  // Pa
	leastArea    = 1e-8 // m²
	mostArea     = 1e6  // m²
	leastLength  = 1e-5 // m
	mostLength   = 1e5  // m
)

// inputs gathers the first complaint about what a formula is given.
type inputs struct {
	of  string
	err error
}

func (in *inputs) within(name string, value, low, high float64, unit string) {
	if in.err == nil && !(value >= low && value <= high) {
		in.err = fmt.Errorf("sound of %s: %s must lie between %g and %g%s, not %g", in.of, name, low, high, unit, value)
	}
}

func (in *inputs) flow(q float64) { in.within("flow", math.Abs(q), 0, mostFlow, " m³/s") }
func (in *inputs) drop(p float64) { in.within("pressure drop", math.Abs(p), 0, mostPressure, " Pa") }
func (in *inputs) area(a float64) { in.within("area", a, leastArea, mostArea, " m²") }
func (in *inputs) finite(name string, s Spectrum) {
	if in.err == nil && !s.finite() {
		in.err = fmt.Errorf("sound of %s: %s must be finite levels, not %v", in.of, name, s)
	}
}

func (in *inputs) length(name string, l float64) {
	in.within(name, l, leastLength, mostLength, " m")
}

// log10 of a magnitude; at zero a number so low that the level it belongs to ends at Floor, instead of −Inf, which
// would turn products and differences of logarithms into NaN.
func log10(x float64) float64 {
	if x < 1e-30 {
		return -30
	}
	return math.Log10(x)
}
