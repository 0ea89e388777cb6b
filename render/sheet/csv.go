package sheet

import (
	"encoding/csv"
	"io"
	"math"
	"spillway/network/quantity"
	"strings"
	"unicode"
	"unicode/utf8"

	"spillway/network"
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

// number writes one row, none when the number does not apply.
func (t *CSV) number(kind, name, quantity string, m measure, si float64) {
	v := m.of(si)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return
	}
	t.row(kind, name, quantity, string(appendNumber(nil, v)), m.plain, "", "")
}

func (t *CSV) report(r *Report) {
	o, m := r.Outcome, t.trade
	t.number("blower", "blower", "airflow", m.airflow, o.Blower.Airflow)
	t.number("blower", "blower", "external static", m.drop, o.Blower.ExternalStatic)
	t.number("blower", "blower", "power", m.power, o.Blower.Power)
	t.number("blower", "blower", "power per airflow", m.powerPerFlow, o.Blower.Power/o.Blower.Airflow)
	t.number("blower", "blower", "airflow per nominal cooling", m.flowPerHeat, o.Blower.Airflow/nominalCooling(o))
	t.number("blower", "blower", "bypass share", m.percent, o.Bypass)
	t.equipment(o)

	a := newAccount(o, m.airflow.factor()/ledgerScale)
	for _, l := range a.lines {
		t.row("ledger", l.To, string(l.Kind), decimal(l.whole, ledgerPlaces), m.airflow.plain, "", "")
	}
	for i, g := range o.Graph.Registers {
		name := registerName(o.Graph, &g)
		t.number("register", name, "airflow", m.airflow, o.Registers[i].Airflow)
		t.number("register", name, "wanted", m.airflow, o.Registers[i].Wants)
		t.number("register", name, "face velocity", m.velocity, o.Registers[i].FaceVelocity)
		t.number("register", name, "static", m.drop, o.Registers[i].Static)
		t.number("register", name, "temperature", m.temperature, o.Registers[i].Temperature)
		t.number("register", name, "dew point", m.temperature, o.Registers[i].DewPoint)
	}
	for i, z := range o.Zones {
		name := o.Graph.Job.Zones[i].Name
		t.number("zone", name, "airflow", m.airflow, z.Airflow)
		t.number("zone", name, "wanted", m.airflow, z.Wants)
		t.number("zone", name, "shortfall", m.airflow, z.Shortfall)
		t.number("zone", name, "return", m.airflow, returnAir(o, i))
		t.number("zone", name, "pressure against house", m.drop, z.Pressure)
		t.zoneClimate(name, &z)
	}
	degrees := measureIn(quantity.KindAngle, quantity.IP)
	for _, d := range o.Dampers {
		t.number("damper", d.Name, "open", m.percent, d.Position)
		t.number("damper", d.Name, "blade from open", degrees, d.Blade)
		t.number("damper", d.Name, "airflow", m.airflow, d.Airflow)
		t.number("damper", d.Name, "drop", m.drop, d.Drop)
	}
	for _, p := range ports(o) {
		t.number("port", p.name, "static", m.drop, p.static)
	}
	t.sounds(o)
	t.elements(r)
	t.findings(r.Findings)
}

func (t *CSV) elements(r *Report) {
	o, m := r.Outcome, t.trade
	told := make([]bool, len(o.Graph.Elements)) // whose airflow and drop stand above already
	told[o.Graph.Blower] = true
	for _, d := range o.Dampers {
		told[d.Element] = true
	}
	for i, e := range o.Graph.Elements {
		kind, in := string(e.Kind), &o.Elements[i]
		if !told[i] && e.Kind != network.KindRegister {
			t.number(kind, e.Name, "airflow", m.airflow, in.Airflow)
			t.number(kind, e.Name, "drop", m.drop, in.Drop)
		}
		t.number(kind, e.Name, "surplus", m.airflow, in.Surplus)
		t.number(kind, e.Name, "velocity", m.velocity, in.Velocity)
		t.number(kind, e.Name, "friction", m.friction, in.Friction)
		t.number(kind, e.Name, "temperature", m.temperature, in.Temperature)
	}
	for i, n := range o.Graph.Nodes {
		t.number("node", n.Name, "static", m.drop, o.Nodes[i].Static)
		t.number("node", n.Name, "total", m.drop, o.Nodes[i].Total)
		t.number("node", n.Name, "temperature", m.temperature, o.Nodes[i].Temperature)
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
	return string(appendNumber(nil, v))
}
