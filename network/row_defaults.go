package network

import (
	"slices"
	"strings"
)

var nameHyphens = strings.NewReplacer("_", "-", " ", "-")

// foldName is a name as references compare it: in lower case, with blanks and "_" as "-".
func foldName(name string) string {
	return nameHyphens.Replace(strings.ToLower(name))
}

func alike(a, b string) bool { return a == b || foldName(a) == foldName(b) }

// defaults completes the parts that are rows by names: before the flags are laid over the tree, so
// that their keys come last as in
// With, and after.
func (r *reader) defaults() {
	r.fillUsual()
	known := r.knownNames()
	r.spellReferences(known)
	supply, returns := r.root.child("supply"), r.root.child("return")
	r.fromPlenum(supply, "from", SupplyPlenum)
	r.fromPlenum(returns, "to", ReturnPlenum)
	rooms := known.by["room"]
	for _, line := range supply.all() {
		if !line.row || line.child("register") == nil || line.child("room") != nil {
			continue
		}
		name := line.name
		if same := rooms[foldName(name)]; len(same) == 1 {
			name = same[0]
		}
		line.add(&node{name: "room", key: line.key, value: line.key, leaf: name})
	}
	r.dampersByName()
	r.roomZones(supply, r.root.child("zone"))
}

// assumeDampers notes the dampers that the file does not have.
func (r *reader) assumeDampers(job *Job) {
	for _, d := range r.root.child("damper").all() {
		if d.made && d.child("stop") == nil {
			job.Assumptions = append(job.Assumptions,
				Assumption{Path: PathText("damper", d.name), Value: "stop 0 %",
					Why: "no [damper] of the zone's name: shut when its zone is satisfied"})
		}
	}
}

// dampersByName gives every zone that is a row and names no damper the damper of its own name; the
// only zone of a house
// without dampers has none.
func (r *reader) dampersByName() {
	sits := map[string]bool{}
	for _, table := range lineTables {
		for _, line := range r.root.child(table).all() {
			if name, ok := line.child("damper").text(); ok {
				sits[foldName(name)] = true
			}
		}
	}
	zones, dampers := r.root.child("zone"), r.root.child("damper")
	for _, zone := range zones.all() {
		if !zone.row || zone.child("damper") != nil {
			continue
		}
		if len(zones.children) == 1 && !sits[foldName(zone.name)] &&
			dampers.child(zone.name) == nil {
			zone.add(&node{name: "damper", key: zone.key, value: zone.key, list: true})
			continue
		}
		name := zone.name
		for _, d := range dampers.all() {
			if dampers.child(name) == nil && alike(d.name, name) {
				name = d.name
			}
		}
		zone.add(&node{name: "damper", key: zone.key, value: zone.key, leaf: name})
		if dampers == nil {
			dampers = &node{name: "damper", key: zone.key, value: zone.key, table: true}
			r.root.add(dampers)
		}
		if dampers.table && dampers.child(name) == nil {
			dampers.add(&node{name: name, key: zone.key, value: zone.value, table: true, row: true,
				made: true})
		}
	}
}

// lineTables are the tables that hold lines.
var lineTables = []string{"supply", "return", "bypass", "dump"}

// all lists the parts of a table; none for nil and for what is no table.
func (n *node) all() []*node {
	if n == nil || !n.table {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(n.children), func(c *node) bool { return !c.table })
}

// nameIndex holds the names of parts by table and folded name.
type nameIndex struct {
	by map[string]map[string][]string
	is map[string]map[string]bool
}

func (r *reader) knownNames() nameIndex {
	x := nameIndex{map[string]map[string][]string{}, map[string]map[string]bool{}}
	for _, table := range append([]string{"zone", "damper", "room", "box"}, lineTables...) {
		kind := table
		if slices.Contains(lineTables, table) || table == "box" {
			kind = "line"
		}
		if x.by[kind] == nil {
			x.by[kind], x.is[kind] = map[string][]string{}, map[string]bool{}
		}
		if n := r.root.child(table); n != nil && n.table {
			for _, c := range n.children {
				x.by[kind][foldName(c.name)] = append(x.by[kind][foldName(c.name)], c.name)
				x.is[kind][c.name] = true
			}
		}
	}
	return x
}

// spellReferences gives every reference the spelling of the one part that it can mean: blanks, "-",
// "_" and capitals
// make no difference. "plenum" is that of the line's side unless a part has the name.
func (r *reader) spellReferences(known nameIndex) {
	spell := func(n *node, kind string) {
		if n == nil {
			return
		}
		for _, item := range itemsOf(n) {
			name, ok := item.text()
			if !ok || known.is[kind][name] {
				continue
			}
			if same := known.by[kind][foldName(name)]; len(same) == 1 {
				item.leaf = same[0]
			}
		}
	}
	for _, table := range lineTables {
		for _, line := range r.root.child(table).all() {
			spell(line.child("from"), "line")
			spell(line.child("to"), "line")
			spell(line.child("damper"), "damper")
			if d := line.child("damper"); d != nil {
				spell(d, "zone") // of the same name, where there is no [damper]
			}
			spell(line.child("zone"), "zone")
			spell(line.child("room"), "room")
			if line.row && !known.is["line"]["plenum"] {
				if from := line.child("from"); from != nil && from.leaf == "plenum" &&
					table != "return" {
					from.leaf = SupplyPlenum
				}
				if to := line.child("to"); to != nil && to.leaf == "plenum" && table != "supply" &&
					table != "dump" {
					to.leaf = ReturnPlenum
				}
			}
		}
	}
	for _, zone := range r.root.child("zone").all() {
		spell(zone.child("damper"), "damper")
	}
	for _, room := range r.root.child("room").all() {
		spell(room.child("zone"), "zone")
	}
}

// fromPlenum lets the one row of a side that names no parent, and that others hang on, begin at the
// plenum; a side with
// one line alone needs no others.
func (r *reader) fromPlenum(lines *node, key, plenum string) {
	hung := map[string]bool{}
	for _, line := range lines.all() {
		if name, ok := line.child(key).text(); ok {
			hung[name] = true
		}
	}
	for _, line := range r.root.child(map[string]string{"from": "dump",
		"to": "bypass"}[key]).all() {
		if name, ok := line.child(key).text(); ok {
			hung[name] = true
		}
	}
	all := lines.all()
	var parents []*node
	for _, line := range all {
		boxed := key == "to" && isBox(r.root, line.child("from"))
		if line.row && line.child(key) == nil && (hung[line.name] || len(all) == 1 || boxed) {
			parents = append(parents, line)
		}
	}
	if len(parents) == 1 {
		parents[0].add(&node{name: key, key: parents[0].key, value: parents[0].key, leaf: plenum})
	}
}

func isBox(root, from *node) bool {
	name, ok := from.text()
	return ok && root.child("box").child(name) != nil
}

// roomZones gives a room that is a row the zone of the damper above its registers.
func (r *reader) roomZones(supply, zones *node) {
	owner := map[string]string{}
	for _, zone := range zones.all() {
		if n := zone.child("damper"); n != nil {
			for _, item := range itemsOf(n) {
				if name, ok := item.text(); ok {
					owner[name] = zone.name
				}
			}
		}
	}
	inRoom := map[string][]*node{}
	for _, line := range supply.all() {
		if name, ok := line.child("room").text(); ok {
			inRoom[name] = append(inRoom[name], line)
		}
	}
	for _, room := range r.root.child("room").all() {
		if !room.row || room.child("zone") != nil {
			continue
		}
		for _, line := range inRoom[room.name] {
			for steps := 0; line != nil && steps <= mostNesting; steps++ {
				if name, ok := line.child("damper").text(); ok && owner[name] != "" {
					room.add(&node{name: "zone", key: room.key, value: room.key, leaf: owner[name]})
					line = nil
					break
				}
				from, _ := line.child("from").text()
				line = supply.child(from)
			}
			if room.child("zone") != nil {
				break
			}
		}
	}
}

// forgiveBadRows takes out what is said to be missing of a row in which an item could not be read:
// it may be that item.
func (r *reader) forgiveBadRows(from int) {
	if len(r.badRows) == 0 {
		return
	}
	kept := r.found[:from]
	for _, d := range r.found[from:] {
		if d.File != r.name || !r.badRows[d.Line] {
			kept = append(kept, d)
		}
	}
	r.found, r.byLine = kept, nil
}
