package network

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"spillway/network/units"
)

// Build turns a checked job into its graph. The job must come from Read without an error; Build still returns an error, never
// panics, when parts do not fit together.
func Build(job *Job) (*Graph, error) {
	b := &builder{
		g:        &Graph{Job: job, Blower: -1},
		job:      job,
		nodes:    map[string]int{},
		runs:     map[string]*run{},
		children: map[string][]*Line{},
	}
	b.equipment()
	b.building()
	b.collect()
	for _, parent := range b.chambers() {
		for _, l := range b.children[parent] {
			b.supplyLine(l, b.node(parent, Chamber), true)
		}
	}
	for _, parent := range b.chambers() {
		for _, l := range b.feeders(parent) {
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
	b.g.Assumptions = Grouped(b.g.Assumptions)
	return b.g, nil
}

// builder holds the state of one Build.
type builder struct {
	g        *Graph
	job      *Job
	nodes    map[string]int
	runs     map[string]*run
	children map[string][]*Line // by the name of what the line comes from (supply, dump, bypass) or goes to (return)
	order    []*run
	problems []error
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

// node returns the node of that name, making it if need be.
func (b *builder) node(name string, kind NodeKind) int {
	if n, ok := b.nodes[name]; ok {
		return n
	}
	n := len(b.g.Nodes)
	b.g.Nodes = append(b.g.Nodes, Node{Name: name, Kind: kind})
	b.nodes[name] = n
	return n
}

// add appends an element and returns its index.
func (b *builder) add(e Element) int {
	b.g.Elements = append(b.g.Elements, e)
	return len(b.g.Elements) - 1
}

// chambers lists the still-air nodes that lines may come from or go to, in air order.
func (b *builder) chambers() []string {
	names := []string{ReturnPlenum, SupplyPlenum}
	for i := range b.job.Boxes {
		names = append(names, b.job.Boxes[i].Name)
	}
	return names
}

// collect files every line under its parent.
func (b *builder) collect() {
	for _, table := range [][]Line{b.job.Supply, b.job.Dump, b.job.Bypass} {
		for i := range table {
			b.children[table[i].From] = append(b.children[table[i].From], &table[i])
		}
	}
	for i := range b.job.Return {
		l := &b.job.Return[i]
		b.children["→"+l.To] = append(b.children["→"+l.To], l)
	}
}

// feeders are the return lines that lead into a chamber or line.
func (b *builder) feeders(parent string) []*Line { return b.children["→"+parent] }

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
				b.assume(b.path(l)+".at", units.Length(at).Text(b.job.Units)+" along "+parent.Name, "takeoffs without a place are set 2 ft apart towards the end of their parent (common practice)")
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
func (b *builder) path(l *Line) string {
	table := "supply"
	switch b.sideOf(l) {
	case BypassSide:
		table = "bypass"
	case DumpSide:
		table = "dump"
	}
	for i := range b.job.Return {
		if &b.job.Return[i] == l {
			table = "return"
		}
	}
	return table + "." + l.Name
}
