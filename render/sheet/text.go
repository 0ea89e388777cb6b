package sheet

import (
	"fmt"
	"io"
	"strings"

	"spillway/solver/state"
	"spillway/solver/verdict"
)

// Text writes a sheet as tables for people: all call states in one table first, then each state with its plain sentence, its
// ledger, registers, zones, dampers, ports and findings. No line is wider than 100 columns unless a single word is.
func Text(w io.Writer, s *Sheet, style Style) error {
	style.units = s.Units
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(s.title()), pageWidth), heading))
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
	b.WriteByte('\n')
	paragraph(&b, 0, "", CautionLine, style, faint)
	_, err := io.WriteString(w, b.String())
	return err
}

// summary is the table of all call states.
func summary(b *strings.Builder, reports []*Report, style Style) {
	m := tradeOf(style.units)
	t := table{columns: []column{{head: "call state", left: true}, {head: m.airflow.label}, {head: m.pressure.label},
		{head: m.powerPerFlow.label}, {head: m.flowPerHeat.label}, {head: "surplus"}, {head: "of which most", left: true, yields: true}, {head: "findings", left: true}}}
	for _, r := range reports {
		o := r.Outcome
		a := newAccount(o, m.airflow.factor)
		words, worst := count(r.Findings)
		t.add(cell{text: clean(o.State.Name)}, cell{text: grouped(fmt.Sprint(a.blower))}, cell{text: m.pressure.text(o.Blower.ExternalStatic)},
			cell{text: m.powerPerFlow.text(o.Blower.Power / o.Blower.Airflow)},
			cell{text: m.flowPerHeat.text(o.Blower.Airflow / nominalCooling(o))}, cell{text: grouped(fmt.Sprint(a.surplus))},
			cell{text: largest(a)}, cell{text: words, tone: worst})
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
	return grouped(fmt.Sprint(l.whole)) + " " + pathWords(l.Path)
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
		return "bypass" + named(p.To, "bypass")
	case state.PathDump:
		return "dump" + named(p.To, "dump")
	case state.PathLeakage:
		if to == "" {
			return "leakage"
		}
		return "leakage, " + to
	}
	return string(p.Kind) + " " + to
}

// count says how many findings are at fault and how many want caution.
func count(findings []verdict.Finding) (string, tone) {
	var faults, cautions int
	for _, f := range findings {
		switch f.Level {
		case verdict.Fault:
			faults++
		case verdict.Caution:
			cautions++
		}
	}
	switch {
	case faults > 0 && cautions > 0:
		return fmt.Sprintf("%d FAULT %d caution", faults, cautions), faultTone
	case faults > 0:
		return fmt.Sprintf("%d FAULT", faults), faultTone
	case cautions > 0:
		return fmt.Sprintf("%d caution", cautions), cautionTone
	case len(findings) == 0:
		return "-", plainTone
	}
	return "ok", plainTone
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
	t := table{columns: []column{{head: "value", left: true}, {head: "assumed", left: true}, {head: "because", left: true}}}
	for _, a := range s.Assumptions {
		t.addPlain(clean(a.Path), clean(a.Value), clean(a.Why))
	}
	t.write(b, 2, style)
}
