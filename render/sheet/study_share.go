package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"spillway/solver/study"
)

// BalanceText writes the hand-damper settings that were found, with the lines to paste.
func BalanceText(w io.Writer, head *Sheet, h *study.HandBalance, style Style) error {
	style.units = head.Units
	m := tradeOf(style.units)
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(head.title()), style.page()), heading) + "\n\n")
	paragraph(&b, 0, "", fmt.Sprintf("In %s every register gets %s of what it wants with these hand dampers. One at least stays wide open, so that the blower works against no more than it must.",
		clean(h.State), m.percent.with(h.Ratio)), style, plainTone)
	b.WriteByte('\n')
	t := table{columns: []column{{head: "Run", left: true}, {above: "open", head: "%"}, {above: "of its want", head: "before, %"}, {above: "", head: "after, %"}}}
	for k, line := range h.Lines {
		t.addPlain(clean(line), m.percent.textTo(h.Open[k], 0), m.percent.text(h.Before[k]), m.percent.text(h.After[k]))
	}
	t.write(&b, 0, style)
	b.WriteString("\n" + style.paint("To paste into the job file", heading) + "\n")
	b.WriteString(indent(override(head.Job, "balanced", h.Variant.Set)))
	if !style.Continued {
		b.WriteString(Closing(style))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// ModulateText writes how a variable-speed blower and modulating dampers share the air.
func ModulateText(w io.Writer, head *Sheet, s *study.Modulation, style Style) error {
	style.units = head.Units
	m := tradeOf(style.units)
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(head.title()), style.page()), heading) + "\n\n")
	text := fmt.Sprintf("In %s the blower runs at %s with a static of %s", clean(s.State), m.airflow.with(s.Outcome.Blower.Airflow), m.pressure.with(s.Outcome.Blower.ExternalStatic)) + "; " + m.airflow.with(s.LeftOver) + " are left over."
	switch {
	case s.AtLeast:
		text += " That is the least it can, which is more than the zones ask."
	case s.AtMost:
		text += " That is the most it can, which is less than the zones ask."
	}
	paragraph(&b, 0, "", text, style, plainTone)
	b.WriteByte('\n')
	t := table{columns: []column{{head: "Zone", left: true}, {above: "damper", head: "% open"}, {above: "asks", head: m.airflow.label}, {above: "gets", head: m.airflow.label}}}
	for k, zone := range s.Zones {
		t.addPlain(clean(zone), m.percent.text(s.Positions[k]), m.airflow.text(s.Asked[k]), m.airflow.text(s.Given[k]))
	}
	t.write(&b, 0, style)
	ledgerTable(&b, s.Outcome, style)
	b.WriteString("\n" + style.paint("To paste into the job file", heading) + "\n")
	b.WriteString(indent(override(head.Job, "modulated", s.Variant.Set)))
	if !style.Continued {
		b.WriteString(Closing(style))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// BalanceJSON writes the hand-damper settings that were found as one document.
func BalanceJSON(w io.Writer, head *Sheet, h *study.HandBalance) error {
	runs := list{}
	for k, line := range h.Lines {
		runs = append(runs, object{{"run", line}, {"open", h.Open[k]}, {"of_want_before", h.Before[k]}, {"of_want_after", h.After[k]}})
	}
	o := append(studyObject(head), member{"state", h.State}, member{"common_share", h.Ratio}, member{"runs", runs},
		member{"override", override(head.Job, "balanced", h.Variant.Set)})
	return writeObject(w, o)
}

// BalanceCSV writes a row for each run: how far its hand damper stands open and what share of its want it gives, before and after.
func BalanceCSV(w io.Writer, h *study.HandBalance) error {
	rows := [][]string{{"run", "open", "of_want_before", "of_want_after"}}
	for k, line := range h.Lines {
		rows = append(rows, []string{guard(line), figure(h.Open[k]), figure(h.Before[k]), figure(h.After[k])})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// ModulateJSON writes as one document how a variable-speed blower and modulating dampers share the air.
func ModulateJSON(w io.Writer, head *Sheet, s *study.Modulation) error {
	m := tradeOf(head.Units)
	zones := list{}
	for k, zone := range s.Zones {
		zones = append(zones, object{{"zone", zone}, {"open", s.Positions[k]}, {"asks" + m.airflow.key, m.airflow.of(s.Asked[k])}, {"gets" + m.airflow.key, m.airflow.of(s.Given[k])}})
	}
	o := append(studyObject(head), member{"state", s.State}, member{"blower" + m.airflow.key, m.airflow.of(s.Outcome.Blower.Airflow)},
		member{"static" + m.pressure.key, m.pressure.of(s.Outcome.Blower.ExternalStatic)}, member{"left_over" + m.airflow.key, m.airflow.of(s.LeftOver)},
		member{"at_least", s.AtLeast}, member{"at_most", s.AtMost}, member{"zones", zones},
		member{"override", override(head.Job, "modulated", s.Variant.Set)})
	return writeObject(w, o)
}

// ModulateCSV writes a row for each zone that asks: how far its damper stands open, what it asks and what it gets.
func ModulateCSV(w io.Writer, head *Sheet, s *study.Modulation) error {
	m := tradeOf(head.Units)
	rows := [][]string{{"zone", "open", "asks" + m.airflow.key, "gets" + m.airflow.key}}
	for k, zone := range s.Zones {
		rows = append(rows, []string{guard(zone), figure(s.Positions[k]), figure(m.airflow.of(s.Asked[k])), figure(m.airflow.of(s.Given[k]))})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

func writeObject(w io.Writer, o object) error {
	_, err := w.Write(append(appendObject(nil, o, layout{}), '\n'))
	return err
}

// figure is a number for a spreadsheet, as JSON has it.
func figure(x float64) string { return string(appendNumber(nil, x)) }
