package chart

import (
	"fmt"
	"math"
	"slices"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/state"
)

// Way shows static and total pressure along the air's way, from a return grille through the equipment to a register: the calling
// register that gets the least of what it wants, for it has the hardest way. It returns nil when no way can be followed.
func Way(o *state.Outcome, sys quantity.System) *Figure {
	p := paper{sys}
	r := hardest(o)
	if r < 0 {
		return nil
	}
	way := follow(o, o.Graph.Registers[r].Element)
	if len(way) < 2 {
		return nil
	}
	name := o.Graph.Registers[r].Line
	f := &Figure{
		Title: "Pressure along the way to " + name,
		X:     Axis{Label: "the air's way", Plain: true},
		Y:     Axis{Label: "against the house, " + p.pressureUnit(), Zero: true},
		Key:   []Key{{Text: "static", Style: Strong}, {Text: "total", Style: Dotted}},
	}
	static := Line{Name: "static pressure", Style: Strong}
	total := Line{Name: "total pressure", Style: Dotted}
	x := 0.0
	put := func(node int) {
		n := o.Nodes[node]
		static.Points = append(static.Points, XY{x, p.pressure(n.Static)})
		total.Points = append(total.Points, XY{x, p.pressure(n.Total)})
	}
	g := o.Graph
	put(way[0].from)
	for i, s := range way {
		e := &g.Elements[s.element]
		length := 1.2 // m on paper for what has no length
		if d, ok := e.Spec.(*network.DuctSpec); ok {
			length = math.Max(d.Length, 0.6)
		}
		start := x
		x += length
		put(s.to)
		switch {
		case i == 0 && e.Kind == network.KindGrille:
			f.Notes = append(f.Notes, Note{X: start + length/2, Text: e.Name})
		case e.Kind == network.KindFilter || e.Kind == network.KindCoil || e.Kind == network.KindBlower:
			f.Notes = append(f.Notes, Note{X: start + length/2, Text: e.Kind.String()})
		case e.Kind == network.KindDamper:
			f.Notes = append(f.Notes, Note{X: start + length/2, Text: e.Name})
		case i == len(way)-1:
			f.Notes = append(f.Notes, Note{X: start + length/2, Text: "register"})
		}
		if role, name := g.Nodes[s.to].Role, g.Nodes[s.to].Name; role == network.AtSupplyPlenum || role == network.AtReturnPlenum {
			f.Notes = append(f.Notes, Note{X: x, Text: name})
		}
	}
	f.X.From, f.X.To = 0, x
	f.Lines = []Line{static, total}
	f.Desc = fmt.Sprintf("Pressure against the house along the way of the air from the return to the register %s, the one that gets the least of what it wants.", name)
	return f
}

// hardest is the calling register that gets the least of what it wants, −1 none.
func hardest(o *state.Outcome) int {
	best, least := -1, math.Inf(1)
	for i, r := range o.Registers {
		share := r.Airflow / r.Wants
		if r.Calling && r.Wants > 0 && finite(share) && share < least {
			best, least = i, share
		}
	}
	return best
}

// step is one element on the way, in the direction of the air.
type step struct{ element, from, to int }

// follow goes from a register against the air to where it came from: at every node to the element that brings the most air, leaks and
// bypasses aside, through the blower to a return grille. It returns the steps in the air's order.
func follow(o *state.Outcome, register int) []step {
	g := o.Graph
	var back []step
	seen := make([]bool, len(g.Elements))
	add := func(e int) int {
		from, to := g.Elements[e].From, g.Elements[e].To
		if o.Elements[e].Flow < 0 {
			from, to = to, from
		}
		back = append(back, step{e, from, to})
		seen[e] = true
		return from
	}
	node := add(register)
	for len(back) <= len(g.Elements) {
		if k := g.Nodes[node].Kind; k == network.HouseAir || k == network.RoomAir || k == network.Outdoors {
			break
		}
		best, most := -1, 0.0
		for e := range g.Elements {
			el := &g.Elements[e]
			if seen[e] || el.Kind == network.KindLeak || el.Side == network.BypassSide || el.Side == network.BuildingSide {
				continue
			}
			flow := o.Elements[e].Flow
			into := el.To
			if flow < 0 {
				into = el.From
			}
			if into == node && math.Abs(flow) > most {
				best, most = e, math.Abs(flow)
			}
		}
		if best < 0 {
			break
		}
		node = add(best)
	}
	slices.Reverse(back)
	return back
}
