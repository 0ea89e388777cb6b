package network

import (
	"fmt"
	"slices"
	"strings"

	"spillway/network/diag"
)

// Removal is a part that an alternative takes out, with what nothing else uses.
type Removal struct {
	Path string   // "zone.loft"
	With []string // paths of what goes along, in file order
}

// Text names the part and counts what goes along: "zone loft, with damper loft, 5 runs, return
// run loft-grille".
func (m *Removal) Text() string {
	words := func(path string) string {
		parts, _ := SplitPath(path)
		return strings.Join(parts, " ")
	}
	if len(m.With) == 0 {
		return words(m.Path)
	}
	var order []string
	count, one := map[string]int{}, map[string]string{}
	for _, path := range m.With {
		parts, _ := SplitPath(path)
		kind := map[string]string{"supply": "run", "return": "return run", "choose": "choice",
			"spread": "doubt", "panel": "call"}[parts[0]]
		if kind == "" {
			kind = parts[0]
		}
		if count[kind]++; count[kind] == 1 {
			order = append(order, kind)
		}
		one[kind] = kind + " " + parts[len(parts)-1]
	}
	var list []string
	for _, kind := range order {
		if count[kind] == 1 {
			list = append(list, one[kind])
		} else {
			list = append(list, fmt.Sprintf("%d %s", count[kind], plurals(kind)))
		}
	}
	return words(m.Path) + ", with " + joined(list)
}

func plurals(kind string) string {
	switch kind {
	case "box", "bypass":
		return kind + "es"
	}
	return kind + "s"
}

// remover takes parts out of the tree, with what nothing else uses. It sees the tree as it becomes
// with the overrides that are laid over it afterwards.
type remover struct {
	*reader
	over *node
	gone map[*node]bool
	with []string // paths of what went along with the part in hand
	bad  bool
}

// removeAll takes the parts that an alternative names out of the tree.
func (r *reader) removeAll(remove, over *node) {
	m := &remover{reader: r, over: over, gone: map[*node]bool{}}
	for _, item := range itemsOf(remove) {
		if path, ok := r.text(item); ok {
			m.remove(item, path)
		}
	}
	for _, item := range itemsOf(remove) {
		m.needed(item)
	}
	if m.bad {
		return // all parts stay: what would be missed is told already
	}
	m.sweep(r.root)
}

// sweep deletes what is gone, and the tables that are left empty by that.
func (m *remover) sweep(n *node) {
	for _, c := range slices.Clone(n.children) {
		switch {
		case m.gone[c]:
			n.without(c.name)
		case c.table && len(c.children) > 0:
			if m.sweep(c); len(c.children) == 0 && isNamedTable(c.name) && n == m.root {
				n.without(c.name)
			}
		}
	}
}

// remove marks the part or parts of one path, and all that goes along: "bypass.relief", "port.*".
func (m *remover) remove(at *node, path string) {
	parts, ok := SplitPath(path)
	if !ok || len(parts) == 0 {
		m.bad = true
		m.fail(at.value, `write the path of a part, such as "bypass.relief"`, "%q is no path", path)
		return
	}
	if parts[0] == doubtTable {
		parts[0] = spreadTable
	}
	parent, all := m.root.find(parts[:len(parts)-1]...)
	last := parts[len(parts)-1]
	var found []*node
	switch {
	case all && last == "*":
		found = slices.Clone(parent.children)
	case all && parent.child(last) != nil:
		found = []*node{parent.child(last)}
	}
	if len(found) == 0 {
		m.bad = true
		known := parent.childNames()
		fix := diag.DidYouMean(last, known)
		if place := m.elsewhere(last); place != "" {
			fix = fmt.Sprintf("write %q", place)
		}
		m.fail(at.value, fix, "there is no part %q to remove", path)
		return
	}
	for _, part := range found {
		if m.gone[part] {
			continue
		}
		m.with = nil
		m.gone[part] = true
		m.removed = append(m.removed, PathText(append(parts[:len(parts)-1:len(parts)-1],
			part.name)...))
		if parts[0] == "zone" && len(parts) == 2 {
			m.zone(part.name)
		}
		m.follow()
		m.removals = append(m.removals, Removal{Path: PathText(append(
			parts[:len(parts)-1:len(parts)-1], part.name)...), With: m.with})
	}
}

// elsewhere finds the zone of a name, or else the one table that has a part of it: "zone.loft" for
// "supply.loft".
func (m *remover) elsewhere(name string) string {
	if m.root.child("zone").child(name) != nil {
		return PathText("zone", name)
	}
	var paths []string
	for _, table := range m.root.children {
		if isNamedTable(table.name) && table.child(name) != nil {
			paths = append(paths, PathText(table.name, name))
		}
	}
	if len(paths) != 1 {
		return ""
	}
	return paths[0]
}

// take marks a part of a table as gone along.
func (m *remover) take(part *node, path ...string) {
	if part == nil || m.gone[part] {
		return
	}
	m.gone[part] = true
	text := PathText(path...)
	m.removed = append(m.removed, text)
	if !part.made {
		m.with = append(m.with, text)
	}
}

// left lists the parts of a table that stay.
func (m *remover) left(table string) []*node {
	return slices.DeleteFunc(m.root.child(table).all(), func(n *node) bool { return m.gone[n] })
}

// value is what a key of a part comes to with the overrides.
func (m *remover) value(table string, part *node, key string) *node {
	if own := m.over.child(table).child(part.name).child(key); own != nil {
		return own
	}
	return part.child(key)
}

// names lists the texts of a key of a part: none, one or several.
func (m *remover) names(table string, part *node, key string) (list []string) {
	n := m.value(table, part, key)
	if n == nil {
		return nil
	}
	for _, item := range itemsOf(n) {
		if name, ok := item.text(); ok {
			list = append(list, name)
		}
	}
	return list
}

// names1 reports whether a key of a part has the name.
func (m *remover) names1(table string, part *node, key, name string) bool {
	return slices.ContainsFunc(m.names(table, part, key), func(s string) bool {
		return alike(s, name)
	})
}

// zone marks what serves one zone only: its dampers, what hangs on the runs with them, its grilles,
// dumps and rooms, and the panel's calls of it.
func (m *remover) zone(name string) {
	var own *node
	for _, z := range m.root.child("zone").all() {
		if z.name == name {
			own = z
		}
	}
	for _, damper := range m.names("zone", own, "damper") {
		shared := slices.ContainsFunc(m.left("zone"), func(z *node) bool {
			return m.names1("zone", z, "damper", damper)
		})
		if shared {
			continue
		}
		for _, d := range m.left("damper") {
			if alike(d.name, damper) {
				m.take(d, "damper", d.name)
			}
		}
		for _, table := range lineTables {
			for _, line := range m.left(table) {
				if m.names1(table, line, "damper", damper) {
					m.take(line, table, line.name)
				}
			}
		}
	}
	for _, table := range lineTables {
		for _, line := range m.left(table) {
			if m.names1(table, line, "zone", name) {
				m.take(line, table, line.name)
			}
		}
	}
	for _, room := range m.left("room") {
		if m.names1("room", room, "zone", name) {
			m.take(room, "room", room.name)
		}
	}
	for _, between := range m.left("between") {
		if m.names1("between", between, "zones", name) {
			m.take(between, "between", between.name)
		}
	}
	calls := m.root.child("panel").child("call")
	for _, call := range calls.all() {
		if m.names1("", call, "zones", name) {
			m.take(call, "panel", "call", call.name)
		}
	}
}

// follow marks what hangs on lines that are gone, and what only they used, until nothing is added.
func (m *remover) follow() {
	for before := -1; before != len(m.removed); {
		before = len(m.removed)
		for _, table := range lineTables {
			for _, line := range m.left(table) {
				if m.hangsOnGone(table, line) || m.leadsNowhere(table, line) {
					m.take(line, table, line.name)
				}
			}
		}
		for _, d := range m.left("damper") {
			if m.satIn(d.name) && !m.usesDamper(d.name) {
				m.take(d, "damper", d.name)
			}
		}
		m.rooms()
		for _, box := range m.left("box") {
			if m.refers(box.name, true) && !m.refers(box.name, false) {
				m.take(box, "box", box.name)
			}
		}
		m.loose()
	}
}

// goneLine reports whether a name is that of a line or box that is gone.
func (m *remover) goneLine(name string) bool {
	for _, table := range append([]string{"box"}, lineTables...) {
		for _, line := range m.root.child(table).all() {
			if alike(line.name, name) {
				return m.gone[line]
			}
		}
	}
	return false
}

// hangsOnGone reports whether a line leaves or joins one that is gone.
func (m *remover) hangsOnGone(table string, line *node) bool {
	for _, key := range []string{"from", "to"} {
		for _, name := range m.names(table, line, key) {
			if m.goneLine(name) {
				return true
			}
		}
	}
	return false
}

// refers reports whether a line hangs on the name: one that is gone, or one that stays.
func (m *remover) refers(name string, gone bool) bool {
	for _, table := range lineTables {
		for _, line := range m.root.child(table).all() {
			if m.gone[line] == gone && (m.names1(table, line, "from", name) ||
				m.names1(table, line, "to", name)) {
				return true
			}
		}
	}
	return false
}

// leadsNowhere reports whether a line without an opening has lost everything that hung on it.
func (m *remover) leadsNowhere(table string, line *node) bool {
	if m.value(table, line, "register") != nil || m.value(table, line, "grille") != nil {
		return false
	}
	return m.refers(line.name, true) && !m.refers(line.name, false)
}

// satIn reports whether a damper was in a line that is gone, and is in none that stays.
func (m *remover) satIn(damper string) bool {
	was := false
	for _, table := range lineTables {
		for _, line := range m.root.child(table).all() {
			if m.names1(table, line, "damper", damper) {
				if !m.gone[line] {
					return false
				}
				was = true
			}
		}
	}
	return was
}

// usesDamper reports whether a zone that stays has the damper.
func (m *remover) usesDamper(damper string) bool {
	return slices.ContainsFunc(m.left("zone"), func(z *node) bool {
		return m.names1("zone", z, "damper", damper)
	})
}

// rooms marks the rooms all of whose registers are gone.
func (m *remover) rooms() {
	for _, room := range m.left("room") {
		had, has := false, false
		for _, table := range []string{"supply", "dump", "return"} {
			for _, line := range m.root.child(table).all() {
				named := m.names1(table, line, "room", room.name) ||
					line.row && m.value(table, line, "room") == nil &&
						m.value(table, line, "register") != nil && alike(line.name, room.name)
				had = had || named && m.gone[line]
				has = has || named && !m.gone[line]
			}
		}
		if had && !has {
			m.take(room, "room", room.name)
		}
	}
}

// loose marks what names a part that is gone without being part of the network: ports, rows of
// [choose] and [spread], and positions of dampers in the panel's calls.
func (m *remover) loose() {
	for _, port := range m.root.child("port").kids() {
		at, ok := port.text()
		if !ok {
			at, ok = port.child("at").text()
		}
		name := strings.TrimSuffix(strings.TrimSuffix(at, " start"), " end")
		if ok && m.goneLine(name) {
			m.take(port, "port", port.name)
		}
	}
	for _, table := range []string{"choose", spreadTable} {
		for _, row := range m.root.child(table).kids() {
			path := row.name
			if of, ok := row.child("of").text(); ok {
				path = of
			}
			if parts, ok := SplitPath(path); ok && m.goneAt(parts) {
				m.take(row, table, row.name)
			}
		}
	}
	for _, call := range m.root.child("panel").child("call").all() {
		for _, d := range call.child("damper").kids() {
			if parts := []string{"damper", d.name}; m.goneAt(parts) && !m.gone[call] {
				m.take(d, "panel", "call", call.name, "damper", d.name)
			}
		}
	}
}

// goneAt reports whether a path leads into a part that is gone.
func (m *remover) goneAt(parts []string) bool {
	n := m.root
	for _, name := range parts {
		if n = n.child(name); n == nil {
			return false
		}
		if m.gone[n] {
			return true
		}
	}
	return false
}

// kids lists the children of a table, none of nil.
func (n *node) kids() []*node {
	if n == nil || !n.table {
		return nil
	}
	return slices.Clone(n.children)
}

// needed refuses a removal that others do not survive: a zone whose damper or runs are gone.
func (m *remover) needed(at *node) {
	path, _ := at.text()
	parts, ok := SplitPath(path)
	if !ok || m.bad {
		return
	}
	for _, z := range m.left("zone") {
		var lost []string
		for _, damper := range m.names("zone", z, "damper") {
			for _, d := range m.root.child("damper").all() {
				if alike(d.name, damper) && (m.gone[d] || m.satIn(d.name)) {
					lost = append(lost, PathText("damper", d.name))
				}
			}
		}
		if len(lost) > 0 {
			m.bad = true
			m.fail(at.value, fmt.Sprintf("remove %q too, or give it another damper",
				PathText("zone", z.name)), "%q cannot be removed: zone %s needs %s", path, z.name,
				joined(lost))
			return
		}
	}
	if len(parts) == 2 && parts[0] == "damper" {
		for _, table := range lineTables {
			for _, line := range m.left(table) {
				if m.names1(table, line, "damper", parts[1]) {
					m.bad = true
					fix := fmt.Sprintf("remove what it is in, or write %s = \"100 %%\"",
						PathText("damper", parts[1], "stop"))
					m.fail(at.value, fix, "%q cannot be removed: %s %s needs it", path, table,
						line.name)
					return
				}
			}
		}
	}
}
