package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/sound"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// Comparison sets alternatives side by side: a paragraph in plain words, one table of the worst of everything with the call state
// each number comes from, then, unless only a summary is wanted, every call state, worst first. sheets run parallel to the
// comparison's results.
func Comparison(sheets []*Sheet, c *study.Comparison, summary bool) *Document {
	d := sheets[0].document()
	d.Blocks = append([]doc.Block{alternatives(sheets), &doc.Paragraph{Text: reading(sheets, c)}}, worstTable(sheets, c)...)
	if !summary {
		d.Blocks = append(append(d.Blocks, compareStates(sheets, c.States)...), legend(sheets)...)
	}
	return d
}

// worstTable has a row for every measure and a column for every alternative; a letter says which call state a number comes from.
func worstTable(sheets []*Sheet, c *study.Comparison) []doc.Block {
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
	t := &doc.Table{Columns: []doc.Column{{Head: "At its worst", Left: true}}}
	for _, s := range sheets {
		t.Columns = append(t.Columns, doc.Column{Head: alternativeName(s), Most: longestHead})
	}
	for _, l := range c.Lines {
		unit := ", " + l.Measure.Quantity.Label(sheets[0].Units)
		name := checkName(l.Measure.Name, l.Measure.Where)
		switch {
		case l.Measure.Quantity == study.Duration:
		case l.Measure.Name == "delivered share":
			name = "heat into calling zones*" + unit
		default:
			name += unit
		}
		row := []doc.Cell{{Words: name}}
		for _, x := range l.Cells {
			value := showCell(l.Measure.Quantity, x.Value)
			if l.Measure.Quantity == study.Duration && x.State != "" {
				value = doc.After(x.Value)
			}
			row = append(row, doc.Cell{Spans: doc.Sayf("{}"+letter(x.State), value)})
		}
		t.Add(row...)
	}
	row := []doc.Cell{doc.Name("faults/cautions, all call states")}
	for k := range sheets {
		row = append(row, levelsCell(c.Faults[k], c.Cautions[k]))
	}
	t.Add(row...)
	var names []string
	for i, s := range letters {
		names = append(names, letterOf(i)+" "+clean(s))
	}
	return []doc.Block{t, &doc.Paragraph{Text: doc.Sayf("{}. * an indication, no efficiency: the share of sensible heat or cold that goes to zones that call; the rest "+
		"is given to satisfied zones.", doc.Cell{Words: strings.Join(names, "; ")})}}
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
	return doc.Plainly(reading(sheets, c), sheets[0].Units)
}

func reading(sheets []*Sheet, c *study.Comparison) []doc.Span {
	name := func(k int) doc.Cell { return doc.Cell{Words: fmt.Sprintf("%q", alternativeName(sheets[k]))} }
	counts := func(k int) string {
		faults := 0
		for i := range c.Causes[k].Causes {
			if c.Causes[k].Causes[i].Level == verdict.Fault {
				faults++
			}
		}
		return plural(faults, "cause at fault", "causes at fault") + " and " +
			plural(len(c.Causes[k].Causes)-faults, "for caution", "for caution")
	}
	gravest := func(k int) []doc.Span {
		list := c.Causes[k].Causes
		if len(list) == 0 {
			return doc.Say("nothing is out of order.")
		}
		at := 0
		for i := range list { // what can hurt somebody, before what is only past a guideline
			if list[i].Class == verdict.SafetyClass {
				at = i
				break
			}
		}
		worst := list[at].Worst()
		text := append(doc.Say("the gravest is "), againstSpans(worst.Finding)...)
		text = append(text, mixedSpans(worst.Finding, doc.With(worst.Finding.Quantity,
			worst.Finding.Value))...)
		if worst.State >= 0 && worst.State < len(c.Shared) {
			text = append(text, doc.Sayf(" in {}", doc.Name(c.Shared[worst.State]))...)
		}
		return append(text, doc.Say(".")...)
	}
	var text [][]doc.Span
	for k, of := range c.Same {
		if of >= 0 {
			text = append(text, doc.Sayf("{} changes nothing against {}.", name(k), name(of)))
		}
	}
	ranks := slices.DeleteFunc(slices.Clone(c.Ranks), func(k int) bool { return c.Same[k] >= 0 })
	best, last := ranks[0], ranks[len(ranks)-1]
	over := "Over " + plural(len(c.Shared), "call state", "call states")
	switch {
	case len(ranks) == 1:
		text = append(text, append(doc.Sayf(over+", {} leaves "+counts(best)+"; ", name(best)),
			gravest(best)...))
	case c.Tie(best, last):
		text = append(text, append(doc.Say(over+", findings do not tell them apart: "+counts(best)+" with each; "), gravest(best)...))
	default:
		text = append(text, append(doc.Sayf(over+", {} leaves the least to mend: "+counts(best)+"; ", name(best)), gravest(best)...),
			append(doc.Sayf("{} leaves the most: "+counts(last)+"; ", name(last)),
				gravest(last)...))
	}
	for _, say := range []struct{ measure, low, high string }{
		{"external static", "The static stays lowest with", "and goes highest with"},
		{"worst drift", "Satisfied zones drift least with", "and most with"},
		{"loudest register", "Registers are quietest with", "and loudest with"},
		{"blower power", "The blower takes least with", "and most with"},
	} {
		if least, most, found := extremes(len(sheets), c, say.measure); found {
			low, high := worstCell(c, least, say.measure), worstCell(c, most, say.measure)
			kind := measureOfLine(c, say.measure)
			if say.measure == "worst drift" && !(low.Value > 0) {
				text = append(text, doc.Sayf("No satisfied zone is driven past its set point with {}; "+
					"one is fastest with {} ({}, in {}).", name(least), name(most),
					withUnit(showCell(kind, high.Value)), doc.Name(high.State)))
				continue
			}
			text = append(text, doc.Sayf(say.low+" {} (at most {}) "+say.high+" {} ({}, in {}).", name(least), withUnit(showCell(kind, low.Value)),
				name(most), withUnit(showCell(kind, high.Value)), doc.Name(high.State)))
		}
	}
	for k := range c.Reports {
		cell := worstCell(c, k, "recirculated")
		if !(cell.Value > 0.05) {
			continue
		}
		s := doc.Sayf("{} sends {} of the machine's air straight back to it in {}", name(k), withUnit(percentCell(cell.Value)), doc.Name(cell.State))
		if t := worstCell(c, k, "time to limit"); t.State != "" && !math.IsInf(t.Value, 1) {
			s = append(s, doc.Sayf("; its limit opens after {} in {}", doc.After(t.Value), doc.Name(t.State))...)
		} else if l := worstCell(c, k, "frost margin"); l.Value < 0 {
			s = append(s, doc.Sayf("; the coil goes {} below freezing in {}", doc.With(quantity.KindTemperatureSpan, -l.Value), doc.Name(l.State))...)
		}
		text = append(text, append(s, doc.Say(".")...))
	}
	return doc.Join(text, " ")
}

func worstCell(c *study.Comparison, k int, name string) study.Cell {
	for _, l := range c.Lines {
		if l.Measure.Name == name {
			return l.Cells[k]
		}
	}
	return study.Cell{Value: math.NaN()}
}

// extremes are the alternatives in which a measure's worst is best and worst, when they differ by more than a twentieth.
func extremes(alternatives int, c *study.Comparison, measure string) (least, most int, found bool) {
	least, most = -1, -1
	for k := range alternatives {
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
		return 0, 0, false
	}
	a, b := worstCell(c, least, measure), worstCell(c, most, measure)
	return least, most, b.Value > 1.05*a.Value && (measure != "loudest register" || sound.OnCurves(b.Value))
}

// measureOfLine is the kind of quantity of a line of a comparison.
func measureOfLine(c *study.Comparison, name string) quantity.Kind {
	for _, l := range c.Lines {
		if l.Measure.Name == name {
			return l.Measure.Quantity
		}
	}
	return quantity.KindNumber
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
	return writeObject(w, o)
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
						figure(v), unit.plain})
				}
			}
		}
	}
	out.Flush()
	return out.Error()
}
