package chart

import (
	"fmt"
	"math"

	"spillway/network/units"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// OfStudy makes the chart of one number of a sweep, with a curve for each call state that it is given for, and the limits it is held
// against. setting is the label of the setting that moved, now where it stands in the file (NaN: nowhere). nil without a series.
func OfStudy(series []study.Series, setting string, now float64, sys units.System) *Figure {
	if len(series) == 0 {
		return nil
	}
	first := series[0]
	convert, unit := quantity(first.Quantity, sys)
	s := Sweep{Title: first.Name, Setting: setting, Label: unit, At: first.X, Now: now}
	if first.Where != "" {
		s.Title += ", " + first.Where
	}
	seen := map[SweepLimit]bool{}
	for _, line := range series {
		c := SweepCurve{Name: line.State}
		for _, y := range line.Y {
			c.Values = append(c.Values, convert(y))
		}
		s.Curves = append(s.Curves, c)
		for _, l := range line.Limits {
			limit := SweepLimit{Value: convert(l.Value), Below: !l.Upper, Level: Caution}
			if l.Level == verdict.Fault {
				limit.Level = Fault
			}
			limit.Text = fmt.Sprintf("limit %s", number(limit.Value, decimalsOf(math.Max(math.Abs(limit.Value)/100, 1e-3))))
			if !seen[limit] {
				seen[limit] = true
				s.Limits = append(s.Limits, limit)
			}
		}
	}
	return s.Figure()
}

// quantity is how the values of a finding or measure stand on paper.
func quantity(q verdict.Quantity, sys units.System) (func(float64) float64, string) {
	p := paper{sys}
	scaled := func(factor float64) func(float64) float64 { return func(v float64) float64 { return v / factor } }
	ip := sys == units.IP
	switch q {
	case verdict.Pressure:
		return p.pressure, p.pressureUnit()
	case verdict.Airflow:
		return p.flow, p.flowUnit()
	case verdict.Temperature:
		return p.temperature, p.temperatureUnit()
	case verdict.Fraction:
		return scaled(0.01), "%"
	case study.Power:
		return scaled(1), "W"
	case study.Duration:
		return scaled(60), "minutes"
	case verdict.Velocity:
		if ip {
			return scaled(units.FPM), "fpm"
		}
		return scaled(1), "m/s"
	case verdict.Span:
		if ip {
			return scaled(units.FahrenheitDeg), "°F"
		}
		return scaled(1), "K"
	case study.Rate:
		if ip {
			return scaled(units.FahrenheitDeg / 3600), "°F/h"
		}
		return scaled(1. / 3600), "K/h"
	case verdict.FlowPerHeat:
		if ip {
			return scaled(units.CFM / units.TonOfCooling), "cfm per ton"
		}
		return scaled(units.LitrePerS / 1000), "l/s per kW"
	case verdict.PowerPerFlow:
		if ip {
			return scaled(1 / units.CFM), "W per cfm"
		}
		return scaled(1 / units.LitrePerS), "W per l/s"
	}
	return scaled(1), ""
}
