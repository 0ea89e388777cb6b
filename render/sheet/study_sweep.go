package sheet

import (
	"encoding/csv"
	"io"
	"math"
	"slices"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

func unitsName(s quantity.System) string {
	if s == quantity.SI {
		return "si"
	}
	return "ip"
}

// sweepColumns are the measures in the table of a sweep, each at its worst over the call states.
var sweepColumns = [...]struct {
	measure string
	head    string
	more    bool
}{
	{"external static", "static", false}, {"surplus", "surplus", false}, {"recirculated", "recirc", false}, {"worst drift", "drift", false},
	{"loudest register", "register", false}, {"below limit", "below limit", true}, {"frost margin", "above frost", true},
}

// Sweep is what a sweep found, its knees in words. head gives the job and the units.
func Sweep(head *Sheet, s *study.Sweep) *Document {
	d := head.document()
	d.Blocks = []doc.Block{head.alternative()}
	if len(s.Spans) == 1 {
		d.Blocks = append(d.Blocks, sweepTable(s), worstOf(s.States), &doc.Figure{Alt: "external static over the range",
			SVG: func() (string, error) { return drawn(SweepFigure(head, s, "external static")) }})
		d.Blocks = append(d.Blocks, knees(s)...)
	} else {
		d.Blocks = append(d.Blocks, sweepGrid(s, "faults/cautions", func(p *study.Report) doc.Cell { return levelsCell(levels(p)) }))
		for _, c := range sweepColumns[:4] {
			kind := measureKind(s.Measures, c.measure)
			d.Blocks = append(d.Blocks, sweepGrid(s, c.measure+", "+kind.Label(head.Units)+", at its worst",
				func(p *study.Report) doc.Cell { return doc.Of(kind, worstOver(p, c.measure, c.more)) }))
		}
	}
	d.Blocks = append(d.Blocks, nevers("What no setting in the range puts right", s.Never))
	return d
}

// measureKind is the kind of quantity of a measure.
func measureKind(measures []study.Measure, name string) quantity.Kind {
	for i := range measures {
		if measures[i].Name == name {
			return measures[i].Quantity
		}
	}
	return quantity.Unknown
}

// worstOf says over which call states a table of the worst goes.
func worstOf(states []string) *doc.Paragraph {
	which := doc.Cell{Words: plural(len(states), "call state", "call states")}
	if len(states) == 1 {
		which = doc.Name("call state " + states[0])
	}
	return &doc.Paragraph{Text: doc.Sayf("Each number is the worst over {}. F/c: faults/cautions.", which)}
}

// worstColumns are the columns of sweepColumns that any of some reports has, with faults/cautions; row is what
// stands in them for one report.
func worstColumns(reports []*study.Report) (columns []doc.Column, row func(p *study.Report) []doc.Cell) {
	var cells []func(p *study.Report) doc.Cell
	for _, c := range sweepColumns {
		has := func(p *study.Report) bool { return !math.IsNaN(worstOver(p, c.measure, c.more)) }
		if !slices.ContainsFunc(reports, has) {
			continue
		}
		kind := measureKind(reports[0].Measures, c.measure)
		columns = append(columns, doc.Column{Above: c.head, Kind: kind, Unit: true})
		cells = append(cells, func(p *study.Report) doc.Cell { return showCell(kind, worstOver(p, c.measure, c.more)) })
	}
	columns = append(columns, doc.Column{Head: "F/c"})
	return columns, func(p *study.Report) (row []doc.Cell) {
		for _, cell := range cells {
			row = append(row, cell(p))
		}
		return append(row, levelsCell(levels(p)))
	}
}

// sweepTable has a row for every value of one setting.
func sweepTable(s *study.Sweep) *doc.Table {
	reports := make([]*study.Report, len(s.Points))
	for k := range s.Points {
		reports[k] = s.Points[k].Report
	}
	columns, row := worstColumns(reports)
	t := &doc.Table{Columns: append([]doc.Column{{Head: clean(s.Spans[0].Path), Left: true}}, columns...)}
	for k := range s.Points {
		t.Add(append([]doc.Cell{doc.Name(s.Points[k].Values[0])}, row(s.Points[k].Report)...)...)
	}
	return t
}

// sweepGrid has a row for every value of the first setting and a column for every value of the second.
func sweepGrid(s *study.Sweep, title string, show func(p *study.Report) doc.Cell) *doc.Table {
	second := s.Spans[1].Len()
	t := &doc.Table{Title: title + "; across: " + clean(s.Spans[1].Path), Columns: []doc.Column{{Head: clean(s.Spans[0].Path), Left: true}}}
	for k := range second {
		t.Columns = append(t.Columns, doc.Column{Head: clean(s.Spans[1].Value(k))})
	}
	for i := range s.Spans[0].Len() {
		row := []doc.Cell{doc.Name(s.Spans[0].Value(i))}
		for k := range second {
			row = append(row, show(s.Points[i*second+k].Report))
		}
		t.Add(row...)
	}
	return t
}

// knees says in words where limits begin or cease to be kept.
func knees(s *study.Sweep) (blocks []doc.Block) {
	for _, part := range []struct {
		level verdict.Level
		title string
	}{{verdict.Fault, "Where faults begin"}, {verdict.Caution, "Where cautions begin"}} {
		facts := &doc.Facts{}
		for _, k := range s.Knees {
			if k.Finding.Level == part.level {
				facts.Add(doc.Cell{}, kneeSpans(&k, s.Spans[0])...)
			}
		}
		blocks = append(blocks, titled(part.title, facts))
	}
	return blocks
}

// KneeText is a knee in plain words: "below 32 % external static passes 0.500 in. w.c. (cooling: loft)".
func KneeText(k study.Knee, span study.Span, system quantity.System) string {
	return doc.Plainly(kneeSpans(&k, span), system)
}

func kneeSpans(k *study.Knee, span study.Span) []doc.Span {
	side := "above "
	if k.Below {
		side = "below "
	}
	f := &k.Finding
	text := append(doc.Say(side), doc.Sayf("{} {}", doc.Name(settingText(k.X, span.Unit())), placeCell(f.Check, f.Where))...)
	switch {
	case math.IsNaN(f.Limit):
	case f.Value < f.Limit:
		text = append(text, doc.Sayf(" falls below {}", doc.With(f.Quantity, f.Limit))...)
	default:
		text = append(text, doc.Sayf(" passes {}", doc.With(f.Quantity, f.Limit))...)
	}
	text = append(text, doc.Sayf(" ({})", doc.Name(k.State))...)
	if k.Also > 0 {
		text = append(text, doc.Say(", and further on in "+plural(k.Also, "more place", "more places"))...)
	}
	return text
}

// SweepJSON writes a sweep as one document: settings, points with measures and findings of every call state, knees, never.
func SweepJSON(w io.Writer, head *Sheet, s *study.Sweep) error {
	m := tradeOf(head.Units)
	o := studyObject(head)
	settings := list{}
	for _, span := range s.Spans {
		settings = append(settings, object{{"path", span.Path}, {"unit", span.Unit()}})
	}
	points := list{}
	for k := range s.Points {
		p := &s.Points[k]
		faults, cautions := levels(p.Report)
		point := object{}
		values := object{}
		for i, span := range s.Spans {
			values = append(values, member{span.Path, p.Values[i]})
		}
		point = append(point, member{"settings", values}, member{"faults", faults}, member{"cautions", cautions}, member{"states", stateObjects(p.Report, m)})
		points = append(points, point)
	}
	kneeList := list{}
	for _, k := range s.Knees {
		f := findingObject(k.State, k.Finding, m)
		side := "above"
		if k.Below {
			side = "below"
		}
		kneeList = append(kneeList, append(object{{"side", side}, {"at", k.X}, {"setting", s.Spans[0].At(k.X)}, {"text", KneeText(k, s.Spans[0], head.Units)}}, f...))
	}
	neverList := list{}
	for _, f := range s.Never {
		neverList = append(neverList, findingObject(f.State, f.Finding, m))
	}
	o = append(o, member{"moved", settings}, member{"points", points}, member{"knees", kneeList}, member{"never", neverList})
	return writeObject(w, o)
}

// stateObjects are the measures and the findings out of order of every call state.
func stateObjects(p *study.Report, m trade) list {
	states := list{}
	for i := range p.States {
		st := &p.States[i]
		measures := list{}
		for k := range p.Measures {
			if math.IsNaN(st.Values[k]) {
				continue
			}
			unit := m.forQuantity(p.Measures[k].Quantity)
			measures = append(measures, object{{"measure", p.Measures[k].Name}, {"where", p.Measures[k].Where}, {"value", unit.paper(st.Values[k])}, {"unit", unit.plain}})
		}
		findings := list{}
		for _, f := range st.Findings {
			if f.Level != verdict.OK {
				findings = append(findings, findingObject(st.State.Name, f, m))
			}
		}
		states = append(states, object{{"name", st.State.Name}, {"measures", measures}, {"findings", findings}})
	}
	return states
}

// SweepCSV writes a sweep as one long table: one column for each setting, then state, kind (measure, or finding of which the level
// is filled), name, where, value, unit, limit, level.
func SweepCSV(w io.Writer, head *Sheet, s *study.Sweep) error {
	m := tradeOf(head.Units)
	out := csv.NewWriter(w)
	var first []string
	for _, span := range s.Spans {
		first = append(first, guard(span.Path))
	}
	_ = out.Write(append(first, "state", "kind", "name", "where", "value", "unit", "limit", "level")) // the error stays in the writer
	for k := range s.Points {
		p := &s.Points[k]
		var values []string
		for _, v := range p.Values {
			values = append(values, guard(v))
		}
		row := func(fields ...string) { _ = out.Write(append(values[:len(values):len(values)], fields...)) }
		for i := range p.Report.States {
			st := &p.Report.States[i]
			for n := range p.Report.Measures {
				unit := m.forQuantity(p.Report.Measures[n].Quantity)
				if v := unit.paper(st.Values[n]); !math.IsNaN(v) && !math.IsInf(v, 0) {
					row(guard(st.State.Name), "measure", p.Report.Measures[n].Name, guard(p.Report.Measures[n].Where), figure(v), unit.plain, "", "")
				}
			}
			number := func(v float64) string { // "" for none
				if math.IsNaN(v) {
					return ""
				}
				return figure(v)
			}
			for _, f := range st.Findings {
				unit := m.forQuantity(f.Quantity)
				limit := ""
				if v := unit.of(f.Limit); !math.IsNaN(v) {
					limit = figure(v)
				}
				row(guard(st.State.Name), "finding", f.Check, guard(f.Where), number(unit.paper(f.Value)), unit.plain, limit, string(f.Level))
			}
		}
	}
	out.Flush()
	return out.Error()
}
