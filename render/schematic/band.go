package schematic

import "spillway/render/ink"

// bandPlan is the ground of one zone.
type bandPlan struct {
	group       string
	zone        string
	dump        bool
	top, bottom float64
	entries     []*branch
}

// layBands places the bands one under the other, and in them the rows.
func (l *layout) layBands(s *side) {
	index := map[string]int{}
	for _, e := range s.entries {
		i, ok := index[e.group]
		if !ok {
			i = len(l.bands)
			index[e.group] = i
			l.bands = append(l.bands, bandPlan{group: e.group, zone: e.zone, dump: e.dump})
		}
		l.bands[i].entries = append(l.bands[i].entries, e)
	}
	gates := 0
	for _, e := range s.entries {
		gates = max(gates, len(e.dampers))
	}
	inner := s.gate + 24
	if gates > 0 {
		inner = s.gate + gateLead + float64(gates-1)*gatePitch + gatePitch/2 - 4
	}
	y := headerHeight
	for i := range l.bands {
		band := &l.bands[i]
		band.top = y
		y += bandTitle
		for _, e := range band.entries {
			gate := s.gate
			for range e.dampers {
				e.gates = append(e.gates, gate+gateLead)
				gate += gatePitch
			}
			y = s.row(e, inner+12, y) + rowGap
		}
		band.bottom = y
		y += bandGap
	}
	l.bandLeft = inner // in u until across
	l.bottom = y - bandGap
}

// slotted is a branch that leaves a row, and how much room its label takes.
type slotted struct {
	b     *branch
	width float64
	leaf  bool
	gate  bool    // no branch: a damper in the trunk itself
	least float64 // u of the joint, where the job file wants it
}

// row lays one run in a band out: a straight trunk with its registers above it and the runs that branch off below. u is where
// its free space begins, top the upper edge of its room; it returns the lower edge.
func (s *side) row(b *branch, u, top float64) (bottom float64) {
	half := b.reserve / 2
	if len(b.children) == 0 {
		room := max(40, half+8)
		above := room
		if len(b.dampers) > 0 {
			above = max(room, max(11, half+4)+10+2*lineHeight)
		}
		b.rowY = s.l.wishedY(b, top+above)
		b.endU = s.l.wishedU(b, u+34)
		s.right = max(s.right, b.endU+barDepth+labelRoom(s.l, b))
		return b.rowY + room
	}
	lead := segmentLead
	b.labelU = u + segmentLead/2
	if b.entry && len(b.gates) > 0 { // under its damper
		b.labelU, lead = b.gates[0], 4
	}
	items := s.along(b, u+lead)
	above, below := half+12, half+6
	if len(b.gates) == 0 || !b.entry {
		below = half + 44 // its label stands under it
	}
	tall := 0.0
	for _, it := range items {
		if it.leaf && len(it.b.dampers) > 0 {
			tall = damperRoom // all registers of a row stand in line
		}
	}
	for _, it := range items {
		if !it.leaf {
			continue
		}
		need := half + barDepth + stubLength + tall + 10 + 3*lineHeight
		if it.b.down {
			below = max(below, need+6)
		} else {
			above = max(above, need)
		}
	}
	b.rowY = s.l.wishedY(b, top+above)
	for cur := s.main(b); cur != nil; cur = s.main(cur) {
		b.rowY = s.l.wishedY(cur, b.rowY)
	}
	for _, it := range items { // all registers above hang at least as low as the highest wish has room for
		if it.leaf && !it.b.down {
			b.rowY = s.l.wishedY(it.b, b.rowY-half-stubLength-tall) + half + stubLength + tall
		}
	}
	for _, it := range items {
		if !it.leaf {
			continue
		}
		length := half + stubLength + tall
		if it.b.end == leak {
			length = half + leakLength
		}
		it.b.upright = true
		it.b.endY = b.rowY - length
		if p, ok := s.l.wish(it.b); ok { // higher than its row needs, as far as the band goes
			it.b.endY = max(min(it.b.endY, s.l.origin()+p.y), min(it.b.endY, top+barDepth+10+3*lineHeight))
		}
		if it.b.down {
			it.b.endY = s.l.wishedY(it.b, b.rowY+length)
			below = max(below, it.b.endY-b.rowY+barDepth+16+3*lineHeight)
		}
	}
	bottom = b.rowY + below + 6
	// Runs that branch off later lie nearer, so that no riser crosses a run.
	for i := len(items) - 1; i >= 0; i-- {
		c := items[i].b
		if items[i].leaf || items[i].gate || c.end == link || c.end == landing {
			continue
		}
		start := c.slot + c.reserve/2 + 10
		for range c.dampers {
			c.gates = append(c.gates, start+gateLead-10)
			start += gatePitch
		}
		bottom = s.row(c, start, bottom+rowGap)
	}
	return bottom
}

// along walks the trunk of a row and gives every branch its slot. It returns the branches in order along the trunk.
func (s *side) along(b *branch, u float64) []slotted {
	var items []slotted
	leaves, runs := 0, 0
	for cur := b; cur != nil; {
		main, first := s.main(cur), len(items)
		for _, c := range s.trunkLast(cur) {
			if c == main {
				continue
			}
			it := slotted{b: c, leaf: len(ducts(c)) == 0 && c.end != link && c.end != landing}
			if it.leaf {
				it.width = labelRoom(s.l, c)
				leaves++
			} else {
				runs++
			}
			items = append(items, it)
		}
		if main != nil && len(main.dampers) > 0 {
			items = append(items, slotted{b: main, gate: true})
		}
		if first < len(items) {
			items[first].least = s.l.wishedU(cur, 0)
		}
		cur = main
	}
	twoSided := runs == 0 && leaves > 7
	edges := [2]float64{u, u} // right edges of the labels above and below
	last := u
	count := 0
	for i := range items {
		c := items[i].b
		if items[i].gate {
			at := max(last, edges[0], edges[1], items[i].least)
			for range c.dampers {
				c.gates = append(c.gates, at+gatePitch/2)
				at += gatePitch
			}
			edges, last = [2]float64{at, at}, at
			continue
		}
		c.turned = true
		at := max(last+c.reserve/2+10, items[i].least)
		if items[i].leaf {
			c.down = twoSided && count%2 == 1
			count++
			edge := &edges[0]
			if c.down {
				edge = &edges[1]
			}
			extra := 0.0
			if len(c.dampers) > 0 {
				extra = 26
			}
			at = s.l.wishedU(c, max(at, *edge+slotGap+items[i].width/2))
			*edge = at + items[i].width/2 + extra
		} else {
			c.down = true
			at += 6
		}
		c.slot = at
		last = at + c.reserve/2
		s.right = max(s.right, last, edges[0], edges[1])
	}
	return items
}

// trunkLast orders the children of a division so that the trunk's own last piece, which may end in a single register, comes
// after what branches off.
func (s *side) trunkLast(b *branch) []*branch {
	g := s.l.f.g
	if len(b.elements) == 0 {
		return b.children
	}
	line := g.Elements[b.elements[len(b.elements)-1]].Line
	var off, on []*branch
	for _, c := range b.children {
		if line != "" && len(c.elements) > 0 && g.Elements[c.elements[0]].Line == line {
			on = append(on, c)
		} else {
			off = append(off, c)
		}
	}
	return append(off, on...)
}

// main is the child that goes straight on in a row: the same line, else the one that serves the most registers; nil when only
// registers are left.
func (s *side) main(b *branch) *branch {
	g := s.l.f.g
	var best *branch
	line := ""
	if len(b.elements) > 0 {
		line = g.Elements[b.elements[len(b.elements)-1]].Line
	}
	for _, c := range ducts(b) {
		if len(ducts(c)) == 0 {
			continue
		}
		same := line != "" && g.Elements[c.elements[0]].Line == line
		switch {
		case same:
			return c
		case best == nil || c.registers > best.registers:
			best = c
		}
	}
	return best
}

// labelRoom is the width kept for the label of a register, grille or leak.
func labelRoom(l *layout, b *branch) float64 {
	wide := 86.0
	if b.wants*2 > 1000*4.719474432e-4 { // four digits on both sides of the stroke
		wide = 112
	}
	return max(wide, ink.Width(l.nameOf(b), sizeLabel, true)) + 4
}

// nameOf is what a branch's end is called in the picture.
func (l *layout) nameOf(b *branch) string {
	g := l.f.g
	name := ""
	if len(b.elements) > 0 {
		e := g.Elements[b.elements[len(b.elements)-1]]
		switch {
		case b.end == leak:
			name = "leak"
		case e.Line != "":
			name = e.Line
		default:
			name = e.Name
		}
	}
	return ink.Cut(name, sizeLabel, true, 128)
}
