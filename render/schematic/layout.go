package schematic

import (
	"math"
	"slices"

	"spillway/network"
)

// Measures of the layout, px. The picture grows with the network; these do not.
const (
	margin       = 36.0
	headerHeight = 128.0
	leastWidth   = 1280.0

	ribbonFull = 52.0 // the design airflow
	ribbonMost = 68.0 // room kept for the widest ribbon; an airflow beyond it shrinks the scale of its picture

	gatePitch   = 134.0 // from one damper of a run to the next
	gateLead    = 66.0  // from the last bend to the first damper
	segmentLead = 88.0  // straight duct before the first branch, with its label
	stubLength  = 34.0  // from trunk to register
	leakLength  = 24.0
	damperRoom  = 30.0
	barDepth    = 8.0
	lineHeight  = sizeLabel * leading
	slotGap     = 8.0
	rowGap      = 12.0
	bandTitle   = 32.0
	bandGap     = 22.0

	plenumWidth = 114.0
	partWidth   = 64.0
	cabinetPad  = 10.0
	cabinetHalf = 64.0
	returnPitch = 96.0
	grilleRun   = 56.0
	stubRoom    = 68.0
)

// spot is where the layout puts a branch. Distances u grow outwards from the equipment, y grows downwards.
type spot struct {
	reserve float64 // room kept for the ribbon's width
	turned  bool    // leaves its parent by a bend
	slot    float64 // u of the vertical part
	down    bool
	rowY    float64 // of the outer horizontal part
	upright bool    // ends with the vertical part, at endY
	endU    float64
	endY    float64
	gates   []float64 // u of dampers on the outer horizontal part
	labelU  float64   // where the label of its first straight part is centred; NaN: none
	entry   bool      // enters a band here
}

// bandPlan is the ground of one zone.
type bandPlan struct {
	group       string
	zone        string
	dump        bool
	top, bottom float64
	entries     []*branch
}

// layout is the places of everything, from the graph alone: pictures of all states and of all alternatives with the same
// topology are the same but for widths, colours and numbers.
type layout struct {
	f *forest

	width, height    float64
	axis             float64 // y of the equipment
	returnX, supplyX float64 // outer faces of the plenums
	cabinetX         float64 // left edge of the cabinet
	cabinetW         float64
	bands            []bandPlan
	bandLeft         float64 // x
	bandRight        float64 // x
	bottom           float64 // of all ducts and bands
	scale            float64 // px per m³/s of the design airflow
	wants            float64
}

// plan lays a graph out.
func plan(g *network.Graph) *layout {
	l := &layout{f: grow(g)}
	design := g.DesignAirflow
	if !(design > 0) {
		for i := range g.Registers {
			design += g.Registers[i].Wants
		}
	}
	if !(design > 0) || !finite(design) {
		design = 0.5
	}
	l.scale = ribbonFull / design
	l.wants = l.f.supply.wants
	l.reserveAll()

	supply := &side{l: l, root: l.f.supply, straight: func(n int) int {
		if n%2 == 1 {
			return n / 2
		}
		return -1
	}}
	returns := &side{l: l, root: l.f.returns, returning: true, straight: func(n int) int { return n - 1 }}
	supply.sortByZone()
	supply.spread(supply.root, 0)
	returns.spread(returns.root, 0)

	l.layBands(supply)
	l.axis = supply.nodeY(supply.root)
	if len(l.bands) == 0 {
		l.axis = headerHeight + 160
	}
	if least := headerHeight + 60 + cabinetHalf; l.axis < least {
		l.shift(least - l.axis)
	}
	returns.hang()
	if lift := headerHeight - returns.top; lift > 0 {
		l.shift(lift)
		returns.bottom += lift
	}
	supply.hangStubs(supply.root, l.axis)
	returns.hangStubs(returns.root, l.axis)
	l.bottom = max(l.bottom, returns.bottom, l.axis+cabinetHalf+56)
	l.layLinks()
	l.across(supply, returns)
	return l
}

// reserveAll keeps room for every ribbon: a register can get a few times its share when others are shut, a trunk everything.
func (l *layout) reserveAll() {
	registers := 0
	for _, b := range l.f.order {
		if b.end == opening && b.register >= 0 {
			registers++
		}
	}
	for _, b := range l.f.order {
		share := 1.0
		switch {
		case b.end == leak:
			share = 0.12
		case b.end == link:
			share = 0.8
		case b.end == opening && b.register >= 0 && l.wants > 0 && b.wants > 0:
			share = 3 * b.wants / l.wants
		case b.end == opening && registers > 0:
			share = 4 / float64(registers)
		}
		b.reserve = ribbonMost * min(1, max(0.12, share))
		if b.mate != nil {
			b.mate.reserve = b.reserve
		}
		b.labelU = math.NaN()
	}
}

// side lays one tree out.
type side struct {
	l           *layout
	root        *branch
	returning   bool
	straight    func(n int) int // which of n ordered children goes straight on; −1 none
	gate        float64         // u where the entries begin
	entries     []*branch       // in order from the top
	right       float64         // largest u
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
	straight := s.straight(len(kids))
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
			c.labelU = end + segmentLead/2
			next := end + segmentLead
			for range c.dampers {
				c.gates = append(c.gates, next+gatePitch/2)
				next += gatePitch
			}
			s.spread(c, next)
			continue
		}
		c.entry = true
		s.entries = append(s.entries, c)
		s.gate = max(s.gate, end)
	}
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
	if i := s.straight(len(kids)); i >= 0 {
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
	for i, b := range s.entries {
		b.rowY = l.axis - float64(len(s.entries)-1-i)*returnPitch
		u := s.gate
		for range b.dampers {
			b.gates = append(b.gates, u+gateLead)
			u += gatePitch
		}
		b.endU = s.gate + float64(gates)*gatePitch + grilleRun
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
	gate  bool // no branch: a damper in the trunk itself
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
		b.rowY = top + above
		b.endU = u + 34
		s.right = max(s.right, b.endU+barDepth+labelRoom(s.l, b))
		return b.rowY + room
	}
	b.labelU = u + segmentLead/2
	items := s.along(b, u+segmentLead)
	above, below := half+16, half+16
	tall := 0.0
	for _, it := range items {
		if !it.leaf {
			continue
		}
		need := half + barDepth + stubLength + 10 + 3*lineHeight
		if len(it.b.dampers) > 0 {
			need += damperRoom
			tall = damperRoom
		}
		if it.b.down {
			below = max(below, need+6)
		} else {
			above = max(above, need)
		}
	}
	b.rowY = top + above
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
		if it.b.down {
			it.b.endY = b.rowY + length
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
		main := s.main(cur)
		for _, c := range cur.children {
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
		cur = main
	}
	twoSided := runs == 0 && leaves > 9
	edges := [2]float64{u, u} // right edges of the labels above and below
	last := u
	count := 0
	for i := range items {
		c := items[i].b
		if items[i].gate {
			at := max(last, edges[0], edges[1])
			for range c.dampers {
				c.gates = append(c.gates, at+gatePitch/2)
				at += gatePitch
			}
			edges, last = [2]float64{at, at}, at
			continue
		}
		c.turned = true
		at := last + c.reserve/2 + 10
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
			at = max(at, *edge+slotGap+items[i].width/2)
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

// layLinks gives every loop its depth under the equipment.
func (l *layout) layLinks() {
	depth := l.axis + cabinetHalf + 62
	within := 0.0
	for _, b := range l.f.links {
		if b.mate == nil {
			continue
		}
		if l.sideOf(b) == l.sideOf(b.mate) { // a loop within one tree runs below everything
			b.rowY = l.bottom + 24 + b.reserve/2 + within
			within += b.reserve + 60
		} else {
			b.rowY = depth + b.reserve/2
			depth += b.reserve + 64
		}
		b.mate.rowY = b.rowY
	}
	l.bottom = max(l.bottom, depth-20)
	if within > 0 {
		l.bottom += within + 24
	}
}

// sideOf is the tree that a branch grows in.
func (l *layout) sideOf(b *branch) *branch {
	for b.parent != nil {
		b = b.parent
	}
	return b
}

// across turns distances from the equipment into places on the paper.
func (l *layout) across(supply, returns *side) {
	parts := max(1, len(l.f.equipment))
	l.cabinetW = float64(parts)*partWidth + float64(parts+1)*cabinetPad
	l.returnX = margin + max(returns.right, 60)
	l.cabinetX = l.returnX + plenumWidth
	l.supplyX = l.cabinetX + l.cabinetW + plenumWidth
	l.bandLeft += l.supplyX
	l.bandRight = max(l.supplyX+supply.right+18, leastWidth-margin, l.bandLeft+380)
	l.width = l.bandRight + margin
	l.height = l.bottom
}

// shift moves everything that is placed already.
func (l *layout) shift(dy float64) {
	for _, b := range l.f.order {
		b.rowY += dy
		b.endY += dy
	}
	for i := range l.bands {
		l.bands[i].top += dy
		l.bands[i].bottom += dy
	}
	l.axis += dy
	l.bottom += dy
}

// labelRoom is the width kept for the label of a register, grille or leak.
func labelRoom(l *layout, b *branch) float64 {
	wide := 92.0
	if b.wants*2 > 1000*4.719474432e-4 { // four digits on both sides of the stroke
		wide = 118
	}
	return max(wide, widthOf(l.nameOf(b), sizeLabel, true)) + 4
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
	return cut(name, sizeLabel, true, 128)
}
