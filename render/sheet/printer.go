package sheet

import (
	"fmt"
	"math"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// Printer prints single numbers and lines as the text report does, for pages that lay them out themselves: the same number is the same
// text everywhere. A number that does not apply is a dash.
type Printer struct{ m trade }

// NewPrinter returns the printer of a system of units.
func NewPrinter(s quantity.System) Printer { return Printer{tradeOf(s)} }

// Units are the words for the units that numbers without a unit are in.
type Units struct {
	Airflow, Pressure, Velocity, Temperature, Span, Drift, Heat, Length string
}

// Units returns them.
func (p Printer) Units() Units {
	m := p.m
	return Units{m.airflow.label, m.pressure.label, m.velocity.label, m.temperature.label, m.span.label, m.drift.label, m.heat.label, m.length.label}
}

// The quantities, from SI, without a unit. Pressure has the decimals of an external static, Drop one more.
func (p Printer) Airflow(si float64) string     { return p.m.airflow.text(si) }
func (p Printer) Pressure(si float64) string    { return p.m.pressure.text(si) }
func (p Printer) Drop(si float64) string        { return p.m.drop.text(si) }
func (p Printer) Velocity(si float64) string    { return p.m.velocity.text(si) }
func (p Printer) Temperature(si float64) string { return p.m.temperature.text(si) }
func (p Printer) Span(si float64) string        { return p.m.span.text(si) }
func (p Printer) Drift(si float64) string       { return p.m.drift.signed(si) }
func (p Printer) Heat(si float64) string        { return p.m.heat.text(si) }
func (p Printer) Length(si float64) string      { return p.m.length.text(si) }
func (p Printer) Percent(share float64) string  { return doc.Open(share).Text(p.m.sys) }
func (p Printer) Duration(s float64) string     { return doc.After(s).Text(p.m.sys) }

// LimitFlip is the unmixed share above which the limit trips, where its band decides that; else "".
func (p Printer) LimitFlip(o *state.Outcome) string {
	if o.LimitBand() != state.Depends {
		return ""
	}
	return flipCell(o.Equipment.UnmixedAtSensor(o.Equipment.Limit)).Text(p.m.sys)
}

// PerTon is the airflow per nominal cooling of the stage that runs, and its unit; "" when it does not apply.
func (p Printer) PerTon(o *state.Outcome) (number, unit string) {
	if perTon := o.PerTon(); !math.IsNaN(perTon) {
		return p.m.flowPerHeat.text(perTon), p.m.flowPerHeat.label
	}
	return "", ""
}

// Finding is a finding on one line: what, where, value and limit.
func (p Printer) Finding(f verdict.Finding) string {
	return doc.Plainly(findingSpans(&f, p.m.sys), p.m.sys)
}

// Place is a finding without the name of its check: where, value and limit.
func (p Printer) Place(f verdict.Finding) string {
	return doc.Plainly(placeSpans(&f, p.m.sys), p.m.sys)
}

// LedgerLine is one line of the ledger on paper.
type LedgerLine struct {
	Text    string // "bleed into main"
	Airflow string // whole, adding up to the blower's
	Percent string // of the blower's air, adding up to 100.0
	Share   float64
	Bar     string // width, per cent
	Wanted  bool   // asked for by a calling zone; else surplus
	Ask     string // the name under which the airflow can be explained
	AskPart string // as Ask, of the percentage
}

// Ledger is an outcome's ledger whose whole airflows add up to the blower's, which comes first, and the surplus. Surplus that rounds to
// nothing has no line.
func (p Printer) Ledger(o *state.Outcome) (blower, surplus string, lines []LedgerLine) {
	a, s := accounts(o), p.m.sys
	for l := range a.Lines(s) {
		if !l.Wanted && l.Airflow == "0" && l.Share == 0 {
			continue
		}
		lines = append(lines, LedgerLine{Text: l.Name.Words, Airflow: l.Airflow, Percent: l.Percent, Share: l.Share,
			Bar: fmt.Sprintf("%.1f", 100*math.Max(l.Share, 0)), Wanted: l.Wanted, Ask: l.Ask, AskPart: l.AskPart})
	}
	return a.blower().Text(s), a.surplus().Text(s), lines
}

// Wholes tells of an outcome's airflows, m³/s, which whole number of the system's unit its ledger has for them; false for one that is not in it.
func (p Printer) Wholes(o *state.Outcome) func(airflow float64) (whole int64, ok bool) {
	return newAccount(o, p.m.airflow.factor()).whole
}

// Port is the static that a gauge would show at a place.
type Port struct {
	Name, At string
	Static   float64 // Pa
}

// Ports lists the equipment's own ports, in air order, and then the job's.
func (p Printer) Ports(o *state.Outcome) []Port {
	var out []Port
	for _, r := range o.Ports {
		out = append(out, Port{r.Name, r.At, r.Static})
	}
	return out
}

// Clean makes a name from a job file fit for one line.
func Clean(name string) string { return clean(name) }

// RangesLine says in one sentence how many formulas of ducts and coil are outside the range of their source and what that can do; "" where none is.
func (p Printer) RangesLine(o *state.Outcome) string { return rangesLine(o, p.m.sys) }
