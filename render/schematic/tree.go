package schematic

import (
	"spillway/network"
)

// branch is a chain of elements without a division, as seen from the equipment outwards: it begins at a plenum or at the end
// of its parent and ends at a division, at an opening into a room, at a leak, or on the other side of the system (a link).
type branch struct {
	elements []int  // outwards
	against  []bool // the element's own direction points towards the equipment (all of the return side)
	from, to int    // nodes
	parent   *branch
	children []*branch // at to, in element order

	end       ending
	register  int    // index into Graph.Registers, −1
	zone      string // that everything beyond serves; "" when shared or unknown
	shared    bool   // more than one band lies beyond
	dump      bool   // everything beyond is a dump
	group     string // band it belongs to, when not shared
	registers int    // openings beyond
	wants     float64
	dampers   []int   // positions in elements of dampers, outwards
	mate      *branch // of a link its landing, of a landing its link
	joins     *branch // of a link, the branch at whose end it lands

	spot // where the layout puts it
}

// ending says what stands at a branch's outer end.
type ending int

const (
	division ending = iota // further branches
	opening                // register or grille
	leak                   // into or out of the surroundings
	link                   // joins another tree; drawn as a loop
	landing                // the other end of a link
	blind                  // nothing
)

// forest is a graph taken apart for drawing: the supply side and the return side as trees that grow out of the equipment, and
// the links between nodes of the trees.
type forest struct {
	g         *network.Graph
	equipment []int // elements from return plenum to supply plenum
	supply    *branch
	returns   *branch
	links     []*branch // bypasses and loop closers, from → to in the tree sense
	order     []*branch // all branches, supply first, parents before children
}

// grow takes the graph apart. It never fails: what cannot be reached from the plenums is left out.
func grow(g *network.Graph) *forest {
	f := &forest{g: g}
	n := len(g.Nodes)
	at := make([][]int, n) // elements at each node, in element order
	used := make([]bool, len(g.Elements))
	for i := range g.Elements {
		e := &g.Elements[i]
		if e.From < 0 || e.From >= n || e.To < 0 || e.To >= n || e.Side == network.BuildingSide {
			continue
		}
		if e.Kind == network.KindLeak && g.SameLeak(i)[0] != i {
			used[i] = true
			continue // a figure of leakage is drawn once
		}
		at[e.From] = append(at[e.From], i)
		if e.To != e.From {
			at[e.To] = append(at[e.To], i)
		}
	}
	ret, sup := f.machine(at)
	for _, e := range f.equipment {
		used[e] = true
	}
	owner := make([]*branch, n) // the branch whose end a node is
	f.supply = &branch{from: -1, to: sup, register: -1}
	f.returns = &branch{from: -1, to: ret, register: -1}
	p := &planter{f: f, at: at, used: used, owner: owner}
	for _, root := range []*branch{f.supply, f.returns} {
		if root.to >= 0 {
			owner[root.to] = root
			p.seen(root.to)
		}
	}
	p.plant(f.supply, func(s network.Side) bool { return s == network.SupplySide || s == network.DumpSide })
	p.plant(f.returns, func(s network.Side) bool { return s == network.ReturnSide })
	p.closeLoops()
	f.land()
	f.judge(f.supply)
	f.judge(f.returns)
	return f
}

// machine finds the equipment's elements in air order and the nodes at its two ends.
func (f *forest) machine(at [][]int) (inlet, outlet int) {
	g := f.g
	inlet, outlet = g.NodeAt(network.AtReturnPlenum), g.NodeAt(network.AtSupplyPlenum)
	if g.Blower >= 0 && g.Blower < len(g.Elements) {
		if inlet < 0 {
			inlet = g.Elements[g.Blower].From
		}
		if outlet < 0 {
			outlet = g.Elements[g.Blower].To
		}
	}
	for node, steps := inlet, 0; node >= 0 && node != outlet && steps < len(g.Elements); steps++ {
		next := -1
		for _, e := range at[node] {
			if g.Elements[e].Side == network.EquipmentSide && g.Elements[e].From == node {
				next = e
				break
			}
		}
		if next < 0 {
			break
		}
		f.equipment = append(f.equipment, next)
		node = g.Elements[next].To
	}
	return inlet, outlet
}

// planter grows the trees.
type planter struct {
	f     *forest
	at    [][]int
	used  []bool
	owner []*branch
	marks map[int]bool
}

func (p *planter) seen(node int) bool {
	if p.marks == nil {
		p.marks = map[int]bool{}
	}
	was := p.marks[node]
	p.marks[node] = true
	return was
}

// outdoors tells whether a node is air that ducts open into.
func (p *planter) outdoors(node int) bool {
	switch p.f.g.Nodes[node].Kind {
	case network.RoomAir, network.HouseAir, network.Outdoors:
		return true
	}
	return false
}

// plant grows what leaves the end of b, breadth first so that a loop is cut in its middle.
func (p *planter) plant(root *branch, mine func(network.Side) bool) {
	queue := []*branch{root}
	for len(queue) > 0 {
		b := queue[0]
		queue = queue[1:]
		if b.to < 0 {
			continue
		}
		for _, e := range p.at[b.to] {
			if p.used[e] || !mine(p.f.g.Elements[e].Side) {
				continue
			}
			c := p.follow(b, e, mine)
			b.children = append(b.children, c)
			p.f.order = append(p.f.order, c)
			if c.end == division {
				queue = append(queue, c)
			}
		}
	}
}

// follow walks from the end of parent along element e as long as there is one way to go.
func (p *planter) follow(parent *branch, e int, mine func(network.Side) bool) *branch {
	g := p.f.g
	b := &branch{from: parent.to, parent: parent, register: -1}
	node := parent.to
	for {
		p.used[e] = true
		el := &g.Elements[e]
		next, against := el.To, false
		if el.To == node && el.From != node {
			next, against = el.From, true
		}
		if network.BladeOf(el.Spec) != nil {
			b.dampers = append(b.dampers, len(b.elements))
		}
		b.elements = append(b.elements, e)
		b.against = append(b.against, against)
		b.to = next
		if p.outdoors(next) {
			b.end = opening
			if el.Kind == network.KindLeak {
				b.end = leak
			}
			return b
		}
		if p.seen(next) {
			b.end, b.joins = link, p.owner[next]
			p.f.links = append(p.f.links, b)
			return b
		}
		p.owner[next] = b
		way, ways := -1, 0
		for _, x := range p.at[next] {
			if x == e {
				continue
			}
			ways++
			if !p.used[x] && mine(g.Elements[x].Side) {
				way = x
			}
		}
		switch {
		case ways == 0:
			b.end = blind
			return b
		case ways > 1 || way < 0:
			b.end = division
			return b
		}
		node, e = next, way
	}
}

// closeLoops turns what is left, bypasses first of all, into links between tree nodes.
func (p *planter) closeLoops() {
	g := p.f.g
	all := func(network.Side) bool { return true }
	for i := range g.Elements {
		e := &g.Elements[i]
		if p.used[i] || e.Side == network.BuildingSide || e.Side == network.EquipmentSide || e.From < 0 || e.From >= len(g.Nodes) {
			continue
		}
		start := p.owner[e.From]
		if start == nil {
			continue
		}
		b := p.follow(start, i, all)
		if b.end == division { // a bypass that branches: draw its first arm only
			b.end = blind
		}
		start.children = append(start.children, b)
		start.end = division
		p.f.order = append(p.f.order, b)
	}
}

// land gives every link its other end, so that both trees keep room for it.
func (f *forest) land() {
	for _, b := range f.links {
		if b.joins == nil {
			continue
		}
		b.mate = &branch{from: b.to, to: b.from, parent: b.joins, end: landing, register: -1, mate: b}
		b.joins.children = append(b.joins.children, b.mate)
		b.joins.end = division
	}
}

// judge fills in what lies beyond a branch.
func (f *forest) judge(b *branch) {
	g := f.g
	if b.end == opening && len(b.elements) > 0 {
		b.registers = 1
		last := b.elements[len(b.elements)-1]
		b.zone = g.Elements[last].Zone
		for r := range g.Registers {
			if g.Registers[r].Element == last {
				b.register, b.zone = r, g.Registers[r].Zone
				b.dump = g.Registers[r].Dump
				b.wants = g.Registers[r].Wants
			}
		}
		b.group = "zone " + b.zone
		if b.dump {
			b.group = "dump"
		}
	}
	first := true
	for _, c := range b.children {
		f.judge(c)
		b.registers += c.registers
		b.wants += c.wants
		if c.registers == 0 {
			continue
		}
		switch {
		case c.shared:
			b.shared = true
		case first:
			b.group, b.zone, b.dump = c.group, c.zone, c.dump
		case b.group != c.group:
			b.shared = true
		}
		first = false
	}
	if b.shared {
		b.group, b.zone, b.dump = "", "", false
	}
}
