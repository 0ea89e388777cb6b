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
	Settings []SettingTable
	Readings []ReadingTable
	Note     string
}

// SettingTable is a table of settings with a blank at the end of each row.
type SettingTable struct {
	Caption string
	Head    []string
	Rows    [][]string
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
	s := &InstallerSheet{Note: sheet.Tolerances + " " + readingNote}
	s.settings(v.In, sys)
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
			row := ReadingRow{Name: readingName(v.In.Graph(), &q.Query), Unit: p.ReadingUnit(q.Kind)}
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

// readingName is what is read, in words.
func readingName(g *network.Graph, q *diagnose.Query) string {
	at := &q.Place
	switch {
	case at.Register >= 0:
		r := &g.Registers[at.Register]
		name := sheet.Clean(sheet.RegisterName(g, r))
		if r.Room != "" && r.Room != r.Line {
			name += ", " + sheet.Clean(r.Room)
		}
		return name
	case q.Kind == network.StaticReading:
		for i := range g.Job.Ports {
			if p := &g.Job.Ports[i]; p.Name == at.Name {
				return "static, " + sheet.Clean(p.Name) + " (" + sheet.Clean(p.At) + ")"
			}
		}
		return "static, " + sheet.Clean(at.Name)
	case q.Kind == network.TemperatureReading:
		return "air, " + sheet.Clean(at.Name)
	}
	return sheet.Clean(at.Name) + " airflow"
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

// settings lists what an installer sets.
func (s *InstallerSheet) settings(in *trial.Installation, sys quantity.System) {
	g := in.Graph()
	p := sheet.NewPrinter(sys)
	u := p.Units()
	dampers := SettingTable{Caption: "Zone dampers", Head: []string{"damper", "in", "size", "stop while its zone is satisfied", "open while it calls"}}
	weights := SettingTable{Caption: "Weighted dampers", Head: []string{"damper", "in", "size", "begins to open at " + u.Pressure, "wide open at " + u.Pressure, "weight arm below level, shut"}}
	holds := SettingTable{Caption: "Pressure-holding dampers", Head: []string{"damper", "in", "size", "holds " + u.Pressure, "at"}}
	hands := SettingTable{Caption: "Hand and balancing dampers", Head: []string{"damper", "in", "size", "open"}}
	for i := range g.Elements {
		e := &g.Elements[i]
		name := sheet.Clean(e.Name)
		switch spec := e.Spec.(type) {
		case *network.DamperSpec:
			size := network.SizeText(spec.Section, sys)
			if spec.Hand || len(spec.Zones) == 0 {
				hands.Rows = append(hands.Rows, []string{name, sheet.Clean(e.Line), size, positionText(spec.Open)})
				continue
			}
			dampers.Rows = append(dampers.Rows, []string{name, sheet.Clean(e.Line), size, positionText(spec.Stop), positionText(spec.Open)})
		case *network.ReliefSpec:
			full, arm := "-", "-"
			if spec.FullyOpenAt > 0 {
				full = p.Drop(spec.FullyOpenAt)
			}
			if spec.Arm > 0 {
				arm = fmt.Sprintf("%.0f°", spec.Arm)
			}
			weights.Rows = append(weights.Rows, []string{name, sheet.Clean(e.Line), network.SizeText(spec.Section, sys), p.Drop(spec.OpensAt), full, arm})
		case *network.RegulatorSpec:
			holds.Rows = append(holds.Rows, []string{name, sheet.Clean(e.Line), network.SizeText(spec.Section, sys), p.Drop(spec.Holds), sheet.Clean(g.Nodes[spec.Sensor].Name)})
		case *network.OpeningSpec:
			if spec.Balance != nil {
				hands.Rows = append(hands.Rows, []string{name, sheet.Clean(e.Line), network.SizeText(spec.Section, sys), positionText(*spec.Balance)})
			}
		}
	}
	blower := SettingTable{Caption: "Blower", Head: []string{"mode", "tap or airflow"}}
	eq := &g.Job.Equipment
	for _, m := range []struct {
		mode    string
		machine *network.Machine
	}{{"cooling", eq.Cooling}, {"heating", eq.Heating}, {"fan only", eq.Fan}} {
		if m.machine == nil {
			continue
		}
		stages := m.machine.Stages
		for i := range stages {
			tap, flow := stages[i].Tap, stages[i].Airflow
			if tap == "" {
				tap = m.machine.Tap
			}
			if flow == 0 {
				flow = m.machine.Airflow
			}
			mode := m.mode
			if len(stages) > 1 {
				mode += fmt.Sprintf(", stage %d", i+1)
			}
			blower.Rows = append(blower.Rows, []string{mode, tapText(p, tap, float64(flow))})
		}
		if len(stages) == 0 {
			blower.Rows = append(blower.Rows, []string{m.mode, tapText(p, m.machine.Tap, float64(m.machine.Airflow))})
		}
	}
	for _, t := range []SettingTable{dampers, weights, holds, hands, blower} {
		if len(t.Rows) > 0 {
			s.Settings = append(s.Settings, t)
		}
	}
}

func tapText(p sheet.Printer, tap string, airflow float64) string {
	text := sheet.Clean(tap)
	if airflow > 0 {
		if text != "" {
			text += ", "
		}
		text += p.Airflow(airflow) + " " + p.Units().Airflow
	}
	if text == "" {
		return "by its table"
	}
	return text
}

// positionText is a position in percent open and in blade degrees from open, which turn evenly.
func positionText(open network.Position) string {
	share := math.Min(math.Max(float64(open), 0), 1)
	return fmt.Sprintf("%s open, blade %.0f°", quantity.KindFraction.Short(share, quantity.IP), 90*(1-share))
}
