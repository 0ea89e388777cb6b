package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"spillway/network/quantity"
	"strconv"
	"strings"

	"spillway/solver/state"
	"spillway/solver/verdict"
)

// rangeGroup is one formula that is outside its range in one quantity, at all its places, the worst first.
type rangeGroup struct {
	places []*state.Stretch
	moves  float64 // m³/s, the most at any of them; NaN where no airflow hangs on it
}

// rangeGroups gathers the stretches of an outcome by formula and quantity, in the order in which they first occur.
func rangeGroups(o *state.Outcome) []rangeGroup {
	var groups []rangeGroup
	for i := range o.Stretches {
		s := &o.Stretches[i]
		k := slices.IndexFunc(groups, func(g rangeGroup) bool { return g.places[0].Range == s.Range })
		if k < 0 {
			k = len(groups)
			groups = append(groups, rangeGroup{moves: math.NaN()})
		}
		g := &groups[k]
		g.places = append(g.places, s)
		if !(s.Airflow <= g.moves) {
			g.moves = s.Airflow
		}
	}
	beyond := func(s *state.Stretch) float64 { return math.Max(s.Low-s.Value, s.Value-s.High) }
	for k := range groups {
		slices.SortStableFunc(groups[k].places, func(a, b *state.Stretch) int {
			if c := cmp.Compare(b.Airflow, a.Airflow); c != 0 && !math.IsNaN(a.Airflow+b.Airflow) {
				return c
			}
			return cmp.Compare(beyond(b), beyond(a))
		})
	}
	return groups
}

// RangesLine says in one sentence how many formulas of ducts and coil are outside the range of their source and what that can do; "" where none is.
func (p Printer) RangesLine(o *state.Outcome) string {
	groups := rangeGroups(o)
	if len(groups) == 0 {
		return ""
	}
	places, matter := 0, 0
	var worst *state.Stretch
	for _, g := range groups {
		places += len(g.places)
		for _, s := range g.places {
			if verdict.Matters(o, s) {
				matter++
			}
			if !math.IsNaN(s.Airflow) && (worst == nil || s.Airflow > worst.Airflow) {
				worst = s
			}
		}
	}
	text := plural(len(groups), "formula is", "formulas are") + " used outside the range of their source, at " + plural(places, "place", "places")
	if len(groups) == 1 {
		text = strings.Replace(text, "their source", "its source", 1)
	}
	switch {
	case worst != nil && worst.Airflow/p.m.airflow.factor() < 0.5:
		text += "; none moves an airflow by as much as 1 " + p.m.airflow.label
	case worst != nil:
		text += "; none moves an airflow by more than some " + p.m.airflow.with(worst.Airflow) + " (" + clean(worst.Where) + ")"
	}
	if matter > 0 {
		text += "; what matters is among the findings"
	}
	return text
}

// ranges writes RangesLine, or every formula with its places.
func ranges(b *strings.Builder, o *state.Outcome, style Style) {
	p := Printer{tradeOf(style.units)}
	line := p.RangesLine(o)
	switch {
	case line == "":
	case !style.Verbose:
		paragraph(b, 2, "ranges   ", line+"; --verbose lists them", style, faint)
	default:
		paragraph(b, 2, "ranges   ", line, style, faint)
		for _, g := range rangeGroups(o) {
			paragraph(b, 11, "- ", p.rangeWords(&g), style, faint)
		}
	}
}

// rangeWords is one formula with its quantity, range, what was done, what it can move, and the places.
func (p Printer) rangeWords(g *rangeGroup) string {
	const named = 6
	s := g.places[0]
	low, unit := p.bound(s.Low, s.Unit)
	high, _ := p.bound(s.High, s.Unit)
	how := "carried on beyond it"
	if s.Clamped {
		how = "held at its end"
	}
	span := low + " to " + high
	if s.High >= 1e6 {
		span = "from " + low + " up"
	}
	text := s.Quantity + ", " + span + unit + " in " + s.Of + ": " + how
	switch {
	case math.IsNaN(g.moves):
	case g.moves/p.m.airflow.factor() < 0.5:
		text += ", moves less than 1 " + p.m.airflow.label
	default:
		text += ", moves at most some " + p.m.airflow.with(g.moves)
	}
	var places []string
	for i, s := range g.places {
		if i == named {
			places = append(places, fmt.Sprintf("%d more", len(g.places)-named))
			break
		}
		value, unit := p.bound(s.Value, s.Unit)
		places = append(places, clean(s.Where)+" "+value+unit)
	}
	return text + "; " + strings.Join(places, ", ")
}

// bound is a value of a range in the units that are printed, and its unit behind a space.
func (p Printer) bound(value float64, unit string) (text, behind string) {
	switch unit {
	case "°C":
		value, behind = p.m.temperature.of(value), " "+p.m.temperature.label
	case "":
	case "°":
		behind = unit
	default:
		behind = " " + unit
	}
	if math.Abs(value) >= 1000 {
		return quantity.Grouped(strconv.FormatFloat(value, 'f', 0, 64)), behind
	}
	return strconv.FormatFloat(value, 'g', 3, 64), behind
}

// rangeList is the stretches of an outcome, one object each.
func rangeList(o *state.Outcome, m trade) list {
	out := make(list, len(o.Stretches))
	for i := range o.Stretches {
		s := &o.Stretches[i]
		convert, unit := func(x float64) float64 { return x }, s.Unit
		if unit == "°C" {
			convert, unit = m.temperature.of, m.temperature.plain
		}
		out[i] = object{
			{"element", o.Graph.Elements[s.Element].Name}, {"where", s.Where}, {"quantity", s.Quantity}, {"value", convert(s.Value)}, {"low", convert(s.Low)}, {"high", convert(s.High)},
			{"unit", unit}, {"formula", s.Of}, {"held", s.Clamped}, {"may_move" + m.airflow.key, m.airflow.of(s.Airflow)}, {"matters", verdict.Matters(o, s)},
		}
	}
	return out
}
