package network

import (
	"fmt"
	"slices"

	"spillway/network/diag"
)

// seat is the place of a part that an alternative replaces as a whole.
type seat struct {
	at    *node // the path in the alternative's list
	path  []string
	index int // in its table
}

// unseat takes out the parts that an alternative replaces, so that nothing of them is merged with
// what stands in their place: replace = "blower".
func (r *reader) unseat(replace *node) (list []seat) {
	if replace == nil {
		return nil
	}
	for _, item := range itemsOf(replace) {
		path, ok := r.text(item)
		if !ok {
			continue
		}
		parts, ok := SplitPath(path)
		if !ok {
			r.fail(item.value, `write the path of a part, such as "blower"`, "%q is no path", path)
			continue
		}
		parent, all := r.root.find(parts[:len(parts)-1]...)
		old := parent.child(parts[len(parts)-1])
		switch other := otherBlower(parts); {
		case all && old != nil:
			list = append(list, seat{item, parts, slices.Index(parent.children, old)})
			parent.without(old.name)
		case other != nil && r.without(other):
			list = append(list, seat{item, parts, -1})
		default:
			r.fail(item.value, diag.DidYouMean(parts[len(parts)-1], parent.childNames()),
				"there is no part %q to replace", path)
		}
	}
	return list
}

// otherBlower is where else a blower is chosen: a table of one's own instead of one of the catalog,
// and the other way round.
func otherBlower(path []string) []string {
	switch PathText(path...) {
	case "blower":
		return []string{"equipment", "blower"}
	case "equipment.blower":
		return []string{"blower"}
	}
	return nil
}

// without takes what is at a path out of the tree, and reports whether it was there.
func (r *reader) without(path []string) bool {
	parent, all := r.root.find(path[:len(path)-1]...)
	return all && parent.without(path[len(path)-1]) != nil
}

// seat puts what an alternative gives in place of the parts that it replaces, where they were: the
// order of lines is that of their takeoffs.
func (r *reader) seat(list []seat, over *node) {
	for _, s := range list {
		parent, name := s.path[:len(s.path)-1], s.path[len(s.path)-1]
		from, all := over.find(parent...)
		if !all || from.child(name) == nil {
			text := PathText(s.path...)
			r.fail(s.at.value, fmt.Sprintf("give %s in the alternative, or write remove = %q", text,
				text), "%q is replaced by nothing", text)
			continue
		}
		if other := otherBlower(s.path); other != nil {
			if _, own := over.find(other...); !own {
				r.without(other)
			}
		}
		own := from.without(name)
		own.implied = false
		to, all := r.root.find(parent...)
		if to.add(own); !all || s.index < 0 {
			continue
		}
		to.children = slices.Insert(to.children[:len(to.children)-1:len(to.children)-1],
			min(s.index, len(to.children)-1), own)
	}
}
