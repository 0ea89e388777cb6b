package sheet

import (
	"math"
	"slices"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/state"
)

// ledgerOf is the ledger of an outcome, in its own order.
func ledgerOf(o *state.Outcome) *doc.Ledger {
	l := &doc.Ledger{Paths: make([]doc.Path, len(o.Ledger.Paths))}
	for i := range o.Ledger.Paths {
		p := &o.Ledger.Paths[i]
		name := p.Name()
		l.Paths[i] = doc.Path{Name: doc.Cell{Words: pathWords(*p)}, Airflow: p.Airflow, Wanted: p.Kind == state.PathWanted,
			Minor: p.Kind == state.PathCalling, Ask: name, AskPart: name + " share"}
	}
	return l
}

// accountOf is a ledger with the paths that its lines stand for.
type accountOf struct {
	*doc.Ledger
	paths []state.Path
}

func accounts(o *state.Outcome) accountOf { return accountOf{ledgerOf(o), o.Ledger.Paths} }

// sum is an airflow that the ledger has, as the lines that satisfy a condition.
func (a accountOf) sum(is func(p *state.Path) bool) doc.Cell {
	c := doc.Cell{Kind: quantity.KindAirflow, Form: doc.Number, Ledger: a.Ledger, Paths: []int{}}
	for i := range a.paths {
		if is(&a.paths[i]) {
			c.Paths = append(c.Paths, i)
			c.Value += a.paths[i].Airflow
		}
	}
	return c
}

func (a accountOf) blower() doc.Cell {
	return a.sum(func(*state.Path) bool { return true }).Asked("blower airflow")
}

func (a accountOf) surplus() doc.Cell {
	return a.sum(func(p *state.Path) bool { return p.Kind != state.PathWanted }).Asked("surplus")
}

func (a accountOf) kind(k state.PathKind) doc.Cell {
	return a.sum(func(p *state.Path) bool { return p.Kind == k })
}

// line is the airflow of one line.
func (a accountOf) line(i int) doc.Cell {
	return doc.Cell{Kind: quantity.KindAirflow, Form: doc.Number, Ledger: a.Ledger, Paths: []int{i}, Value: a.paths[i].Airflow}
}

// past is the airflow past a damper, as the ledger has it: what goes through it, or all that goes to the zone it serves.
func (a accountOf) past(damper int, o *state.Outcome) doc.Cell {
	d := &o.Dampers[damper]
	for i := range a.paths {
		if a.paths[i].Damper == damper && same(a.paths[i].Airflow, d.Airflow) {
			return a.line(i)
		}
	}
	return a.to(o.Graph.Elements[d.Element].Zone, d.Airflow)
}

// largest names the biggest line of the surplus.
func (a accountOf) largest(s quantity.System) doc.Cell {
	best, most := -1, int64(0)
	lines, _ := a.Whole(s)
	for i := range a.paths {
		if a.paths[i].Kind != state.PathWanted && lines[i] > most {
			best, most = i, lines[i]
		}
	}
	if best < 0 {
		return doc.None()
	}
	p := &a.paths[best]
	words := pathWords(*p)
	switch p.Kind {
	case state.PathCalling:
		words = "extra into " + clean(p.To)
	case state.PathLeakage:
		words = "leakage"
	}
	return doc.Cell{Spans: doc.Sayf("{} {}", a.line(best), doc.Cell{Words: words})}
}

// same reports whether two airflows are one, m³/s.
func same(a, b float64) bool { return math.Abs(a-b) <= 1e-6*quantity.KindAirflow.Factor(quantity.SI) }

// to is an airflow that goes to one place, as the ledger has it; rounded by itself if the ledger does not have it.
func (a accountOf) to(place string, airflow float64) doc.Cell {
	c := a.sum(func(p *state.Path) bool { return p.To == place })
	if len(c.Paths) > 0 && same(c.Value, airflow) {
		return c
	}
	return airflowCell(airflow)
}

// whole is the airflow of a cell of the ledger in whole units of a system.
func (a accountOf) whole(c doc.Cell, s quantity.System) (sum int64) {
	lines, _ := a.Whole(s)
	for _, i := range c.Paths {
		sum += lines[i]
	}
	return sum
}

// mostOfIt names the two biggest kinds of surplus.
func (a accountOf) mostOfIt(s quantity.System) doc.Cell {
	type part struct {
		cell  doc.Cell
		word  string
		whole int64
	}
	var parts []part
	for _, k := range kindWords {
		if c := a.kind(k.kind); a.whole(c, s) > 0 {
			parts = append(parts, part{c, k.word, a.whole(c, s)})
		}
	}
	slices.SortStableFunc(parts, func(a, b part) int { return int(b.whole - a.whole) })
	var words [][]doc.Span
	for _, p := range parts[:min(2, len(parts))] {
		words = append(words, doc.Sayf("{} "+p.word, p.cell))
	}
	if len(words) == 0 {
		return doc.Cell{Words: quantity.Absent}
	}
	return doc.Cell{Spans: doc.Join(words, ", ")}
}
