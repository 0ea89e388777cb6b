package schematic

import (
	"math"

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
	segmentLead = 84.0  // straight duct before the first branch, with its label
	stubLength  = 34.0  // from trunk to register
	leakLength  = 24.0
	damperRoom  = 30.0
	barDepth    = 8.0
	lineHeight  = sizeLabel * leading
	slotGap     = 8.0
	rowGap      = 12.0
	bandTitle   = 32.0
	bandGap     = 22.0

	plenumGap   = 12.0 // from a plenum to the first bend
	plenumWidth = 104.0
	partWidth   = 56.0
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

// layout is the places of everything, from the graph alone: pictures of all states and of all alternatives with the same
// topology are the same but for widths, colours and numbers.
type layout struct {
	f    *forest
	hand map[string]place // by line

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
	l := &layout{f: grow(g), hand: byHand(g.Job)}
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

	supply := &side{l: l, root: l.f.supply}
	returns := &side{l: l, root: l.f.returns, returning: true}
	supply.sortByZone()
	supply.spread(supply.root, plenumGap)
	returns.spread(returns.root, plenumGap)

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

// layLinks gives every loop its depth under the equipment.
func (l *layout) layLinks() {
	depth := l.axis + cabinetHalf + 62
	within := 0.0
	for _, b := range l.f.links {
		if b.mate == nil {
			continue
		}
		if l.sideOf(b) == l.sideOf(b.mate) { // a loop within one tree runs below everything
			b.rowY = l.wishedY(b, l.bottom+24+b.reserve/2+within)
			within = b.rowY + b.reserve/2 + 36 - l.bottom
		} else {
			b.rowY = l.wishedY(b, depth+b.reserve/2)
			depth = b.rowY + b.reserve/2 + 64
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
