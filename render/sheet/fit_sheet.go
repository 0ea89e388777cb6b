package sheet

import (
	"fmt"
	"io"
	"math"
	"strings"

	"spillway/network"
	"spillway/solver/diagnose"
)

// FitSheet writes the commissioning sheet: every reading as found against what the job as drawn expects, with its tolerance and whether
// it passes; what is to be put right; the settings to leave; and room for the readings as left.
func FitSheet(w io.Writer, head *Sheet, f *Fitted, style Style) error {
	var b strings.Builder
	t := tradeOf(head.Units)
	b.WriteString(style.paint("Commissioning sheet: "+clean(head.title()), heading) + "\n")
	paragraph(&b, 0, "", clean(f.File)+" against "+clean(head.File), style, faint)
	if f.Readings.Note != "" {
		paragraph(&b, 0, "", clean(f.Readings.Note), style, faint)
	}
	table := table{columns: []column{{head: "As found", left: true}, {head: "at", left: true, yields: true}, {head: "what", left: true}, {head: "expected"}, {head: "tolerance"}, {head: "found"}, {head: "", left: true}, {head: "unit", left: true}, {head: "as left", left: true}}}
	failed := 0
	last := ""
	for i, r := range f.Readings.List {
		if r.State != last {
			table.add(cell{text: clean(r.State), tone: heading})
			last = r.State
		}
		m := t.measureOfReading(r.Kind)
		tolerance := diagnose.Tolerance(r.Kind, f.Result.Base[i], f.Result.Sigma[i], f.Result.AsBuilt[i])
		expected, within := Printer{t}.Expected(r.Kind, f.Result.Base[i], tolerance)
		verdict := cell{text: "pass"}
		if Fails(f, i) {
			verdict = cell{text: "FAIL", tone: faultTone}
			failed++
		}
		table.add(cell{text: clean(r.Name)}, cell{text: clean(r.Place.Name)}, cell{text: string(r.Kind)}, cell{text: expected}, cell{text: within}, cell{text: m.text(r.Value)},
			verdict, cell{text: m.label}, cell{text: "________"})
	}
	block(&b, &table, style)
	paragraph(&b, 2, "", fmt.Sprintf("%d of %d pass. %s", len(f.Readings.List)-failed, len(f.Readings.List), Tolerances), style, faint)
	if first := &f.Result.Hypotheses[0]; failed > 0 && f.Bench.Causes()[first.Causes[0]].Kind != diagnose.Nothing {
		b.WriteByte('\n')
		paragraph(&b, 2, "To put right first: ", clean(causeName(f, first))+" ("+weightText(first.Weight)+"). The expected values above are those as left, once that is done.", style, cautionTone)
	}
	settings(&b, f, t, style)
	b.WriteString("\n  By ________________________   Date ______________   Instruments ________________________\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// Tolerances says what the tolerances of a commissioning sheet are.
const Tolerances = "Tolerances: ±10 % of airflows, as commonly specified (from memory), ±15 % of pressures (our choice), never less than twice what instrument and as-built spread leave open."

// Expected prints what should be read and its tolerance, as a commissioning sheet does, without their unit.
func (p Printer) Expected(kind network.ReadingKind, value, tolerance float64) (expected, within string) {
	m := p.m.measureOfReading(kind)
	return m.text(value), "±" + m.spread(tolerance)
}

// ReadingUnit is the unit of a kind of reading.
func (p Printer) ReadingUnit(kind network.ReadingKind) string {
	return p.m.measureOfReading(kind).label
}

// Fails tells whether a reading as found is outside its tolerance.
func Fails(f *Fitted, i int) bool {
	r := &f.Readings.List[i]
	return math.Abs(r.Value-f.Result.Base[i]) > diagnose.Tolerance(r.Kind, f.Result.Base[i], f.Result.Sigma[i], f.Result.AsBuilt[i])
}

// settings lists what is to stand where when one leaves.
func settings(b *strings.Builder, f *Fitted, t trade, style Style) {
	if f.Graph == nil {
		return
	}
	table := table{columns: []column{{head: "Settings to leave", left: true}, {head: "", left: true}, {head: "should be"}, {head: "blade"}, {head: "as left", left: true}}}
	for _, s := range diagnose.Settings(f.Graph) {
		value, blade := s.Word, ""
		switch {
		case s.Word == "pressure":
			value = t.drop.with(s.Value)
		case !math.IsNaN(s.Value):
			value, blade = percentOpen(s.Value), fmt.Sprintf("%.0f°", 90*(1-s.Value))
		}
		table.addPlain(clean(s.Name), s.What, value, blade, "________")
	}
	block(b, &table, style)
}
