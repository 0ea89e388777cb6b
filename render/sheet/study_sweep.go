package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strings"

	"spillway/network/quantity"
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

// SweepText writes a sweep as a table for people with its knees in words. head gives the job and the units.
func SweepText(w io.Writer, head *Sheet, s *study.Sweep, style Style) error {
	style.units = head.Units
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(head.title()), style.page()), heading) + "\n")
	if head.Job.Alternative != "" {
		paragraph(&b, 0, "Alternative: ", clean(head.Job.Alternative), style, plainTone)
	}
	b.WriteByte('\n')
	if len(s.Spans) == 1 {
		sweepTable(&b, s, style)
		knees(&b, s, style)
	} else {
		sweepGrid(&b, s, "faults/cautions", func(p *study.Report) cell { return levelCell(levels(p)) }, style)
		m := tradeOf(style.units)
		for _, c := range sweepColumns[:4] {
			grid := measure{}
			for i := range s.Measures {
				if s.Measures[i].Name == c.measure {
					grid = m.forQuantity(s.Measures[i].Quantity)
				}
			}
			b.WriteByte('\n')
			sweepGrid(&b, s, c.measure+", "+grid.label+", at its worst", func(p *study.Report) cell { return cell{text: grid.text(worstOver(p, c.measure, c.more))} }, style)
		}
	}
	nevers(&b, s, style)
	if !style.Continued {
		b.WriteString(Closing(style))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// sweepTable has a row for every value of one setting.
func sweepTable(b *strings.Builder, s *study.Sweep, style Style) {
	m := tradeOf(style.units)
	path := clean(s.Spans[0].Path)
	t := table{columns: []column{{head: path, left: true}}}
	type shown struct {
		measure string
		more    bool
		m       measure
	}
	var columns []shown
	for _, c := range sweepColumns {
		for i := range s.Measures {
			if s.Measures[i].Name != c.measure {
				continue
			}
			some := false
			for k := range s.Points {
				some = some || !math.IsNaN(worstOver(s.Points[k].Report, c.measure, c.more))
			}
			if some {
				unit := m.forQuantity(s.Measures[i].Quantity)
				columns = append(columns, shown{c.measure, c.more, unit})
				t.columns = append(t.columns, column{above: c.head, head: unit.label})
			}
		}
	}
	t.columns = append(t.columns, column{head: "F/c"})
	for k := range s.Points {
		p := &s.Points[k]
		row := plain(clean(p.Values[0]))
		for _, c := range columns {
			row = append(row, cell{text: show(c.m, worstOver(p.Report, c.measure, c.more))})
		}
		t.add(append(row, levelCell(levels(p.Report)))...)
	}
	t.write(b, 0, style)
	b.WriteByte('\n')
	which := plural(len(s.States), "call state", "call states")
	if len(s.States) == 1 {
		which = "call state " + clean(s.States[0])
	}
	paragraph(b, 0, "", "Each number is the worst over "+which+". F/c: faults/cautions.", style, faint)
}

// sweepGrid has a row for every value of the first setting and a column for every value of the second.
func sweepGrid(b *strings.Builder, s *study.Sweep, title string, show func(p *study.Report) cell, style Style) {
	second := s.Spans[1].Len()
	b.WriteString(style.paint(shorten(title+"; across: "+clean(s.Spans[1].Path), style.page()), heading) + "\n")
	t := table{columns: []column{{head: clean(s.Spans[0].Path), left: true}}}
	for k := range second {
		t.columns = append(t.columns, column{head: clean(s.Spans[1].Value(k))})
	}
	for i := range s.Spans[0].Len() {
		row := plain(clean(s.Spans[0].Value(i)))
		for k := range second {
			row = append(row, show(s.Points[i*second+k].Report))
		}
		t.add(row...)
	}
	t.write(b, 0, style)
}

// knees says in words where limits begin or cease to be kept.
func knees(b *strings.Builder, s *study.Sweep, style Style) {
	for _, level := range []verdict.Level{verdict.Fault, verdict.Caution} {
		begun := false
		for _, k := range s.Knees {
			if k.Finding.Level != level {
				continue
			}
			if !begun {
				begun = true
				title := "Where faults begin"
				if level == verdict.Caution {
					title = "Where cautions begin"
				}
				b.WriteString("\n" + style.paint(title, heading) + "\n")
			}
			paragraph(b, 2, "", KneeText(k, s.Spans[0], style.units), style, plainTone)
		}
	}
}

// KneeText is a knee in plain words: "below 32 % external static passes 0.500 in. w.c. (cooling: loft)".
func KneeText(k study.Knee, span study.Span, system quantity.System) string {
	side := "above"
	if k.Below {
		side = "below"
	}
	text := fmt.Sprintf("%s %s %s (%s)", side, settingText(k.X, span.Unit()), passes(k.Finding, tradeOf(system)), clean(k.State))
	if k.Also > 0 {
		text += ", and further on in " + plural(k.Also, "more place", "more places")
	}
	return text
}

// nevers lists what no setting in the range puts right.
func nevers(b *strings.Builder, s *study.Sweep, style Style) {
	if len(s.Never) == 0 {
		return
	}
	m := tradeOf(style.units)
	b.WriteString("\n" + style.paint("What no setting in the range puts right", heading) + "\n")
	for _, f := range s.Never {
		paragraph(b, 2, "", "at best "+against(f.Finding, m)+" ("+clean(f.State)+")", style, plainTone)
	}
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
	_, err := w.Write(append(appendObject(nil, o, layout{}), '\n'))
	return err
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
					row(guard(st.State.Name), "measure", p.Report.Measures[n].Name, guard(p.Report.Measures[n].Where), string(appendNumber(nil, v)), unit.plain, "", "")
				}
			}
			number := func(v float64) string { // "" for none
				if math.IsNaN(v) {
					return ""
				}
				return string(appendNumber(nil, v))
			}
			for _, f := range st.Findings {
				unit := m.forQuantity(f.Quantity)
				limit := ""
				if v := unit.of(f.Limit); !math.IsNaN(v) {
					limit = string(appendNumber(nil, v))
				}
				row(guard(st.State.Name), "finding", f.Check, guard(f.Where), number(unit.paper(f.Value)), unit.plain, limit, string(f.Level))
			}
		}
	}
	out.Flush()
	return out.Error()
}
