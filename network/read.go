package network

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"spillway/network/diag"
)

// Options select what is read from a job file.
type Options struct {
	// Alternative is the name of one of the file's override sets; "" = the file as it stands.
	Alternative string
	// Set holds further overrides, each PATH=VALUE: "damper.main.stop=30 %". The value is read as TOML and, when it is
	// none, as a text. They are applied last.
	Set []string
}

// Read reads a job file. name is what messages call it; the bytes are the caller's to fetch.
//
// The Job is nil exactly when the list holds an Error; all problems that can be told are in the list, sorted by place.
// Cautions come along with a Job. What holds for a Job is said at the type.
func Read(name string, data []byte, opt Options) (*Job, diag.List) {
	root, found := parseLines(name, data)
	if found != nil {
		return nil, withValues(name, root, found)
	}
	job, found := readTree(name, root, opt)
	switch {
	case job != nil:
		opt.Set = slices.Clip(opt.Set)
		job.source = &source{name: name, data: bytes.Clone(data), opt: opt, found: found}
	case opt.Alternative != "":
		found = namedAlternative(name, data, opt, found)
	}
	return job, found
}

// withValues adds to the syntax errors of a text what is wrong with the keys and values that could be read. What is missing
// or refers to nothing is left out: it may stand in a line that could not be read.
func withValues(name string, root *node, found diag.List) diag.List {
	if root == nil {
		return found
	}
	r := &reader{name: name, root: root}
	root.without("alternative")
	r.rows(root, nil)
	if n := root.child("units"); n != nil {
		quiet := reader{name: name}
		quiet.decodeSpecial(n, &r.system, field{})
	}
	r.decodeStruct(root, reflect.ValueOf(&Job{}).Elem())
	for _, d := range r.found {
		if !slices.ContainsFunc(found, func(f diag.Diagnostic) bool { return f.Line == d.Line }) {
			found = append(found, d)
		}
	}
	return found.Sorted()
}

// namedAlternative names the alternative in the problems that the file does not have as it stands.
func namedAlternative(name string, data []byte, opt Options, found diag.List) diag.List {
	root, _ := parseText(name, data)
	if root.child("alternative").child(opt.Alternative) == nil {
		return found
	}
	_, own := readTree(name, root, Options{Set: opt.Set})
	reported := make(map[string]bool, len(own))
	for _, d := range own {
		reported[d.Text()] = true
	}
	for i := range found {
		if !reported[found[i].Text()] {
			found[i].Summary = withAlternative(opt.Alternative, found[i].Summary)
		}
	}
	return found
}

func withAlternative(alternative, summary string) string {
	return fmt.Sprintf("with alternative %q: %s", alternative, summary)
}

// readTree applies the options to a tree that is the callee's to change, decodes, checks and completes the job.
func readTree(name string, root *node, opt Options) (*Job, diag.List) {
	return (&reader{name: name, root: root}).job(opt)
}

// job is readTree with the reader's own tree.
func (r *reader) job(opt Options) (*Job, diag.List) {
	root, name := r.root, r.name
	job := &Job{Alternative: opt.Alternative}
	r.doubtTables(root)
	r.rows(root, nil)
	r.dampersByName()
	r.alternatives(job, opt.Alternative)
	r.unknownParts()
	r.defaults()
	for _, assignment := range opt.Set {
		r.set(assignment)
	}
	r.unknownParts()
	r.defaults()
	r.assumeDampers(job)
	if n := root.child("units"); n != nil {
		quiet := reader{name: name} // the decoder reports it again in its place
		quiet.decodeSpecial(n, &r.system, field{})
	}
	r.decodeStruct(root, reflect.ValueOf(job).Elem())
	for _, t := range job.lineTables() {
		for i := range t.lines {
			t.lines[i].Table = t.name
		}
	}
	c := newChecker(r, job)
	c.unsure = len(r.badRows) > 0
	read := len(r.found)
	c.run()
	r.forgiveBadRows(read)
	found := r.found.Sorted()
	if found.HasErrors() {
		return nil, found
	}
	job.Doubts, job.Removed = r.doubts, r.removals
	job.tree = root
	return job, found
}

// Place tells where a value of the job stands: as a diagnostic without a problem, with file, line, column and the line's text. A value
// that the file does not give has the place of the nearest thing above it; the zero Diagnostic when there is none.
func (j *Job) Place(path ...string) diag.Diagnostic {
	var d diag.Diagnostic
	if j.tree == nil {
		return d
	}
	n, all := j.tree.find(path...)
	if all {
		n.value.place(&d)
	} else {
		n.key.place(&d)
	}
	return d
}

// alternatives takes the override sets out of the tree, lists them in the job and merges the chosen one.
func (r *reader) alternatives(job *Job, chosen string) {
	sets := r.root.without("alternative")
	defer func() { r.sets = sets }()
	if sets != nil && !sets.table {
		r.fail(sets.value, "write [alternative.NAME] and below it what differs", "%q is %s, but a table of override sets is meant", sets.name, sets.what())
		sets = nil
	}
	var names []string
	if sets != nil {
		for _, set := range sets.children {
			if !set.table {
				r.fail(set.value, fmt.Sprintf("write [alternative.%s] and below it what differs", set.name), "alternative %q is %s, but a table of overrides is meant", set.name, set.what())
				continue
			}
			if !r.alternativeName(set) {
				continue
			}
			names = append(names, set.name)
			alternative := Alternative{Name: set.name}
			if set.key.in != nil && set.key.in.starts != nil {
				alternative.Line = set.key.in.line(set.key.start)
			}
			quiet := reader{name: r.name} // what is wrong with them is told where the alternative is applied
			if note := set.child("note"); note != nil {
				alternative.Note, _ = r.text(note)
			}
			if like := set.child("like"); like != nil {
				alternative.Like, _ = quiet.text(like)
			}
			job.Alternatives = append(job.Alternatives, alternative)
		}
	}
	if chosen == "" {
		return
	}
	set := sets.child(chosen)
	if set == nil || !set.table {
		fix := diag.DidYouMean(chosen, names)
		if len(names) == 0 {
			fix = "the file has no [alternative.NAME] tables"
		}
		r.found = append(r.found, diag.Diagnostic{File: r.name, Summary: fmt.Sprintf("there is no alternative %q", chosen), Fix: fix})
		return
	}
	r.apply(sets, set, names, nil)
}

// alternativeName checks the name of an alternative as the name of any part, and that it is none that
// a flag means something else by.
func (r *reader) alternativeName(set *node) bool {
	switch set.name {
	case "all", "file": // of --alternative all, and of --against file
		r.fail(set.key, "choose another name", "%q is a name of the program's own", set.name)
		return false
	}
	return r.nameIsGood(set)
}

// apply lays an alternative over the tree, after the one that it is like. Those that are like it in turn stand in after.
func (r *reader) apply(sets, set *node, names, after []string) {
	if like := set.without("like"); like != nil {
		name, ok := r.text(like)
		base := sets.child(name)
		switch after = append(after, set.name); {
		case !ok:
			return
		case slices.Contains(after, name):
			r.fail(like.value, "name the alternative that this one starts from", "alternative %q comes to be like itself", name)
			return
		case base == nil || !base.table:
			r.fail(like.value, diag.DidYouMean(name, names), "there is no alternative %q to be like", name)
			return
		}
		r.apply(sets, base, names, after)
	}
	set.without("note")
	remove := set.without("remove")
	replaced := r.unseat(set.without("replace"))
	r.rows(set, r.root)
	if remove != nil {
		r.removeAll(remove, set)
	}
	r.seat(replaced, set)
	r.merge(r.root, set, nil)
}

// merge lays overrides over a table: tables are merged key by key, all else is replaced.
//
// A part that the file does not have may be added as a table of its own; a dotted key that leads to an unknown part is
// taken for a misspelt name.
func (r *reader) merge(base, over *node, path []string) {
	for _, c := range over.children {
		at := append(path[:len(path):len(path)], c.name)
		old := base.child(c.name)
		switch {
		case r.relative(old, c, at):
			if old != nil && old.leaf != nil {
				old.leaf, old.key, old.value, old.inherited = c.leaf, c.key, c.value, false
			}
		case old == nil && c.implied && len(path) == 1 && isNamedTable(path[0]):
			r.noSuchPart(c, base.childNames(), at)
		case old == nil && c.implied && r.setting && len(path) == 0 && isNamedTable(c.name):
			c.children = slices.DeleteFunc(c.children, func(part *node) bool {
				if part.implied {
					r.noSuchPart(part, nil, []string{c.name, part.name})
				}
				return part.implied
			})
			if len(c.children) > 0 {
				base.add(c)
			}
		case old == nil:
			base.add(c)
		case c.row && c.list && (old.list || old.leaf != nil):
			old.items, old.leaf, old.list = mergeSlots(itemsOf(old), c.items), nil, true
			old.key, old.value = c.key, c.value
		case c.row && c.table && old.opened(), old.table && c.table:
			r.ductOrOpening(old, c)
			r.merge(old, c, at)
		default:
			old.leaf, old.table, old.list = c.leaf, c.table, c.list
			old.children, old.byName, old.items = c.children, c.byName, c.items
			old.key, old.value = c.key, c.value
		}
	}
}

// noSuchPart reports an override that leads to a part which the file does not have, and says where the part is instead.
func (r *reader) noSuchPart(part *node, known, path []string) {
	text := PathText(path...)
	fix := diag.DidYouMean(part.name, known)
	if len(known) == 0 {
		fix = fmt.Sprintf("to add a part write %s = { ... }", text)
	}
	var in []string
	if r.sets != nil {
		for _, set := range r.sets.children {
			if _, all := set.find(path...); all {
				in = append(in, set.name)
			}
		}
	}
	switch {
	case r.isRemoved(path):
		fix = "the alternative removes it; leave the override out, or name the alternatives that keep the part"
	case len(in) > 0:
		fix = fmt.Sprintf("%s is in alternative %s: add --alternative %s", text, joined(in), PathText(in[0]))
	}
	r.fail(part.key, fix, "there is no %s %q to change", path[0], part.name)
}

// isRemoved reports whether the alternative removes what is at a path, or the part that it is in.
func (r *reader) isRemoved(path []string) bool {
	for i := range path {
		if slices.Contains(r.removed, PathText(path[:i+1]...)) {
			return true
		}
	}
	return false
}

// isNamedTable tells whether a top-level key holds named parts.
func isNamedTable(key string) bool {
	t := reflect.TypeFor[Job]()
	f, ok := fieldNamed(fieldsOf(t), key)
	if !ok {
		return false
	}
	kind := t.Field(f.index).Type
	return kind.Kind() == reflect.Slice && named(kind.Elem())
}

// set applies one --set flag.
func (r *reader) set(assignment string) {
	in := &origin{name: "--set", text: assignment}
	path, value, ok := strings.Cut(assignment, "=")
	whole := span{in, 0, len(assignment)}
	parts, good := SplitPath(path)
	if !ok || !good {
		r.fail(whole, "write PATH=VALUE, such as damper.main.stop=30 %", "%q is no assignment", assignment)
		return
	}
	if parts[0] == doubtTable {
		parts[0] = spreadTable
	}
	if r.isRemoved(parts[:len(parts)-1]) {
		r.warn(whole, "leave it out where the part is removed",
			"%s is skipped: the alternative removes it", PathText(parts...))
		return
	}
	start := len(path) + 1
	at := span{in, start + len(value) - len(strings.TrimLeft(value, " \t")), len(assignment)}
	value = strings.TrimSpace(value)
	leaf := &node{name: parts[len(parts)-1], key: span{in, 0, len(path)}, value: at, leaf: value}
	if !bareWords(value) {
		if parsed, found := parseText("--set", []byte("v = "+value)); found == nil && parsed != nil && len(parsed.children) == 1 {
			leaf = parsed.children[0]
			leaf.placeAll(parts[len(parts)-1], span{in, 0, len(path)}, at)
		}
	}
	over := &node{table: true}
	here := over
	for _, part := range parts[:len(parts)-1] {
		next := &node{name: part, key: span{in, 0, len(path)}, value: at, table: true, implied: true}
		here.add(next)
		here = next
	}
	here.add(leaf)
	r.rows(over, r.root)
	r.setting = true
	r.merge(r.root, over, nil)
}

// bareWords reports whether a text is several words without quotes, brackets, comment or time, "30 %", which is not TOML.
func bareWords(text string) bool {
	return strings.Contains(text, " ") && !strings.ContainsAny(text, "\"'[{#:")
}

// placeAll puts a value that came from a flag, with all that is in it, at the flag's place.
func (n *node) placeAll(name string, key, value span) {
	n.name, n.key, n.value = name, key, value
	for _, c := range n.children {
		c.placeAll(c.name, value, value)
	}
	for _, c := range n.items {
		c.placeAll(name, key, value)
	}
}

// SplitPath takes a dotted path apart; parts may be quoted as in TOML, and blanks within a part are kept.
func SplitPath(path string) (parts []string, ok bool) {
	rest := strings.TrimSpace(path)
	for rest != "" {
		var part string
		if quote := rest[0]; quote == '"' || quote == '\'' {
			end := strings.IndexByte(rest[1:], quote)
			if end < 0 {
				return nil, false
			}
			part, rest = rest[1:1+end], strings.TrimSpace(rest[2+end:])
			if rest != "" && rest[0] != '.' {
				return nil, false
			}
		} else {
			end := strings.IndexByte(rest, '.')
			if end < 0 {
				end = len(rest)
			}
			part, rest = strings.TrimSpace(rest[:end]), rest[end:]
		}
		if part == "" || len(parts) > mostNesting {
			return nil, false
		}
		parts = append(parts, part)
		if rest != "" {
			if rest = strings.TrimSpace(rest[1:]); rest == "" {
				return nil, false
			}
		}
	}
	return parts, len(parts) > 0
}
