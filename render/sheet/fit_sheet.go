package sheet

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/diagnose"
)

// Commissioning is the commissioning sheet: every reading as found against what the job as drawn expects, with its tolerance and whether
// it passes; what is to be put right; the settings to leave; and room for the readings as left.
func Commissioning(head *Sheet, f *Fitted) *Document {
	table := &doc.Table{Columns: []doc.Column{{Head: "As found", Left: true}, {Head: "at", Left: true, Yields: true}, {Head: "what", Left: true}, {Head: "expected"}, {Head: "tolerance"}, {Head: "found"},
		{Left: true}, {Head: "unit", Left: true}, {Head: "as left", Left: true}}}
	failed, last := 0, ""
	for i, r := range f.Readings.List {
		if r.State != last {
			table.Line(doc.Name(r.State).Toned(doc.Heading))
			last = r.State
		}
		verdict := doc.Name("pass")
		if Fails(f, i) {
			verdict = doc.Name("FAIL").Toned(doc.Fault)
			failed++
		}
		k := readingKind(r.Kind)
		tolerance := diagnose.Tolerance(r.Kind, f.Result.Base[i], f.Result.Sigma[i], f.Result.AsBuilt[i])
		table.Add(doc.Name(r.Name), doc.Name(r.Place.Name), doc.Name(string(r.Kind)), doc.Of(k, f.Result.Base[i]), doc.Cell{Spans: doc.Sayf("±{}", spreadOf(k, tolerance, head.Units))},
			doc.Of(k, r.Value), verdict, doc.Name(k.Label(head.Units)), doc.Name("________"))
	}
	first := &doc.Paragraph{}
	if h := &f.Result.Hypotheses[0]; failed > 0 && f.Bench.Causes()[h.Causes[0]].Kind != diagnose.Nothing {
		first = &doc.Paragraph{Head: "To put right first: ", Tone: doc.Caution, Text: doc.Sayf("{} ({}). The expected values above are those as left, once that is done.",
			doc.Name(causeName(f, h)), doc.Name(weightText(h.Weight)))}
	}
	d := head.document()
	d.Closing, d.Title = nil, "Commissioning sheet: "+d.Title
	d.Blocks = []doc.Block{
		&doc.Paragraph{Text: doc.Sayf("{} against {}", doc.Name(f.File), doc.Name(head.File)), Close: true},
		&doc.Paragraph{Text: noteOf(f.Readings.Note), Close: true},
		&doc.Section{Blocks: []doc.Block{table,
			&doc.Paragraph{Text: doc.Say(fmt.Sprintf("%d of %d pass. %s", len(f.Readings.List)-failed, len(f.Readings.List), Tolerances)), Close: true},
			first, settings(f),
			&doc.Code{Text: "By ________________________   Date ______________   Instruments ________________________\n"}}}}
	return d
}

// Tolerances says what the tolerances of a commissioning sheet are.
const Tolerances = "Tolerances: ±10 % of airflows, as commonly specified (from memory), ±15 % of pressures (our choice), never less than twice what instrument and as-built spread leave open."

// Expected prints what should be read and its tolerance, as a commissioning sheet does, without their unit.
func (p Printer) Expected(kind network.ReadingKind, value, tolerance float64) (expected, within string) {
	k := readingKind(kind)
	return doc.Of(k, value).Text(p.m.sys), "±" + spreadOf(k, tolerance, p.m.sys).Text(p.m.sys)
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
func settings(f *Fitted) *doc.Table {
	table := &doc.Table{Columns: []doc.Column{{Head: "Settings to leave", Left: true}, {Left: true}, {Head: "should be"}, {Head: "blade"}, {Head: "as left", Left: true}}}
	if f.Graph == nil {
		return table
	}
	for _, s := range diagnose.Settings(f.Graph) {
		value, blade := doc.Name(s.Word), doc.Cell{}
		switch {
		case s.Word == "pressure":
			value = doc.With(quantity.KindPressure, s.Value)
		case !math.IsNaN(s.Value):
			value, blade = doc.Open(s.Value), doc.Name(fmt.Sprintf("%.0f°", 90*(1-s.Value)))
		}
		table.Add(doc.Name(s.Name), doc.Name(s.What), value, blade, doc.Name("________"))
	}
	return table
}
