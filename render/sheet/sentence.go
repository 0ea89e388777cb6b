package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spillway/network/quantity"
	"spillway/solver/state"
)

// Sentence tells in one plain sentence where the blower's air goes in a call state:
//
//	Of 1,130 cfm the loft takes 655 and wants 520; 384 bleeds through the living floor's damper at its 25 % stop; 91 leaks.
//
// The airflows are rounded to whole cfm or l/s so that what is taken, bled, bypassed, dumped and leaked adds up to the blower's.
func Sentence(o *state.Outcome, sys quantity.System) string {
	airflow := tradeOf(sys).airflow
	a := newAccount(o, airflow.factor())
	number := func(whole int64) string { return quantity.Grouped(fmt.Sprint(whole)) }

	var clauses []string
	for i, zone := range o.Graph.Job.Zones {
		if i >= len(o.Zones) || !o.Zones[i].Calling {
			continue
		}
		takes, wants := a.takes(zone.Name), int64(math.Round(airflow.of(o.Zones[i].Wants)))
		clauses = append(clauses, zoneTakes(ZonePhrase(zone.Name), number(takes), number(wants), takes-wants))
	}
	for _, l := range a.lines {
		if l.whole == 0 {
			continue
		}
		amount := number(l.whole)
		switch l.Kind {
		case state.PathBleed:
			clauses = append(clauses, amount+" "+bleeds(o, l))
		case state.PathBypass:
			clauses = append(clauses, amount+" goes back through the bypass"+named(l.To, "bypass"))
		case state.PathDump:
			clauses = append(clauses, amount+" is dumped "+dumpPlace(o, l.To))
		case state.PathLeakage:
			clauses = append(clauses, amount+" leaks")
		}
	}
	clauses = mergeLeaks(clauses, a, number)
	if len(clauses) == 0 {
		return fmt.Sprintf("The blower moves %s %s.", number(a.blower), airflow.label)
	}
	return fmt.Sprintf("Of %s %s %s.", number(a.blower), airflow.label, strings.Join(clauses, "; "))
}

// zoneTakes says what a calling zone gets beside what it wants.
func zoneTakes(zone, takes, wants string, over int64) string {
	switch {
	case over == 0:
		return fmt.Sprintf("%s takes the %s it wants", zone, takes)
	case over < 0:
		return fmt.Sprintf("%s takes only %s of the %s it wants", zone, takes, wants)
	}
	return fmt.Sprintf("%s takes %s and wants %s", zone, takes, wants)
}

// bleeds says how air gets into a zone that does not call.
func bleeds(o *state.Outcome, l accountLine) string {
	zone := ZonePhrase(l.To)
	if l.whole < 0 {
		return "(drawn backwards) comes out of " + zone
	}
	if l.Damper < 0 || l.Damper >= len(o.Dampers) || math.IsNaN(o.Dampers[l.Damper].Position) {
		return "bleeds into " + zone
	}
	d := &o.Dampers[l.Damper]
	switch {
	case d.Moved:
		return fmt.Sprintf("bleeds through %s's damper, which stands at %s", zone, percentOpen(d.Position))
	case d.Position <= 0:
		return fmt.Sprintf("seeps past %s's shut damper", zone)
	}
	return fmt.Sprintf("bleeds through %s's damper at its %s stop", zone, percentOpen(d.Position))
}

// mergeLeaks makes one clause of several lines of leakage.
func mergeLeaks(clauses []string, a account, number func(int64) string) []string {
	var lines int
	var sum int64
	for _, l := range a.lines {
		if l.Kind == state.PathLeakage && l.whole != 0 {
			lines, sum = lines+1, sum+l.whole
		}
	}
	if lines < 2 {
		return clauses
	}
	return append(slices.DeleteFunc(clauses, func(c string) bool { return strings.HasSuffix(c, " leaks") }), number(sum)+" leaks")
}

// percentOpen prints a damper position, "25 %".
func percentOpen(position float64) string {
	if math.IsNaN(position) {
		return "-"
	}
	return quantity.KindFraction.Short(position, quantity.IP)
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
