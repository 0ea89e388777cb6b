package page

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"spillway/network"
	"spillway/render/sheet"
	"spillway/solver/derive"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// Every number of a page that has a derivation carries the name under which it can be asked for (data-why); the page's script makes a
// button of it that opens the derivation.

// named is a number's name where it can be explained in this state, else "".
func (panel *Panel) named(name string) string {
	if panel.why == nil || !panel.why.Has(name) {
		return ""
	}
	return sheet.Clean(name)
}

// pathOf is the name of a line of the ledger.
func pathOf(l sheet.LedgerLine) string { return derive.PathName(&state.Path{Kind: l.Kind, To: l.To}) }

// marginOf is the name of a finding's margin.
func marginOf(f *verdict.Finding) string { return derive.MarginName(f) }

// explained gives the tables' numbers their names.
func (panel *Panel) explained(p sheet.Printer, o *state.Outcome) {
	g := o.Graph
	names := func(t *Table, prefix string, columns ...string) {
		row := t.Rows[len(t.Why)]
		out := make([]string, len(row))
		for i, c := range columns {
			at := t.Words + i
			if at >= len(row) || row[at] == "-" || c == "" {
				continue
			}
			if after, whole := strings.CutPrefix(c, "="); whole {
				out[at] = panel.named(after)
			} else {
				out[at] = panel.named(prefix + " " + c)
			}
		}
		t.Why = append(t.Why, out)
	}
	for i := range panel.Tables {
		t := &panel.Tables[i]
		switch t.Caption {
		case registerCaption:
			for k := range g.Registers {
				names(t, g.Elements[g.Registers[k].Element].Name, "airflow", "wanted", "face velocity", "static", "temperature", "noise", "throw")
			}
		case zoneCaption:
			for k := range o.Zones {
				names(t, g.Job.Zones[k].Name+" zone", "airflow", "wanted", "return", "pressure", "drift", "drift end", "calls itself after")
			}
		case damperCaption:
			for k := range o.Dampers {
				names(t, g.Elements[o.Dampers[k].Element].Name, "open", "blade", "airflow", "drop")
			}
		case portCaption:
			for _, r := range p.Ports(o) {
				names(t, r.Name, "static")
			}
		case ductCaption:
			for k := range g.Elements {
				if e := &g.Elements[k]; e.Kind == network.KindDuct {
					names(t, e.Name, "airflow", "surplus", "velocity", "drop", "="+g.Nodes[e.To].Name+" static", "temperature")
				}
			}
		}
	}
}

// mark is a number as it is printed within a text, and its name.
type mark struct{ name, printed string }

// machine says what happens to the air in the machine, the numbers in the sentences marked.
func (panel *Panel) machine(p sheet.Printer, o *state.Outcome) {
	e := &o.Equipment
	u := p.Units()
	temperature := func(name string, v float64) mark { return mark{name, p.Temperature(v) + " " + u.Temperature} }
	span := func(name string, v float64) mark { return mark{name, p.Span(v) + " " + u.Span} }
	heat := func(name string, v float64) mark { return mark{name, p.Heat(v) + " " + u.Heat} }
	share := func(name string, v float64) mark { return mark{name, fmt.Sprintf("%.0f %%", 100*v)} }
	marks := map[string][]mark{
		"entering":     {temperature("entering air", e.Entering), temperature("entering wet bulb", e.EnteringWetBulb)},
		"leaving":      {temperature("leaving air", e.Leaving)},
		"rise":         {span("temperature rise", e.Rise)},
		"drop":         {span("temperature drop", -e.Rise)},
		"output":       {heat("output", e.Output), heat("fan heat", e.FanHeat)},
		"capacity":     {heat("cooling capacity", e.Output), share("sensible share", e.Sensible/e.Output), heat("fan heat", e.FanHeat)},
		"fan heat":     {heat("fan heat", e.FanHeat)},
		"recirculated": {{"recirculated", fmt.Sprintf("%.1f %%", 100*e.Recirculated)}},
		"burner":       {share("burner duty", e.BurnerDuty)},
		"heater":       {share("burner duty", e.BurnerDuty)},
		"limit": {{"time to limit", p.Duration(e.TimeToLimit)}, temperature("limit sensor", e.Sensor), span("margin to limit", e.Limit-e.Sensor),
			temperature("limit", e.Limit)},
		"evaporating": {{"evaporating temperature", p.Temperature(e.Evaporating)}, {"evaporating temperature second estimate", p.Temperature(e.EvaporatingSecond)}},
		"frost":       {{"time to frost", p.Duration(e.TimeToFrost)}, temperature("coldest strip", e.EvaporatingStrip), span("frost margin", math.Abs(e.FrostMargin))},
	}
	machine, facts := p.Machine(o)
	panel.Machine = machine
	for _, f := range facts {
		panel.Facts = append(panel.Facts, Fact{f.Head, panel.marked(f.Text, marks[f.Head])})
	}
}

// marked is a text as HTML in which numbers carry their names. A number that is not found as it is printed stays unmarked.
func (panel *Panel) marked(text string, marks []mark) template.HTML {
	type piece struct {
		from, to int
		name     string
	}
	var pieces []piece
	for _, m := range marks {
		name := panel.named(m.name)
		if name == "" || m.printed == "" || m.printed == "-" {
			continue
		}
		for from := 0; from < len(text); {
			at := strings.Index(text[from:], m.printed)
			if at < 0 {
				break
			}
			at += from
			end := at + len(m.printed)
			free := !partOfNumber(text, at, end)
			for _, other := range pieces {
				free = free && (end <= other.from || at >= other.to)
			}
			if free {
				pieces = append(pieces, piece{at, end, name})
				break
			}
			from = end
		}
	}
	var b strings.Builder
	for at := 0; at < len(text); {
		next := piece{from: len(text), to: len(text)}
		for _, p := range pieces {
			if p.from >= at && p.from < next.from {
				next = p
			}
		}
		b.WriteString(template.HTMLEscapeString(text[at:next.from]))
		if next.name != "" {
			b.WriteString(`<span data-why="` + template.HTMLEscapeString(next.name) + `">` + template.HTMLEscapeString(text[next.from:next.to]) + "</span>")
		}
		at = next.to
	}
	return template.HTML(b.String())
}

// partOfNumber tells whether a piece of a text is a part of a longer number.
func partOfNumber(text string, from, to int) bool {
	digit := func(i int) bool {
		return i >= 0 && i < len(text) && (text[i] >= '0' && text[i] <= '9' || text[i] == '.')
	}
	return digit(from-1) || from > 0 && text[from-1] == '-' || text[to-1] >= '0' && text[to-1] <= '9' && digit(to) && to+1 < len(text) && text[to+1] >= '0' && text[to+1] <= '9'
}
