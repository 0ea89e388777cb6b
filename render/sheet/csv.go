package sheet

import (
	"cmp"
	"encoding/csv"
	"io"
	"math"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"spillway/solver/state"
	"spillway/solver/verdict"
)

// CSV writes sheets as one long table, one number in a row:
//
//	job, alternative, state, kind, name, quantity, value, unit, limit, level
//
// A spreadsheet filters it by kind ("blower", "equipment", "ledger", "register", "zone", "damper", "port", "node", "finding", or the kind of
// an element such as "duct") and pivots it with state across and name down, over several jobs and alternatives at once. Limit
// is filled for findings only. A number that does not apply has no row. Values have six significant digits, except
// the ledger's, which add up; units are ASCII. The first row holds the names of the columns.
//
// Level is that of a finding; and in rows without a value of the equipment's "limit" and "frost" and a zone's "swing" it says whether
// they come about: never, reached, later or unknown, as in JSON. What never happens has no row of its time. The time course is in
// JSON only.
//
// A name from a job file that begins with = + - @ (also behind blanks, or as wide letters of East Asia), a tab or a line break would
// be a formula to a spreadsheet. It has an apostrophe before it, which spreadsheets take for "text"; so has one that begins with an
// apostrophe, so that a program gets every name back by taking one leading apostrophe away.
type CSV struct {
	out   *csv.Writer
	trade trade
	place [3]string // job, alternative, state
}

// NewCSV starts a table. Nothing is written before the first sheet.
func NewCSV(w io.Writer) *CSV {
	t := &CSV{out: csv.NewWriter(w)}
	t.write("job", "alternative", "state", "kind", "name", "quantity", "value", "unit", "limit", "level")
	return t
}

// Add writes the rows of one sheet, in the sheet's units.
func (t *CSV) Add(s *Sheet) error {
	t.trade = tradeOf(s.Units)
	for _, r := range s.Reports {
		t.place = [3]string{s.title(), s.Job.Alternative, r.Outcome.State.Name}
		t.report(r)
	}
	t.out.Flush()
	return t.out.Error()
}

func (t *CSV) write(fields ...string) { _ = t.out.Write(fields) } // the error stays in the writer; see Add

// row writes one row behind job, alternative and state. Names and words are guarded; the numbers of this package, which may begin
// with a minus, are not.
func (t *CSV) row(kind, name, quantity, value, unit, limit, level string) {
	p := t.place
	t.write(guard(p[0]), guard(p[1]), guard(p[2]), guard(kind), guard(name), guard(quantity), value, unit, limit, level)
}

// guard puts an apostrophe before a text that a spreadsheet would read as a formula, and before one that begins with an apostrophe
// itself, so that taking one away always gives the text back. Spreadsheets skip blanks and take wide signs for plain ones.
func guard(text string) string {
	if first := strings.TrimLeftFunc(text, unicode.IsSpace); first != "" && strings.ContainsRune("=+-@'＝＋－＠", firstRune(first)) ||
		text != "" && strings.ContainsRune("\t\r\n", firstRune(text)) {
		return "'" + text
	}
	return text
}

func firstRune(text string) rune {
	r, _ := utf8.DecodeRuneInString(text)
	return r
}

// rows writes the fields of one subject; nothing for a number that does not apply and for a word of a question that does not arise.
func (t *CSV) rows(kind, name string, o *state.Outcome, fields []*state.Field, at int) {
	for _, f := range fields {
		switch v := f.Get(o, at); {
		case f.Form == state.Word && v.Text != "":
			t.row(kind, name, f.Row, "", "", "", v.Text) // so that the column of values holds numbers only
		case f.Form == state.Number:
			m := measureIn(f.Kind, t.trade.sys)
			if text := orEmpty(m.paper(v.Num)); text != "" {
				t.row(kind, name, f.Row, text, m.plain, "", "")
			}
		}
	}
}

// rowsOf lists the fields of a subject that have rows in CSV, in their order.
func rowsOf(of state.Subject, in state.Where) (list []*state.Field) {
	fields := state.Fields(of)
	for i := range fields {
		if fields[i].In&in != 0 {
			list = append(list, &fields[i])
		}
	}
	slices.SortStableFunc(list, func(a, b *state.Field) int { return cmp.Compare(b.Early, a.Early) })
	return list
}

// every writes the rows of every one of a subject.
func (t *CSV) every(o *state.Outcome, of state.Subject, in state.Where, kind string, name func(at int) string) {
	fields := rowsOf(of, in)
	for at := range o.Count(of) {
		t.rows(kind, name(at), o, fields, at)
	}
}

func (t *CSV) report(r *Report) {
	o := r.Outcome
	whole := func(name string) func(int) string { return func(int) string { return name } }
	own := func(of state.Subject) func(int) string {
		return func(at int) string { return o.Subject(of, at) }
	}
	damper := func(at int) string { return o.Dampers[at].Name }
	t.every(o, state.OfBlower, state.CSV, "blower", whole("blower"))
	t.rows("blower", "blower", o, []*state.Field{state.FieldOf(state.EquipmentBypassShare)}, 0)
	t.every(o, state.OfEquipment, state.CSV, "equipment", whole("equipment"))
	a := newAccount(o, t.trade.airflow.factor()/ledgerScale)
	for _, l := range a.lines {
		t.row("ledger", l.To, string(l.Kind), decimal(l.whole, ledgerPlaces), t.trade.airflow.plain, "", "")
	}
	t.every(o, state.OfRegister, state.CSV, "register", o.RegisterName)
	t.every(o, state.OfZone, state.CSV, "zone", own(state.OfZone))
	t.every(o, state.OfDamper, state.CSV, "damper", damper)
	t.every(o, state.OfPort, state.CSV, "port", own(state.OfPort))
	t.every(o, state.OfRegister, state.Sound, "register", o.RegisterName)
	t.every(o, state.OfRoom, state.CSV, "room", own(state.OfRoom))
	t.elements(o)
	t.every(o, state.OfNode, state.CSV, "node", own(state.OfNode))
	t.findings(r.Findings)
}

// elements writes every part. The airflow and drop of blower, dampers and registers stand above already.
func (t *CSV) elements(o *state.Outcome) {
	told := make([]bool, len(o.Graph.Elements))
	told[o.Graph.Blower] = true
	for _, d := range o.Dampers {
		told[d.Element] = true
	}
	for _, r := range o.Graph.Registers {
		told[r.Element] = true
	}
	fields := rowsOf(state.OfElement, state.CSV)
	rest := slices.DeleteFunc(slices.Clone(fields), func(f *state.Field) bool {
		return f.ID == state.ElementAirflow || f.ID == state.ElementDrop
	})
	for i := range o.Elements {
		e, these := &o.Graph.Elements[i], fields
		if told[i] {
			these = rest
		}
		t.rows(e.Kind.String(), e.Name, o, these, i)
	}
}

func (t *CSV) findings(list []verdict.Finding) {
	for _, f := range list {
		unit := t.trade.forQuantity(f.Quantity)
		t.row("finding", f.Where, f.Check, orEmpty(unit.of(f.Value)), unit.plain,
			orEmpty(unit.of(f.Limit)), string(f.Level))
	}
}

// orEmpty prints a number, or nothing when it does not apply.
func orEmpty(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return figure(v)
}
