package network

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"spillway/network/catalog"
	"spillway/network/quantity"
)

var (
	countFirst = regexp.MustCompile(`^([0-9]+)\s*x\s+(.+)$`)
	countLast  = regexp.MustCompile(`^(.+?)\s+x\s*([0-9]+)$`)
	bareCount  = regexp.MustCompile(`^([0-9]+) (.+)$`)
	counted    = regexp.MustCompile(`\b(elbows?|ells?|bends?|90s?|45s?|boots?|transitions?)\b`)
	plural     = regexp.MustCompile(`\b(elbow|ell|bend|boot|transition|wye|tee|90|45)s\b`)
	countAfter = regexp.MustCompile(`^(?:elbow|ell|bend) ([1-9])$`)
)

// bendWords are the trade's words for the elbows of the catalog.
var bendWords = strings.NewReplacer("long radius", "r1.5", "long-radius", "r1.5", "short radius",
	"r1.0", "short-radius", "r1.0")

// rowFitting reads an item as a fitting, "2x elbow" or "tap 45": only words of the catalog's closed
// lists. ok is false
// for an item that is none. A number in front counts up to mostBareCount and is an angle from
// leastBareAngle.
func rowFitting(text string) (c class, ok bool) {
	lower := strings.ReplaceAll(strings.Join(strings.Fields(strings.ToLower(text)), " "), "×", "x")
	if doubtfulCount(lower) {
		return class{fitting: lower, slot: slotWay}, true
	}
	count, name, said := 1, lower, false
	if m := countFirst.FindStringSubmatch(lower); m != nil {
		count, _ = strconv.Atoi(m[1])
		name, said = m[2], true
	} else if m := countLast.FindStringSubmatch(lower); m != nil {
		count, _ = strconv.Atoi(m[2])
		name, said = m[1], true
	} else if first, rest, found := strings.Cut(lower, " "); found && countWords[first] > 0 {
		count, name, said = countWords[first], rest, true
	} else if m := bareCount.FindStringSubmatch(lower); m != nil && counted.MatchString(m[2]) {
		number, _ := strconv.Atoi(m[1])
		single := plural.ReplaceAllString(m[2], "$1")
		switch _, _, fits := fittingNamed(single); {
		case !fits:
		case number <= mostBareCount:
			count, name, said = number, m[2], true
		case number < leastBareAngle:
			return class{problem: fmt.Sprintf("%q: %d of them, or an angle?", text, number),
				fix: fmt.Sprintf(`write "%dx %s" or "%s %d deg"`, number, single, single,
					number)}, true
		}
	}
	single := plural.ReplaceAllString(name, "$1")
	if m := countAfter.FindStringSubmatch(name); m != nil && !said {
		return class{problem: fmt.Sprintf("%q: a count goes in front", text),
			fix:    fmt.Sprintf(`write "%sx %s"`, m[1], strings.Fields(name)[0]),
			repair: m[1] + "x " + strings.Fields(name)[0]}, true
	}
	if (single == "90" || single == "45") && (said || single != name) {
		single = "elbow " + single
		name = "elbow " + name
	}
	slot, full, fits := fittingNamed(single)
	if !fits {
		return class{}, false
	}
	switch {
	case count < 1 || count > mostCount:
		return class{problem: fmt.Sprintf("%q: a count from 1 to %d is meant", text, mostCount),
			fix: `write "2x elbow"`}, true
	case single != name && !said:
		return class{problem: fmt.Sprintf("%q does not say how many", text),
			fix: fmt.Sprintf(`write "2x %s" for two`, single)}, true
	case slot == slotTakeoff && count > 1:
		return class{problem: fmt.Sprintf("%q: a run has one takeoff", text),
			fix: fmt.Sprintf("write %q", single)}, true
	case slot == slotEnd && count > 1:
		return class{problem: fmt.Sprintf("%q: a run has one end", text),
			fix: fmt.Sprintf("write %q", single)}, true
	case count > 1:
		full = fmt.Sprintf("%dx %s", count, full)
	}
	return class{fitting: full, slot: slot}, true
}

// doubtfulCount reports whether an item is a count of elbows that is not exactly known, "elbows
// unknown".
func doubtfulCount(lower string) bool {
	count, name := "", ""
	if m := elbowsLast.FindStringSubmatch(lower); m != nil {
		count, name = "unknown", m[1]
	} else if m := elbowWords.FindStringSubmatch(lower); m != nil {
		count, name = m[1], m[2]
	}
	d, err := quantity.ParseDoubt(count)
	if err != nil || d.Form == quantity.Certain {
		return false
	}
	slot, _, ok := fittingNamed(plural.ReplaceAllString(name, "$1"))
	return ok && slot == slotWay
}

// fittingNamed finds a fitting by the words of a row, in lower case and without a count, and the
// slot that it takes.
func fittingNamed(name string) (slot int, full string, ok bool) {
	if w, found := catalog.LookupFittingWord(name); found {
		switch w.Group {
		case catalog.LeavesTrunk, catalog.LeavesPlenum:
			return slotTakeoff, w.Name, true
		case catalog.EndsRun:
			return slotEnd, w.Name, true
		}
		return slotWay, w.Name, true
	}
	if _, isC := coefficientOf(name); isC {
		return slotWay, name, true
	}
	for _, ending := range []string{" equivalent", " equiv"} {
		if length, found := strings.CutSuffix(name, ending); found && isLengthText(length) {
			return slotWay, name, true
		}
	}
	changed := bendWords.Replace(name)
	if angle, err := strconv.ParseFloat(strings.TrimSuffix(firstWord(name), "°"), 64); err == nil &&
		angle < leastBareAngle {
		return 0, "", false
	}
	f, found := catalog.LookupFitting(changed)
	switch {
	case !found:
		return 0, "", false
	case f.Kind == catalog.BellmouthEntry:
		return slotTakeoff, f.Name, true
	}
	return slotWay, f.Name, true
}

func firstWord(text string) string {
	word, _, _ := strings.Cut(text, " ")
	return word
}

// slotOf is the slot of an entry of a list of fittings, however it is written.
func slotOf(text string) int {
	lower := strings.Join(strings.Fields(strings.ToLower(text)), " ")
	if c, ok := rowFitting(lower); ok && c.problem == "" {
		return c.slot
	}
	for _, leg := range []string{" branch", " straight"} {
		if name, cut := cutEnding(lower, leg); cut && isTakeoff(name) {
			return slotTakeoff
		}
	}
	if isTakeoff(lower) {
		return slotTakeoff
	}
	return slotWay
}

// mergeSlots lays the fittings of a row over others: it replaces the takeoff, the fittings on the
// way and the end, each
// only where it has any.
func mergeSlots(under, over []*node) []*node {
	below, above := inSlots(under), inSlots(over)
	for slot, list := range above {
		if len(list) > 0 {
			below[slot] = list
		}
	}
	return slices.Concat(below[:]...)
}

// inSlots sorts fittings into their slots. The second takeoff of a line is where it joins: its end.
func inSlots(list []*node) (slots [3][]*node) {
	for _, n := range list {
		text, _ := n.leaf.(string)
		slot := slotOf(text)
		if slot == slotTakeoff && len(slots[slot]) > 0 {
			slot = slotEnd
		}
		slots[slot] = append(slots[slot], n)
	}
	return slots
}
