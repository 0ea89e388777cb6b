package network

import (
	"cmp"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"spillway/network/diag"
)

// Edit returns a job file with settings changed where they stand, each PATH=VALUE as Options.Set
// takes them: in the file as it stands or, where alternative is given, in that set of overrides. A
// value is replaced, within its row where it is in one; one that is not there yet is put in its
// natural place. All other bytes of the file stay as they are.
//
// The file that is returned reads as the old one does with the settings after it: Edit compares the
// two and returns an error where it finds no way to write one. The list holds an error exactly when
// the bytes are nil.
func Edit(name string, data []byte, alternative string, set []string) ([]byte, diag.List) {
	e := &edit{name: name, alternative: alternative, newline: "\n"}
	e.text, e.mark = strings.CutPrefix(string(data), byteOrderMark)
	if strings.Contains(e.text, "\r\n") {
		e.newline = "\r\n"
	}
	_, found := Read(name, data, Options{Alternative: alternative, Set: set})
	if found.HasErrors() {
		return nil, found
	}
	for _, setting := range set {
		if found := e.change(setting); found != nil {
			return nil, found
		}
	}
	out := []byte(e.text)
	if e.mark {
		out = append([]byte(byteOrderMark), out...)
	}
	if found := e.others(data, out); found != nil {
		return nil, found
	}
	return out, nil
}

const byteOrderMark = "\xef\xbb\xbf"

// AlternativeText is an override set as the job file has it: [alternative.NAME], what it is like,
// and each setting PATH=VALUE on a line; of several at one path the last.
func AlternativeText(name, note, like string, set []string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "[alternative.%s]\n", PathText(name))
	if note != "" {
		fmt.Fprintf(&b, "note = %s\n", TOMLText(note))
	}
	if like != "" {
		fmt.Fprintf(&b, "like = %s\n", TOMLText(like))
	}
	last := map[string]string{}
	var order []string
	for _, assignment := range set {
		path, value, _ := strings.Cut(assignment, "=")
		path = strings.TrimSpace(path)
		if parts, ok := SplitPath(path); ok && strings.Contains(path, "*") {
			path = TOMLText(PathText(parts...))
		}
		if _, again := last[path]; !again {
			order = append(order, path)
		}
		last[path] = value
	}
	for _, path := range order {
		fmt.Fprintf(&b, "%s = %s\n", path, TOMLValue(last[path]))
	}
	return b.String()
}

// AddAlternative returns a job file with an override set put at its end; the file has none of that
// name. The list holds an error exactly when the bytes are nil.
func AddAlternative(name string, data []byte, of Alternative, set []string) ([]byte, diag.List) {
	text := strings.TrimRight(string(data), " \t\r\n")
	newline := "\n"
	if strings.Contains(text, "\r\n") {
		newline = "\r\n"
	}
	added := AlternativeText(of.Name, of.Note, of.Like, set)
	out := []byte(text + newline + newline + strings.ReplaceAll(added, "\n", newline))
	job, found := Read(name, out, Options{Alternative: of.Name})
	if job == nil {
		return nil, found
	}
	was, found := Read(name, data, Options{Alternative: of.Like, Set: set})
	if was == nil {
		return nil, found
	}
	if !same(was, job) {
		return nil, diag.List{{File: name, Summary: fmt.Sprintf(
			"alternative %q would not read as what was found", of.Name),
			Fix: "paste the settings by hand"}}
	}
	return out, nil
}

// edit is the writing of settings into a file.
type edit struct {
	name, text  string
	alternative string
	mark        bool // the file begins with a byte order mark
	newline     string
}

// change writes one setting: the first of the ways to do so that reads as it should.
func (e *edit) change(setting string) diag.List {
	path, value, _ := strings.Cut(setting, "=")
	parts, _ := SplitPath(path)
	opt := Options{Alternative: e.alternative, Set: []string{setting}}
	want, found := Read(e.name, []byte(e.text), opt)
	if want == nil {
		return found
	}
	if is, _ := Read(e.name, []byte(e.text), Options{Alternative: e.alternative}); is != nil &&
		same(is, want) {
		return nil // so already
	}
	if value, ok := relativeValue(want, parts, value); ok {
		setting = path + "=" + value
		return e.change(setting)
	}
	for _, text := range e.ways(parts, strings.TrimSpace(value)) {
		is, _ := Read(e.name, []byte(text), Options{Alternative: e.alternative})
		if is != nil && same(is, want) {
			e.text = text
			return nil
		}
	}
	d := diag.Diagnostic{File: e.name, Severity: diag.Error,
		Summary: fmt.Sprintf("%s cannot be written where it stands", strings.TrimSpace(path)),
		Fix:     "write it as an alternative of its own"}
	return diag.List{d}
}

// relativeValue is what "x 1.2" came to.
func relativeValue(want *Job, path []string, value string) (string, bool) {
	value = strings.TrimSpace(value)
	if !factorText.MatchString(value) && !moreText.MatchString(value) {
		return "", false
	}
	n, all := want.tree.find(path...)
	if !all || n.leaf == nil {
		return "", false
	}
	return fmt.Sprint(n.leaf), true
}

// others refuses a change with which an alternative of the file is no longer in order.
func (e *edit) others(was, is []byte) diag.List {
	job, found := Read(e.name, is, Options{})
	if job == nil {
		return found
	}
	for i := range job.Alternatives {
		opt := Options{Alternative: job.Alternatives[i].Name}
		if before, _ := Read(e.name, was, opt); before == nil {
			continue
		}
		if after, found := Read(e.name, is, opt); after == nil {
			return found
		}
	}
	return nil
}

// ways are the texts of the file with a value at a path, likeliest first. They are tried: one may
// read as something else.
func (e *edit) ways(path []string, value string) (list []string) {
	root, found := parseText(e.name, []byte(e.text))
	if found != nil {
		return nil
	}
	r := &reader{name: e.name, root: root}
	r.rows(root, nil)
	top, prefix := root, []string(nil)
	if e.alternative != "" {
		prefix = []string{"alternative", e.alternative}
		set, _ := root.find(prefix...)
		r.rows(set, root)
		top = set
	}
	depth, here := 0, top
	var above *node
	for ; depth < len(path); depth++ {
		next := here.child(path[depth])
		if next == nil || next.inherited || next.starred || next.made || next.value.in == nil {
			break
		}
		above, here = here, next
	}
	if depth == len(path) {
		if size := here.child("size"); here.table && size != nil && !strings.HasPrefix(value, "{") {
			list = append(list, e.replaced(here, size, value)...)
		}
		list = append(list, e.replaced(above, here, value)...)
	}
	rest := path[depth:]
	if slices.Equal(rest, []string{"size"}) && here.leaf != nil { // "10x4" for { size = "10x4" }
		list = append(list, e.replaced(above, here, value)...)
	}
	if len(rest) > 0 && depth > 0 {
		kind := rowKindNamed(path[0])
		if path[0] == "equipment" && len(path) > 1 {
			kind = rowKindNamed(path[1])
			if path[1] == "filter" || path[1] == "coil" {
				kind = rowKindNamed("part")
			}
		}
		list = append(list, e.inPart(here, kind, rest, value)...)
	}
	if depth == len(path) { // a value that "*" gives, or that several parts have in common
		depth = len(path) - 1
	}
	if e.alternative == "" && depth <= 1 && len(path) > 1 { // a part of its own
		list = append(list, e.newSection(path, value)...)
	}
	for k := depth; k >= 0; k-- {
		if text, ok := e.inSection(append(slices.Clone(prefix), path[:k]...), path[k:], value); ok {
			list = append(list, text)
		}
	}
	if e.alternative != "" {
		list = append(list, e.newOverrides(path, value))
	}
	return list
}

// with returns the text with a span replaced.
func (e *edit) with(start, end int, text string) string {
	return e.text[:start] + text + e.text[end:]
}

// quoted is a text as it stands between the quotes that an offset is within; ok is false where they
// cannot hold it.
func (e *edit) quoted(n *node, text string) (string, bool) {
	switch whole := n.value.text(); {
	case strings.HasPrefix(whole, "'"):
		return text, !strings.Contains(text, "'")
	case strings.HasPrefix(whole, `"`):
		q := TOMLText(text)
		return q[1 : len(q)-1], true
	}
	return "", false
}

// unquoted is the text of a value that may be in quotes.
func unquoted(value string) string {
	if root, found := parseText("v", []byte("v = "+value)); found == nil && root != nil {
		if text, ok := root.child("v").text(); ok {
			return text
		}
	}
	return value
}

// replaced are the ways to put a value in place of one that is there.
func (e *edit) replaced(part, n *node, value string) (list []string) {
	raw := n.value.text()
	switch {
	case raw == "":
		return nil
	case strings.ContainsAny(raw[:1], `"'[{`) && (n.leaf != nil || raw[0] == '[' || raw[0] == '{'),
		n.leaf != nil && !e.inString(n):
		return []string{e.with(n.value.start, n.value.end, TOMLValue(value))}
	case n.leaf != nil && n.leaf == any(raw): // an item, or its value
		for _, text := range spellings(raw, unquoted(value)) {
			list = append(list, e.with(n.value.start, n.value.end, e.escaped(text)))
		}
		return list
	}
	texts := itemTexts(nil, n.name, unquoted(value))
	if n.name == "opens-at" || n.name == "fully-open-at" {
		low, _ := part.child("opens-at").text()
		high, _ := part.child("fully-open-at").text()
		if n.name == "opens-at" {
			low = unquoted(value)
		} else {
			high = unquoted(value)
		}
		texts = []string{"opens at " + low + ", fully open at " + high}
	}
	for _, text := range texts {
		list = append(list, e.with(n.key.start, n.key.end, e.escaped(text)))
	}
	return list
}

// spellings are a value as the one that it replaces is written, without the unit or the material
// that goes without saying there, and as it is.
func spellings(was, value string) (list []string) {
	if size, ok := strings.CutSuffix(value, " in"); ok && !strings.HasSuffix(was, " in") {
		list = append(list, size)
	}
	words := strings.Fields(value)
	for i := len(words) - 1; i > 0 && i >= len(strings.Fields(was)); i-- {
		list = append(list, strings.Join(words[:i], " "))
	}
	return append(list, value)
}

// inString reports whether a value is part of a text, as the items of a row are.
func (e *edit) inString(n *node) bool {
	return n.key.start <= n.value.start && n.key.end >= n.value.end
}

// escaped is a text as a text in double quotes has it; one in single quotes that would end by it is
// refused when the file is read again.
func (e *edit) escaped(text string) string {
	if !strings.ContainsAny(text, `"\`) {
		return text
	}
	q := TOMLText(text)
	return q[1 : len(q)-1]
}

// itemTexts are the ways to write a key with its value as an item of a row.
func itemTexts(kind *rowKind, key, value string) (list []string) {
	if kind == nil {
		return []string{strings.ReplaceAll(key, "-", " ") + " " + value, value}
	}
	if key == "size" || slices.Contains(slices.Collect(maps.Values(kind.bare)), key) {
		list = append(list, value)
	}
	var words []string
	for _, k := range kind.keys {
		if k.key == key {
			words = append(words, k.word)
		}
	}
	slices.SortStableFunc(words, func(a, b string) int { return cmp.Compare(len(a), len(b)) })
	for _, word := range words {
		list = append(list, word+" "+value)
	}
	return append(list, value)
}

// rank is the natural order of the items of a run.
func rank(key string) int {
	order := []string{"from", "to", "size", "length", "rise", "fittings", "register", "grille",
		"wants", "room", "damper", "zone"}
	if i := slices.Index(order, key); i >= 0 {
		return i
	}
	return len(order)
}

// inPart are the ways to give a part a key that it does not have.
func (e *edit) inPart(part *node, kind *rowKind, rest []string, value string) (list []string) {
	raw := part.value.text()
	key := strings.Join(rest, ".")
	pair := PathText(rest...) + " = " + TOMLValue(value)
	switch {
	case raw == "":
	case raw[0] == '"' || raw[0] == '\'': // a row
		if kind != nil && len(rest) == 1 {
			for _, text := range itemTexts(kind, key, unquoted(value)) {
				if quoted, ok := e.quoted(part, text); ok {
					list = append(list, e.withItem(part, key, quoted))
				}
			}
		}
		list = append(list, e.with(part.value.start, part.value.end,
			"{ row = "+raw+", "+pair+" }"))
	case raw[0] == '{':
		end := part.value.end - 1
		inner := strings.TrimRight(raw[1:len(raw)-1], " \t\r\n")
		switch at := part.value.start + 1 + len(inner); {
		case strings.TrimSpace(inner) == "":
			list = append(list, e.with(part.value.start, end+1, "{ "+pair+" }"))
		case strings.HasSuffix(inner, ","):
			list = append(list, e.with(at, end, " "+pair+" "))
		default:
			list = append(list, e.with(at, at, ", "+pair))
		}
	}
	return list
}

// withItem puts an item into a row, in front of those that naturally come after it.
func (e *edit) withItem(part *node, key, text string) string {
	at, last := -1, -1
	for _, c := range part.children {
		spans := []span{c.key}
		for _, item := range c.items {
			spans = append(spans, item.key)
		}
		for _, s := range spans {
			if c.inherited || s.start < part.value.start || s.end > part.value.end {
				continue
			}
			last = max(last, s.end)
			if rank(c.name) > rank(key) && (at < 0 || s.start < at) {
				at = s.start
			}
		}
	}
	switch {
	case at >= 0:
		return e.with(at, at, text+", ")
	case last >= 0:
		return e.with(last, last, ", "+text)
	}
	return e.with(part.value.end-1, part.value.end-1, text)
}

// inSection adds a line to the section of a header; ok is false where the file has none.
func (e *edit) inSection(header, rest []string, value string) (string, bool) {
	if len(rest) == 0 {
		return "", false
	}
	for _, s := range sectionsOf(e.text) {
		if !slices.Equal(s.path, header) || len(header) == 0 {
			continue
		}
		line := e.aligned(s, PathText(rest...)) + " = " + TOMLValue(value) + e.newline
		if strings.Contains(rest[0], "*") || slices.Contains(rest, "*") {
			line = TOMLText(PathText(rest...)) + " = " + TOMLValue(value) + e.newline
		}
		if s.end > 0 && e.text[s.end-1] != '\n' {
			line = e.newline + line
		}
		return e.with(s.end, s.end, line), true
	}
	return "", false
}

// aligned pads a key so that its "=" stands below that of the line above.
func (e *edit) aligned(s fileSection, key string) string {
	lines := strings.Split(strings.TrimRight(e.text[s.start:s.end], "\r\n"), "\n")
	before, _, ok := strings.Cut(lines[len(lines)-1], " = ")
	if !ok || len(lines) < 2 {
		return key
	}
	return key + strings.Repeat(" ", max(0, len(before)-len(key)))
}

// newSection adds a table for a part of which the file has no kind yet: behind the lines and their
// like, or before the alternatives.
func (e *edit) newSection(path []string, value string) (list []string) {
	var rows []string
	if len(path) == 3 {
		if kind := rowKindNamed(path[0]); kind != nil {
			for _, text := range itemTexts(kind, path[2], unquoted(value)) {
				rows = append(rows, PathText(path[1])+" = "+TOMLText(text))
			}
		}
	}
	rows = append(rows, PathText(path[1:]...)+" = "+TOMLValue(value))
	at := len(e.text)
	after := []string{"supply", "return", "from", "to", "bypass", "dump"}
	if !slices.Contains(lineTables, path[0]) {
		after = nil
	}
	behind := false
	for _, s := range sectionsOf(e.text) {
		if len(s.path) == 0 {
			continue
		}
		if is := slices.Contains(after, s.path[0]); is {
			behind, at = true, len(e.text)
		} else if (behind || s.path[0] == "alternative") && at == len(e.text) {
			at = e.commentsAbove(s.start)
		}
	}
	for _, row := range rows {
		// A row in a section that is there stands with its neighbors.
		if text, ok := e.lineIn(path[0], row); ok {
			list = append(list, text)
			continue
		}
		text := "[" + PathText(path[0]) + "]" + e.newline + row + e.newline
		if at < len(e.text) {
			text += e.newline
		} else {
			text = e.newline + text
			if !strings.HasSuffix(e.text, "\n") {
				text = e.newline + text
			}
		}
		list = append(list, e.with(at, at, text))
	}
	return list
}

// lineIn adds a line to the section of a table.
func (e *edit) lineIn(table, line string) (string, bool) {
	for _, s := range sectionsOf(e.text) {
		if slices.Equal(s.path, []string{table}) {
			key, value, _ := strings.Cut(line, " = ")
			text := e.aligned(s, key) + " = " + value + e.newline
			if s.end > 0 && e.text[s.end-1] != '\n' {
				text = e.newline + text
			}
			return e.with(s.end, s.end, text), true
		}
	}
	return "", false
}

// newOverrides begins the table of an alternative that has only tables within it.
func (e *edit) newOverrides(path []string, value string) string {
	text := AlternativeText(e.alternative, "", "", []string{PathText(path...) + "=" + value})
	text = strings.ReplaceAll(text, "\n", e.newline)
	for _, s := range sectionsOf(e.text) {
		if len(s.path) > 1 && s.path[0] == "alternative" && s.path[1] == e.alternative {
			at := e.commentsAbove(s.start)
			return e.with(at, at, text+e.newline)
		}
	}
	return e.text + e.newline + text
}

// commentsAbove is where the comments begin that stand directly above an offset.
func (e *edit) commentsAbove(at int) int {
	for at > 0 {
		start := strings.LastIndexByte(e.text[:at-1], '\n') + 1
		if !strings.HasPrefix(strings.TrimSpace(e.text[start:at]), "#") {
			return at
		}
		at = start
	}
	return at
}

// fileSection is a table of a file by its header: from the header to behind the last of its lines.
type fileSection struct {
	path       []string
	start, end int
}

// sectionsOf lists the sections of a text; the first has no header.
func sectionsOf(text string) []fileSection {
	s := &scanner{in: newOrigin("", text)}
	root := &node{table: true}
	list, here := []fileSection{{}}, root
	for s.blank(); s.pos < len(text); s.blank() {
		before := s.pos
		if s.peek() == '[' {
			from := s.pos + strings.LastIndexByte(text[:s.pos+1], '[') - s.pos
			names := (&scanner{in: s.in, pos: from + 1}).key()
			var path []string
			for _, part := range names {
				path = append(path, part.name)
			}
			here, _ = s.header(root, nil)
			list = append(list, fileSection{path: path, start: before})
		} else {
			s.pair(here, nil)
		}
		if s.pos == before {
			s.pos++
		}
		end := s.pos
		if i := strings.IndexByte(text[end:], '\n'); i >= 0 {
			end += i + 1
		} else {
			end = len(text)
		}
		list[len(list)-1].end = end
	}
	return list
}

// same reports whether two jobs say the same, wherever and however their files write it. What is
// assumed where a file says nothing is in the values; its reasons may differ.
func same(a, b *Job) bool {
	bare := func(j *Job) Job {
		c := *j
		c.tree, c.source, c.assumed = nil, nil, nil
		c.Alternatives, c.Alternative, c.Assumptions = nil, "", nil
		c.Doubts = slices.Clone(c.Doubts)
		slices.SortFunc(c.Doubts, func(x, y Doubt) int { return cmp.Compare(x.Path, y.Path) })
		return c
	}
	return reflect.DeepEqual(bare(a), bare(b))
}
