package schematic

import (
	"math"
	"slices"
)

// side lays one tree out.
type side struct {
	l           *layout
	root        *branch
	returning   bool
	gate        float64   // u where the entries begin
	entries     []*branch // in order from the top
	right       float64   // largest u
	top, bottom float64
}

// ducts are the children of a branch that lead somewhere, in order from the top.
func ducts(b *branch) []*branch {
	var kids []*branch
	for _, c := range b.children {
		if c.end != leak && c.end != link && c.end != landing && (c.registers > 0 || len(c.children) > 0) {
			kids = append(kids, c)
		}
	}
	return kids
}

// leaks and dead ends, drawn as stubs.
func stubs(b *branch) []*branch {
	var kids []*branch
	for _, c := range b.children {
		if c.end == leak || c.end != link && c.end != landing && c.registers == 0 && len(c.children) == 0 {
			kids = append(kids, c)
		}
	}
	return kids
}

func loops(b *branch) []*branch {
	var kids []*branch
	for _, c := range b.children {
		if c.end == link || c.end == landing {
			kids = append(kids, c)
		}
	}
	return kids
}

// sortByZone orders the children of shared nodes by the zones of the file, dumps last, so that bands stand in the file's order
// wherever the ducts let them.
func (s *side) sortByZone() {
	g := s.l.f.g
	rank := func(b *branch) int {
		if b.dump {
			return len(g.Job.Zones) + 1
		}
		for i := range g.Job.Zones {
			if g.Job.Zones[i].Name == b.zone {
				return i
			}
		}
		return len(g.Job.Zones)
	}
	var order func(b *branch) int
	order = func(b *branch) int {
		if !b.shared && b != s.root {
			return rank(b)
		}
		least := math.MaxInt
		ranks := map[*branch]int{}
		for _, c := range b.children {
			ranks[c] = math.MaxInt
			if c.registers > 0 {
				ranks[c] = order(c)
				least = min(least, ranks[c])
			}
		}
		slices.SortStableFunc(b.children, func(x, y *branch) int {
			switch {
			case ranks[x] < ranks[y]:
				return -1
			case ranks[x] > ranks[y]:
				return 1
			}
			return 0
		})
		return least
	}
	if g.Job != nil {
		order(s.root)
	}
}

// spread places the divisions that lie outside of bands, from the node at u outwards.
func (s *side) spread(b *branch, u float64) {
	up, down := u, u
	for _, c := range stubs(b) {
		c.turned, c.upright = true, true
		c.slot = up + stubRoom/2
		up += stubRoom
	}
	for _, c := range loops(b) {
		c.turned, c.down, c.upright = true, true, true
		c.slot = down + c.reserve/2 + 10
		down = c.slot + c.reserve/2 + 4
	}
	kids := ducts(b)
	straight := s.straight(kids)
	first := len(kids) / 2 // the first that goes down, or straight
	if straight >= 0 {
		first = straight
	}
	lane := func(c *branch, edge float64, isDown bool) float64 {
		c.turned, c.down = true, isDown
		c.slot = edge + c.reserve/2 + 8
		return c.slot + c.reserve/2 + 6
	}
	for _, c := range kids[:first] {
		up = lane(c, up, false)
	}
	for i := len(kids) - 1; i >= first && i != straight; i-- {
		down = lane(kids[i], down, true)
	}
	end := max(up, down) + 8
	for _, c := range kids {
		if s.outside(c) {
			next := end + 14
			if !s.returning || b == s.root {
				c.labelU = end + segmentLead/2
				next = end + segmentLead
			}
			for range c.dampers {
				c.gates = append(c.gates, next+gatePitch/2)
				next += gatePitch
			}
			next = s.l.wishedU(c, next)
			s.spread(c, next)
			continue
		}
		c.entry = true
		s.entries = append(s.entries, c)
		s.gate = max(s.gate, end)
	}
}

// straight is which of the ordered children of a division outside of the bands goes straight on, −1 none: on the return the
// last, so that the others come from above and the bypass has the room below; on the supply the one trunk that parts again,
// else the one in the middle.
func (s *side) straight(kids []*branch) int {
	if s.returning {
		return len(kids) - 1
	}
	trunk := -1
	for i, c := range kids {
		if s.outside(c) {
			if trunk >= 0 {
				trunk = -1
				break
			}
			trunk = i
		}
	}
	switch {
	case trunk >= 0:
		return trunk
	case len(kids)%2 == 1:
		return len(kids) / 2
	}
	return -1
}

// outside tells whether a branch's end is a division that lies outside of the bands.
func (s *side) outside(b *branch) bool {
	if s.returning {
		return len(ducts(b)) > 0
	}
	return b.shared
}

// nodeY is the height of the ribbon that ends in a division outside of the bands.
func (s *side) nodeY(b *branch) float64 {
	kids := ducts(b)
	if len(kids) == 0 {
		return b.rowY
	}
	at := func(c *branch) float64 {
		if s.outside(c) {
			c.rowY = s.nodeY(c)
		}
		return c.rowY
	}
	ys := make([]float64, len(kids))
	for i, c := range kids {
		ys[i] = at(c)
	}
	if i := s.straight(kids); i >= 0 {
		return ys[i]
	}
	return (ys[len(ys)/2-1] + ys[len(ys)/2]) / 2
}

// hang places the return grilles upwards from the axis, one row each, the straight one on the axis.
func (s *side) hang() {
	l := s.l
	s.top, s.bottom = math.Inf(1), math.Inf(-1)
	gates := 0
	for _, b := range s.entries {
		gates = max(gates, len(b.dampers))
	}
	y := l.axis
	for i := len(s.entries) - 1; i >= 0; i-- {
		b := s.entries[i]
		if p, ok := l.wish(b); ok && i < len(s.entries)-1 { // farther from the axis
			y = min(y, l.origin()+p.y)
		}
		b.rowY = y
		y -= returnPitch
		u := s.gate
		for range b.dampers {
			b.gates = append(b.gates, u+gateLead)
			u += gatePitch
		}
		b.endU = l.wishedU(b, s.gate+float64(gates)*gatePitch+grilleRun)
		s.right = max(s.right, b.endU+barDepth+labelRoom(l, b))
		s.top = min(s.top, b.rowY-returnPitch/2)
		s.bottom = max(s.bottom, b.rowY+returnPitch/2)
	}
	s.nodeY(s.root)
}

// hangStubs lets the leaks of divisions outside of the bands end above their ribbon.
func (s *side) hangStubs(b *branch, y float64) {
	for _, c := range stubs(b) {
		c.endY = y - ribbonMost/2 - leakLength
	}
	for _, c := range ducts(b) {
		if s.outside(c) {
			s.hangStubs(c, c.rowY)
		}
	}
}
