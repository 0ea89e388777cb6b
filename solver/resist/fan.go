package resist

import (
	"math"

	"spillway/solver/air"
)

// LeastDroop is the least flow a blower loses per Pa of static, m³/s per Pa: 1 CFM per 0.1 in.w.c. A blower that holds
// its airflow has a table that is level or nearly so; this droop keeps its law a function with a finite slope (about
// 53 000 Pa per m³/s). Our choice, of the size of the droop such tables usually show.
const LeastDroop = 4.719474e-4 / 24.9089

// Fan is a blower at one speed tap, known by its table.
//
// Flow is interpolated as a function of static, the direction in which both a steep constant-torque table and a nearly
// vertical constant-airflow table are well conditioned,
//
//	Q(s) = R(s) − LeastDroop·s
//
// with R a monotone cubic through the table's flows with the droop added back, so that dQ/ds ≤ −LeastDroop everywhere.
// A table flatter than the droop is lowered to it (Drooped counts the rows). Beyond both ends Q goes on in a straight
// line with the end slope; OffTable says so. Drop is the inverse, solved to round-off,
//
//	Δp = −s(Q) ρ/ρ_s,   Q = q/ρ
//
// ρ the density at the inlet and ρ_s standard air: at a fixed speed the volume flow is unchanged and pressure and power
// go with density (fan laws; common practice). The rated static rise is taken as a rise of total pressure, exact where
// the blower sits between plenums with slow air; where it does not, the caller adds the velocity pressures.
type Fan struct {
	table   *fanCurve
	density float64
	scale   float64 // ρ/ρ_s
}

// fanCurve is what fans of the same tap at different densities share.
type fanCurve struct {
	flow     curve     // tilted flow R over static
	flows    []float64 // Q at the knots, falling
	lowSlope float64   // dQ/ds below the first static
	topSlope float64   // dQ/ds above the last
	watts    curve
	hasWatts bool
	drooped  int
}

// NewFan fits a table that passes FanTable.Check, for air of a density (kg/m³) at the blower's inlet.
func NewFan(table FanTable, density float64) (Fan, error) {
	if err := table.Check(); err != nil {
		return Fan{}, err
	}
	in := inputs{element: "fan"}
	in.positive("air density", density)
	if in.err != nil {
		return Fan{}, in.err
	}
	rows := table.sorted(func(r FanRow) float64 { return r.Static })
	n := len(rows)
	f := &fanCurve{flows: make([]float64, n), hasWatts: table.hasWatts()}
	statics, tilted, watts := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, row := range rows {
		statics[i], watts[i] = row.Static, row.Watts
		tilted[i] = row.Flow + LeastDroop*row.Static
		if i > 0 && tilted[i] > tilted[i-1] {
			tilted[i] = tilted[i-1]
			f.drooped++
		}
		f.flows[i] = tilted[i] - LeastDroop*statics[i]
	}
	f.flow = fitCurve(statics, tilted)
	f.watts = fitCurve(statics, watts)
	// The fitted end slope can vanish on a table that bends sharply at its end; half the last secant is the least slope
	// to go on with.
	secant := func(i int) float64 { return (tilted[i+1] - tilted[i]) / (statics[i+1] - statics[i]) }
	f.lowSlope = min(f.flow.lowM, secant(0)/2) - LeastDroop
	f.topSlope = min(f.flow.topM, secant(n-2)/2) - LeastDroop
	return Fan{table: f, density: density, scale: density / air.StandardDensity}, nil
}

// At returns the same fan in air of another density (kg/m³).
func (f Fan) At(density float64) Fan {
	return Fan{table: f.table, density: density, scale: density / air.StandardDensity}
}

// Drop implements flow.Law; it is negative while the fan pushes.
func (f Fan) Drop(q float64) (drop, slope float64) {
	static, dFlow := f.table.invert(q / f.density)
	return -static * f.scale, -f.scale / (dFlow * f.density)
}

// Rise is the pressure added at a mass flow, Pa, and its derivative (negative).
func (f Fan) Rise(q float64) (rise, slope float64) {
	drop, slope := f.Drop(q)
	return -drop, -slope
}

// FlowAt is the mass flow (kg/s) against a rise (Pa): the table the way it was given.
func (f Fan) FlowAt(rise float64) float64 { return f.density * f.table.at(rise/f.scale) }

// OffTable tells whether a mass flow lies beyond the rows of the table.
func (f Fan) OffTable(q float64) bool {
	volume, flows := q/f.density, f.table.flows
	return volume > flows[0] || volume < flows[len(flows)-1]
}

// Drooped is the number of rows that had to be lowered to LeastDroop.
func (f Fan) Drooped() int { return f.table.drooped }

// Watts is the electrical input at a mass flow, scaled with density; off the table the end values hold. known is false
// when the table has no power column.
func (f Fan) Watts(q float64) (watts float64, known bool) {
	if !f.table.hasWatts {
		return 0, false
	}
	static, _ := f.table.invert(q / f.density)
	return f.table.watts.held(static) * f.scale, true
}

// at is Q(s) with its straight continuations.
func (f *fanCurve) at(static float64) float64 {
	first, last := f.flow.x[0], f.flow.x[len(f.flow.x)-1]
	switch {
	case static <= first:
		return f.flows[0] + f.lowSlope*(static-first)
	case static >= last:
		return f.flows[len(f.flows)-1] + f.topSlope*(static-last)
	}
	r, _ := f.flow.at(static)
	return r - LeastDroop*static
}

// invert returns the static s with Q(s) = volume and dQ/ds there.
func (f *fanCurve) invert(volume float64) (static, dFlow float64) {
	last := len(f.flows) - 1
	if volume >= f.flows[0] {
		return f.flow.x[0] + (volume-f.flows[0])/f.lowSlope, f.lowSlope
	}
	if volume <= f.flows[last] {
		return f.flow.x[last] + (volume-f.flows[last])/f.topSlope, f.topSlope
	}
	i := 0
	for volume < f.flows[i+1] {
		i++
	}
	start := f.flow.x[i]
	h := f.flow.x[i+1] - start
	c := f.flow.c[i]
	// The cubic of Q itself, shifted so that its root is wanted.
	c0, c1, c2, c3 := f.flows[i]-volume, c[1]-LeastDroop*h, c[2], c[3]
	t := (f.flows[i] - volume) / (f.flows[i] - f.flows[i+1])
	low, high := 0.0, 1.0
	for range 60 {
		miss := c0 + t*(c1+t*(c2+t*c3))
		if miss > 0 { // falls with t: the root lies beyond
			low = t
		} else {
			high = t
		}
		next := t - miss/(c1+t*(2*c2+t*3*c3))
		if !(next >= low && next <= high) {
			next = (low + high) / 2
		}
		done := math.Abs(next-t) <= 2e-16
		t = next
		if done {
			break
		}
	}
	return start + t*h, (c1 + t*(2*c2+t*3*c3)) / h
}
