package network

import (
	"strings"
)

// rows turns every row of a tree into the table that it stands for, and the lines of [from.X] and
// [to.X] into lines of
// [supply] and [return]. base is nil for the file as it stands; for an alternative or a flag it is
// what t is laid over.
func (r *reader) rows(t, base *node) {
	over := base != nil
	if over {
		r.dotted(t)
		for _, table := range starTables {
			stars(t.child(table), base.child(table))
		}
	}
	r.usualRows(t)
	if n := t.child("site"); n != nil {
		r.part("site", n, over)
	}
	for _, table := range []string{"weather", "zone", "damper", "room", "supply", "return",
		"bypass", "dump"} {
		if n := t.child(table); n != nil && n.table {
			for _, c := range n.children {
				r.part(table, c, over)
			}
		}
	}
	if n := t.child("box"); n != nil && n.table {
		for _, c := range n.children {
			if _, text := c.leaf.(string); text {
				note := &node{name: "note", key: c.value, value: c.value, leaf: c.leaf}
				c.leaf, c.table, c.row = nil, true, true
				c.add(note)
			}
		}
	}
	if e := t.child("equipment"); e != nil {
		for _, mode := range []string{"cooling", "heating", "fan"} {
			n := e.child(mode)
			r.part(mode, n, over)
			if stages := n.child("stage"); stages != nil && stages.table {
				for _, stage := range stages.children {
					r.part(mode, stage, over)
				}
			}
		}
		r.part("part", e.child("filter"), over)
		r.part("part", e.child("coil"), over)
	}
	r.hung(t, base, "from", "supply")
	r.hung(t, base, "to", "return")
}

// part reads a part that is a row, or a table with one in its key "row".
func (r *reader) part(kind string, n *node, over bool) {
	if n == nil {
		return
	}
	k := rowKindNamed(kind)
	if _, text := n.leaf.(string); text {
		r.row(k, n, false, over)
		return
	}
	if !n.table {
		return
	}
	if row := n.without("row"); row != nil {
		if _, text := row.leaf.(string); !text {
			r.fail(row.value, `write row = "7 in, 14 ft, 10x6"`,
				"%q is %s, but the text of a row is meant", "row", row.what())
		} else {
			r.row(k, row, false, over)
			for _, c := range row.children {
				own := n.child(c.name)
				switch {
				case own == nil:
					n.add(c)
				case own.list && c.list:
					own.items = mergeSlots(c.items, own.items)
				default:
					r.fail(own.key, "keep one of the two", "%q stands in the row too, as %q",
						own.name, c.value.text())
				}
			}
			n.row = true
		}
	}
	if k.run || kind == "room" {
		for _, opening := range []string{"register", "grille", "transfer"} {
			if c := n.child(opening); c != nil {
				if text, ok := c.leaf.(string); ok && strings.Contains(text, ", ") || c.table &&
					c.child("row") != nil {
					r.part("opening", c, over)
				}
			}
		}
	}
}
