package sheet

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"spillway/network/quantity"
	"strings"

	"spillway/solver/state"
	"spillway/solver/verdict"
)

// Text writes a sheet as tables for people: all call states in one table first, then each state with its plain sentence, its
// ledger, registers, zones, dampers, ports and findings. No line is wider than 100 columns unless a single word is.
func Text(w io.Writer, s *Sheet, style Style) error {
	style.units = s.Units
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(s.title()), style.page()), heading))
	b.WriteByte('\n')
	if s.Job.Alternative != "" {
		note := ""
		for _, a := range s.Job.Alternatives {
			if a.Name == s.Job.Alternative && a.Note != "" {
				note = ": " + a.Note
			}
		}
		paragraph(&b, 0, "Alternative: ", clean(s.Job.Alternative+note), style, plainTone)
	}
	if s.Job.Note != "" && !style.Summary {
		paragraph(&b, 0, "", clean(s.Job.Note), style, plainTone)
	}
	b.WriteByte('\n')
	summary(&b, s.Reports, style)
	if !style.Summary {
		for _, r := range s.Reports {
			b.WriteByte('\n')
			oneState(&b, r, style)
		}
		assumptions(&b, s, style)
	}
	if !style.Continued {
		b.WriteString(Closing(style))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Closing is what stands at the end of a report: the caution in short. Text writes it unless the Style says that more follows.
func Closing(style Style) string {
	var b strings.Builder
	b.WriteByte('\n')
	paragraph(&b, 0, "", CautionLine, style, faint)
	return b.String()
}

// longestName is how wide a state's name may be in the table of all states; a longer one has a line of its own.
const longestName = 26

// summary is the table of all call states.
func summary(b *strings.Builder, reports []*Report, style Style) {
	m := tradeOf(style.units)
	cools := slices.ContainsFunc(reports, func(r *Report) bool { return !math.IsNaN(r.Outcome.NominalCooling()) })
	t := table{columns: []column{{head: "Call states", left: true}, {head: m.airflow.label}, {head: m.pressure.label}}}
	if cools {
		t.columns = append(t.columns, column{head: m.flowPerHeat.label})
	}
	t.columns = append(t.columns, column{head: "surplus"}, column{head: "the most of it", left: true, yields: true}, column{head: "FAULT"}, column{head: "caution"})
	for _, r := range reports {
		o := r.Outcome
		a := newAccount(o, m.airflow.factor())
		name := cell{text: clean(o.State.Name)}
		if displayWidth(name.text) > longestName {
			t.add(name)
			name.text = ""
		}
		row := []cell{name, {text: quantity.Grouped(fmt.Sprint(a.blower))}, {text: m.pressure.text(o.Blower.ExternalStatic)}}
		if cools {
			row = append(row, cell{text: m.flowPerHeat.text(o.PerTon())})
		}
		row = append(row, cell{text: quantity.Grouped(fmt.Sprint(a.surplus))}, cell{text: largest(a)})
		faults, cautions := count(r.Findings, verdict.Fault), count(r.Findings, verdict.Caution)
		t.add(append(row, countCell(faults, faultTone), countCell(cautions, cautionTone))...)
	}
	t.write(b, 0, style)
}

// largest names the biggest piece of the surplus.
func largest(a account) string {
	best := -1
	for i, l := range a.lines {
		if l.Kind != state.PathWanted && l.whole > 0 && (best < 0 || l.whole > a.lines[best].whole) {
			best = i
		}
	}
	if best < 0 {
		return "-"
	}
	l := a.lines[best]
	words := pathWords(l.Path)
	switch l.Kind {
	case state.PathCalling:
		words = "extra into " + clean(l.To)
	case state.PathLeakage:
		words = "leakage"
	}
	return quantity.Grouped(fmt.Sprint(l.whole)) + " " + words
}

// pathWords says in a few words where a path goes.
func pathWords(p state.Path) string {
	to := clean(p.To)
	switch p.Kind {
	case state.PathWanted:
		if to == "" {
			return "wanted"
		}
		return to + ", wanted"
	case state.PathCalling:
		return to + ", more than wanted"
	case state.PathBleed:
		return "bleed into " + to
	case state.PathBypass:
		return "bypass" + through(p.To, "bypass")
	case state.PathDump:
		return "dump" + through(p.To, "dump")
	case state.PathLeakage:
		if to == "" || strings.Contains(to, "leak") {
			return cmp.Or(to, "leakage")
		}
		return "leakage, " + to
	}
	return string(p.Kind) + " " + to
}

// through names a line unless its name only says the same again.
func through(line, plain string) string {
	if name := named(line, plain); name != "" {
		return " through" + name
	}
	return ""
}

// count is how many findings have a level.
func count(findings []verdict.Finding, level verdict.Level) (n int) {
	for _, f := range findings {
		if f.Level == level {
			n++
		}
	}
	return n
}

// countCell is a number that is coloured when there is something to count.
func countCell(n int, t tone) cell {
	if n == 0 {
		return cell{text: "-"}
	}
	return cell{text: fmt.Sprint(n), tone: t}
}

// assumptions says which defaults stand in for what the file does not give.
func assumptions(b *strings.Builder, s *Sheet, style Style) {
	if len(s.Assumptions) == 0 {
		return
	}
	b.WriteByte('\n')
	if !style.Verbose {
		paragraph(b, 0, "", fmt.Sprintf("Where the file is silent, %s used; --verbose lists them.", plural(len(s.Assumptions), "default is", "defaults are")), style, plainTone)
		return
	}
	b.WriteString(style.paint("Assumed where the file is silent", heading) + "\n")
	for _, a := range s.Assumptions {
		text := clean(a.Value)
		if a.Why != "" {
			text += " (" + clean(a.Why) + ")"
		}
		paragraph(b, 2, clean(a.Path)+" = ", text, style, plainTone)
	}
}
