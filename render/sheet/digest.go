package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/digest"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// What the one screen has room for.
const (
	mostCauses = 7  // causes that are shown
	mostHelped = 5  // of which the first so many say what helps
	mostTwice  = 2  // of which the first so many may name a second change
	mostStates = 12 // call states in the table; of more, those that a cause is worst in and those at fault
	mostPlaces = 2  // places of a cause that are named
)

// Digest is a sheet on one screen: what to do, gravest first, then a line for each call state.
func Digest(s *Sheet) *Document {
	d := s.document()
	if s.Job.Alternative != "" {
		d.Blocks = append(d.Blocks, s.alternativeNote())
	}
	found := DigestOf(s)
	blocks := digestBlocks(s, found)
	blocks[0].(*doc.Paragraph).Close = s.Job.Alternative != ""
	d.Blocks = append(append(d.Blocks, blocks...), summaryTable(shownReports(s, found), s.Units))
	if left := len(s.Reports) - len(shownReports(s, found)); left > 0 {
		d.Blocks = append(d.Blocks, leftOut(s, found, left))
	}
	d.Blocks = append(d.Blocks, zoningLine(s), surenessLine(s), whereElse(s, found))
	return d
}

// DigestBlocks is what to do about a house, for a page that has the call states elsewhere.
func DigestBlocks(s *Sheet) []doc.Block { return digestBlocks(s, DigestOf(s)) }

func digestBlocks(s *Sheet, found *digest.Digest) []doc.Block {
	return []doc.Block{&doc.Paragraph{Text: doc.Say(headOf(s, found))}, causesBlock(s, found),
		notesBlock(s, found)}
}

// DigestOf gathers the findings of a sheet by their cause.
func DigestOf(s *Sheet) *digest.Digest {
	reports := make([]digest.Report, len(s.Reports))
	for i, r := range s.Reports {
		reports[i] = digest.Report{Outcome: r.Outcome, Findings: r.Findings}
	}
	return digest.Of(reports, s.Houses)
}

// headOf is the verdict on the house in one line.
func headOf(s *Sheet, d *digest.Digest) string {
	faults := 0
	for i := range d.Causes {
		if d.Causes[i].Level == verdict.Fault {
			faults++
		}
	}
	states := plural(len(s.Reports), "call state", "call states")
	switch {
	case faults > 0:
		text := fmt.Sprintf("%s, %d with a fault: %s to put right", states, d.Faulty, plural(faults,
			"cause", "causes"))
		if rest := len(d.Causes) - faults; rest > 0 {
			text += fmt.Sprintf(", %d to look at", rest)
		}
		return text + ", gravest first."
	case len(d.Causes) > 0:
		return fmt.Sprintf("%s without a fault: %s to look at, gravest first.", states,
			plural(len(d.Causes), "cause", "causes"))
	}
	return states + ", all checks in order."
}

// causesBlock lists the causes.
func causesBlock(s *Sheet, d *digest.Digest) *doc.Facts {
	out := &doc.Facts{Align: verdictHeads}
	named := map[string]bool{} // moves
	for i := range d.Causes {
		if i == mostCauses {
			break
		}
		c := &d.Causes[i]
		head := doc.Name("caution").Toned(doc.Caution)
		if c.Level == verdict.Fault {
			head = doc.Name("FAULT").Toned(doc.Fault)
		}
		it := doc.Item{Head: head, Text: slices.Concat(causeSpans(c, s.Units), extentSpans(s, c),
			sureSpans(s, c, i))}
		if i < mostHelped && (c.Level == verdict.Fault || d.Faulty == 0) {
			it.Under = cureItems(c, s.Cures, named, s.Units)
			it.Under = it.Under[:min(len(it.Under), curesOf(i))]
		}
		out.Items = append(out.Items, it)
	}
	if rest := len(d.Causes) - mostCauses; rest > 0 {
		var names []string
		for i := mostCauses; i < len(d.Causes); i++ {
			names = append(names, d.Causes[i].Title())
		}
		out.Add(doc.Name("also").Toned(doc.Faint), doc.Sayf("{}", doc.Name(strings.Join(names,
			"; ")))...)
	}
	return out
}

// curesOf is how many changes are named with a cause, by its place.
func curesOf(place int) int {
	if place < mostTwice {
		return mostCures
	}
	return 1
}

// causeSpans says what a cause is, by its worst finding.
func causeSpans(c *digest.Cause, sys quantity.System) []doc.Span {
	f := c.Worst().Finding
	switch c.Kind {
	case digest.Surplus:
		text := doc.Sayf("too much air into {}, {} times what it wants", doc.Name(c.Part),
			doc.Of(quantity.KindRatio, c.Most))
		if f.Row != verdict.Excess {
			text = append(text, append(doc.Say("; "), briefSpans(f, sys)...)...)
		}
		return text
	case digest.Runs:
		return append(doc.Sayf("{}: ", doc.Name(c.Title())), briefSpans(f, sys)...)
	}
	return append(briefSpans(f, sys), mixedSpans(f, doc.With(f.Quantity, f.Value))...)
}

// extentSpans says where else a cause is found: the call states, the other places.
func extentSpans(s *Sheet, c *digest.Cause) []doc.Span {
	text := doc.Say("")
	worst := c.Worst()
	if worst.State >= 0 {
		text = append(text, doc.Sayf(" ({}",
			doc.Name(s.Reports[worst.State].Outcome.State.Name))...)
		if n := len(c.States) - 1; n > 0 {
			text = append(text, doc.Say(fmt.Sprintf(" and %s", plural(n, "other state",
				"other states")))...)
		}
		text = append(text, doc.Say(")")...)
	}
	if c.Kind == digest.Surplus { // everything behind the zone's damper
		return text
	}
	names, more := c.Where(mostPlaces + 1)
	names = slices.DeleteFunc(names, func(name string) bool {
		return name == worst.Finding.Where ||
			name == c.Part
	})
	if len(names) > mostPlaces {
		names, more = names[:mostPlaces], more+len(names)-mostPlaces
	}
	if len(names) > 0 {
		text = append(text, doc.Sayf("; also {}", doc.Name(strings.Join(names, ", ")))...)
		if more > 0 {
			text = append(text, doc.Say(fmt.Sprintf(" and %d more", more))...)
		}
	}
	return text
}

// notesBlock says once for the house what no size mends.
func notesBlock(s *Sheet, d *digest.Digest) *doc.Facts {
	out := &doc.Facts{Align: verdictHeads, Close: true}
	var rules, rest [][]doc.Span
	for i := range d.Notes {
		c := &d.Notes[i]
		if f := c.Worst().Finding; f.Class == verdict.Rule && f.Row != verdict.FormulaRange {
			name := strings.TrimSuffix(f.Check+", "+f.Where, ", ")
			past := " over "
			if f.Bounds == verdict.AtLeast {
				past = " under "
			}
			rules = append(rules, doc.Sayf("{} {}"+past+"{}", doc.Name(name),
				doc.Of(f.Quantity, f.Value), doc.With(f.Quantity, f.Limit)))
			continue
		}
		names, more := c.Where(mostPlaces)
		text := doc.Sayf("{}", doc.Name(c.Check))
		if len(names) > 0 {
			text = append(text, doc.Sayf(", {}", doc.Name(strings.Join(names, ", ")))...)
		}
		if more > 0 {
			text = append(text, doc.Say(fmt.Sprintf(" and %d more", more))...)
		}
		text = append(text, doc.Say(" in "+plural(len(c.States), "state", "states"))...)
		if helps := c.Worst().Finding.Remedy; helps != "" &&
			c.Worst().Finding.Row == verdict.StopInfluence {
			out.Add(doc.Name("note").Toned(doc.Faint),
				append(text, doc.Sayf(": {}", doc.Name(helps))...)...)
			continue
		}
		rest = append(rest, text)
	}
	if len(rest) > 0 {
		out.Add(doc.Name("note").Toned(doc.Faint), doc.Join(rest, "; ")...)
	}
	if len(rules) > 0 {
		out.Add(doc.Name("note").Toned(doc.Faint), append(doc.Say("rules of thumb: "),
			doc.Join(rules, "; ")...)...)
	}
	return out
}

// shownReports are the call states of the table: all of a small house, else those at fault and
// those in which a cause is worst, as many as there is room for.
func shownReports(s *Sheet, d *digest.Digest) []*Report {
	if len(s.Reports) <= mostStates {
		return s.Reports
	}
	shown := map[int]bool{}
	for i := range d.Causes {
		if at := d.Causes[i].Worst().State; at >= 0 && len(shown) < mostStates {
			shown[at] = true
		}
	}
	for i, r := range s.Reports {
		if len(shown) < mostStates && count(r.Findings, verdict.Fault) > 0 {
			shown[i] = true
		}
	}
	var out []*Report
	for i, r := range s.Reports {
		if shown[i] {
			out = append(out, r)
		}
	}
	return out
}

// leftOut says what the call states that are not in the table have.
func leftOut(s *Sheet, d *digest.Digest, left int) *doc.Paragraph {
	shown := shownReports(s, d)
	faulty, low, high := 0, math.Inf(1), math.Inf(-1)
	for _, r := range s.Reports {
		if slices.Contains(shown, r) {
			continue
		}
		if count(r.Findings, verdict.Fault) > 0 {
			faulty++
		}
		low, high = min(low, r.Outcome.Blower.ExternalStatic), max(high,
			r.Outcome.Blower.ExternalStatic)
	}
	text := "no fault"
	if faulty > 0 {
		text = fmt.Sprintf("%d with a fault", faulty)
	}
	return &doc.Paragraph{Close: true, Text: doc.Sayf(fmt.Sprintf("and %s, %s, {} to {}; --summary lists them", plural(left, "more call state", "more call states"), text),
		staticCell(low), withUnit(staticCell(high)))}
}

// zoningLine is how much of its zoning the house keeps, at the least.
func zoningLine(s *Sheet) *doc.Paragraph {
	least, at := math.Inf(1), -1
	var worst zoning.State
	for i, r := range s.Reports {
		if z := zoning.Of(r.Outcome); z.Share < least {
			least, at, worst = z.Share, i, z
		}
	}
	if at < 0 || math.IsInf(least, 1) {
		return &doc.Paragraph{}
	}
	o := s.Reports[at].Outcome
	return &doc.Paragraph{Head: "Zoning: ",
		Text: doc.Sayf("callers keep at least {} of their "+givenWord(o.State.Mode)+
			" ({} with dampers open; {}).",
			wholeCell(worst.Share), wholeCell(worst.Natural), doc.Name(o.State.Name))}
}

// whereElse says how to get at the rest.
func whereElse(s *Sheet, d *digest.Digest) *doc.Paragraph {
	behind := 0
	for _, list := range [][]digest.Cause{d.Causes, d.Notes} {
		for i := range list {
			behind += len(list[i].Members)
		}
	}
	text := ""
	if behind > 0 {
		text = plural(behind, "finding", "findings") + ", "
	}
	if n := len(s.Assumptions); n > 0 {
		text += plural(n, "default", "defaults") + ", "
	}
	if text != "" {
		text = strings.TrimSuffix(text, ", ") + ". "
	}
	example := s.Reports[0].Outcome.State.Name
	if len(d.Causes) > 0 && d.Causes[0].Worst().State >= 0 {
		example = s.Reports[d.Causes[0].Worst().State].Outcome.State.Name
	}
	return &doc.Paragraph{Close: true, Text: append(doc.Say(text),
		doc.Sayf("--state \"{}\" shows a call state whole, --verbose all.",
			doc.Name(example))...)}
}

// digestObject is a digest for programs.
func digestObject(s *Sheet, m trade) object {
	d := DigestOf(s)
	causes := func(all []digest.Cause) list {
		out := make(list, len(all))
		for i := range all {
			c := &all[i]
			states := make([]string, len(c.States))
			for k, at := range c.States {
				states[k] = s.Reports[at].Outcome.State.Name
			}
			state := any(nil)
			if at := c.Worst().State; at >= 0 {
				state = s.Reports[at].Outcome.State.Name
			}
			places, _ := c.Where(math.MaxInt)
			if places == nil {
				places = []string{}
			}
			out[i] = object{{"kind", string(c.Kind)}, {"title", c.Title()}, {"part", c.Part},
				{"level", string(c.Level)}, {"class", string(c.Class)}, {"harm", c.Harm},
				{"most", c.Most}, {"state", state}, {"states", states}, {"places",
					places}, {"faults", c.Faults}, {"cautions", c.Cautions},
				{"worst", findingList([]verdict.Finding{*c.Worst().Finding}, m)[0]}}
		}
		return out
	}
	return object{{"states_at_fault", d.Faulty}, {"causes", causes(d.Causes)}, {"notes",
		causes(d.Notes)}}
}
