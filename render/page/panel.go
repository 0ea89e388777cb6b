package page

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/chart"
	"spillway/render/ink"
	"spillway/render/page/trial"
	"spillway/render/schematic"
	"spillway/render/sheet"
	"spillway/solver/derive"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// Panel is one solved call state as a page shows it.
type Panel struct {
	ID       string
	Title    string // "Cooling · only the loft zone calls"
	Name     string // of the call state
	Sentence string
	Level    string // ok, caution, fault
	Verdict  string // "2 faults, 6 cautions"
	Figures  []Figure
	Picture  HTML
	Unit     string // of airflow
	Blower   string
	Ledger   []sheet.LedgerLine
	Findings []Finding
	InOrder  []Place // checks that are in order
	Machine  string
	Facts    []Fact
	Charts   []HTML
	Tables   []HTML
	Notes    []string

	why *derive.Explainer
}

// Figure is one large number.
type Figure struct {
	Number, Caption, Class string
	Why                    string // the name under which it can be explained; "" when it cannot
}

// Fact is one line about the machine, the numbers in its text marked.
type Fact struct {
	Head string
	Text HTML
}

// Finding is what is not in order by one check, worst place first.
type Finding struct {
	Level, Check, Remedy, Source string
	Places                       []Place
}

// Place is one place that a finding is about.
type Place struct{ Level, Text, Why string }

// PanelOptions say how a panel is made.
type PanelOptions struct {
	ID       string // prefix of all ids in it
	Units    quantity.System
	Quantity schematic.Quantity
	// Others are the outcomes of all call states, for the blower's chart, and Index is the panel's own among them.
	Others []*state.Outcome
	Index  int
	// Moving makes of the panel only what the eye follows while a hand moves: head, picture and ledger.
	Moving bool
}

// NewPanel makes the panel of a case.
func NewPanel(in *trial.Installation, c *trial.Case, opt PanelOptions) (*Panel, error) {
	o := c.Outcome
	p := sheet.NewPrinter(opt.Units)
	u := p.Units()
	panel := &Panel{ID: opt.ID, Name: sheet.Clean(o.State.Name), Sentence: sheet.Sentence(o, opt.Units), Unit: u.Airflow, why: derive.New(o, c.Findings)}

	var b bytes.Buffer
	if err := in.Plan.Draw(&b, o, schematic.Options{Units: opt.Units, Sentence: panel.Sentence, Prefix: opt.ID, Quantity: opt.Quantity, Bare: true}); err != nil {
		return nil, err
	}
	panel.Title = schematic.Title(o)
	panel.Picture = HTML(b.String()) // our own renderer escapes every name
	panel.Level, panel.Verdict = verdictOf(c.Findings)
	panel.figures(p, o)
	if opt.Moving && o.State.Mode == network.Cooling {
		panel.Figures = append(panel.Figures, Figure{Number: "…", Caption: "to freezing"}) // quick solutions have no course
	}

	panel.Blower, _, panel.Ledger = p.Ledger(o)
	for i := range panel.Ledger {
		l := &panel.Ledger[i]
		l.Ask, l.AskPart = panel.named(l.Ask), panel.named(l.AskPart)
	}
	if opt.Moving {
		return panel, nil
	}
	panel.findings(p, c.Findings)
	panel.machine(o, opt.Units)
	panel.Notes = o.Notes
	if line := p.RangesLine(o); line != "" {
		panel.Notes = append(slices.Clone(o.Notes), line)
	}
	if err := panel.tables(o, opt.Units); err != nil {
		return nil, err
	}
	return panel, panel.charts(c, opt)
}

// findings gathers findings by check: what helps and where the limit comes from is said once for all its places.
func (panel *Panel) findings(p sheet.Printer, list []verdict.Finding) {
	at := map[string]int{}
	for _, f := range list {
		if f.Level == verdict.OK {
			panel.InOrder = append(panel.InOrder, Place{string(f.Level), p.Finding(f), panel.named(derive.MarginName(&f))})
			continue
		}
		key := f.Check + "\x00" + f.Remedy
		i, known := at[key]
		if !known {
			i = len(panel.Findings)
			at[key] = i
			out := Finding{Level: string(f.Level), Check: f.Check, Remedy: f.Remedy, Source: f.Source}
			if math.IsNaN(f.Limit) {
				out.Source = ""
			}
			panel.Findings = append(panel.Findings, out)
		}
		panel.Findings[i].Places = append(panel.Findings[i].Places, Place{string(f.Level), p.Place(f), panel.named(derive.MarginName(&f))})
	}
}

// charts draws what the state has to show as curves and bars.
func (panel *Panel) charts(c *trial.Case, opt PanelOptions) error {
	o := c.Outcome
	others, index := opt.Others, opt.Index
	if index < 0 || index >= len(others) {
		others, index = []*state.Outcome{o}, 0
	}
	others = slices.Clone(others)
	others[index] = o
	systems := make([]chart.System, len(others))
	systems[index] = c.System
	figures := []*chart.Figure{chart.Airflow(o, opt.Units), chart.Noise(o, noiseOf(o)), chart.Blower(others, systems, index, opt.Units),
		chart.Way(o, opt.Units), chart.Course(o, opt.Units)}
	for i, f := range figures {
		if f == nil {
			continue
		}
		var b bytes.Buffer
		if err := chart.Write(&b, f, chart.Options{Prefix: fmt.Sprintf("%s-c%d", opt.ID, i), Bare: true}); err != nil {
			return err
		}
		panel.Charts = append(panel.Charts, HTML(b.String()))
	}
	return nil
}

// noiseOf is the noise of every register, and what its room is held to.
func noiseOf(o *state.Outcome) []chart.NoiseOf {
	noise := make([]chart.NoiseOf, len(o.Registers))
	for i := range noise {
		r := &o.Registers[i]
		noise[i] = chart.NoiseOf{NC: r.NC, Low: r.NCLow, High: r.NCHigh, Target: math.NaN(), Fault: math.NaN()}
	}
	for i, l := range verdict.RoomNoise(o) {
		for _, k := range o.Rooms[i].Registers {
			noise[k].Target, noise[k].Fault = l.Caution, l.Fault
		}
	}
	return noise
}

func (panel *Panel) figures(p sheet.Printer, o *state.Outcome) {
	u := p.Units()
	blower, surplus, _ := p.Ledger(o)
	panel.Figures = []Figure{
		{blower, u.Airflow + " at the blower", "", panel.named("blower airflow")},
		{surplus, u.Airflow + " surplus", "surplus", panel.named("surplus")},
		{p.Pressure(o.Blower.ExternalStatic), u.Pressure + " external static", "", panel.named("external static")},
	}
	if number, unit := p.PerTon(o); number != "" {
		panel.Figures = append(panel.Figures, Figure{number, unit, "", panel.named("airflow per ton")})
	}
	e := &o.Equipment
	panel.Figures = append(panel.Figures, Figure{p.Temperature(e.Leaving), u.Temperature + " leaving, " + p.Temperature(e.Entering) + " entering", "", panel.named("leaving air")})
	switch {
	case p.LimitFlip(o) != "":
		panel.Figures = append(panel.Figures, Figure{p.LimitFlip(o), "unmixed trips the limit", "", panel.named("limit flips at")})
	case o.State.Mode == network.Heating && !math.IsNaN(e.TimeToLimit):
		panel.Figures = append(panel.Figures, Figure{p.Duration(e.TimeToLimit), "to the limit", hot(e.TimeToLimit), panel.named("time to limit")})
	case o.State.Mode == network.Cooling && !math.IsNaN(e.TimeToFrost):
		panel.Figures = append(panel.Figures, Figure{p.Duration(e.TimeToFrost), "to freezing", hot(e.TimeToFrost), panel.named("time to frost")})
	}
}

// hot marks what comes about.
func hot(seconds float64) string {
	if math.IsInf(seconds, 1) {
		return ""
	}
	return "bad"
}

// verdictOf counts findings.
func verdictOf(findings []verdict.Finding) (level, words string) {
	faults, cautions := 0, 0
	for _, f := range findings {
		switch f.Level {
		case verdict.Fault:
			faults++
		case verdict.Caution:
			cautions++
		}
	}
	var parts []string
	if faults > 0 {
		parts = append(parts, plural(faults, "fault", "faults"))
	}
	if cautions > 0 {
		parts = append(parts, plural(cautions, "caution", "cautions"))
	}
	switch {
	case faults > 0:
		return "fault", strings.Join(parts, ", ")
	case cautions > 0:
		return "caution", strings.Join(parts, ", ")
	}
	return "ok", "in order"
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// styleOf is everything that styles a page, with the colours of the palette for light, dark and print.
func styleOf() HTML {
	return HTML(paletteCSS() + asset("style.css") + asset("explain.css") +
		schematic.StyleSheet(ink.Auto) + chart.StyleSheet(ink.Auto))
}
