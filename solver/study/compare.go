package study

import (
	"cmp"
	"math"
	"slices"

	"spillway/solver/digest"
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
	// Ranks orders the alternatives, best first: indices into Results. They are judged in Shared
	// alone, the call states that all of them have, by their causes: what is at fault, the gravest
	// class first, then what wants caution of the hard classes, then the rest.
	Ranks  []int
	Shared []string         // in the order of Causes' states
	Causes []*digest.Digest // parallel to Results, in the shared call states
	// Same is, for each alternative, an earlier one from which no measure of any call state
	// differs; -1 for one that changes something.
	Same []int
	// Counts of findings per alternative.
	Faults, Cautions []int

	keys [][]float64 // what Ranks goes by
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
	c.same()
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

// ranks orders the alternatives by what is behind their findings in the call states that all of
// them have.
func (c *Comparison) ranks() {
	in := map[string]int{}
	for _, r := range c.Results {
		for _, o := range r.Outcomes {
			in[o.State.Name]++
		}
	}
	keys := make([][]float64, len(c.Results))
	for k, r := range c.Results {
		var reports []digest.Report
		for i, o := range r.Outcomes {
			if in[o.State.Name] == len(c.Results) {
				reports = append(reports, digest.Report{Outcome: o, Findings: r.Findings[i]})
			}
		}
		houses := c.Reports[k].Houses
		if len(reports) < len(r.Outcomes) {
			houses = nil // they are of all call states of a weather
		}
		if k == 0 {
			for _, r := range reports {
				c.Shared = append(c.Shared, r.Outcome.State.Name)
			}
		}
		c.Causes = append(c.Causes, digest.Of(reports, houses))
		c.Ranks, keys[k] = append(c.Ranks, k), burdenOf(c.Causes[k])
	}
	slices.SortStableFunc(c.Ranks, func(a, b int) int { return slices.Compare(keys[a], keys[b]) })
	c.keys = keys
}

// Tie reports whether nothing tells two alternatives apart by rank.
func (c *Comparison) Tie(a, b int) bool { return slices.Equal(c.keys[a], c.keys[b]) }

// burdenOf is what an alternative is ranked by, the gravest first: causes at fault by class, those
// of the hard classes by their harm in halves (a static a little over the rating is less than a
// furnace fed with hot air), causes for caution of the hard classes, all causes for caution,
// findings behind all of them.
func burdenOf(d *digest.Digest) []float64 {
	classes := []verdict.Class{verdict.SafetyClass, verdict.Equipment, verdict.Code, verdict.Zoning,
		verdict.Comfort, verdict.Guideline, verdict.Rule}
	key := make([]float64, len(classes)+3)
	for i := range d.Causes {
		cause := &d.Causes[i]
		key[len(key)-1] += float64(len(cause.Members))
		switch at := slices.Index(classes, cause.Class); {
		case cause.Level == verdict.Fault && at >= 0 && cause.Class.Hard():
			key[at] += max(math.Round(2*cause.Weight())/2, 1)
		case cause.Level == verdict.Fault && at >= 0:
			key[at]++
		case cause.Class.Hard():
			key[len(classes)]++
			key[len(classes)+1]++
		default:
			key[len(classes)+1]++
		}
	}
	return key
}

// same finds the alternatives that change nothing.
func (c *Comparison) same() {
	for k, p := range c.Reports {
		c.Same = append(c.Same, slices.IndexFunc(c.Reports[:k],
			func(q *Report) bool { return alike(p, q) }))
	}
}

// alike reports whether no measure of any call state differs between two reports.
func alike(p, q *Report) bool {
	return slices.EqualFunc(p.Measures, q.Measures, func(a, b Measure) bool {
		return a.Name == b.Name && a.Where == b.Where
	}) && slices.EqualFunc(p.States, q.States, func(a, b StateReport) bool {
		return a.State.Name == b.State.Name && slices.EqualFunc(a.Values, b.Values, func(x,
			y float64) bool {
			return x == y || x != x && y != y
		})
	})
}
