package network

import (
	"slices"
	"strings"
)

// usualKinds are the parts for which [usual] says what those have that do not say it themselves,
// with the kind of row that describes them.
var usualKinds = [][2]string{{"zone", "zone"}, {"damper", "damper"}, {"room", "room"},
	{"branch", "supply"}, {"trunk", "supply"}, {"return", "return"}, {"register", "opening"},
	{"grille", "opening"}}

// usualRows reads the [usual] table and takes it out of the tree: zone = "heat 68 F, cool 76 F"
// serves every zone. A branch is a supply run with a register, a trunk one without.
func (r *reader) usualRows(root *node) {
	n := root.without("usual")
	if n == nil {
		return
	}
	if !n.table {
		r.fail(n.value, `write [usual] and below it zone = "heat 68 F"`,
			"%q is %s, but a table is meant", n.name, n.what())
		return
	}
	if r.usual == nil {
		r.usual = map[string]*node{}
	}
	for _, row := range n.children {
		i := slices.IndexFunc(usualKinds, func(k [2]string) bool { return k[0] == row.name })
		if i < 0 {
			var known []string
			for _, k := range usualKinds {
				known = append(known, k[0])
			}
			fix := "known here: " + strings.Join(known, ", ")
			if near, ok := r.nearest(row.name, known); ok {
				fix = "did you mean " + PathText(near) + "?"
			}
			r.fail(row.key, fix, "there is no usual %q", row.name)
			continue
		}
		kind := rowKindNamed(usualKinds[i][1])
		if _, text := row.leaf.(string); text {
			r.row(kind, row, kind.run, false)
		} else if r.part(kind.name, row, false); !row.table {
			r.fail(row.value, `write zone = "heat 68 F", in [usual]`,
				"%q is %s, but the text of a row is meant", row.name, row.what())
			continue
		}
		if held := r.usual[row.name]; held != nil {
			fillEach(row, held)
		}
		r.usual[row.name] = row
	}
}

// fillUsual gives parts what [usual] says and neither they nor the "each" of their trunk.
func (r *reader) fillUsual() {
	if len(r.usual) == 0 {
		return
	}
	for _, table := range []string{"zone", "damper", "room", "return"} {
		for _, part := range r.root.child(table).all() {
			fillEach(part, r.usual[table])
		}
	}
	for _, line := range r.root.child("supply").all() {
		if line.child("register") != nil {
			fillEach(line, r.usual["branch"])
		} else {
			fillEach(line, r.usual["trunk"])
		}
	}
	for opening, tables := range map[string][]string{"register": {"supply", "dump"},
		"grille": {"return"}} {
		for _, table := range tables {
			for _, line := range r.root.child(table).all() {
				if held := line.child(opening); held != nil && r.usual[opening] != nil &&
					held.opened() {
					fillEach(held, r.usual[opening])
				}
			}
		}
	}
}
