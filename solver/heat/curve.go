package heat

import "math"

// Biquadratic is z = A + B x + C x² + D y + E y² + F x y.
type Biquadratic struct{ A, B, C, D, E, F float64 }

// At evaluates the polynomial.
func (p Biquadratic) At(x, y float64) float64 {
	return p.A + x*(p.B+p.C*x+p.F*y) + y*(p.D+p.E*y)
}

// vertex is the x at which the polynomial turns for a given y (the least when C > 0).
func (p Biquadratic) vertex(y float64) float64 { return -(p.B + p.F*y) / (2 * p.C) }

// Quadratic is z = A + B x + C x².
type Quadratic struct{ A, B, C float64 }

// At evaluates the polynomial.
func (p Quadratic) At(x float64) float64 { return p.A + x*(p.B+p.C*x) }

// Range of a curve's argument, in the curve's own unit.
type Range struct{ Low, High float64 }

// Contains reports whether x lies in the range.
func (r Range) Contains(x float64) bool { return x >= r.Low && x <= r.High }

// CoolingCurve is a published fit of total capacity and energy input ratio (EIR, electric power over capacity) of a
// direct-expansion cooling unit:
//
//	capacity = rated · Capacity(EWB, ODB) · CapacityFlow(ff)
//	EIR      = rated · EIR(EWB, ODB) · EIRFlow(ff)
//
// of entering wet bulb, outdoor dry bulb and airflow over rated airflow.
type CoolingCurve struct {
	Name, Source string
	// Fahrenheit: the coefficients take °F; otherwise °C.
	Fahrenheit                     bool
	Capacity, EIR                  Biquadratic
	CapacityFlow, EIRFlow          Quadratic
	WetBulb, Outdoor, FlowFraction Range // for which the fit is stated to hold
	// RangeIsOurs: the source's own range was not seen; the one given is an assumption.
	RangeIsOurs bool
}

// Factor is one evaluation of a CoolingCurve.
type Factor struct {
	Capacity, EIR float64
	// Clamped: the wet bulb lay below the point where the capacity polynomial turns and would rise again as the air gets
	// colder, which no machine does; the factor is the one at the turning point.
	Clamped bool
	// Outside: an argument lay outside the range the fit is stated for.
	Outside bool
}

// At evaluates the curve at an entering wet bulb and outdoor temperature, °C, and airflow over rated airflow.
func (c *CoolingCurve) At(wetBulb, outdoor, flowFraction float64) Factor {
	w, o := wetBulb, outdoor
	if c.Fahrenheit {
		w, o = wetBulb*1.8+32, outdoor*1.8+32
	}
	f := Factor{Outside: !c.WetBulb.Contains(w) || !c.Outdoor.Contains(o) || !c.FlowFraction.Contains(flowFraction)}
	if turn := c.Capacity.vertex(o); c.Capacity.C > 0 && w < turn {
		w, f.Clamped = turn, true
	}
	f.Capacity = c.Capacity.At(w, o) * c.flow(c.CapacityFlow, flowFraction)
	f.EIR = c.EIR.At(w, o) * c.EIRFlow.At(flowFraction)
	return f
}

// flow is a flow modifier that does not fall again past its top (the polynomial's turn is an artefact of the fit).
func (c *CoolingCurve) flow(p Quadratic, ff float64) float64 {
	if p.C < 0 {
		ff = math.Min(ff, -p.B/(2*p.C))
	}
	return p.At(ff)
}

// GenericCurve is the older generic curve set of packaged units with stated bounds. It keeps falling with the wet bulb
// down to −6.7 °C, where air cooled by a bypass lies, and is the default for that reason.
//
// Source: generic packaged-unit direct-expansion curve set, met in four places alike (second-hand). Bounds
// 12.78–23.89 °C wet bulb, 18–46.11 °C outdoors, airflow 0.5–1.5 of rated (one copy: 0.875–1.125).
func GenericCurve() *CoolingCurve {
	return &CoolingCurve{
		Name:         "generic packaged unit",
		Source:       "generic packaged-unit direct-expansion curve set (second-hand, four copies)",
		Capacity:     Biquadratic{0.942587793, 0.009543347, 0.00068377, -0.011042676, 0.000005249, -0.00000972},
		EIR:          Biquadratic{0.342414409, 0.034885008, -0.0006237, 0.004977216, 0.000437951, -0.000728028},
		CapacityFlow: Quadratic{0.8, 0.2, 0},
		EIRFlow:      Quadratic{1.1552, -0.1808, 0.0256},
		WetBulb:      Range{12.78, 23.89}, Outdoor: Range{18, 46.11}, FlowFraction: Range{0.5, 1.5},
	}
}

const nrel = "NREL/TP-5500-56354 (Cutler, Winkler, Kruis, Christensen, Brandemuehl 2013; second-hand)"

// The ranges of the fits below were not seen. The wet bulbs are those of ordinary expanded rating tables (from memory);
// outdoors and airflow are our assumption.
func nrelCurve(name string, capacity, eir Biquadratic, capacityFlow, eirFlow Quadratic) *CoolingCurve {
	return &CoolingCurve{Name: name, Source: nrel, Fahrenheit: true,
		Capacity: capacity, EIR: eir, CapacityFlow: capacityFlow, EIRFlow: eirFlow,
		WetBulb: Range{57, 72}, Outdoor: Range{65, 115}, FlowFraction: Range{0.5, 1.5}, RangeIsOurs: true}
}

// SingleSpeedCurve is the fit for single-speed air conditioners: the second estimate. Below about 58 °F wet bulb its
// polynomial turns up again and is clamped. As fitted, not normalised: the factor at the rating point is 0.994.
//
// Source: NREL/TP-5500-56354 (2013), tables 8 and following, second-hand: the report itself was not seen.
func SingleSpeedCurve() *CoolingCurve {
	return nrelCurve("single-speed air conditioner",
		Biquadratic{3.670270705, -0.098652414, 0.000955906, 0.006552414, -0.0000156, -0.000131877},
		Biquadratic{-3.302695861, 0.137871531, -0.001056996, -0.012573945, 0.000214638, -0.000145054},
		Quadratic{0.718605468, 0.410099989, -0.128705457},
		Quadratic{1.32299905, -0.477711207, 0.154712157})
}
