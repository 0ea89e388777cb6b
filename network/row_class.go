package network

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"spillway/network/catalog"
	"spillway/network/diag"
	"spillway/network/quantity"
)

// class is what an item was found to be.
type class struct {
	key     string // of the part; "" for a fitting or nothing
	value   string // the value that a word stands for
	from    int    // where the value begins in the item
	cut     int    // bytes at its end that are no part of the value: "grille" behind a size, a material
	at      int    // where " at " begins in "0.08 inwc at 1200 cfm"
	sides   int    // of a size
	slot    int
	fitting string

	problem, fix string
	repair       string // the item as it is to be written, where that is plain
}

// classify tells what an item is by its text alone. The zero class is an item that nothing fits.
func (rr *rowReader) classify(text string) class {
	lower := strings.ToLower(text)
	k := rr.k
	if k.run {
		if _, _, fits := fittingNamed(lower); fits && len(strings.Fields(lower)) > 1 {
			if c, ok := rowFitting(text); ok { // "register boot" is no register
				return c
			}
		}
		if c, ok := rr.runSpecial(text, lower); ok {
			return c
		}
	}
	if w, ok := k.words[lower]; ok && k.name != "opening" {
		return class{key: w[0], value: w[1]}
	}
	if key, ok := k.key(strings.ReplaceAll(lower, "-", " ")); ok {
		return rr.withKey(text, key)
	}
	if k.rated {
		if i := strings.Index(lower, " at "); i > 0 {
			if kindOf(text[:i]) == quantity.KindPressure {
				return class{key: "drop", at: i}
			}
		}
	}
	kind := kindOf(text)
	if k.name == "zone" {
		if m := people.FindStringSubmatch(lower); m != nil {
			if _, _, ok := k.fieldType("people"); ok {
				return class{key: "people", cut: len(text) - len(m[1])}
			}
		}
	}
	if numbers, material, cut, ok := rowSize(text); ok && (k.sized || k.run) {
		if k.run || material == "" {
			return class{key: "size", sides: numbers, cut: cut}
		}
		if _, shaped := k.words[material]; shaped && k.name == "damper" {
			return class{problem: fmt.Sprintf("%q: a size and a blade in one item", text),
				fix: "put a comma between them"}
		}
	}
	if key, ok := k.bare[kind]; ok {
		return class{key: key}
	}
	if k.run {
		if f, ok := rowFitting(text); ok {
			return f
		}
		if slices.Contains(places(), lower) {
			return class{key: "place", value: lower}
		}
		if _, ok := catalog.LookupMaterial(lower); ok {
			return class{key: "material"}
		}
	}
	if kind != quantity.Unknown {
		if words := k.keyWords(kind); len(words) > 0 {
			for i := range words {
				words[i] = strconv.Quote(words[i] + " " + text)
			}
			if len(words) == 1 {
				return class{problem: fmt.Sprintf("%q needs its key", text), fix: "write " +
					words[0]}
			}
			return class{problem: fmt.Sprintf("%q could be any of several", text),
				fix: "say which: " + strings.Join(words, ", ")}
		}
	}
	return class{}
}

var people = regexp.MustCompile(`^([0-9]+) (?:people|persons?)$`)

var (
	pieces    = regexp.MustCompile(`^([0-9]+)\s*[x×] ([0-9][0-9.]*)$`)
	openingTo = regexp.MustCompile(`^([0-9].*?) (register|grille)$`)
)

// runSpecial reads what only runs have: "2x 45", "register 10x6", "10x6 register", "elbows
// unknown".
func (rr *rowReader) runSpecial(text, lower string) (class, bool) {
	if m := pieces.FindStringSubmatch(lower); m != nil {
		if slices.Contains([]string{"22.5", "30", "45", "60", "90"}, m[2]) {
			c, ok := rowFitting(m[1] + "x elbow " + m[2])
			return c, ok
		}
		return class{problem: fmt.Sprintf("%q: %s pieces, or a section?", text, m[1]),
			fix: fmt.Sprintf("write \"%sx%s\" for a section", m[1], m[2])}, true
	}
	if m := openingTo.FindStringSubmatch(lower); m != nil {
		if _, material, _, ok := rowSize(m[1]); ok && material == "" {
			return class{key: m[2], cut: len(text) - len(m[1])}, true
		}
	}
	return class{}, false
}

// withKey reads the value behind a key.
func (rr *rowReader) withKey(text string, key rowKey) class {
	from := len(key.word)
	for from < len(text) && text[from] == ' ' {
		from++
	}
	value := text[from:]
	c := class{key: key.key, from: from}
	t, f, known := rr.k.fieldType(strings.TrimPrefix(key.key, "-"))
	switch {
	case !known && key.key != "opens":
		c.problem, c.fix = fmt.Sprintf("%q is not known here", text), rr.natural()
	case value == "":
		c.problem, c.fix = fmt.Sprintf("%q: %s what?", text,
			key.word), fmt.Sprintf("give its value behind %q", key.word)
		if w, ok := rr.k.words[key.word]; ok {
			return class{key: w[0], value: w[1]}
		}
		if t != nil && t.Kind() == reflect.String {
			c.fix = fmt.Sprintf(`write "%s NAME"`, key.word)
		}
	case key.key == "damper" && rr.k.run && kindOf(value) == quantity.KindFraction:
		c.problem = fmt.Sprintf("%q: a damper is named here, not set", text)
		c.fix = fmt.Sprintf(`write "balance %s" for a hand damper in the run, or [damper] NAME = "stop %s"`,
			value, value)
	case (key.key == "register" || key.key == "grille" || key.key == "transfer") &&
		t == reflect.TypeFor[Opening]():
		numbers, material, _, ok := rowSize(value)
		_, err := strconv.ParseFloat(value, 64)
		switch {
		case err == nil && numbers < 2:
			c.problem, c.fix = fmt.Sprintf("%q: %s what?", text,
				value), fmt.Sprintf(`write "%s 10x4" or "%s %s in round"`, key.word, key.word,
				value)
		case !ok || material != "":
			c.problem, c.fix = rr.divided(text, fmt.Sprintf("%q: a size is meant behind %q", text,
				key.word), fmt.Sprintf(`write "%s 10x4"`, key.word))
		}
	case key.key == "opens":
		m := rangeText.FindStringSubmatch(value)
		if m == nil || kindOf(m[3]+" "+m[4]) != quantity.KindPressure {
			c.problem, c.fix = fmt.Sprintf("%q: two pressures are meant",
				text), `write "opens 0.15 to 0.22 inwc", or "opens at 0.30 inwc"`
		}
	case t != nil && isQuantity(t) && isBareNumber(value):
		c.problem = fmt.Sprintf("%q: %s what?", text, value)
		c.fix = fmt.Sprintf("write its unit, such as \"%s %s\"", key.word,
			rr.exampleOf(t, f, value))
	case t != nil && isQuantity(t) && !rr.isValue(t, value), t != nil &&
		t.Kind() == reflect.String && rr.k.run && rr.endsInItem(key, value),
		t == reflect.TypeFor[Names]() && rr.endsInItem(key,
			value), t == reflect.TypeFor[float64]() &&
			!isPlain(value), t == reflect.TypeFor[Door]() && !isDoor(value):
		if problem, fix := rr.divided(text, "", ""); problem != "" {
			c.problem, c.fix = problem, fix
		} else if t == reflect.TypeFor[Door]() {
			c.problem, c.fix = fmt.Sprintf("%q: the width of a door is meant",
				text), `write "door 30 in with 1 in undercut"`
		}
	}
	return c
}

func isDoor(value string) bool {
	width, rest, more := strings.Cut(value, " with ")
	cut, named := strings.CutSuffix(rest, "undercut")
	return isSmall(width) && (!more || named && isSmall(strings.TrimSpace(cut)))
}

func isSmall(text string) bool {
	_, err := quantity.KindSize.Parse(middle(text), quantity.IP)
	return err == nil && !isBareNumber(text)
}

// isPlain reports whether a text is a number without a unit, as far as classes go.
func isPlain(value string) bool {
	return isBareNumber(middle(value)) || strings.EqualFold(value, "unknown")
}

// isQuantity reports whether a type's value has a unit.
func isQuantity(t reflect.Type) bool {
	k, ok := kinds[t]
	return ok && (k != quantity.Unknown || t == reflect.TypeFor[Position]()) &&
		t != reflect.TypeFor[float64]() || t == reflect.TypeFor[DamperLeakage]() ||
		t == reflect.TypeFor[quantity.Time]()
}

// isValue reports whether a text is a quantity of a type, as far as classes go: what is wrong in it
// the decoder says.
func (rr *rowReader) isValue(t reflect.Type, value string) bool {
	kind, ok := kinds[t]
	if !ok || t == reflect.TypeFor[Position]() || strings.EqualFold(value, "unknown") {
		return true
	}
	_, err := kind.Parse(middle(value), quantity.IP)
	return err == nil || !strings.Contains(value, " ")
}

func (rr *rowReader) exampleOf(t reflect.Type, f field, value string) string {
	kind := kinds[t]
	if t == reflect.TypeFor[DamperLeakage]() {
		kind = quantity.KindFraction
	}
	if kind == quantity.KindLength && f.size {
		kind = quantity.KindSize
	}
	return strings.TrimSpace(value + " " + kind.Symbol(rr.system))
}

// endsInItem reports whether a name has an item behind it, for want of a comma: "living 130 cfm".
func (rr *rowReader) endsInItem(key rowKey, value string) bool {
	const most = 12
	words := strings.Fields(value)
	if len(words) > most {
		return true
	}
	for i := 1; i < len(words); i++ {
		rest := strings.Join(words[i:], " ")
		if key.key == "from" && (words[i] == "to" || words[i] == "at") || key.key == "to" &&
			words[i] == "at" {
			return false
		}
		if rr.valid(rest) {
			return true
		}
	}
	return false
}

// valid reports whether a text alone would be an item.
func (rr *rowReader) valid(text string) bool {
	probe := *rr
	quiet := *rr.reader
	quiet.probing = true
	probe.reader = &quiet
	c := probe.classify(text)
	return c.problem == "" && (c.key != "" || c.fitting != "") && c.key != "people"
}

// divided says how an item divides at its blanks into items, when it does; else the problem and fix
// that it is given.
func (rr *rowReader) divided(text, problem, fix string) (string, string) {
	list, ways := rr.division(text)
	if len(list) < 2 {
		return problem, fix
	}
	more := ""
	if ways > 1 {
		more = ", or divide it otherwise"
	}
	return missingComma(text), fmt.Sprintf("write %q%s", strings.Join(list, ", "), more)
}

// division divides an item at its blanks into items, and counts the ways to do so up to two.
func (rr *rowReader) division(text string) (list []string, count int) {
	const most, longest = 24, 5
	words := strings.Fields(text)
	if len(words) < 2 || len(words) > most || rr.probing {
		return nil, 0
	}
	ways, last := make([]int, len(words)+1), make([]int, len(words)+1)
	ways[0] = 1
	for end := 1; end <= len(words); end++ {
		for start := max(0, end-longest); start < end; start++ {
			if whole := start == 0 && end == len(words); !whole && ways[start] > 0 &&
				rr.valid(strings.Join(words[start:end], " ")) {
				if ways[end] == 0 || start < last[end] {
					last[end] = start
				}
				ways[end] = min(2, ways[end]+ways[start])
			}
		}
	}
	if ways[len(words)] == 0 {
		return nil, 0
	}
	for end := len(words); end > 0; end = last[end] {
		list = append([]string{strings.Join(words[last[end]:end], " ")}, list...)
	}
	return list, ways[len(words)]
}

// unknown says of an item that nothing fits what it may be meant as.
func (rr *rowReader) unknown(text string) (problem, fix string) {
	if number, err := strconv.ParseFloat(strings.TrimRight(text, "°"), 64); err == nil {
		problem = fmt.Sprintf("%q: %s what?", text, text)
		length, size := quantity.KindLength.Symbol(rr.system), quantity.KindSize.Symbol(rr.system)
		flow := quantity.KindAirflow.Symbol(rr.system)
		switch {
		case rr.k.run && (number == 45 || number == 90):
			return problem, fmt.Sprintf(`write "%s elbow", "%s %s" or "%s %s"`, text, text, length,
				text, flow)
		case rr.k.run:
			return problem, fmt.Sprintf(`write "%s %s", "%s %s" or "%s %s"`, text, size, text,
				length, text, flow)
		}
		return problem, "write its unit, and the key in front of it if it needs one: " +
			strings.Join(rr.k.keyWords(quantity.Unknown), ", ")
	}
	if fix := reversedSize(text); fix != "" && rr.k.run {
		return fmt.Sprintf("%q is not a size: the number goes first", text), fix
	}
	if problem, fix = rr.divided(text, "", ""); problem != "" {
		return problem, fix
	}
	problem = fmt.Sprintf("%q is not known here", text)
	lower := strings.ToLower(text)
	if lower == "tap" {
		return problem, tapFix
	}
	known := rr.k.keyWords(quantity.Unknown)
	for w := range rr.k.words {
		known = append(known, w)
	}
	slices.Sort(known)
	first, rest, more := strings.Cut(text, " ")
	if _, known := catalog.LookupMaterial(rest); known && isBareNumber(first) {
		return problem, fmt.Sprintf("did you mean %q?",
			first+" "+quantity.KindSize.Symbol(rr.system)+" "+rest)
	}
	if isBareNumber(first) && more {
		units := []string{"in", "mm", "ft", "m", "cfm", "l/s", "inwc", "Pa", "kBtu/h", "ton", "kW",
			"ft2", "m2", "%", "deg"}
		if near, ok := diag.Nearest(rest, units); ok {
			return problem, fmt.Sprintf("did you mean %q?", first+" "+near)
		}
	}
	if near, ok := rr.nearest(first, known); ok && more {
		return problem, fmt.Sprintf("did you mean %q?", near+" "+rest)
	}
	if rr.k.run {
		for _, w := range catalog.FittingWords() {
			known = append(append(known, w.Write), w.Also...)
		}
		known = append(append(known, places()...), catalog.Names(catalog.Materials)...)
	}
	if near, ok := rr.nearest(text, known); ok {
		return problem, fmt.Sprintf("did you mean %q?", near)
	}
	return problem, rr.natural()
}
