package sheet

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"spillway/render/chart"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// mostCurves is how many call states a chart can show apart.
const mostCurves = 6

// SweepFigure is the chart of one check ("external static") or measure ("surplus") over the range of a sweep of one setting, a curve for
// each call state, those that go highest first; limits are shaded. false when the sweep has no such number.
func SweepFigure(head *Sheet, s *study.Sweep, name string) (*chart.Figure, bool) {
	if len(s.Spans) != 1 {
		return nil, false
	}
	m := tradeOf(head.Units)
	var lines []study.Series
	for _, from := range [][]study.Series{s.Checks, s.Series} {
		for _, l := range from {
			if l.Name == name {
				lines = append(lines, l)
			}
		}
		if len(lines) > 0 {
			break
		}
	}
	if len(lines) == 0 {
		return nil, false
	}
	slices.SortStableFunc(lines, func(a, b study.Series) int { return cmp.Compare(highest(b.Y), highest(a.Y)) })
	unit := m.forQuantity(lines[0].Quantity)
	setting := clean(s.Spans[0].Path)
	if u := s.Spans[0].Unit(); u != "" {
		setting += ", " + u
	}
	f := chart.Sweep{Title: name + ", " + clean(head.title()), Setting: setting, Label: name + ", " + unit.label, At: lines[0].X, Now: math.NaN()}
	var limits []study.Limit
	for i, l := range lines {
		for _, limit := range l.Limits {
			if !slices.Contains(limits, limit) {
				limits = append(limits, limit)
			}
		}
		if i >= mostCurves {
			continue
		}
		c := chart.SweepCurve{Name: clean(l.State)}
		if l.Where != "" {
			c.Name = clean(l.Where) + ", " + c.Name
		}
		for _, y := range l.Y {
			c.Values = append(c.Values, unit.paper(y))
		}
		f.Curves = append(f.Curves, c)
	}
	for _, limit := range limits {
		level := chart.Caution
		if limit.Level == verdict.Fault {
			level = chart.Fault
		}
		f.Limits = append(f.Limits, chart.SweepLimit{Value: unit.of(limit.Value), Below: !limit.Upper, Level: level, Text: unit.with(limit.Value)})
	}
	return f.Figure(), true
}

// drawn is a figure as SVG; nothing where there is none.
func drawn(f *chart.Figure, ok bool) (string, error) {
	if !ok {
		return "", nil
	}
	var b strings.Builder
	err := chart.Write(&b, f, chart.Options{})
	return b.String(), err
}

func highest(ys []float64) float64 {
	most := math.Inf(-1)
	for _, y := range ys {
		if y > most {
			most = y
		}
	}
	return most
}
