package state

import (
	"errors"
	"fmt"
	"strings"

	"spillway/network"
	"spillway/solver/flow"
)

// plan is a graph reduced for the flow solver: elements in series become one edge (they share one flow), so that a house of a
// hundred parts is a system of some thirty unknowns. It is made once and shared by all call states.
type plan struct {
	graph    *network.Graph
	edges    []chain
	topology *flow.Topology
	known    []int // graph nodes of known pressure
	nodeOf   []int // graph node → flow node, −1 when it lies inside a chain
	graphOf  []int // flow node → graph node
	edgeOf   []int // element → edge
	signOf   []float64
	blower   int // edge of the blower

	house, supply, back int              // graph nodes: the air of the house, the plenums; −1 = none
	zoneOf              []network.ZoneID // of the room whose air a graph node is
	leaksInto           [][]int          // zone → leaks whose air stays in it
	leaks               [][]int          // the elements of each figure of leakage of the supply side
	ports               []Port           // their places, without statics
}

// lineOf is the line of the job that an element belongs to, nil for none.
func lineOf(g *network.Graph, element int) *network.Line {
	return g.Job.Line(g.Elements[element].LineID)
}

// roomZones finds the zone of every node that is the air of a room.
func roomZones(g *network.Graph) []network.ZoneID {
	zones := make([]network.ZoneID, len(g.Nodes))
	for n := range g.Nodes {
		zones[n] = network.None
		if r := g.Job.Room(g.Nodes[n].Room()); r != nil {
			zones[n] = g.Job.ZoneNamed(r.Zone)
		}
	}
	return zones
}

// chain is a run of elements in series, from flow node tail to head.
type chain struct {
	tail, head int // flow nodes
	parts      []part
}

// part is one element of a chain; sign is −1 where the element's direction runs against the chain's.
type part struct {
	element int
	sign    float64
}

// newPlan reduces the graph. alone says which elements must stay an edge of their own.
func newPlan(g *network.Graph, alone func(element int) bool) (*plan, error) {
	p := &plan{graph: g, nodeOf: make([]int, len(g.Nodes)), edgeOf: make([]int, len(g.Elements)), signOf: make([]float64, len(g.Elements))}
	p.house, p.supply, p.back = g.NodeAt(network.InHouse), g.NodeAt(network.AtSupplyPlenum), g.NodeAt(network.AtReturnPlenum)
	p.zoneOf, p.ports = roomZones(g), Ports(g)
	for i := range g.Job.Zones {
		p.leaksInto = append(p.leaksInto, g.LeaksInto(network.ZoneID(i)))
	}
	for i := range g.Elements {
		if e := &g.Elements[i]; e.Kind != network.KindLeak || e.Side != network.SupplySide && e.Side != network.DumpSide && e.Side != network.BypassSide {
			continue
		}
		if same := g.SameLeak(i); same[0] == i {
			p.leaks = append(p.leaks, same)
		}
	}
	incident := make([][]int, len(g.Nodes))
	for i, e := range g.Elements {
		incident[e.From] = append(incident[e.From], i)
		incident[e.To] = append(incident[e.To], i)
	}
	inner := make([]bool, len(g.Nodes)) // nodes that vanish inside a chain
	for n := range g.Nodes {
		inner[n] = len(incident[n]) == 2 && incident[n][0] != incident[n][1] && !g.Nodes[n].Known &&
			!alone(incident[n][0]) && !alone(incident[n][1])
	}
	for _, j := range g.Junctions {
		inner[j.Node] = false
	}
	// The plenum stays, so that a system of one grille and one register is not a single edge biting its tail.
	if p.supply >= 0 {
		inner[p.supply] = false
	}
	for i := range p.edgeOf {
		p.edgeOf[i] = -1
	}
	for n := range g.Nodes {
		p.nodeOf[n] = -1
		if !inner[n] && len(incident[n]) > 0 {
			p.nodeOf[n] = len(p.graphOf)
			p.graphOf = append(p.graphOf, n)
		}
	}
	for start := range g.Elements {
		if p.edgeOf[start] >= 0 {
			continue
		}
		c, ok := p.follow(start, inner, incident)
		if !ok {
			return nil, fmt.Errorf("%s is part of a closed ring that nothing feeds", g.Elements[start].Name)
		}
		for _, part := range c.parts {
			p.edgeOf[part.element] = len(p.edges)
			p.signOf[part.element] = part.sign
		}
		p.edges = append(p.edges, c)
	}
	p.blower = p.edgeOf[g.Blower]

	edges := make([]flow.Edge, len(p.edges))
	for i, c := range p.edges {
		edges[i] = flow.Edge{Tail: c.tail, Head: c.head}
	}
	var known []int
	for n := range g.Nodes {
		if g.Nodes[n].Known && p.nodeOf[n] >= 0 {
			known = append(known, p.nodeOf[n])
			p.known = append(p.known, n)
		}
	}
	t, err := flow.New(len(p.graphOf), edges, known)
	if err != nil {
		return nil, p.named(err)
	}
	p.topology = t
	return p, nil
}

// follow walks from an element through inner nodes both ways and returns the chain in the direction of that element.
func (p *plan) follow(start int, inner []bool, incident [][]int) (chain, bool) {
	g := p.graph
	var c chain
	// Back to the beginning first.
	element, node := start, g.Elements[start].From
	for steps := 0; inner[node]; steps++ {
		if steps > len(g.Elements) {
			return c, false
		}
		element = otherOf(incident[node], element)
		node = otherEnd(g.Elements[element], node)
	}
	c.tail = p.nodeOf[node]
	for {
		e := g.Elements[element]
		if e.From == node {
			c.parts = append(c.parts, part{element, +1})
		} else {
			c.parts = append(c.parts, part{element, -1})
		}
		node = otherEnd(e, node)
		if !inner[node] {
			break
		}
		element = otherOf(incident[node], element)
	}
	c.head = p.nodeOf[node]
	return c, true
}

func otherOf(pair []int, one int) int {
	if pair[0] == one {
		return pair[1]
	}
	return pair[0]
}

func otherEnd(e network.Element, node int) int {
	if e.From == node {
		return e.To
	}
	return e.From
}

// edgeName names an edge by its most telling element.
func (p *plan) edgeName(edge int) string {
	parts := p.edges[edge].parts
	return p.graph.Elements[parts[len(parts)-1].element].Name
}

// named turns the flow core's errors, which speak in indices, into errors that name elements and nodes.
func (p *plan) named(err error) error {
	var (
		apart *flow.DisconnectedError
		law   *flow.LawError
		stuck *flow.ConvergenceError
	)
	switch {
	case errors.As(err, &apart):
		var names []string
		for _, n := range apart.Nodes {
			names = append(names, fmt.Sprintf("%q", p.graph.Nodes[p.graphOf[n]].Name))
		}
		return fmt.Errorf("no air can reach or leave %s: join it to the rest of the ducts", strings.Join(names, ", "))
	case errors.As(err, &law):
		return fmt.Errorf("%s: its pressure law cannot be used: %w", p.edgeName(law.Edge), err)
	case errors.As(err, &stuck):
		return fmt.Errorf("no balanced solution was found, worst at %s and node %q: %w",
			p.edgeName(stuck.Edge), p.graph.Nodes[p.graphOf[stuck.Node]].Name, err)
	}
	return err
}
