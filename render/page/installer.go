package page

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/diagnose"
)

// InstallerSheet is the page for the van: what to set, what to read afterwards, room for what was read.
type InstallerSheet struct {
	Settings []sheet.SettingTable
	Readings []ReadingTable
	Note     string
}

// ReadingTable is what should be read in a few call states.
type ReadingTable struct {
	States []string
	Rows   []ReadingRow
}

// ReadingRow is one place and what should be read there, parallel to the states.
type ReadingRow struct {
	Name, Unit string
	Expected   []ExpectedReading
}

// ExpectedReading is what should be read in a state.
type ExpectedReading struct {
	Value, Within string
	In, Why       string // the state's view, and the name under which the number can be explained there
}

// mostAcross is how many call states stand side by side in a table of readings, at most.
const mostAcross = 4

func newInstallerSheet(v *Variant, id string, sys quantity.System) *InstallerSheet {
	p := sheet.NewPrinter(sys)
	s := &InstallerSheet{Note: sheet.Tolerances + " " + readingNote,
		Settings: sheet.Settings(v.In.Graph(), sys)}
	expected, bare := expectations(v)
	tables := (len(v.Cases) + mostAcross - 1) / mostAcross
	across := (len(v.Cases) + tables - 1) / tables // as evenly as can be
	for from := 0; from < len(v.Cases); from += across {
		to := min(from+across, len(v.Cases))
		t := ReadingTable{}
		for i := from; i < to; i++ {
			name := sheet.Clean(v.Cases[i].Outcome.State.Name)
			if bare[i] {
				name += " (as drawn: some houses built from it would not come to rest in this state)"
			}
			t.States = append(t.States, name)
		}
		for k, q := range expected[from] {
			row := ReadingRow{Name: sheet.ReadingName(v.In.Graph(), &q.Query),
				Unit: p.ReadingUnit(q.Kind)}
			for i := from; i < to; i++ {
				e := &expected[i][k]
				r := ExpectedReading{In: fmt.Sprintf("%ss%d", id, i), Why: sheet.Clean(whyOf(v.In.Graph(), &e.Query))}
				r.Value, r.Within = p.Expected(e.Kind, e.Value, e.Tolerance)
				if math.IsNaN(e.Value) {
					r = ExpectedReading{Value: "-"}
				}
				row.Expected = append(row.Expected, r)
			}
			t.Rows = append(t.Rows, row)
		}
		s.Readings = append(s.Readings, t)
	}
	return s
}

const readingNote = "Let each call run until pressures stand still; with a bypass or a dump, until temperatures do. Static is against the house, " +
	"read away from bends, dampers and take-offs. Expected values are a model's. Do not re-set equipment on a difference smaller than the tolerance."

// expectations are what should be read in every call state, with tolerances from the spread of what is built and of the instrument. In a
// state in which a house somewhat otherwise built would not solve, they are the outcome's own and the tolerance is that of the
// instrument alone: bare says so.
func expectations(v *Variant) (expected [][]diagnose.Expectation, bare []bool) {
	g := v.In.Graph()
	plans := make([][]diagnose.Query, len(v.Cases))
	var all []diagnose.Query
	for i, c := range v.Cases {
		plans[i] = diagnose.Commissioning(g, c.Outcome.State)
		all = append(all, plans[i]...)
	}
	expected, bare = make([][]diagnose.Expectation, len(v.Cases)), make([]bool, len(v.Cases))
	if list, err := diagnose.Expect(g, all); err == nil { // all at once share their plan
		for i := range plans {
			expected[i], list = list[:len(plans[i])], list[len(plans[i]):]
		}
		return expected, bare
	}
	trial.Each(len(v.Cases), func(i int) {
		list, err := diagnose.Expect(g, plans[i])
		if bare[i] = err != nil; !bare[i] {
			expected[i] = list
			return
		}
		for _, q := range plans[i] {
			e := diagnose.Expectation{Query: q, Value: diagnose.Predict(v.Cases[i].Outcome, q.Kind, q.Place)}
			usual := network.InstrumentFor(q.Kind)
			e.Sigma = usual.Sigma(e.Value)
			e.Tolerance = diagnose.Tolerance(q.Kind, e.Value, e.Sigma, 0)
			expected[i] = append(expected[i], e)
		}
	})
	return expected, bare
}

// whyOf is the name under which an expected reading can be explained; "" where there is none.
func whyOf(g *network.Graph, q *diagnose.Query) string {
	switch {
	case q.Kind == network.StaticReading:
		return q.Place.Name + " static"
	case q.Kind == network.AirflowReading && q.Place.Element >= 0:
		return g.Elements[q.Place.Element].Name + " airflow"
	}
	return ""
}
