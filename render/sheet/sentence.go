package sheet

import (
	"math"
	"slices"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/state"
)

// Sentence tells in one plain sentence where the blower's air goes in a call state:
//
//	Of 1,130 cfm the loft takes 655 and wants 520; 384 bleeds through the living floor's damper at its 25 % stop; 91 leaks.
//
// The airflows are rounded to whole cfm or l/s so that what is taken, bled, bypassed, dumped and leaked adds up to the blower's.
func Sentence(o *state.Outcome, s quantity.System) string { return doc.Plainly(sentence(o, s), s) }

func sentence(o *state.Outcome, s quantity.System) []doc.Span {
	a := accounts(o)
	var clauses [][]doc.Span
	for i, zone := range o.Graph.Job.Zones {
		if i < len(o.Zones) && o.Zones[i].Calling {
			takes := a.sum(func(p *state.Path) bool {
				return p.To == zone.Name && (p.Kind == state.PathWanted || p.Kind == state.PathCalling)
			})
			over := a.whole(takes, s) - int64(math.Round(quantity.KindAirflow.In(o.Zones[i].Wants, s)))
			clauses = append(clauses, zoneTakes(doc.Cell{Words: ZonePhrase(zone.Name)}, takes, airflowCell(o.Zones[i].Wants), over))
		}
	}
	leaks := doc.Cell{}
	for i := range a.paths {
		p, cell := &a.paths[i], a.line(i)
		whole := a.whole(cell, s)
		if whole == 0 {
			continue
		}
		switch p.Kind {
		case state.PathBleed:
			clauses = append(clauses, append(doc.Sayf("{} ", cell), bleeds(o, p, whole)...))
		case state.PathBypass:
			clauses = append(clauses, doc.Sayf("{} goes back through the bypass{}", cell, doc.Cell{Words: named(p.To, "bypass")}))
		case state.PathDump:
			clauses = append(clauses, doc.Sayf("{} is dumped {}", cell, doc.Cell{Words: dumpPlace(o, p.To)}))
		case state.PathLeakage: // all of them in one clause
			cell.Paths = append(leaks.Paths, cell.Paths...)
			leaks = cell
		}
	}
	if len(leaks.Paths) > 0 {
		clauses = append(clauses, doc.Sayf("{} leaks", leaks))
	}
	blower := withUnit(a.blower())
	if len(clauses) == 0 {
		return doc.Sayf("The blower moves {}.", blower)
	}
	return slices.Concat(doc.Sayf("Of {} ", blower), doc.Join(clauses, "; "), doc.Say("."))
}

// zoneTakes says what a calling zone gets beside what it wants.
func zoneTakes(zone, takes, wants doc.Cell, over int64) []doc.Span {
	switch {
	case over == 0:
		return doc.Sayf("{} takes the {} it wants", zone, takes)
	case over < 0:
		return doc.Sayf("{} takes only {} of the {} it wants", zone, takes, wants)
	}
	return doc.Sayf("{} takes {} and wants {}", zone, takes, wants)
}

// bleeds says how air gets into a zone that does not call.
func bleeds(o *state.Outcome, p *state.Path, whole int64) []doc.Span {
	zone := doc.Cell{Words: ZonePhrase(p.To)}
	if whole < 0 {
		return doc.Sayf("(drawn backwards) comes out of {}", zone)
	}
	if p.Damper < 0 || p.Damper >= len(o.Dampers) || math.IsNaN(o.Dampers[p.Damper].Position) {
		return doc.Sayf("bleeds into {}", zone)
	}
	d := &o.Dampers[p.Damper]
	switch {
	case d.Moved:
		return doc.Sayf("bleeds through {}'s damper, which stands at {}", zone, doc.Open(d.Position))
	case d.Position <= 0:
		return doc.Sayf("seeps past {}'s shut damper", zone)
	}
	return doc.Sayf("bleeds through {}'s damper at its {} stop", zone, doc.Open(d.Position))
}

func named(name, plain string) string {
	if name == "" || strings.EqualFold(name, plain) {
		return ""
	}
	return " " + clean(name)
}

// dumpPlace says where a dump line lets its air go.
func dumpPlace(o *state.Outcome, line string) string {
	for _, r := range o.Graph.Registers {
		if r.Dump && r.Line == line && r.Room != "" {
			return "into the " + clean(r.Room)
		}
	}
	return "through " + clean(line)
}

// ZonePhrase is how a sentence speaks of a zone: "the loft", "the living floor", but "the bedrooms zone", "zone 2".
func ZonePhrase(zone string) string {
	zone = clean(zone)
	words := strings.FieldsFunc(strings.ToLower(zone), func(r rune) bool { return r == ' ' || r == '-' || r == '_' })
	if slices.Contains(words, "zone") {
		return zone
	}
	// Words that name a place by themselves, so that "the ..." reads well without "zone" behind it.
	places := []string{"floor", "loft", "basement", "attic", "wing", "suite", "studio", "office", "shop", "flat", "level", "storey",
		"house", "cellar", "den", "annex", "room", "area", "side", "hall", "library", "apartment"}
	if len(words) > 0 && slices.Contains(places, words[len(words)-1]) {
		return "the " + zone
	}
	return "the " + zone + " zone"
}
