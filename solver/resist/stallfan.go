package resist

import (
	"errors"
	"fmt"

	"spillway/solver/air"
)

// Interval is a range of mass flow, kg/s.
type Interval struct{ Low, High float64 }

// StallFan is a blower whose pressure does not fall all the way: static is a function of flow, and may rise over part of
// it (the stall dip). Such a machine can have several operating points, so it is not an ordinary edge law: use Rise,
// Breaks and Rises with a method that looks at all of them. Where Rises is empty, Drop is a proper law.
//
// Static is a monotone-between-rows cubic over flow, continued beyond both ends in a straight line that falls (Pa
// against m³/s) at least as half the mean slope from the peak to the last row. Density enters as in Fan.
type StallFan struct {
	static    curve // Pa of standard air over m³/s
	lowSlope  float64
	highSlope float64
	watts     curve
	hasWatts  bool
	density   float64
	scale     float64
}

// NewStallFan fits a table with distinct flows whose last row lies below its peak.
func NewStallFan(table FanTable, density float64) (*StallFan, error) {
	if err := table.checkNumbers(); err != nil {
		return nil, err
	}
	in := inputs{element: "fan"}
	in.positive("air density", density)
	if in.err != nil {
		return nil, in.err
	}
	rows := table.sorted(func(r FanRow) float64 { return r.Flow })
	flows, statics, watts := make([]float64, len(rows)), make([]float64, len(rows)), make([]float64, len(rows))
	var problems []error
	peak := 0
	for i, row := range rows {
		flows[i], statics[i], watts[i] = row.Flow, row.Static, row.Watts
		if i > 0 && row.Flow == rows[i-1].Flow {
			problems = append(problems, fmt.Errorf("fan table: rows %d and %d have the same flow, %g m³/s", rows[i-1].number, row.number, row.Flow))
		}
		if row.Static > statics[peak] {
			peak = i
		}
	}
	last := len(rows) - 1
	if statics[last] >= statics[peak] {
		problems = append(problems, fmt.Errorf("fan table: row %d, the greatest flow, must have less static than the peak", rows[last].number))
	}
	if err := errors.Join(problems...); err != nil {
		return nil, err
	}
	f := &StallFan{
		static: fitCurve(flows, statics), watts: fitCurve(flows, watts), hasWatts: table.hasWatts(),
		density: density, scale: density / air.StandardDensity,
	}
	least := (statics[last] - statics[peak]) / (flows[last] - flows[peak]) / 2
	f.lowSlope = min(f.static.lowM, least)
	f.highSlope = min(f.static.topM, least)
	return f, nil
}

// Rise is the pressure added at a mass flow, Pa, and its derivative, which is positive on the pieces that Rises lists.
func (f *StallFan) Rise(q float64) (rise, slope float64) {
	volume := q / f.density
	x := f.static.x
	first, last := x[0], x[len(x)-1]
	var s, m float64
	switch {
	case volume < first:
		s, m = f.static.c[0][0]+f.lowSlope*(volume-first), f.lowSlope
	case volume > last:
		s, _ = f.static.at(last)
		s, m = s+f.highSlope*(volume-last), f.highSlope
	default:
		s, m = f.static.at(volume)
	}
	return s * f.scale, m * f.scale / f.density
}

// Drop is minus Rise. It satisfies flow.Law only if Rises is empty.
func (f *StallFan) Drop(q float64) (drop, slope float64) {
	rise, m := f.Rise(q)
	return -rise, -m
}

// Breaks lists the mass flows of the rows, rising: between two neighbours the curve is monotone.
func (f *StallFan) Breaks() []float64 {
	breaks := make([]float64, len(f.static.x))
	for i, x := range f.static.x {
		breaks[i] = x * f.density
	}
	return breaks
}

// Rises lists the ranges of mass flow over which pressure does not fall, in order, neighbours joined. Empty means a
// normal fan.
func (f *StallFan) Rises() []Interval {
	var rises []Interval
	breaks := f.Breaks()
	for i := 1; i < len(breaks); i++ {
		before := f.static.c[i-1]
		if after := before[0] + before[1] + before[2] + before[3]; after < before[0] {
			continue
		}
		if n := len(rises); n > 0 && rises[n-1].High == breaks[i-1] {
			rises[n-1].High = breaks[i]
		} else {
			rises = append(rises, Interval{Low: breaks[i-1], High: breaks[i]})
		}
	}
	return rises
}

// OffTable tells whether a mass flow lies beyond the rows of the table.
func (f *StallFan) OffTable(q float64) bool {
	volume, x := q/f.density, f.static.x
	return volume < x[0] || volume > x[len(x)-1]
}

// Watts as for Fan.
func (f *StallFan) Watts(q float64) (watts float64, known bool) {
	return f.watts.held(q/f.density) * f.scale, f.hasWatts
}
