package sheet

import (
	"fmt"
	"io"
	"math"
	"spillway/network/quantity"
	"strconv"
	"strings"

	"spillway/network/diag"
	"spillway/solver/derive"
)

// Explanation is the derivation of one number, for paper.
type Explanation struct {
	State string
	Step  *derive.Step
	// Depth is how many levels of the tree are printed; 0: all, down to the inputs.
	Depth int
	// Elsewhere is the same number in the other call states.
	Elsewhere []Elsewhere
}

// Elsewhere is a number in another call state; NaN where it does not apply.
type Elsewhere struct {
	State string
	Value float64
}

// measureOf is how a quantity of a derivation is printed in a system, beside SI.
func (t trade) measureOf(k quantity.Kind) measure {
	m := t.forQuantity(k)
	if k == quantity.KindNoise || k == quantity.KindTime {
		m.decimals = 3
	}
	return m
}

// digits prints a number with six significant digits, the precision to which equations hold.
func digits(v float64) string {
	switch {
	case math.IsInf(v, 1):
		return "never"
	case math.IsNaN(v):
		return "-"
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', significant, 64), 64)
	if err != nil {
		return strconv.FormatFloat(v, 'g', significant, 64)
	}
	if size := math.Abs(rounded); size != 0 && (size < 1e-4 || size >= 1e9) {
		return strconv.FormatFloat(rounded, 'g', -1, 64)
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// siText is a value as it enters an equation.
func siText(v float64, q quantity.Kind) string {
	return strings.TrimSuffix(digits(v)+" "+q.SI(), " ")
}

// tradeText is the same value in the units of the report.
func (t trade) tradeText(v float64, q quantity.Kind) string {
	m := t.measureOf(q)
	if !t.differs(q) {
		return siText(v, q)
	}
	return digits(m.of(v)) + " " + m.label
}

// differs tells whether the reports print a quantity in another unit than equations take.
func (t trade) differs(q quantity.Kind) bool {
	m := t.measureOf(q)
	return m.label != "" && (m.label != q.SI() || m.factor() != 1 || m.kind.Offset(m.sys) != 0)
}

// ExplainText writes the derivation of a number as a tree: each value with its equation, and under it the values that went in.
func ExplainText(w io.Writer, head *Sheet, e *Explanation, style Style) error {
	var b strings.Builder
	t := tradeOf(head.Units)
	s := e.Step
	m := t.measureOf(s.Quantity)
	b.WriteString(style.paint(clean(s.Name)+": "+m.with(s.Value), heading) + "\n")
	paragraph(&b, 0, "", "in call state "+clean(e.State)+"; equations are in SI and hold to the last digit shown", style, faint)
	b.WriteByte('\n')
	p := treePrinter{b: &b, t: t, style: style, e: e, done: map[*derive.Step]bool{}}
	p.step(s.Symbol, s, 0)
	if p.cut {
		b.WriteByte('\n')
		paragraph(&b, 0, "", "Deeper: --depth 0 prints everything down to the inputs; any number named above can be asked for by itself.", style, faint)
	}
	if len(e.Elsewhere) > 0 {
		b.WriteString("\n" + style.paint("The same number in the other call states", faint) + "\n")
		table := table{columns: []column{{head: "", left: true}, {head: m.label}}}
		for _, o := range e.Elsewhere {
			table.addPlain(clean(o.State), m.text(o.Value))
		}
		table.write(&b, 2, style)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// treePrinter writes steps under one another.
type treePrinter struct {
	b     *strings.Builder
	t     trade
	style Style
	e     *Explanation
	done  map[*derive.Step]bool
	cut   bool
}

// step writes one value, its equation or origin, and what is under it.
func (p *treePrinter) step(symbol string, s *derive.Step, level int) {
	indent := 2 * level
	line := symbol + " = " + siText(s.Value, s.Quantity)
	if trade := p.t.tradeText(s.Value, s.Quantity); trade != siText(s.Value, s.Quantity) {
		line += " (" + trade + ")"
	}
	line += "  "
	name := clean(s.Name)
	paragraph(p.b, indent, line, name, p.style, plainTone)
	if p.done[s] && len(s.Inputs) > 0 {
		paragraph(p.b, indent+4, "", "as above", p.style, faint)
		return
	}
	p.done[s] = true
	if s.Leaf() {
		p.origin(s, indent+4)
		return
	}
	if words := clean(s.Words); displayWidth(s.Equation)+displayWidth(words)+indent+8 <= p.style.page() {
		paragraph(p.b, indent+4, s.Equation+"    ", words, p.style, plainTone)
	} else {
		paragraph(p.b, indent+4, "", s.Equation, p.style, plainTone)
		paragraph(p.b, indent+6, "", words, p.style, faint)
	}
	if p.e.Depth > 0 && level+1 >= p.e.Depth {
		p.cut = true
		p.inline(s, indent+4)
		return
	}
	for _, in := range s.Inputs {
		p.step(in.Symbol, in.Step, level+1)
	}
}

// inline lists the inputs of a step whose own derivations are left out.
func (p *treePrinter) inline(s *derive.Step, indent int) {
	for _, in := range s.Inputs {
		text := clean(in.Name)
		if in.Leaf() {
			text += "; " + p.from(in.Step)
		}
		paragraph(p.b, indent, in.Symbol+" = "+siText(in.Value, in.Quantity)+"  ", text, p.style, faint)
	}
}

// origin says where a leaf comes from.
func (p *treePrinter) origin(s *derive.Step, indent int) {
	if s.Words != "" {
		paragraph(p.b, indent, "", clean(s.Words), p.style, plainTone)
	}
	paragraph(p.b, indent, "", p.from(s), p.style, faint)
	for _, l := range s.Lines {
		paragraph(p.b, indent+2, "", clean(l), p.style, faint)
	}
}

// from is the origin of a leaf in words.
func (p *treePrinter) from(s *derive.Step) string {
	o := &s.Origin
	switch o.Kind {
	case derive.File:
		return "job file " + placeText(o.Place, o.Text)
	case derive.Catalogue:
		return "catalogue: " + clean(o.Text)
	case derive.Assumed:
		return "assumed: " + clean(o.Text)
	case derive.Constant:
		return "constant: " + clean(o.Text)
	case derive.Model:
		return "model: " + clean(o.Text)
	case derive.Solved:
		text := "solved: " + clean(o.Text)
		if o.High > o.Low {
			text += fmt.Sprintf("; the equations are solved to ±%.1e %s; ", (o.High-o.Low)/2, s.Quantity.SI()) + ductBand
		}
		return text
	}
	return clean(o.Text)
}

// placeText is a place of the job file with its line.
func placeText(d diag.Diagnostic, path string) string {
	switch {
	case d.Line > 0:
		return fmt.Sprintf("%s:%d, %s = %s", clean(d.File), d.Line, clean(path), clean(marked(d)))
	case d.File != "":
		return clean(d.File) + " " + clean(d.LineText)
	}
	return clean(path)
}

// marked is the part of a line that a place underlines.
func marked(d diag.Diagnostic) string {
	line := []rune(d.LineText)
	start := min(max(d.Column-1, 0), len(line))
	text := strings.TrimSpace(string(line[start:min(start+max(d.Length, 1), len(line))]))
	return shorten(text, 60)
}

// ExplainJSON writes the whole derivation as one document: the steps as a list in which inputs refer to steps by number, the number
// that was asked for first. Values are SI, with six significant digits; "printed" and "unit" are as in the reports.
//
//	spillway, job, file, alternative, units, state, name, printed, unit
//	steps   step, name, symbol, value, si_unit, printed, unit, words, equation (null for a leaf), inputs (symbol, step),
//	        origin (kind: derived, file, catalogue, assumed, constant, solved or model; text, file, line, column, line_text, low, high), lines
func ExplainJSON(w io.Writer, head *Sheet, e *Explanation) error {
	t := tradeOf(head.Units)
	all := e.Step.All()
	number := map[*derive.Step]int{}
	for i, s := range all {
		number[s] = i
	}
	steps := make(list, len(all))
	for i, s := range all {
		inputs := make(list, len(s.Inputs))
		for k, in := range s.Inputs {
			inputs[k] = object{{"symbol", in.Symbol}, {"step", number[in.Step]}}
		}
		var equation any
		if !s.Leaf() {
			equation = s.Equation
		}
		m := t.measureOf(s.Quantity)
		steps[i] = object{{"step", i}, {"name", s.Name}, {"symbol", s.Symbol}, {"value", s.Value}, {"si_unit", s.Quantity.SI()}, {"printed", m.of(s.Value)}, {"unit", m.label},
			{"words", s.Words}, {"equation", equation}, {"inputs", inputs}, {"origin", originObject(s)}, {"lines", append([]string{}, s.Lines...)}}
	}
	m := t.measureOf(e.Step.Quantity)
	o := append(studyObject(head), object{{"state", e.State}, {"name", e.Step.Name}, {"printed", m.of(e.Step.Value)}, {"unit", m.label}, {"steps", steps}}...)
	_, err := w.Write(append(appendValue(nil, o, layout{}), '\n'))
	return err
}

func originObject(s *derive.Step) object {
	o := &s.Origin
	out := object{{"kind", string(o.Kind)}, {"text", o.Text}}
	if o.Place.File != "" {
		out = append(out, object{{"file", o.Place.File}, {"line", o.Place.Line}, {"column", o.Place.Column}, {"line_text", o.Place.LineText}}...)
	}
	if o.High > o.Low {
		out = append(out, object{{"low", o.Low}, {"high", o.High}}...)
	}
	return out
}

// NamesText lists the numbers that can be asked for.
func NamesText(w io.Writer, names []derive.Name, style Style) error {
	var b strings.Builder
	for i := 0; i < len(names); {
		k := i
		for k < len(names) && names[k].Group == names[i].Group {
			k++
		}
		b.WriteString(style.paint(names[i].Group, heading) + "\n")
		listed := make([]string, 0, k-i)
		for _, n := range names[i:k] {
			listed = append(listed, strings.ReplaceAll(clean(n.Name), " ", "\u00a0"))
		}
		for _, line := range wrap(strings.Join(listed, ", "), style.page()-2) {
			b.WriteString("  " + strings.ReplaceAll(line, "\u00a0", " ") + "\n")
		}
		i = k
	}
	_, err := io.WriteString(w, b.String())
	return err
}
