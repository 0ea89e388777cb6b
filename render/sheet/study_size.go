package sheet

import (
	"encoding/csv"
	"io"
	"strings"

	"spillway/network/quantity"
	"spillway/network/section"
	"spillway/render/internal/doc"
	"spillway/solver/study"
)

// Size is sizes that are sold, what they do in all call states, and the lines to paste.
func Size(head *Sheet, s *study.Sizing) *Document {
	rate := doc.With(quantity.KindFriction, s.Rate).Apart(0, head.Units)
	text := doc.Sayf("Sized by a friction rate of {}, for the most air that each part carries "+
		"in any call state.", rate)
	if s.Kept {
		text = append(text, doc.Say(" No part is smaller than it was: the sizes that the rate "+
			"alone gives bring more findings into fault.")...)
	}
	if !s.Meets {
		text = doc.Sayf("No duct sold brings the static under what was asked for: with the "+
			"largest it is still {}, of which the filter takes {} and the coil {}; "+
			"registers, grilles, dampers and what the ducts still take make the rest. "+
			"Open a stop, add a relief or change the part; there is nothing to paste.",
			doc.With(quantity.KindStatic, s.Static).Apart(0,
				head.Units), doc.With(quantity.KindStatic, s.Filter).Apart(0, head.Units),
			doc.With(quantity.KindStatic, s.Coil).Apart(0, head.Units))
	}
	if s.Worse() {
		text = append(doc.Sayf("Worse than before: {} findings at fault as sized, {} as it came{}. ", doc.Count(s.Now.Faults), doc.Count(s.Was.Faults),
			doc.Cell{Words: newCauses(s)}), text...)
	}
	friction := quantity.KindFriction.Label(head.Units)
	two := strings.LastIndexByte(friction, ' ')
	runs := &doc.Table{Columns: []doc.Column{{Head: "Run", Left: true}, {Kind: quantity.KindAirflow, Unit: true}, {Head: "was"}, {Head: "size"},
		{Kind: quantity.KindVelocity, Unit: true}, {Above: friction[:max(two, 0)], Head: friction[two+1:]}, {Above: "register", Head: "or grille"}}}
	for _, l := range s.Lines {
		runs.Add(doc.Name(l.Name), airflowCell(l.Airflow), doc.Cell{Words: sectionText(l.Was, head.Units)}, doc.Name(l.Text),
			velocityCell(l.Velocity), doc.Of(quantity.KindFriction, l.Friction), doc.Name(l.Opening))
	}
	beyond := &doc.Paragraph{Close: true}
	if short := beyondSold(s); len(short) > 0 {
		beyond.Text = doc.Sayf("The largest size that is sold still has more than this rate in {}: divide its air among two runs, or make rectangular duct higher.",
			doc.Cell{Words: strings.Join(short, ", ")})
	}
	worst := &doc.Table{Columns: []doc.Column{{Head: "Worst over all call states", Left: true}, {Above: "static", Kind: quantity.KindStatic, Unit: true},
		{Above: "surplus", Kind: quantity.KindAirflow, Unit: true}, {Head: "F/c"}}}
	for _, p := range []struct {
		name   string
		report *study.Report
	}{{"as it came", s.Before}, {"as sized", s.After}} {
		worst.Add(doc.Name(p.name), staticCell(worstOver(p.report, "external static", false)), airflowCell(worstOver(p.report, "surplus", false)),
			levelsCell(levels(p.report)))
	}
	d := head.document()
	d.Blocks = []doc.Block{&doc.Paragraph{Text: text}, runs, beyond, worst}
	if s.Meets {
		d.Blocks = append(d.Blocks, toPaste(override(head.Job, "sized", s.Variant.Set)))
	}
	return d
}

// newCauses names what is at fault as sized and was not before, or more often than before.
func newCauses(s *study.Sizing) string {
	var names []string
	for i := range s.Now.Digest.Causes {
		c := &s.Now.Digest.Causes[i]
		if was := s.Was.Digest.Same(c); c.Faults > 0 && (was == nil || was.Faults < c.Faults) {
			names = append(names, c.Title())
		}
	}
	if len(names) == 0 {
		return ""
	}
	return " (" + strings.Join(names, "; ") + ")"
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
	paste := ""
	if s.Meets {
		paste = override(head.Job, "sized", s.Variant.Set)
	}
	o := append(studyObject(head), member{"friction" + m.friction.key, m.friction.of(s.Rate)}, member{"meets", s.Meets}, member{"lines", lines},
		member{"faults_before", s.Was.Faults}, member{"faults", s.Now.Faults}, member{"worse",
			s.Worse()}, member{"kept", s.Kept},
		member{"override", paste}, member{"states", stateObjects(s.After, m)})
	return writeObject(w, o)
}

// SizeCSV writes a sizing as one table.
func SizeCSV(w io.Writer, head *Sheet, s *study.Sizing) error {
	m := tradeOf(head.Units)
	out := csv.NewWriter(w)
	_ = out.Write([]string{"table", "name", "airflow_" + m.airflow.plain, "size", "velocity_" + m.velocity.plain, "opening"}) // the error stays in the writer
	for _, l := range s.Lines {
		_ = out.Write([]string{l.Table, guard(l.Name), figure(m.airflow.of(l.Airflow)), l.Text, figure(m.velocity.of(l.Velocity)), l.Opening})
	}
	out.Flush()
	return out.Error()
}
