package network

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// hung moves the lines of [from.X] or [to.X] into their table, with the key that they have in
// common and what each line
// has by "each".
func (r *reader) hung(t, base *node, side, table string) {
	n := t.without(side)
	if n == nil {
		return
	}
	if !n.table {
		r.fail(n.value, fmt.Sprintf(`write [%s.NAME] and below it one line per run`, side),
			"%q is %s, but a table is meant", side, n.what())
		return
	}
	lines := t.child(table)
	if lines == nil {
		lines = &node{name: table, key: n.key, value: n.value, table: true}
		t.add(lines)
	} else if !lines.table {
		return // told by the decoder
	}
	for _, parent := range n.children {
		if !parent.table {
			r.fail(parent.value, fmt.Sprintf(`write [%s.%s] and below it one line per run`, side,
				PathText(parent.name)),
				"%q is %s, but a table of lines is meant", parent.name, parent.what())
			continue
		}
		each := parent.without("each")
		if each != nil {
			if _, text := each.leaf.(string); !text {
				r.fail(each.value, `write each = "wye, boot"`,
					"%q is %s, but the text of a row is meant", "each", each.what())
				each = nil
			} else {
				r.row(rowKindNamed(table), each, true, base != nil)
			}
		}
		if base != nil {
			starLines(parent, base.child(table), side)
		}
		for _, line := range parent.children {
			r.hang(line, parent, each, lines, base.child(table), side)
		}
	}
	if base == nil {
		slices.SortStableFunc(lines.children, func(a,
			b *node) int {
			return a.key.start - b.key.start
		})
	}
}

// starLines gives what "*" says to every line that leaves or joins the parent, and what "**" says
// to all beyond as well.
func starLines(parent, lines *node, side string) {
	for _, deep := range []string{"*", "**"} {
		star := parent.without(deep)
		if star == nil {
			continue
		}
		reached := []string{parent.name}
		for i := 0; i < len(reached) && (i == 0 || deep == "**"); i++ {
			for _, line := range lines.all() {
				if name, ok := line.child(side).text(); ok && alike(name, reached[i]) &&
					!slices.Contains(reached, line.name) {
					reached = append(reached, line.name)
				}
			}
		}
		for _, name := range reached[1:] {
			addUnder(parent, star, name)
		}
	}
}

// hang puts one line of [from.X] into its table.
func (r *reader) hang(line, parent, each, lines, below *node, side string) {
	if _, text := line.leaf.(string); !text && !line.table {
		r.fail(line.value, `write NAME = "7 in, 14 ft, 10x6"`, "%q is %s, but a run is meant",
			line.name, line.what())
		return
	}
	r.part(lines.name, line, below != nil)
	line.row = true
	if first := lines.child(line.name); first != nil {
		again := fmt.Sprintf("%q is defined twice", PathText(lines.name, line.name))
		if at := first.key.lineNumber(); at > 0 {
			again += fmt.Sprintf(" (first on line %d)", at)
		}
		r.fail(line.key, "give each part a name of its own", "%s", again)
		return
	}
	if own := line.child(side); own != nil {
		r.fail(own.key, "take one of the two out",
			"%q says where it leads in its own key %q and by [%s]", line.name, side, PathText(side,
				parent.name))
		return
	}
	if each != nil {
		r.ductOrOpening(each, line)
	}
	fillEach(line, each)
	was := below.child(line.name)
	if was == nil {
		line.add(&node{name: side, key: parent.key, value: parent.key, leaf: parent.name})
	} else if held, ok := was.child(side).text(); ok && !line.starred &&
		!alike(held, parent.name) && !(parent.name == "plenum" &&
		(held == SupplyPlenum || held == ReturnPlenum)) {
		r.fail(line.key, fmt.Sprintf("write %s, or %s = %q to move it",
			PathText(lines.name, line.name), PathText(lines.name, line.name, side), parent.name),
			"%q is at %q, not at %q", line.name, held, parent.name)
		return
	}
	lines.add(line)
}

// ductOrOpening refuses a row that changes a run by a section without saying of what, where it
// could be the register's
// as well: the run has one, or has its duct from elsewhere.
func (r *reader) ductOrOpening(below, over *node) {
	size := over.child("size")
	if size == nil || !size.unsaid || over.child("register") != nil || over.child("grille") != nil {
		return
	}
	opening := "register"
	if below.child("grille") != nil {
		opening = "grille"
	}
	if below.child(opening) != nil || below.child("size") != nil && !below.child("size").unsaid {
		text := size.value.text()
		r.fail(size.value, fmt.Sprintf(`write "%s %s", or "size %s" for the duct`, opening, text,
			text), "%q: the duct or the %s?", text, opening)
	}
}

// text returns the text of a leaf.
func (n *node) text() (string, bool) {
	if n == nil {
		return "", false
	}
	text, ok := n.leaf.(string)
	return text, ok
}

// fillEach gives a part what every one of its kind has and it does not say itself: every line of
// its [from.X], every zone.
func fillEach(line, each *node) {
	if each == nil {
		return
	}
	for _, c := range each.children {
		own := line.child(c.name)
		switch c.name {
		case "register", "grille":
			if own == nil && c.child("size") != nil {
				line.add(c.inheritedCopy())
			} else if own != nil && own.opened() {
				for _, key := range c.children {
					if own.child(key.name) == nil {
						own.add(key.inheritedCopy())
					}
				}
			}
		case "fittings":
			fill := inSlots(c.items)
			if line.child("register") == nil && line.child("grille") == nil {
				fill[slotEnd] = nil
			}
			if own != nil && own.list {
				own.items = mergeSlots(slices.Concat(fill[:]...), own.items)
			} else if items := slices.Concat(fill[:]...); own == nil && len(items) > 0 {
				n := c.inheritedCopy()
				n.items = items
				line.add(n)
			}
		default:
			if own == nil {
				line.add(c.inheritedCopy())
			}
		}
	}
}

// inheritedCopy copies what another line of the file says for a part.
func (n *node) inheritedCopy() *node {
	c := n.copied()
	c.inherited = true
	return c
}

// opened makes of a register that is a size alone a table with its size, and reports whether n is a
// table then.
func (n *node) opened() bool {
	if n.table {
		return true
	}
	if _, ok := n.leaf.(string); !ok {
		return false
	}
	size := &node{name: "size", key: n.key, value: n.value, leaf: n.leaf}
	n.leaf, n.table, n.row = nil, true, true
	n.add(size)
	return true
}

// copied copies a tree.
func (n *node) copied() *node {
	c := *n
	c.children, c.items, c.byName = slices.Clone(n.children), slices.Clone(n.items), maps.Clone(n.byName)
	for i, child := range c.children {
		own := child.copied()
		c.children[i] = own
		if c.byName[own.name] == child {
			c.byName[own.name] = own
		}
	}
	for i, item := range c.items {
		c.items[i] = item.copied()
	}
	return &c
}

// starTables are the tables of named parts in which "*" stands for every name.
var starTables = []string{"weather", "zone", "damper", "room", "box", "supply", "return", "bypass",
	"dump", "port"}

// dotted takes apart the keys of an override set that are a path in quotes, "damper.*.stop".
func (r *reader) dotted(t *node) {
	for _, c := range slices.Clone(t.children) {
		path, ok := SplitPath(c.name)
		if !ok || len(path) < 2 || !strings.Contains(c.name, ".") {
			continue
		}
		t.without(c.name)
		here := t
		for _, name := range path[:len(path)-1] {
			next := here.child(name)
			if next == nil {
				next = &node{name: name, key: c.key, value: c.key, table: true, implied: true}
				here.add(next)
			}
			here = next
		}
		last := path[len(path)-1]
		if first := here.child(last); first != nil {
			r.fail(c.key, "keep one of the two", "%q is given twice", PathText(path...))
			continue
		}
		c.name = last
		here.add(c)
	}
}

// stars gives what "*" of a table of overrides says to every part that the base has, below what is
// said of it by name.
func stars(over, base *node) {
	if over == nil {
		return
	}
	star := over.without("*")
	if star == nil {
		return
	}
	for _, part := range base.all() {
		addUnder(over, star, part.name)
	}
}

// addUnder lays a copy of an override under the part of a name.
func addUnder(over, star *node, name string) {
	own := over.child(name)
	if own == nil {
		own = star.copied()
		own.name, own.starred = name, true
		over.add(own)
		return
	}
	for _, c := range star.children {
		if own.table && own.child(c.name) == nil {
			own.add(c.copied())
		}
	}
}
