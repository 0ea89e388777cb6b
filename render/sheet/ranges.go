package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
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

// rangesLine says in one sentence how many formulas of ducts and coil are outside the range of their source and what that can do; "" where none is.
func rangesLine(o *state.Outcome, s quantity.System) string {
	groups := rangeGroups(o)
	if len(groups) == 0 {
		return ""
	}
	places, matter := 0, 0
	var worst *state.Stretch
	for _, g := range groups {
		places += len(g.places)
		for _, at := range g.places {
			if verdict.Matters(o, at) {
				matter++
			}
			if !math.IsNaN(at.Airflow) && (worst == nil || at.Airflow > worst.Airflow) {
				worst = at
			}
		}
	}
	text := plural(len(groups), "formula is", "formulas are") + " used outside the range of their source, at " + plural(places, "place", "places")
	if len(groups) == 1 {
		text = strings.Replace(text, "their source", "its source", 1)
	}
	switch {
	case worst != nil && worst.Airflow/quantity.KindAirflow.Factor(s) < 0.5:
		text += "; none moves an airflow by as much as 1 " + quantity.KindAirflow.Label(s)
	case worst != nil:
		text += "; none moves an airflow by more than some " + doc.With(quantity.KindAirflow, worst.Airflow).Text(s) + " (" + clean(worst.Where) + ")"
	}
	if matter > 0 {
		text += "; what matters is among the findings"
	}
	return text
}

// rangeWords is one formula with its quantity, range, what was done, what it can move, and the places.
func rangeWords(g *rangeGroup, sys quantity.System) string {
	const named = 6
	s := g.places[0]
	low, unit := bound(s.Low, s.Unit, sys)
	high, _ := bound(s.High, s.Unit, sys)
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
	case g.moves/quantity.KindAirflow.Factor(sys) < 0.5:
		text += ", moves less than 1 " + quantity.KindAirflow.Label(sys)
	default:
		text += ", moves at most some " + doc.With(quantity.KindAirflow, g.moves).Text(sys)
	}
	var places []string
	for i, s := range g.places {
		if i == named {
			places = append(places, fmt.Sprintf("%d more", len(g.places)-named))
			break
		}
		value, unit := bound(s.Value, s.Unit, sys)
		places = append(places, clean(s.Where)+" "+value+unit)
	}
	return text + "; " + strings.Join(places, ", ")
}

// bound is a value of a range in the units that are printed, and its unit behind a space.
func bound(value float64, unit string, s quantity.System) (text, behind string) {
	switch unit {
	case "°C":
		value, behind = quantity.KindTemperature.In(value, s), " "+quantity.KindTemperature.Label(s)
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
