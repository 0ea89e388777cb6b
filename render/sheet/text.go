package sheet

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// Text writes a sheet as tables for people. No line is wider than 100 columns unless a single word is.
func Text(w io.Writer, s *Sheet, style Style) error {
	if style.Digest {
		return Write(w, Digest(s), "text", style)
	}
	return Write(w, Solve(s, style.Verbose, style.Summary), "text", style)
}

// Solve is a sheet for people: all call states in one table first, then, unless only a summary is wanted, each state with its plain
// sentence, its ledger, registers, zones, dampers, ports and findings; verbose adds ducts, parts, time course, checks in order and
// assumptions.
func Solve(s *Sheet, verbose, summary bool) *Document {
	d := s.document()
	if s.Job.Alternative != "" {
		d.Blocks = append(d.Blocks, s.alternativeNote())
	}
	if s.Job.Note != "" && !summary {
		d.Blocks = append(d.Blocks, &doc.Paragraph{Text: noteOf(s.Job.Note), Close: true})
	}
	d.Blocks = append(d.Blocks, summaryTable(s.Reports, s.Units), stillZoned(s.Houses))
	if !summary {
		for _, r := range s.Reports {
			d.Blocks = append(d.Blocks, oneState(r, s.Units, verbose))
		}
		d.Blocks = append(d.Blocks, assumptions(s, verbose))
	}
	return d
}

// Closing is what stands at the end of a report: the caution in short. Text writes it unless the Style says that more follows.
func Closing(style Style) string {
	var b strings.Builder
	_ = Write(&b, &Document{Closing: doc.Say(CautionLine)}, "text", Style{Color: style.Color, Width: style.Width}) // a Builder does not fail
	return b.String()
}

// longestName is how wide a state's name may be in the table of all states; a longer one has a line of its own.
const longestName = 26

// summaryTable is the table of all call states.
func summaryTable(reports []*Report, s quantity.System) *doc.Table {
	cools := slices.ContainsFunc(reports, func(r *Report) bool { return !math.IsNaN(r.Outcome.NominalCooling()) })
	t := &doc.Table{Columns: []doc.Column{{Head: "Call states", Left: true, Own: longestName}, {Kind: quantity.KindAirflow, Unit: true}, {Kind: quantity.KindStatic, Unit: true}}}
	if cools {
		t.Columns = append(t.Columns, doc.Column{Kind: quantity.KindFlowPerHeat, Unit: true})
	}
	t.Columns = append(t.Columns, doc.Column{Head: "surplus"}, doc.Column{Head: "the most of it", Left: true, Yields: true}, doc.Column{Head: "FAULT"}, doc.Column{Head: "caution"})
	for _, r := range reports {
		o, a := r.Outcome, accounts(r.Outcome)
		row := []doc.Cell{doc.Name(o.State.Name), a.blower(), staticCell(o.Blower.ExternalStatic)}
		if cools {
			row = append(row, doc.Of(quantity.KindFlowPerHeat, o.PerTon()))
		}
		t.Add(append(row, a.surplus(), a.largest(s), countCell(count(r.Findings, verdict.Fault), doc.Fault), countCell(count(r.Findings, verdict.Caution), doc.Caution))...)
	}
	return t
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

// countCell is a number that is colored when there is something to count.
func countCell(n int, t doc.Tone) doc.Cell {
	if n == 0 {
		return doc.None()
	}
	return doc.Count(n).Toned(t)
}

// assumptions says which defaults stand in for what the file does not give.
func assumptions(s *Sheet, verbose bool) doc.Block {
	switch {
	case len(s.Assumptions) == 0:
		return &doc.Section{}
	case !verbose:
		return &doc.Paragraph{Text: doc.Say(fmt.Sprintf("Where the file is silent, %s used; --verbose lists them.", plural(len(s.Assumptions), "default is", "defaults are")))}
	}
	facts := &doc.Facts{}
	for _, a := range s.Assumptions {
		text := doc.Sayf("{}", doc.Name(a.Value))
		if a.Why != "" {
			text = doc.Sayf("{} ({})", doc.Name(a.Value), doc.Name(a.Why))
		}
		facts.Add(doc.Name(a.Path+" = "), text...)
	}
	return titled("Assumed where the file is silent", facts)
}
