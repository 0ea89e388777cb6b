package page

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"spillway/network"
	"spillway/render/sheet"
	"spillway/solver/sound"
	"spillway/solver/state"
)

// The captions of the tables.
const (
	registerCaption = "Registers"
	zoneCaption     = "Zones"
	damperCaption   = "Dampers"
	portCaption     = "Static pressure at the ports"
	ductCaption     = "Ducts"
)

// tables lists what registers, zones, dampers and ports do.
func (panel *Panel) tables(p sheet.Printer, o *state.Outcome) {
	panel.Tables = append(panel.Tables, registerTable(p, o), zoneTable(p, o), damperTable(p, o), portTable(p, o), ductTable(p, o))
	panel.explained(p, o)
}

// Markup is the table as HTML, every text in it escaped. It is written by hand: the tables are most of a panel's markup, and while a
// damper is dragged a template would take as long for them as the solver for the house.
func (t Table) Markup() template.HTML {
	var b strings.Builder
	text := template.HTMLEscapeString
	b.WriteString(`<div class="card scroll" tabindex="0" role="region" aria-label="` + text(t.Caption) + "\">\n<table><caption>" + text(t.Caption) + "</caption>\n<thead><tr>")
	for i, h := range t.Head {
		b.WriteString(`<th scope="col"`)
		if i >= t.Words {
			b.WriteString(` class="n"`)
		}
		if h == "" {
			h = "call"
		}
		b.WriteString(">" + text(h) + "</th>")
	}
	b.WriteString("</tr></thead>\n<tbody>\n")
	for n, row := range t.Rows {
		b.WriteString("<tr>")
		for i, c := range row {
			switch {
			case i == 0:
				b.WriteString(`<th scope="row">` + text(c) + "</th>")
			case t.why(n, i) != "":
				b.WriteString(`<td class="n" data-why="` + text(t.why(n, i)) + `">` + text(c) + "</td>")
			case i < t.Words:
				b.WriteString("<td>" + text(c) + "</td>")
			default:
				b.WriteString(`<td class="n">` + text(c) + "</td>")
			}
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString("</tbody></table>\n")
	if t.Note != "" {
		b.WriteString(`<p class="source">` + text(t.Note) + "</p>\n")
	}
	b.WriteString("</div>")
	return template.HTML(b.String())
}

// why is the name under which the number of a cell can be explained.
func (t *Table) why(row, column int) string {
	if row >= len(t.Why) || column >= len(t.Why[row]) {
		return ""
	}
	return t.Why[row][column]
}

func registerTable(p sheet.Printer, o *state.Outcome) Table {
	u := p.Units()
	t := Table{Caption: registerCaption, Words: 4, Head: []string{"register", "room", "zone", "", u.Airflow, "wanted", "face " + u.Velocity, "static " + u.Pressure, u.Temperature, "NC", "throw " + u.Length}}
	for i, r := range o.Registers {
		g := &o.Graph.Registers[i]
		call := ""
		switch {
		case g.Dump:
			call = "dump"
		case r.Calling:
			call = "calls"
		}
		wants := "-"
		if r.Wants > 0 && !g.Dump {
			wants = p.Airflow(r.Wants)
		}
		t.Rows = append(t.Rows, []string{sheet.Clean(sheet.RegisterName(o.Graph, g)), sheet.Clean(g.Room), sheet.Clean(g.Zone), call, p.Airflow(r.Airflow), wants,
			p.Velocity(r.FaceVelocity), p.Drop(r.Static), p.Temperature(r.Temperature), sound.Shown(r.NC), p.Length(r.Throw)})
	}
	return t
}

func zoneTable(p sheet.Printer, o *state.Outcome) Table {
	u := p.Units()
	t := Table{Caption: zoneCaption, Words: 2, Head: []string{"zone", "", u.Airflow, "wanted", "return", "against house " + u.Pressure, "drift " + u.Drift, "ends " + u.Span + " off", "calls itself"},
		Note: strings.Join(append([]string{"Drift is while the call runs. With calls like this going on a zone calls itself after the time given, or ends where given."},
			p.HeatDecides(o)...), " ")}
	for i, z := range o.Zones {
		call := "satisfied"
		if z.Calling {
			call = "calls"
		}
		t.Rows = append(t.Rows, []string{sheet.Clean(o.Graph.Job.Zones[i].Name), call, p.ZoneAirflow(o, z.Airflow), p.Airflow(z.Wants), p.ReturnAirflow(o, i), p.Drop(z.Pressure), p.Drift(z.DriftRate), p.DriftEnd(&z), p.CallsAfter(&z)})
	}
	return t
}

func damperTable(p sheet.Printer, o *state.Outcome) Table {
	u := p.Units()
	t := Table{Caption: damperCaption, Words: 2, Head: []string{"damper", "stands", "open", "blade", u.Airflow, "drop " + u.Pressure}}
	for i := range o.Dampers {
		d := &o.Dampers[i]
		t.Rows = append(t.Rows, []string{sheet.Clean(d.Name), p.DamperWords(d), p.Percent(d.Position), bladeText(d.Blade), p.ZoneAirflow(o, d.Airflow), p.Drop(d.Drop)})
	}
	return t
}

func bladeText(degrees float64) string {
	if math.IsNaN(degrees) {
		return "-"
	}
	return fmt.Sprintf("%.0f°", degrees)
}

func portTable(p sheet.Printer, o *state.Outcome) Table {
	t := Table{Caption: portCaption, Words: 2, Head: []string{"port", "at", p.Units().Pressure}}
	for _, r := range p.Ports(o) {
		at := sheet.Clean(r.At)
		if at == "" {
			at = "-"
		}
		t.Rows = append(t.Rows, []string{sheet.Clean(r.Name), at, p.Drop(r.Static)})
	}
	return t
}

func ductTable(p sheet.Printer, o *state.Outcome) Table {
	u := p.Units()
	t := Table{Caption: ductCaption, Words: 1, Head: []string{"duct", u.Airflow, "surplus", u.Velocity, "drop " + u.Pressure, "static at its end", u.Temperature}}
	for i, e := range o.Graph.Elements {
		if e.Kind != network.KindDuct {
			continue
		}
		r := &o.Elements[i]
		t.Rows = append(t.Rows, []string{sheet.Clean(e.Name), p.Airflow(r.Airflow), p.Airflow(r.Surplus), p.Velocity(r.Velocity), p.Drop(r.Drop), p.Drop(o.Nodes[e.To].Static), p.Temperature(r.Temperature)})
	}
	return t
}
