package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"spillway/network/quantity"
	"strings"

	"spillway/solver/sound"
	"spillway/solver/study"
)

// CompareText writes alternatives side by side: a paragraph in plain words, one table of the worst of everything with the call state
// each number comes from, then every call state, worst first. sheets run parallel to the comparison's results.
func CompareText(w io.Writer, sheets []*Sheet, c *study.Comparison, style Style) error {
	if len(sheets) == 0 {
		return nil
	}
	style.units = sheets[0].Units
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(sheets[0].title()), style.page()), heading) + "\n\n")
	alternatives(&b, sheets, style)
	b.WriteByte('\n')
	paragraph(&b, 0, "", Reading(sheets, c), style, plainTone)
	b.WriteByte('\n')
	worstTable(&b, sheets, c, style)
	if !style.Summary {
		for _, name := range c.States {
			b.WriteString("\n" + style.paint(shorten(clean(name), style.page()), heading) + "\n")
			compareState(&b, sheets, name, style)
		}
		legend(&b, sheets, style)
	}
	if !style.Continued {
		b.WriteString(Closing(style))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// worstTable has a row for every measure and a column for every alternative; a letter says which call state a number comes from.
func worstTable(b *strings.Builder, sheets []*Sheet, c *study.Comparison, style Style) {
	m := tradeOf(style.units)
	var letters []string // call states in the order in which they are first named
	letter := func(state string) string {
		if state == "" {
			return ""
		}
		i := slices.Index(letters, state)
		if i < 0 {
			i = len(letters)
			letters = append(letters, state)
		}
		return " " + letterOf(i)
	}
	t := table{columns: []column{{head: "At its worst", left: true}}}
	for _, s := range sheets {
		t.columns = append(t.columns, column{head: shorten(alternativeName(s), longestHead)})
	}
	for _, l := range c.Lines {
		unit := m.forQuantity(l.Measure.Quantity)
		name := checkName(l.Measure.Name, l.Measure.Where)
		switch {
		case l.Measure.Quantity == study.Duration:
		case l.Measure.Name == "delivered share":
			name = "heat into calling zones*, " + unit.label
		default:
			name += ", " + unit.label
		}
		row := plain(name)
		for _, x := range l.Cells {
			text := show(unit, x.Value)
			if l.Measure.Quantity == study.Duration && x.State != "" {
				text = duration(x.Value)
			}
			row = append(row, cell{text: text + letter(x.State)})
		}
		t.add(row...)
	}
	row := plain("faults/cautions, all call states")
	for k := range sheets {
		row = append(row, levelCell(c.Faults[k], c.Cautions[k]))
	}
	t.add(row...)
	t.write(b, 0, style)
	b.WriteByte('\n')
	var names []string
	for i, s := range letters {
		names = append(names, letterOf(i)+" "+clean(s))
	}
	paragraph(b, 0, "", strings.Join(names, "; ")+". * an indication, no efficiency: the share of sensible heat or cold that goes to zones that call; the rest "+
		"is given to satisfied zones.", style, faint)
}

const longestHead = 20

func letterOf(i int) string {
	if i < 26 {
		return string(rune('a' + i))
	}
	return letterOf(i/26-1) + string(rune('a'+i%26))
}

// Reading says in one paragraph what a comparison shows.
func Reading(sheets []*Sheet, c *study.Comparison) string {
	m := tradeOf(sheets[0].Units)
	best := c.Ranks[0]
	name := func(k int) string { return alternativeName(sheets[k]) }
	counts := func(k int) string {
		return plural(c.Faults[k], "fault", "faults") + " and " + plural(c.Cautions[k], "caution", "cautions")
	}
	worst := func(k int) string {
		f, found := c.Worst(k)
		if !found {
			return "nothing is out of order"
		}
		return "the worst is " + against(f.Finding, m) + " in " + clean(f.State)
	}
	text := []string{fmt.Sprintf("Over %s, %q has the fewest findings: %s; %s.", plural(len(c.States), "call state", "call states"), name(best), counts(best), worst(best))}
	if len(c.Ranks) > 1 {
		last := c.Ranks[len(c.Ranks)-1]
		text = append(text, fmt.Sprintf("%q has the most: %s; %s.", name(last), counts(last), worst(last)))
	}
	for _, say := range []struct{ measure, low, high string }{
		{"external static", "The static stays lowest with", "and goes highest with"},
		{"worst drift", "Satisfied zones drift least with", "and most with"},
		{"loudest register", "Registers are quietest with", "and loudest with"},
		{"blower power", "The blower takes least with", "and most with"},
	} {
		if s := extremes(sheets, c, say.measure, say.low, say.high, m); s != "" {
			text = append(text, s)
		}
	}
	for k, p := range c.Reports {
		cell := worstCell(c, k, "recirculated")
		if !(cell.Value > 0.05) {
			continue
		}
		s := fmt.Sprintf("%q sends %s of the machine's air straight back to it in %s", name(k), m.percent.with(cell.Value), clean(cell.State))
		if t := worstCell(c, k, "time to limit"); t.State != "" && !math.IsInf(t.Value, 1) {
			s += "; its limit opens after " + duration(t.Value) + " in " + clean(t.State)
		} else if l := worstCell(c, k, "frost margin"); l.Value < 0 {
			s += "; the coil goes " + m.span.with(-l.Value) + " below freezing in " + clean(l.State)
		}
		_ = p
		text = append(text, s+".")
	}
	return strings.Join(text, " ")
}

func worstCell(c *study.Comparison, k int, name string) study.Cell {
	for _, l := range c.Lines {
		if l.Measure.Name == name {
			return l.Cells[k]
		}
	}
	return study.Cell{Value: math.NaN()}
}

// extremes names the alternatives in which a measure's worst is best and worst, when they differ by more than a twentieth.
func extremes(sheets []*Sheet, c *study.Comparison, measure, low, high string, m trade) string {
	least, most := -1, -1
	for k := range sheets {
		v := worstCell(c, k, measure).Value
		if math.IsNaN(v) {
			continue
		}
		if least < 0 || v < worstCell(c, least, measure).Value {
			least = k
		}
		if most < 0 || v > worstCell(c, most, measure).Value {
			most = k
		}
	}
	if least < 0 {
		return ""
	}
	a, b := worstCell(c, least, measure), worstCell(c, most, measure)
	if !(b.Value > 1.05*a.Value) || measure == "loudest register" && !sound.OnCurves(b.Value) {
		return ""
	}
	unit := measureNamed(c, measure, m)
	return fmt.Sprintf("%s %q (at most %s) %s %q (%s, in %s).", low, alternativeName(sheets[least]), showWith(unit, a.Value), high, alternativeName(sheets[most]),
		showWith(unit, b.Value), clean(b.State))
}

func measureNamed(c *study.Comparison, name string, m trade) measure {
	for _, l := range c.Lines {
		if l.Measure.Name == name {
			return m.forQuantity(l.Measure.Quantity)
		}
	}
	return measureIn(quantity.KindNumber, m.sys)
}

// CompareJSON writes a comparison as one document: reading, rank, and for every alternative its findings and the worst of every measure
// with its call state, then all measures of all call states.
func CompareJSON(w io.Writer, sheets []*Sheet, c *study.Comparison) error {
	head := sheets[0]
	m := tradeOf(head.Units)
	o := object{{"spillway", head.Version}, {"job", head.title()}, {"file", head.File}, {"units", unitsName(head.Units)}, {"reading", Reading(sheets, c)},
		{"states_worst_first", c.States}}
	all := list{}
	for k, s := range sheets {
		worst := list{}
		for _, l := range c.Lines {
			unit := m.forQuantity(l.Measure.Quantity)
			if l.Cells[k].State == "" {
				continue
			}
			worst = append(worst, object{{"measure", l.Measure.Name}, {"where", l.Measure.Where}, {"value", unit.paper(l.Cells[k].Value)}, {"unit", unit.plain},
				{"state", l.Cells[k].State}})
		}
		all = append(all, object{{"alternative", s.Job.Alternative}, {"rank", 1 + slices.Index(c.Ranks, k)}, {"faults", c.Faults[k]}, {"cautions", c.Cautions[k]},
			{"worst", worst}, {"states", stateObjects(c.Reports[k], m)}})
	}
	o = append(o, member{"alternatives", all})
	_, err := w.Write(append(appendObject(nil, o, layout{}), '\n'))
	return err
}

// CompareCSV writes every measure of every call state of every alternative: alternative, state, measure, where, value, unit.
func CompareCSV(w io.Writer, sheets []*Sheet, c *study.Comparison) error {
	m := tradeOf(sheets[0].Units)
	out := csv.NewWriter(w)
	_ = out.Write([]string{"alternative", "state", "measure", "where", "value", "unit"}) // the error stays in the writer
	for k, p := range c.Reports {
		for i := range p.States {
			for n := range p.Measures {
				unit := m.forQuantity(p.Measures[n].Quantity)
				if v := unit.paper(p.States[i].Values[n]); !math.IsNaN(v) && !math.IsInf(v, 0) {
					_ = out.Write([]string{guard(sheets[k].Job.Alternative), guard(p.States[i].State.Name), p.Measures[n].Name, guard(p.Measures[n].Where),
						string(appendNumber(nil, v)), unit.plain})
				}
			}
		}
	}
	out.Flush()
	return out.Error()
}

// showWith is show with the unit.
func showWith(m measure, si float64) string {
	if text := show(m, si); text == "<15" {
		return "under NC 15"
	}
	return m.with(si)
}
