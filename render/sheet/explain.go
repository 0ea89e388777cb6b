package sheet

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/render/internal/jsonout"
	"spillway/render/internal/text"
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
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', jsonout.Significant, 64), 64)
	if err != nil {
		return strconv.FormatFloat(v, 'g', jsonout.Significant, 64)
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

// Explain is the derivation of a number as a tree: each value with its equation, and under it the values that went in.
func Explain(head *Sheet, e *Explanation) *Document {
	t := tradeOf(head.Units)
	s := e.Step
	tree := derivation{t: t, depth: e.Depth, done: map[*derive.Step]bool{}}
	d := &Document{Units: head.Units, Title: clean(s.Name) + ": " + t.measureOf(s.Quantity).with(s.Value), Blocks: []doc.Block{
		&doc.Paragraph{Text: doc.Sayf("in call state {}; equations are in SI and hold to the last digit shown", doc.Name(e.State)), Close: true},
		&doc.Facts{Step: 2, Items: []doc.Item{tree.step(s.Symbol, s, 0)}}}}
	if tree.cut {
		d.Blocks = append(d.Blocks, &doc.Paragraph{Text: doc.Say("Deeper: --depth 0 prints everything down to the inputs; any number named above can be asked for by itself.")})
	}
	if len(e.Elsewhere) > 0 {
		table := &doc.Table{Columns: []doc.Column{{Left: true}, {Kind: s.Quantity, Unit: true}}}
		for _, o := range e.Elsewhere {
			table.Add(doc.Name(o.State), t.derived(s.Quantity, o.Value))
		}
		d.Blocks = append(d.Blocks, &doc.Section{Title: "The same number in the other call states", Blocks: []doc.Block{table}})
	}
	return d
}

// derived is a number of a derivation without its unit.
func (t trade) derived(k quantity.Kind, si float64) doc.Cell {
	return doc.Of(k, si).To(t.measureOf(k).decimals)
}

// derivation lays out the tree of a derivation.
type derivation struct {
	t     trade
	depth int
	done  map[*derive.Step]bool
	cut   bool
}

// deep is how far what is said of a value is indented beyond what it is made of.
const deep = 2

// step is one value: its equation or origin, and what is under it.
func (p *derivation) step(symbol string, s *derive.Step, level int) doc.Item {
	value := siText(s.Value, s.Quantity)
	if trade := p.t.tradeText(s.Value, s.Quantity); trade != value {
		value += " (" + trade + ")"
	}
	it := doc.Item{Head: doc.Cell{Words: symbol + " = " + value + "  "}, Text: doc.Sayf("{}", doc.Name(s.Name))}
	if p.done[s] && len(s.Inputs) > 0 {
		it.Under = []doc.Item{{Deep: deep, Text: doc.Say("as above")}}
		return it
	}
	p.done[s] = true
	if s.Leaf() {
		if s.Words != "" {
			it.Under = append(it.Under, doc.Item{Deep: deep, Text: doc.Sayf("{}", doc.Name(s.Words))})
		}
		origin := doc.Item{Deep: deep, Text: doc.Say(p.t.from(s))}
		for _, l := range s.Lines {
			origin.Under = append(origin.Under, doc.Item{Text: doc.Sayf("{}", doc.Name(l))})
		}
		it.Under = append(it.Under, origin)
		return it
	}
	it.Under = []doc.Item{{Deep: deep, Head: doc.Cell{Words: s.Equation + "    "}, Text: doc.Sayf("{}", doc.Name(s.Words)), Drop: true}}
	cut := p.depth > 0 && level+1 >= p.depth
	p.cut = p.cut || cut
	for _, in := range s.Inputs {
		if !cut {
			it.Under = append(it.Under, p.step(in.Symbol, in.Step, level+1))
			continue
		}
		text := clean(in.Name)
		if in.Leaf() {
			text += "; " + p.t.from(in.Step)
		}
		it.Under = append(it.Under, doc.Item{Deep: deep, Head: doc.Cell{Words: in.Symbol + " = " + siText(in.Value, in.Quantity) + "  ", Tone: doc.Faint}, Text: doc.Say(text)})
	}
	return it
}

// from is the origin of a leaf in words.
func (t trade) from(s *derive.Step) string {
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
	under := strings.TrimSpace(string(line[start:min(start+max(d.Length, 1), len(line))]))
	return text.Shorten(under, 60)
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
	return writeObject(w, o)
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

// Names lists the numbers that can be asked for.
func Names(names []derive.Name) *Document {
	list := &doc.Facts{Step: 2}
	for i := 0; i < len(names); {
		k := i
		var listed []string
		for ; k < len(names) && names[k].Group == names[i].Group; k++ {
			listed = append(listed, strings.ReplaceAll(clean(names[k].Name), " ", "\u00a0"))
		}
		list.Items = append(list.Items, doc.Item{Head: doc.Name(names[i].Group).Toned(doc.Heading), Under: []doc.Item{{Text: doc.Say(strings.Join(listed, ", "))}}})
		i = k
	}
	return &Document{Blocks: []doc.Block{list}}
}
