package sheet

import (
	"encoding/csv"
	"io"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/study"
)

// Balance is the hand-damper settings that were found, with the lines to paste.
func Balance(head *Sheet, h *study.HandBalance) *Document {
	runs := &doc.Table{Columns: []doc.Column{{Head: "Run", Left: true}, {Above: "open", Head: "%"}, {Above: "of its want", Head: "before, %"}, {Head: "after, %"}}}
	for k, line := range h.Lines {
		runs.Add(doc.Name(line), percentCell(h.Open[k]).To(0), percentCell(h.Before[k]), percentCell(h.After[k]))
	}
	d := head.document()
	d.Blocks = []doc.Block{&doc.Paragraph{Text: doc.Sayf("In {} every register gets {} of what it wants with these hand dampers. "+
		"One at least stays wide open, so that the blower works against no more than it must.", doc.Name(h.State), withUnit(percentCell(h.Ratio)))},
		runs, toPaste(override(head.Job, "balanced", h.Variant.Set))}
	return d
}

// Modulate is how a variable-speed blower and modulating dampers share the air.
func Modulate(head *Sheet, s *study.Modulation) *Document {
	text := doc.Sayf("In {} the blower runs at {} with a static of {}; {} are left over.", doc.Name(s.State), withUnit(airflowCell(s.Outcome.Blower.Airflow)),
		withUnit(staticCell(s.Outcome.Blower.ExternalStatic)), withUnit(airflowCell(s.LeftOver)))
	switch {
	case s.AtLeast:
		text = append(text, doc.Say(" That is the least it can, which is more than the zones ask.")...)
	case s.AtMost:
		text = append(text, doc.Say(" That is the most it can, which is less than the zones ask.")...)
	}
	zones := &doc.Table{Columns: []doc.Column{{Head: "Zone", Left: true}, {Above: "damper", Head: "% open"},
		{Above: "asks", Kind: quantity.KindAirflow, Unit: true}, {Above: "gets", Kind: quantity.KindAirflow, Unit: true}}}
	for k, zone := range s.Zones {
		zones.Add(doc.Name(zone), percentCell(s.Positions[k]), airflowCell(s.Asked[k]), airflowCell(s.Given[k]))
	}
	d := head.document()
	d.Blocks = []doc.Block{&doc.Paragraph{Text: text}, zones, &doc.Section{Blocks: []doc.Block{ledgerOf(s.Outcome)}},
		toPaste(override(head.Job, "modulated", s.Variant.Set))}
	return d
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
