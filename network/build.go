package network

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"spillway/network/quantity"
)

// Build turns a checked job into its graph. The job must come from Read without an error; Build still returns an error, never
// panics, when parts do not fit together.
func Build(job *Job) (*Graph, error) {
	b := &builder{
		g:       &Graph{Job: job, Blower: None},
		job:     job,
		ids:     job.ids(),
		idOf:    map[*Line]LineID{},
		nodes:   map[nodeKey]int{},
		runs:    map[LineID]*run{},
		leaving: map[place][]*Line{},
		joining: map[place][]*Line{},
	}
	for id, l := range job.Lines() {
		b.idOf[l] = id
	}
	b.equipment()
	b.building()
	b.collect()
	for _, parent := range b.chambers() {
		for _, l := range b.leaving[place{parent, None}] {
			b.supplyLine(l, b.node(parent, Chamber), true)
		}
	}
	for _, parent := range b.chambers() {
		for _, l := range b.joining[place{parent, None}] {
			b.returnLine(l, b.node(parent, Chamber))
		}
	}
	for _, r := range b.order {
		b.rise(r)
	}
	b.leakage()
	b.reference()
	if len(b.problems) > 0 {
		return nil, errors.Join(b.problems...)
	}
	names(b.g)
	b.g.ids, b.g.nodes = b.ids, b.nodes
	b.g.Assumptions = Grouped(b.g.Assumptions)
	return b.g, nil
}

// builder holds the state of one Build.
type builder struct {
	g        *Graph
	job      *Job
	ids      *ids
	idOf     map[*Line]LineID
	nodes    map[nodeKey]int
	runs     map[LineID]*run
	leaving  map[place][]*Line // supply, dump and bypass lines by what they come from
	joining  map[place][]*Line // return lines by what they go to
	order    []*run
	problems []error
}

// nodeKey identifies a node while a graph is built: at most one node has a given key. See Node.
type nodeKey struct {
	role  Role
	line  LineID
	other int
}

// at is the key of a node of no line: there is one of its role.
func (r Role) at() nodeKey { return nodeKey{r, None, None} }

// of is the key of a node of a line that has one of its role.
func (r Role) of(line LineID) nodeKey { return nodeKey{r, line, None} }

// place is what a from or to of the job file means: a chamber, or else a line.
type place struct {
	chamber nodeKey
	line    LineID
}

func along(line LineID) place { return place{line: line} }

// place finds what a from or to of the job file means.
func (b *builder) place(name string) (p place, ok bool) {
	switch name {
	case SupplyPlenum:
		return place{AtSupplyPlenum.at(), None}, true
	case ReturnPlenum:
		return place{AtReturnPlenum.at(), None}, true
	}
	if box := find(b.ids.boxes, name); box != None {
		return place{nodeKey{InBox, None, int(box)}, None}, true
	}
	line := find(b.ids.lines, name)
	return along(line), line != None
}

// chamber is the still-air node that a from or to means, if it means one.
func (b *builder) chamber(name string) (nodeKey, bool) {
	p, ok := b.place(name)
	return p.chamber, ok && p.line == None
}

// run is a line as it is built: its pieces of duct from start to end, cut where other lines leave or join.
type run struct {
	line       *Line
	side       Side
	start, end int   // nodes
	first      int   // first element in air order (a damper or the first piece)
	last       int   // last element in air order
	pieces     []int // duct elements
}

func (b *builder) problem(format string, args ...any) {
	b.problems = append(b.problems, fmt.Errorf(format, args...))
}

func (b *builder) assume(path, value, why string) {
	b.g.Assumptions = append(b.g.Assumptions, Assumption{Path: path, Value: value, Why: why})
}

// node returns the node of that key, making it if need be.
func (b *builder) node(k nodeKey, kind NodeKind) int {
	if n, ok := b.nodes[k]; ok {
		return n
	}
	n := len(b.g.Nodes)
	b.g.Nodes = append(b.g.Nodes, Node{Kind: kind, Role: k.role, Line: k.line, Other: k.other})
	b.nodes[k] = n
	return n
}

// add appends an element and returns its index. What it is called is for names to say, by its word and whose it is.
func (b *builder) add(e Element) int {
	e.LineID, e.ZoneID, e.RoomID = find(b.ids.lines, e.Line), find(b.ids.zones, e.Zone), find(b.ids.rooms, e.Room)
	e.DamperID, e.after = None, None
	if blade := BladeOf(e.Spec); blade != nil {
		e.DamperID = find(b.ids.dampers, blade.Damper)
	}
	b.g.Elements = append(b.g.Elements, e)
	return len(b.g.Elements) - 1
}

// chambers lists the still-air nodes that lines may come from or go to, in air order.
func (b *builder) chambers() []nodeKey {
	keys := []nodeKey{AtReturnPlenum.at(), AtSupplyPlenum.at()}
	for i := range b.job.Boxes {
		keys = append(keys, nodeKey{InBox, None, i})
	}
	return keys
}

// collect files every line under its parent.
func (b *builder) collect() {
	file := func(under map[place][]*Line, l *Line, parent string) {
		if p, ok := b.place(parent); ok {
			under[p] = append(under[p], l)
		}
	}
	for _, table := range [][]Line{b.job.Supply, b.job.Dump, b.job.Bypass} {
		for i := range table {
			file(b.leaving, &table[i], table[i].From)
		}
	}
	for i := range b.job.Return {
		file(b.joining, &b.job.Return[i], b.job.Return[i].To)
	}
}

// tap is a child at its place along the parent.
type tap struct {
	at       float64
	line     *Line
	straight bool
}

// spacing between takeoffs whose place the file does not tell, m: two feet, as branch takeoffs are commonly set (common practice).
const tapSpacing = 0.6

// taps orders the children of a line along it. Children without a place sit near the far end (supply) or the start (return),
// in file order, so that the parent's length is what the file says. The straight child, if any, is the last of the supply
// line's end or the first of the return line's start.
func (b *builder) taps(parent *Line, children []*Line, returning bool) []tap {
	length := float64(parent.Length)
	var taps []tap
	var loose []*Line
	for _, l := range children {
		switch {
		case isStraight(l):
			at := length
			if returning {
				at = 0
			}
			taps = append(taps, tap{at, l, true})
		case l.At != nil:
			taps = append(taps, tap{min(float64(*l.At), length), l, false})
		default:
			loose = append(loose, l)
		}
	}
	if n := len(loose); n > 0 {
		step := min(tapSpacing, length/float64(2*n))
		for i, l := range loose {
			at := length - float64(n-1-i)*step
			if returning {
				at = float64(i) * step
			}
			taps = append(taps, tap{at, l, false})
			if n > 1 {
				b.assume(b.path(l)+".at", quantity.Length(at).Text(b.job.Units)+" along "+parent.Name, "takeoffs without a place are set 2 ft apart towards the end of their parent (common practice)")
			}
		}
	}
	slices.SortStableFunc(taps, func(x, y tap) int {
		if c := cmp.Compare(x.at, y.at); c != 0 {
			return c
		}
		// At one place, branches come off before the straight leg goes on; on the return the straight leg comes first.
		return boolOrder(x.straight, y.straight, returning)
	})
	return taps
}

func boolOrder(x, y, first bool) int {
	switch {
	case x == y:
		return 0
	case x == first:
		return -1
	}
	return 1
}

// path is the line's place in the job file.
func (b *builder) path(l *Line) string { return PathText(string(l.Table), l.Name) }
