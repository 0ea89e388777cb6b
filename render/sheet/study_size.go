package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"spillway/network/quantity"
	"spillway/network/section"
	"spillway/solver/study"
)

// SizeText writes sizes that are sold, what they do in all call states, and the lines to paste.
func SizeText(w io.Writer, head *Sheet, s *study.Sizing, style Style) error {
	style.units = head.Units
	m := tradeOf(style.units)
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(head.title()), style.page()), heading) + "\n\n")
	text := fmt.Sprintf("Sized by a friction rate of %s.", m.friction.apart(s.Rate, 0).with(s.Rate))
	if !s.Meets {
		text = "Even with the largest ducts that were tried a call state goes above the static that was asked for: the rest of the pressure is lost elsewhere. " + text
	}
	paragraph(&b, 0, "", text, style, plainTone)
	b.WriteByte('\n')
	t := table{columns: []column{{head: "Run", left: true}, {head: m.airflow.label}, {head: "was"}, {head: "size"}, {head: m.velocity.label}, twoLines(m.friction.label, false),
		{above: "register", head: "or grille"}}}
	for _, l := range s.Lines {
		t.addPlain(clean(l.Name), m.airflow.text(l.Airflow), sectionText(l.Was, style.units), clean(l.Text), m.velocity.text(l.Velocity), m.friction.text(l.Friction), l.Opening)
	}
	t.write(&b, 0, style)
	if short := beyondSold(s); len(short) > 0 {
		paragraph(&b, 0, "", "The largest size that is sold still has more than this rate in "+strings.Join(short, ", ")+": divide its air among two runs, or make rectangular duct higher.", style, cautionTone)
	}
	b.WriteByte('\n')
	row := table{columns: []column{{head: "Worst over all call states", left: true}, {above: "static", head: m.pressure.label}, {above: "surplus", head: m.airflow.label}, {head: "F/c"}}}
	for _, p := range []struct {
		name   string
		report *study.Report
	}{{"as it came", s.Before}, {"as sized", s.After}} {
		row.add(cell{text: p.name}, cell{text: m.pressure.text(worstOver(p.report, "external static", false))}, cell{text: m.airflow.text(worstOver(p.report, "surplus", false))},
			levelCell(levels(p.report)))
	}
	row.write(&b, 0, style)
	b.WriteString("\n" + style.paint("To paste into the job file", heading) + "\n")
	b.WriteString(indent(override(head.Job, "sized", s.Variant.Set)))
	if !style.Continued {
		b.WriteString(Closing(style))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// beyondSold are the runs for which nothing is sold that comes down to the rate. Flexible duct may be a little above it, since its multiplier moves
// with the size.
func beyondSold(s *study.Sizing) (names []string) {
	for _, l := range s.Lines {
		if l.Friction > 1.05*s.Rate {
			names = append(names, clean(l.Name))
		}
	}
	return names
}

// sectionText is a section as a job file writes it.
func sectionText(s section.Section, system quantity.System) string {
	one := func(x float64) string { return quantity.KindSize.Short(x, system) }
	if s.Shape == section.Round {
		return one(s.Width)
	}
	first, _, _ := strings.Cut(one(s.Width), " ")
	return first + "x" + one(s.Height)
}

// SizeJSON writes a sizing as one document.
func SizeJSON(w io.Writer, head *Sheet, s *study.Sizing) error {
	m := tradeOf(head.Units)
	lines := list{}
	for _, l := range s.Lines {
		lines = append(lines, object{{"table", l.Table}, {"name", l.Name}, {"airflow" + m.airflow.key, m.airflow.of(l.Airflow)}, {"size", l.Text},
			{"velocity" + m.velocity.key, m.velocity.of(l.Velocity)}, {"friction" + m.friction.key, m.friction.of(l.Friction)}, {"opening", l.Opening}})
	}
	o := append(studyObject(head), member{"friction" + m.friction.key, m.friction.of(s.Rate)}, member{"meets", s.Meets}, member{"lines", lines},
		member{"override", override(head.Job, "sized", s.Variant.Set)}, member{"states", stateObjects(s.After, m)})
	_, err := w.Write(append(appendObject(nil, o, layout{}), '\n'))
	return err
}

// SizeCSV writes a sizing as one table.
func SizeCSV(w io.Writer, head *Sheet, s *study.Sizing) error {
	m := tradeOf(head.Units)
	out := csv.NewWriter(w)
	_ = out.Write([]string{"table", "name", "airflow_" + m.airflow.plain, "size", "velocity_" + m.velocity.plain, "opening"}) // the error stays in the writer
	for _, l := range s.Lines {
		_ = out.Write([]string{l.Table, guard(l.Name), string(appendNumber(nil, m.airflow.of(l.Airflow))), l.Text, string(appendNumber(nil, m.velocity.of(l.Velocity))), l.Opening})
	}
	out.Flush()
	return out.Error()
}
