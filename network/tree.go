package network

import (
	"sort"
	"strings"

	"spillway/network/diag"
)

// origin is a text that nodes come from: the job file, or one --set flag.
type origin struct {
	name   string // file name or flag
	text   string
	starts []int // offset at which each line begins; nil for a flag, whose places have no line number
}

func newOrigin(name, text string) *origin {
	o := &origin{name: name, text: text, starts: []int{0}}
	for i := 0; i < len(text); i++ {
		if text[i] == '\n' {
			o.starts = append(o.starts, i+1)
		}
	}
	return o
}

// span is a piece of an origin.
type span struct {
	in         *origin
	start, end int // byte offsets
}

// place fills the place of a diagnostic.
func (s span) place(d *diag.Diagnostic) {
	if s.in == nil {
		return
	}
	d.File = s.in.name
	if s.in.starts == nil {
		d.LineText = s.in.text
		d.Column = diag.Column(s.in.text, s.start)
		d.Length = diag.Column(s.in.text, s.end) - d.Column
		return
	}
	line := s.in.line(s.start)
	text := s.in.lineText(line)
	offset := s.start - s.in.starts[line-1]
	d.Line, d.LineText = line, text
	d.Column = diag.Column(text, offset)
	d.Length = diag.Column(text, offset+s.end-s.start) - d.Column
}

// line is the number, from 1, of the line that holds an offset.
func (o *origin) line(offset int) int {
	return sort.SearchInts(o.starts, offset+1)
}

func (o *origin) lineText(line int) string {
	text := o.text[o.starts[line-1]:]
	if i := strings.IndexByte(text, '\n'); i >= 0 {
		text = text[:i]
	}
	return strings.TrimSuffix(text, "\r")
}

// node is one key of a job file with its value and both places. Exactly one of table, list and leaf applies.
type node struct {
	name       string
	key, value span
	leaf       any // string, int64, float64, bool or a date
	table      bool
	list       bool
	children   []*node // of a table, by first appearance
	byName     map[string]*node
	items      []*node // of a list
	// implied is true for a table that exists only because a dotted key runs through it ("main" in main.stop = "0 %").
	implied bool
	// row is true for what a row was turned into, made for a part that the file does not have and
	// that a default stands for.
	row, made bool
	// unsaid is true for a size that a row gives without a key: the duct, or the register.
	unsaid bool
	// inherited is true for what "each" or [usual] says for a part.
	inherited bool
	// starred is true for an override that a "*" stands for.
	starred bool
}

func (n *node) child(name string) *node {
	if n == nil {
		return nil
	}
	return n.byName[name]
}

// add appends a child to a table. A name that is there already keeps its first node.
func (n *node) add(c *node) {
	if n.byName == nil {
		n.byName = make(map[string]*node)
	}
	n.children = append(n.children, c)
	if _, ok := n.byName[c.name]; !ok {
		n.byName[c.name] = c
	}
}

// find walks down a path as far as it exists and tells whether that was all the way.
func (n *node) find(path ...string) (*node, bool) {
	for _, name := range path {
		c := n.child(name)
		if c == nil {
			return n, false
		}
		n = c
	}
	return n, true
}

// moveTo puts a tree, whose text has the same length, at another origin: the text as it stands in the file.
func (n *node) moveTo(in *origin) {
	n.key.in, n.value.in = in, in
	for _, c := range n.children {
		c.moveTo(in)
	}
	for _, c := range n.items {
		c.moveTo(in)
	}
}

func (n *node) childNames() []string {
	var names []string
	for _, c := range n.children {
		names = append(names, c.name)
	}
	return names
}

// without takes a child out.
func (n *node) without(name string) *node {
	for i, c := range n.children {
		if c.name == name {
			n.children = append(n.children[:i:i], n.children[i+1:]...)
			delete(n.byName, name)
			return c
		}
	}
	return nil
}

// what describes the type of a value for a message.
func (n *node) what() string {
	switch v := n.leaf.(type) {
	case nil:
		if n.list {
			return "a list"
		}
		return "a table"
	case string:
		return "a text"
	case bool:
		return "true or false"
	case int64, float64:
		return "a number"
	default:
		_ = v
		return "a date or time"
	}
}

// PathText writes a path as it stands in a file, quoting what is no bare key.
func PathText(path ...string) string {
	var b strings.Builder
	for i, part := range path {
		if i > 0 {
			b.WriteByte('.')
		}
		switch {
		case bareKey(part):
			b.WriteString(part)
		case strings.ContainsAny(part, `"\`):
			b.WriteString("'" + part + "'")
		default:
			b.WriteString(`"` + part + `"`)
		}
	}
	return b.String()
}

func bareKey(text string) bool {
	for i := 0; i < len(text); i++ {
		if !isBare(text[i]) {
			return false
		}
	}
	return text != ""
}

func isBare(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_'
}
