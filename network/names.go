package network

import "strconv"

// names gives every node and element of a built graph its display name. They are for readers only: what a part is, its place in the
// graph says. All names differ, nodes and elements taken together.
//
// Lines, boxes and the parts of the equipment bear their own names. The name of anything else is composed of its owner's and a word:
// "bed damper", "bed register", "trunk at bed". Where it is another part's already, the owner's table is added, "bed damper (dump)", and
// where that is too, a number. A damper of the [damper] table comes before one that a line brings along.
func names(g *Graph) {
	n := namer{g: g, taken: map[string]bool{}}
	for i := range g.Nodes {
		if own := n.chamber(&g.Nodes[i]); own != "" {
			g.Nodes[i].Name = n.claim(own, "")
		}
	}
	for _, rank := range []int{ownName, damperName, otherName} {
		for i := range g.Elements {
			if e := &g.Elements[i]; n.rank(e) == rank {
				e.Name = n.claim(n.element(e))
			}
		}
	}
	dampers := n.dampers()
	for i := range g.Nodes {
		if node := &g.Nodes[i]; n.chamber(node) == "" {
			node.Name = n.claim(n.joint(node, dampers[i]))
		}
	}
}

// The order in which elements get their names.
const (
	ownName = iota
	damperName
	otherName
)

type namer struct {
	g     *Graph
	taken map[string]bool
}

// HeardIn is the name of the room where a register or grille is heard: its own, or where it has none that of its line, with the line's
// table where a room bears the same.
func (g *Graph) HeardIn(e *Element) string {
	if e.Room != "" {
		return e.Room
	}
	for i := range g.Elements {
		if l := g.Job.Line(e.LineID); l != nil && g.Elements[i].Room == e.Line {
			return e.Line + " (" + string(l.Table) + ")"
		}
	}
	return e.Line
}

// claim is the first of the name, the name with its table, and the name with its table and a number that no other part has.
func (n *namer) claim(name, table string) string {
	full := name
	if n.taken[full] && table != "" {
		name += " (" + table + ")"
		full = name
	}
	for i := 2; n.taken[full]; i++ {
		full = name + " " + strconv.Itoa(i)
	}
	n.taken[full] = true
	return full
}

// chamber is the name of a node that has one of its own, "" for the others.
func (n *namer) chamber(node *Node) string {
	switch node.Role {
	case AtSupplyPlenum:
		return SupplyPlenum
	case AtReturnPlenum:
		return ReturnPlenum
	case AtBlowerInlet:
		return BlowerInlet
	case AtBlowerOutlet:
		return BlowerOutlet
	case InHouse:
		return House
	case OutOfDoors:
		return Outside
	case InBox:
		return n.g.Job.Boxes[node.Other].Name
	}
	return ""
}

func (n *namer) rank(e *Element) int {
	switch {
	case e.word == "" && e.after == None || e.Side == EquipmentSide:
		return ownName
	case e.DamperID != None:
		return damperName
	}
	return otherName
}

// element is the name of an element, and the table of the part that it is called after.
func (n *namer) element(e *Element) (name, table string) {
	job := n.g.Job
	switch {
	case e.DamperID != None:
		name, table = job.Damper(e.DamperID).Name, "damper"
	case e.Side == BuildingSide && e.RoomID != None:
		name, table = job.Room(e.RoomID).Name, "room"
	case e.LineID != None:
		name, table = n.line(e.LineID)
	default:
		return e.word, "program"
	}
	switch {
	case e.after != None:
		after, _ := n.line(e.after)
		name += " after " + after
	case e.word != "":
		name += " " + e.word
	}
	return name, table
}

func (n *namer) line(id LineID) (name, table string) {
	l := n.g.Job.Line(id)
	return l.Name, string(l.Table)
}

// joint is the name of a point in a duct or of a room, and the table of the part that it is called after. damper is the element beside
// it, where it lies at a damper.
func (n *namer) joint(node *Node, damper *Element) (name, table string) {
	switch {
	case node.Role == InRoom:
		return "room " + n.g.Job.Rooms[node.Other].Name, "room"
	case damper != nil:
		_, table = n.element(damper)
		return damper.Name + map[Role]string{AfterDamper: " outlet", BeforeDamper: " inlet"}[node.Role], table
	}
	name, table = n.line(node.Line)
	switch node.Role {
	case AtStart:
		name += " start"
	case AtTap:
		other, _ := n.line(LineID(node.Other))
		name += " at " + other
	case AtEnd:
		name += " end"
	}
	return name, table
}

// dampers are the dampers that the nodes at dampers belong to, by node.
func (n *namer) dampers() []*Element {
	at := make([]*Element, len(n.g.Nodes))
	for i := range n.g.Elements {
		e := &n.g.Elements[i]
		if BladeOf(e.Spec) == nil {
			continue
		}
		if n.g.Nodes[e.To].Role == AfterDamper {
			at[e.To] = e
		}
		if n.g.Nodes[e.From].Role == BeforeDamper {
			at[e.From] = e
		}
	}
	return at
}
