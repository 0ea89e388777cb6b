package study

import (
	"cmp"
	"math"
	"slices"

	"spillway/solver/verdict"
)

// Comparison sets alternatives of a job side by side.
type Comparison struct {
	Results []*Result // the job as it stands first, unless it was not asked for
	Reports []*Report // parallel to Results
	// Lines are the measures, each with its worst value per alternative. What has no better or worse has its largest.
	Lines []Line
	// States are the call states, the worst first: by faults, then cautions, then how far beyond the limits, over all alternatives.
	States []string
	// Ranks orders the alternatives, best first: indices into Results.
	Ranks []int
	// Counts of findings per alternative.
	Faults, Cautions []int
}

// Line is one measure over the alternatives.
type Line struct {
	Measure Measure
	Cells   []Cell
}

// Cell is the worst value of a measure in one alternative, and the call state it comes from; State is "" and Value NaN when it
// applies to none.
type Cell struct {
	Value float64
	State string
}

// compared are the measures that a comparison shows, in its order.
var compared = [...]string{"surplus", "external static", "blower airflow", "blower power", "recirculated", "leaving air", "below limit", "time to limit",
	"frost margin", "worst drift", "fastest register", "loudest register", "delivered share", "extra into calling zones", "bleed", "bypass", "dump", "leakage"}

// Compare solves variants and sets them side by side.
func (s *Study) Compare(variants []Variant) (*Comparison, error) {
	results, err := s.SolveAll(variants)
	if err != nil {
		return nil, err
	}
	c := &Comparison{Results: results}
	for _, r := range results {
		p, err := newReport(r)
		if err != nil {
			return nil, err
		}
		c.Reports = append(c.Reports, p)
		c.Faults, c.Cautions = append(c.Faults, p.count(verdict.Fault)), append(c.Cautions, p.count(verdict.Caution))
	}
	c.lines()
	c.states()
	c.ranks()
	return c, nil
}

// lines gathers the measures by name and place: alternatives may have different bypasses and dumps.
func (c *Comparison) lines() {
	type id struct{ name, where string }
	at := map[id]bool{}
	for _, name := range compared {
		for _, p := range c.Reports {
			for _, m := range p.Measures {
				if m.Name != name || at[id{m.Name, m.Where}] {
					continue
				}
				at[id{m.Name, m.Where}] = true
				line := Line{Measure: m, Cells: make([]Cell, len(c.Reports))}
				any := false
				for k, q := range c.Reports {
					line.Cells[k] = q.worst(m)
					any = any || line.Cells[k].State != ""
				}
				if any {
					c.Lines = append(c.Lines, line)
				}
			}
		}
	}
}

// worst is the worst value of a measure over the call states.
func (p *Report) worst(m Measure) Cell {
	cell := Cell{Value: math.NaN()}
	for i := range p.States {
		v := p.Value(i, m.Name, m.Where)
		switch {
		case math.IsNaN(v):
		case cell.State == "", m.More && v < cell.Value, !m.More && v > cell.Value:
			cell = Cell{Value: v, State: p.States[i].State.Name}
		}
	}
	return cell
}

// states sorts the call states.
func (c *Comparison) states() {
	type burden struct {
		faults, cautions int
		beyond           float64
	}
	weight := map[string]burden{}
	for _, p := range c.Reports {
		for i := range p.States {
			name := p.States[i].State.Name
			b, seen := weight[name]
			if !seen {
				c.States = append(c.States, name)
			}
			for _, f := range p.States[i].Findings {
				switch f.Level {
				case verdict.Fault:
					b.faults++
					b.beyond += f.Excess()
				case verdict.Caution:
					b.cautions++
				}
			}
			weight[name] = b
		}
	}
	slices.SortStableFunc(c.States, func(x, y string) int {
		a, b := weight[x], weight[y]
		return cmp.Or(cmp.Compare(b.faults, a.faults), cmp.Compare(b.cautions, a.cautions), cmp.Compare(b.beyond, a.beyond))
	})
}

// ranks orders the alternatives by faults, then how far beyond the limits, then cautions.
func (c *Comparison) ranks() {
	beyond := make([]float64, len(c.Reports))
	for k, p := range c.Reports {
		c.Ranks = append(c.Ranks, k)
		for _, f := range p.Faults(false) {
			beyond[k] += f.Finding.Excess()
		}
	}
	slices.SortStableFunc(c.Ranks, func(a, b int) int {
		return cmp.Or(cmp.Compare(c.Faults[a], c.Faults[b]), cmp.Compare(c.Cautions[a], c.Cautions[b]), cmp.Compare(beyond[a], beyond[b]))
	})
}

// Worst is the worst fault of an alternative, else its worst caution; false when all is in order.
func (c *Comparison) Worst(k int) (Fault, bool) {
	for _, caution := range []bool{false, true} {
		var worst Fault
		found := false
		for _, f := range c.Reports[k].Faults(caution) {
			if !found || f.Finding.Excess() > worst.Finding.Excess() {
				worst, found = f, true
			}
		}
		if found {
			return worst, true
		}
	}
	return Fault{}, false
}
