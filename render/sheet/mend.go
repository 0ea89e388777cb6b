package sheet

import (
	"fmt"
	"maps"
	"math"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/digest"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// Mend is the smallest sets of moves that clear the faults of a house, each solved in every call
// state.
func Mend(head *Sheet, m *study.Mending) *Document {
	d := head.document()
	d.Members = append(d.Members, doc.Member{Key: "faults", Cell: doc.Count(m.Before.Faults)},
		doc.Member{Key: "moves", Cell: doc.Count(len(m.Moves))},
		doc.Member{Key: "proven", Cell: doc.Count(m.Proven)}, doc.Member{Key: "tried",
			Cell: doc.Count(m.Tried)})
	add := func(b ...doc.Block) { d.Blocks = append(d.Blocks, b...) }
	add(head.alternative())
	shown := m.Sets
	if len(shown) == 0 && m.Best != nil {
		shown = []*study.Effect{m.Best}
	}
	add(&doc.Paragraph{Text: doc.Say(mendWords(m))}, setsFacts(shown, m.Before), setsTable(shown))
	if m.Best != nil {
		add(stubborn(m.Best, head))
	}
	var lines []string
	for i, e := range shown {
		name := "mended"
		if len(shown) > 1 {
			name = fmt.Sprintf("mended-%d", i+1)
		}
		lines = append(lines, override(head.Job, name, e.Set))
	}
	if len(lines) > 0 {
		add(toPaste(strings.Join(lines, "\n")))
	}
	return d
}

// mendWords says what was looked for and found.
func mendWords(m *study.Mending) string {
	if m.Before.Faults == 0 {
		return "Nothing is at fault in any call state: there is nothing to mend."
	}
	before := fmt.Sprintf("As it came: %s of %s. ", plural(m.Before.Faults, "finding at fault",
		"findings at fault"), plural(m.Before.Causes, "cause", "causes"))
	tried := fmt.Sprintf("%s, alone and up to %d together, were tried: %s", plural(len(m.Moves),
		"change", "changes"), m.Proven, plural(m.Tried, "set", "sets"))
	switch {
	case len(m.Sets) > 0 && len(m.Sets[0].Moves) == 1:
		return before + tried + ". Each of these clears every fault in every call state, and no part of it does; the smallest first, then the cheapest."
	case len(m.Sets) > 0:
		return before + tried + fmt.Sprintf(". No %d clear every fault. Each of these does, in every call state; the cheapest first.", len(m.Sets[0].Moves)-1)
	case m.Best != nil:
		return before + tried + ". None clears every fault. As far as they go, one after the other:"
	}
	return before + tried + ". None helps."
}

// setsFacts lists sets of moves with what they do.
func setsFacts(sets []*study.Effect, before *study.Effect) *doc.Facts {
	facts := &doc.Facts{Align: 3, For: doc.Text | doc.Page}
	for i, e := range sets {
		text := doc.Sayf("static {}", withUnit(staticCell(e.Static)))
		if e.Faults > 0 {
			text = append(text, doc.Say(fmt.Sprintf("; %s left", plural(e.Faults, "fault",
				"faults")))...)
		}
		if !math.IsNaN(e.Least) {
			text = append(text, doc.Sayf("; callers keep {} ({} as it came)", wholeCell(e.Least),
				wholeCell(before.Least))...)
		}
		if e.Sheet > 0 {
			text = append(text, doc.Sayf("; {} of duct", doc.With(quantity.KindArea,
				e.Sheet).To(0))...)
		}
		it := doc.Item{Head: doc.Name(fmt.Sprint(i + 1)), Text: doc.Sayf("{}",
			doc.Name(moveWords(e.Moves))), Under: []doc.Item{{Text: text}}}
		if names := brought(e, before); len(names) > 0 {
			it.Under = append(it.Under, doc.Item{Head: doc.Cell{Words: "brings ",
				Tone: doc.Caution}, Text: doc.Sayf("{}", doc.Name(strings.Join(names, "; ")))})
		}
		facts.Items = append(facts.Items, it)
	}
	return facts
}

// brought names what moves bring, of safety and equipment first, that was not found before.
func brought(e, before *study.Effect) (names []string) {
	for i := range e.Digest.Causes {
		c := &e.Digest.Causes[i]
		if c.Class != verdict.Guideline && before.Digest.Same(c) == nil {
			names = append(names, fmt.Sprintf("a %s: %s", c.Level, c.Title()))
		}
	}
	return names
}

// setsTable holds the same sets for programs.
func setsTable(sets []*study.Effect) *doc.Table {
	t := &doc.Table{Key: "sets", For: doc.Data, Columns: []doc.Column{{Key: "moves"},
		{Key: "faults"}, {Key: "causes"},
		{Key: "external_static", Kind: quantity.KindStatic}, {Key: "caller_share"}, {Key: "duct",
			Kind: quantity.KindArea}, {Key: "parts"}, {Key: "set"}}}
	for _, e := range sets {
		t.Add(doc.Name(moveWords(e.Moves)), doc.Count(e.Faults), doc.Count(e.Causes),
			staticCell(e.Static), doc.Of(quantity.KindNumber, e.Least),
			doc.Of(quantity.KindArea, e.Sheet), doc.Count(e.Parts), doc.Cell{Words: strings.Join(e.Set, "\n")})
	}
	return t
}

// moveWords names moves one after the other.
func moveWords(moves []study.Move) string {
	words := make([]string, len(moves))
	for i := range moves {
		words[i] = moves[i].Words
	}
	return strings.Join(words, "; ")
}

// stubborn lists the causes that are still at fault.
func stubborn(e *study.Effect, head *Sheet) *doc.Section {
	facts := &doc.Facts{}
	for i := range e.Digest.Causes {
		if c := &e.Digest.Causes[i]; c.Level == verdict.Fault {
			facts.Add(doc.Cell{}, causeSpans(c, head.Units)...)
		}
	}
	return titled("Still at fault: a change that is not in the catalog has to be found", facts)
}

// mostCures is how many moves are named with a cause.
const mostCures = 2

// cureItems says what helps against a cause: moves that were solved, or the remedy in words where
// none helps. Where the first of them was named with a cause above, that is said and no other is.
func cureItems(c *digest.Cause, cures *study.Tried, named map[string]bool,
	sys quantity.System) []doc.Item {
	f := c.Worst().Finding
	inWords := func() []doc.Item {
		if f.Remedy == "" {
			return nil
		}
		return []doc.Item{{Head: doc.Cell{Words: "What helps: "}, Text: doc.Sayf("{}",
			doc.Name(f.Remedy))}}
	}
	if cures == nil {
		return inWords()
	}
	list := study.CuresOf(c, cures.Before, cures.Each)
	if len(list) == 0 {
		text := doc.Say("no single move of those that were tried clears or eases it")
		if f.Remedy != "" {
			text = append(text, doc.Sayf("; {}", doc.Name(f.Remedy))...)
		}
		return []doc.Item{{Head: doc.Cell{Words: "What helps: "}, Text: text}}
	}
	var items []doc.Item
	seen := map[string]bool{}
	for i := range list {
		cure := &list[i]
		if key := cureKey(cure); seen[key] || len(items) == mostCures {
			continue
		} else {
			seen[key] = true
		}
		if len(items) == 0 && named[moveWords(cure.Moves)] {
			text := append(doc.Sayf("{}: ", doc.Name(moveWords(cure.Moves))), curedSpans(cure,
				sys)...)
			if named[lastMove+moveWords(cure.Moves)] {
				text = append(doc.Say("change: "), curedSpans(cure, sys)...)
			}
			return []doc.Item{{Head: doc.Cell{Words: "the same "}, Text: text}}
		}
		if len(items) == 0 {
			maps.DeleteFunc(named, func(name string, _ bool) bool {
				return strings.HasPrefix(name,
					lastMove)
			})
			named[lastMove+moveWords(cure.Moves)] = true
		}
		named[moveWords(cure.Moves)] = true
		items = append(items, doc.Item{Head: doc.Cell{Words: "try "}, Text: cureSpans(cure,
			cures.Before, sys)})
	}
	return items
}

// cureKey is what a move changes, so that two values of one setting are named once.
func cureKey(c *study.Cure) string {
	path, _, _ := strings.Cut(c.Set[0], "=")
	return strings.TrimSpace(path)
}

// lastMove marks, among the moves that are named, the one that was named first with the last cause.
const lastMove = "\x00"

// cureSpans says what a move does: to the check that shows the cause, to the faults of the house,
// to the callers.
func cureSpans(c *study.Cure, before *study.Effect, sys quantity.System) []doc.Span {
	text := append(doc.Sayf("{}: ", doc.Name(moveWords(c.Moves))), curedSpans(c, sys)...)
	text = append(text, doc.Say(fmt.Sprintf("; %d of %d faults left", c.Faults, before.Faults))...)
	if !math.IsNaN(c.Least) && !(math.Abs(c.Least-before.Least) < sameKept) {
		text = append(text, doc.Sayf("; callers keep {}", wholeCell(c.Least))...)
	}
	if c.Sheet > 0 {
		text = append(text, doc.Sayf("; {} of duct", doc.With(quantity.KindArea, c.Sheet).To(0))...)
	}
	return text
}

// sameKept is by how much the least that callers keep has to change to be told.
const sameKept = 0.005

// curedSpans says what a move does to the check that shows the cause.
func curedSpans(c *study.Cure, sys quantity.System) []doc.Span {
	var text []doc.Span
	f := &c.Of
	switch {
	case c.Left != nil && c.Left.Kind == digest.Surplus:
		text = append(text, doc.Sayf("{} times the want", doc.Of(quantity.KindRatio,
			c.Left.Most))...)
	case math.IsNaN(c.Value) && c.Left != nil: // of the house, not of a call state
		left := c.Left.Worst().Finding
		text = append(text, doc.Sayf("{}",
			doc.With(left.Quantity, left.Value).Apart(left.Limit, sys))...)
	case math.IsNaN(c.Value):
		text = append(text, doc.Say("cleared")...)
	case f.Quantity == verdict.Noise:
		text = append(text, doc.Sayf("{} NC {}", doc.Name(f.Check), noiseCell(c.Value))...)
	default:
		text = append(text, doc.Sayf("{}", doc.With(f.Quantity, c.Value).Apart(f.Limit, sys))...)
	}
	switch {
	case c.Cleared:
		text = append(text, doc.Say(", no fault")...)
	case c.Level == verdict.Fault:
		text = append(text, doc.Say(", still a fault")...)
	}
	return text
}
