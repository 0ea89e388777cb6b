package network

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// rowItem is one item of a row with its place in the row's text.
type rowItem struct {
	text       string // without blanks around it
	start, end int    // bytes of the decoded text
}

// rowReader reads one row into its node.
type rowReader struct {
	*reader
	k      *rowKind
	out    *node // becomes a table
	each   bool  // the row of [from.X] each
	over   bool  // a change of a part that is elsewhere
	in     *origin
	at     func(i int) int // file offset of a byte of the decoded text
	slots  [3][]*node      // takeoff, on the way, end
	unsaid int             // sizes without a key, so far
	bad    bool
}

// The slots of a run's fittings.
const (
	slotTakeoff = iota
	slotWay
	slotEnd
)

// row turns a leaf with a text into a table whose children have the place of their item. each is
// true for what every
// run of a [from.X] has, over for a change of a part that is elsewhere.
func (r *reader) row(k *rowKind, n *node, each, over bool) {
	text := n.leaf.(string)
	rr := &rowReader{reader: r, k: k, out: n, each: each, over: over, in: n.value.in,
		at: offsets(n, text)}
	before := len(r.found)
	n.leaf, n.table, n.row = nil, true, true
	if strings.ContainsFunc(text, func(c rune) bool {
		return isControl(c) && c != '\n' &&
			c != '\t' && c != '\r'
	}) {
		r.fail(n.value, "take the control character out",
			"the text of %q has a control character in it", n.name)
	} else {
		for _, item := range rr.items(text) {
			rr.item(item)
		}
	}
	rr.fittings()
	if len(r.found) > before {
		r.badRow(n.value)
	}
}

// badRow notes that a row has an item that could not be read: what seems to be missing may be that.
func (r *reader) badRow(at span) {
	if r.badRows == nil {
		r.badRows = make(map[int]bool)
	}
	r.badRows[at.lineNumber()] = true
}

// items divides a row at its commas.
func (rr *rowReader) items(text string) []rowItem {
	var list []rowItem
	start := 0
	for i := 0; i <= len(text); i++ {
		if i < len(text) && text[i] != ',' {
			continue
		}
		if i > 0 && i+1 < len(text) && isDigit(text[i-1]) && isDigit(text[i+1]) {
			continue // told with its item
		}
		lead := len(text[start:i]) - len(strings.TrimLeft(text[start:i], " \t\r\n"))
		item := rowItem{strings.TrimSpace(text[start:i]), start + lead, 0}
		item.end = item.start + len(item.text)
		switch {
		case item.text != "":
			list = append(list, item)
		case i < len(text):
			rr.failAt(start, i+1, "take one comma out", "there is nothing between two commas")
			rr.repair(rr.span(start, i+1), "")
		case start == 0:
			rr.fail(rr.out.value, rr.natural(), "the row %q is empty", rr.out.name)
		}
		if i+1 < len(text) && text[i+1] != ' ' && text[i+1] != ',' && !isControl(rune(text[i+1])) {
			rr.repair(rr.span(i+1, i+1), " ")
		}
		start = i + 1
	}
	return list
}

// natural says what a row of the kind has.
func (rr *rowReader) natural() string {
	if rr.k.run {
		return `a run is written "7 in, 14 ft, 2x elbow, 10x6, 130 cfm": duct, length, elbows, register, airflow`
	}
	words := rr.k.keyWords(quantity.Unknown)
	if len(words) > 12 {
		words = words[:12]
	}
	return "known here: " + strings.Join(words, ", ")
}

func (rr *rowReader) span(start, end int) span { return span{rr.in, rr.at(start), rr.at(end)} }

func (rr *rowReader) failAt(start, end int, fix, format string, args ...any) {
	rr.bad = true
	rr.fail(rr.span(start, end), fix, format, args...)
}

// refuse reports an item.
func (rr *rowReader) refuse(it rowItem, fix, format string, args ...any) {
	rr.failAt(it.start, it.end, fix, format, args...)
}

// put gives the part a key. A key of two words stands for one within a table.
func (rr *rowReader) put(it rowItem, key string, value *node) {
	into := rr.out
	if table, inner, ok := strings.Cut(key, "."); ok {
		into = rr.within(table, it)
		key = inner
	} else if value.table {
		if held := rr.out.child(key); held != nil && held.table {
			for _, c := range value.children {
				rr.put(it, key+"."+c.name, c)
			}
			return
		}
	}
	if was := into.child(key); was != nil {
		fix := "keep one of the two"
		if key == "length" {
			fix = fmt.Sprintf(`write "up %s", "at %s", or keep one of the two`, it.text, it.text)
		}
		rr.refuse(it, fix, "%s twice: %q and %q", strings.ReplaceAll(key, "-", " "),
			was.value.text(), it.text)
		return
	}
	value.name = key
	into.add(value)
}

// within returns the table of a key within the part; a register that has only its size becomes one.
func (rr *rowReader) within(table string, it rowItem) *node {
	n := rr.out.child(table)
	if n == nil {
		n = &node{name: table, key: rr.span(it.start, it.end), value: rr.span(it.start, it.end),
			table: true, row: true}
		rr.out.add(n)
	}
	return n
}

// leaf makes the node of a value that is the bytes start to end of the row.
func (rr *rowReader) leaf(it rowItem, start, end int, value any) *node {
	return &node{key: rr.span(it.start, it.end), value: rr.span(start, end), leaf: value}
}

// item reads one item: by a key in front of it, as a word, or by its shape.
func (rr *rowReader) item(it rowItem) {
	if i := commaInNumber(it.text); i >= 0 {
		rr.refuse(it, commaFix(it.text), "%q: a comma between two digits", it.text)
		rr.repairComma(it)
		return
	}
	c := rr.classify(it.text)
	if c.problem == "" && c.key == "" && c.fitting == "" {
		c.problem, c.fix = rr.unknown(it.text)
	}
	if c.problem != "" {
		rr.refuse(it, c.fix, "%s", c.problem)
		rr.repairItem(it, c)
		return
	}
	if c.fitting != "" {
		rr.repairFitting(it, c)
		rr.fitting1(it, c)
		return
	}
	start, end := it.start+c.from, it.end-c.cut
	value := it.text[c.from : len(it.text)-c.cut]
	switch {
	case c.value != "":
		rr.put(it, c.key, rr.leaf(it, it.start, it.end, c.value))
	case c.key == "size" && rr.k.run && c.from == 0:
		rr.section(it, c)
	case c.key == "opens":
		m := rangeText.FindStringSubmatch(value)
		rr.put(it, "opens-at", rr.leaf(it, start, end, strings.TrimSpace(m[1]+" "+m[4])))
		rr.put(it, "fully-open-at", rr.leaf(it, start, end, strings.TrimSpace(m[3]+" "+m[4])))
	case c.key == "-rise":
		rr.put(it, "rise", rr.leaf(it, start, end, "-"+value))
	case c.key == "drop" && c.at > 0:
		rr.put(it, "drop", rr.leaf(it, it.start, it.start+c.at, strings.TrimSpace(it.text[:c.at])))
		rr.put(it, "at", rr.leaf(it, it.start+c.at+len(" at "), it.end,
			strings.TrimSpace(it.text[c.at+len(" at "):])))
	default:
		rr.keyed(it, c, value, start, end)
	}
}

// keyed gives a key the value behind it, in the form that the ordinary decoder takes.
func (rr *rowReader) keyed(it rowItem, c class, value string, start, end int) {
	t, _, _ := rr.k.fieldType(c.key)
	if (c.key == "from" || c.key == "to") && rr.k.run {
		if name, at, ok := cutLast(value, " at "); ok && isLengthText(at) {
			rr.put(it, "at", rr.leaf(it, end-len(at), end, at))
			value, end = name, start+len(name)
		}
		if from, to, ok := strings.Cut(value, " to "); ok && c.key == "from" {
			to := strings.TrimSpace(to)
			rr.put(it, "to", rr.leaf(it, end-len(to), end, to))
			value, end = strings.TrimSpace(from), start+len(from)
		}
	}
	switch {
	case t == reflect.TypeFor[Opening]():
		n := rr.leaf(it, start, end, nil)
		n.table, n.row = true, true
		size := rr.leaf(it, start, end, inchMark(value))
		size.name = "size"
		n.add(size)
		rr.put(it, c.key, n)
	case t == reflect.TypeFor[Door]():
		rr.door(it, value, start, end)
	case strings.Contains(value, ";") && t != nil && t.Kind() == reflect.Slice:
		n := rr.leaf(it, start, end, nil)
		n.list = true
		at := start
		for part := range strings.SplitSeq(value, ";") {
			lead := len(part) - len(strings.TrimLeft(part, " \t"))
			text := strings.TrimSpace(part)
			n.items = append(n.items, &node{name: c.key, key: n.key,
				value: rr.span(at+lead, at+lead+len(text)), leaf: text})
			at += len(part) + 1
		}
		rr.put(it, c.key, n)
	default:
		rr.put(it, c.key, rr.leaf(it, start, end, leafFor(t, c.key, value)))
	}
}

// leafFor is the value that the decoder of a type takes: a number for a plain one, a known name of
// a pattern.
func leafFor(t reflect.Type, key, value string) any {
	if t == nil {
		return value
	}
	switch t.Kind() {
	case reflect.Int:
		if i, err := strconv.ParseInt(value, 10, 64); err == nil {
			return i
		}
	case reflect.Float64:
		if kinds[t] == quantity.Unknown && t == reflect.TypeFor[float64]() {
			if x, err := strconv.ParseFloat(value, 64); err == nil {
				return x
			}
		}
	case reflect.Bool:
		if b, err := strconv.ParseBool(value); err == nil {
			return b
		}
	case reflect.String:
		if strings.HasSuffix(key, "pattern") {
			for _, p := range Patterns() {
				if strings.ReplaceAll(p, ",",
					"") == strings.Join(strings.Fields(strings.ToLower(value)), " ") {
					return p
				}
			}
		}
	default:
		if kinds[t] == quantity.Unknown && t != reflect.TypeFor[Size]() {
			return value
		}
		return inchMark(value)
	}
	return value
}

// door reads "30 in with 1 in undercut": a door that shuts.
func (rr *rowReader) door(it rowItem, value string, start, end int) {
	n := rr.leaf(it, start, end, nil)
	n.table, n.row = true, true
	add := func(key string, from, to int, leaf any) {
		c := rr.leaf(it, from, to, leaf)
		c.name = key
		n.add(c)
	}
	width, rest, _ := strings.Cut(value, " with ")
	undercut := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(rest), "undercut"))
	add("shut", start, end, true)
	add("width", start, start+len(width), strings.TrimSpace(width))
	if undercut != "" {
		add("undercut", start+len(width)+len(" with "), end, undercut)
	}
	rr.put(it, "door", n)
}

// section takes a size without a key: the first is the duct, the second the register.
func (rr *rowReader) section(it rowItem, c class) {
	opening := "register"
	if rr.k.name == "return" {
		opening = "grille"
	}
	size := inchMark(strings.TrimSpace(it.text[:len(it.text)-c.cut]))
	duct := rr.out.child("size")
	value := rr.leaf(it, it.start, it.end-c.cut, size)
	switch {
	case duct == nil:
		value.unsaid = c.sides == 2
		rr.put(it, "size", value)
		if c.cut > 0 {
			word := it.text[len(it.text)-c.cut:]
			rr.put(it, "material", rr.leaf(it, it.end-c.cut, it.end, strings.TrimSpace(word)))
		}
		rr.unsaid++
		return
	case rr.unsaid == 0: // "size 7 in, 10x6"
	case rr.k.name == "return" || rr.k.name == "bypass":
		first := duct.value.text()
		switch {
		case rr.k.name == "return" && strings.ContainsAny(first, "xX×") && c.sides == 1:
			rr.refuse(it, fmt.Sprintf("write \"grille %s, %s\"", first, it.text),
				"%q and %q: which is the duct?", first, it.text)
		case rr.k.name == "return":
			rr.refuse(it, fmt.Sprintf("write \"grille %s\"", it.text), "two sizes: %q and %q",
				first, it.text)
		default:
			rr.refuse(it, "keep one of the two", "two sizes: %q and %q; a bypass has no register",
				first, it.text)
		}
		return
	case c.sides == 1:
		first := duct.value.text()
		fix := fmt.Sprintf("a length is in feet; for a stub write \"length %s\"", it.text)
		if strings.ContainsAny(first, "xX×") {
			fix = fmt.Sprintf("write \"register %s, %s\" if the first is the register", first,
				it.text)
		}
		rr.refuse(it, fix, "two duct sizes: %q and %q", first, it.text)
		return
	}
	if rr.k.name == "return" || rr.k.name == "bypass" {
		rr.refuse(it, fmt.Sprintf("write \"grille %s\"", it.text), "%q: what has this size?",
			it.text)
		return
	}
	n := rr.leaf(it, it.start, it.end, nil)
	n.table, n.row = true, true
	value.name = "size"
	if c.cut > 0 {
		value.leaf, value.value = it.text, rr.span(it.start, it.end)
	}
	n.add(value)
	rr.unsaid++
	rr.put(it, opening, n)
}

// fitting1 puts a fitting into its slot.
func (rr *rowReader) fitting1(it rowItem, c class) {
	n := rr.leaf(it, it.start, it.end, c.fitting)
	n.name = "fittings"
	slot := c.slot
	if slot == slotTakeoff && len(rr.slots[slot]) > 0 && len(rr.slots[slotEnd]) == 0 &&
		(rr.k.name == "bypass" || rr.k.name == "return") {
		slot = slotEnd // where it joins, or where it leaves a box
	}
	if slot == slotWay {
		if rr.each && !doubtfulCount(c.fitting) {
			rr.refuse(it, "write it in each run that has it",
				"%q in each: elbows belong to the runs", it.text)
			return
		}
		rr.slots[slot] = append(rr.slots[slot], n)
		return
	}
	if held := rr.slots[slot]; len(held) > 0 {
		what, fix := "takeoffs", "keep one; a run leaves its trunk once"
		if slot == slotEnd {
			what, fix = "ends", "keep one; a run ends once"
		}
		rr.refuse(it, fix, "two %s: %q and %q", what, held[0].value.text(), it.text)
		return
	}
	rr.slots[slot] = append(rr.slots[slot], n)
}

// fittings makes the list of the fittings in air order.
func (rr *rowReader) fittings() {
	all := slices.Concat(rr.slots[slotTakeoff], rr.slots[slotWay], rr.slots[slotEnd])
	if len(all) == 0 {
		return
	}
	rr.out.add(&node{name: "fittings", key: all[0].key, value: all[0].value, list: true, row: true,
		items: all})
}
