package schematic

import (
	"math"

	"spillway/network"
	"spillway/render/sheet"
	"spillway/solver/state"
)

// Scene is a picture as places, widths and numbers, before it is written: what a test can look at, and what another writer
// than SVG could draw.
type Scene struct {
	Width, Height float64
	Top           float64 // where the picture begins: below the heading when it has none
	Title, Desc   string
	Scale         float64 // px per m³/s

	Bands   []Band
	Ribbons []Ribbon
	Hubs    []Box // where air from several ways meets and parts
	Frames  []Frame
	Dampers []Blade
	Grilles []Grille
	Arrows  []Arrow
	Labels  []Label
	Ledger  []Share
	Crowded []string   // what found no room for its label
	Rules   []polyline // thin leader lines
	Strip   Box        // the whole ledger strip
	Legend  Legend
}

// Band is the ground of one zone.
type Band struct {
	Box
	Name    string
	Calling bool
	Dump    bool
	Text    string
}

// Frame is a box of the equipment, or a plenum.
type Frame struct {
	Box
	Kind string // "plenum", "cabinet", "filter", "coil", "blower"
	Text string
}

// Blade is a damper: a circle with its blade.
type Blade struct {
	At      point
	Radius  float64
	Along   point   // direction of the duct
	Degrees float64 // of the blade from open; NaN unknown
	Calling bool
	Name    string
	Damper  string // of the job file; "" none of its own
	Text    string
}

// Grille is a register or grille: a bar across the end of its ribbon.
type Grille struct {
	Box
	Calling bool
	Return  bool
	Name    string
	Text    string
}

// Arrow is one arrowhead.
type Arrow struct {
	At   point
	To   point // unit direction of the air
	Size float64
}

// Share is one piece of the ledger strip.
type Share struct {
	Box
	Kind    state.PathKind
	Surplus bool
	Text    string
}

// artist draws one outcome on a layout.
type artist struct {
	l      *layout
	o      *state.Outcome
	g      *network.Graph
	opt    Options
	w      writer
	before *before // of a difference picture
	scale  float64
	sc     *Scene
	flip   bool           // the surplus strand runs on top instead of below
	blade  []int          // element → index into o.Dampers, −1
	loose  map[int]halves // branch links half drawn, by link's first element
	blocks []block        // labels that wait for their place
}

// halves are the two ends of a loop.
type halves struct {
	from, to polyline
	onto     bool
}

// compose turns an outcome into a scene.
func compose(l *layout, o *state.Outcome, opt Options) *Scene {
	a := &artist{l: l, o: o, g: o.Graph, opt: opt, w: writer{sys: opt.Units, whole: sheet.NewPrinter(opt.Units).Wholes(o)}, scale: l.scale, sc: &Scene{}, loose: map[int]halves{}, before: newBefore(o, opt.Before, opt.BeforeName)}
	a.blade = make([]int, len(a.g.Elements))
	for i := range a.blade {
		a.blade[i] = -1
	}
	for i := range o.Dampers {
		if e := o.Dampers[i].Element; e >= 0 && e < len(a.blade) {
			a.blade[e] = i
		}
	}
	most := math.Abs(o.Blower.Airflow)
	for i := range o.Elements {
		if a.g.Elements[i].Side != network.BuildingSide && finite(o.Elements[i].Airflow) {
			most = max(most, math.Abs(o.Elements[i].Airflow))
		}
	}
	if most*a.scale > ribbonMost {
		a.scale = ribbonMost / most
	}
	a.sc.Scale = a.scale
	a.sc.Width, a.sc.Height = l.width, l.height
	a.flip = a.surplusGoesUp()
	a.bandsOf()
	a.machine()
	a.tree(l.f.supply, true)
	a.tree(l.f.returns, false)
	a.loops()
	a.heading()
	a.settle()
	a.ledger()
	a.legend()
	return a.sc
}

// x is the place of a distance from the equipment.
func (a *artist) x(u float64, supply bool) float64 {
	if supply {
		return a.l.supplyX + u
	}
	return a.l.returnX - u
}

// outward is a branch's airflow away from the equipment, m³/s, and how much of it nobody asked for.
func (a *artist) outward(b *branch) (flow, surplus float64) {
	sign := 1.0
	if b.end == landing {
		b, sign = b.mate, -1
	}
	if len(b.elements) == 0 {
		return 0, 0
	}
	k := 0
	for i, e := range b.elements {
		if a.g.Elements[e].Kind == network.KindDuct {
			k = i
			break
		}
	}
	e := a.element(b.elements[k])
	if b.against[k] {
		sign = -sign
	}
	if !finite(e.Airflow) {
		return 0, 0
	}
	s := e.Surplus
	if !finite(s) {
		s = 0
	}
	return sign * e.Airflow, min(max(s, 0), math.Abs(e.Airflow))
}

func (a *artist) element(i int) state.Element {
	if i < 0 || i >= len(a.o.Elements) {
		return state.Element{Velocity: math.NaN(), Drop: math.NaN(), Temperature: math.NaN()}
	}
	return a.o.Elements[i]
}

func (a *artist) px(flow float64) float64 { return math.Abs(flow) * a.scale }

// widest is the ribbon's width of a branch.
func (a *artist) wide(b *branch) float64 {
	q, _ := a.outward(b)
	return a.px(q)
}

// surplusGoesUp decides on which side the surplus strand runs in this picture: where most of the surplus leaves, so that the
// strand need not cross the other.
func (a *artist) surplusGoesUp() bool {
	var surplus, asked, sy, ay float64
	for _, b := range a.l.f.order {
		if !b.entry || !finite(b.rowY) {
			continue
		}
		q, s := a.outward(b)
		if a.l.sideOf(b) != a.l.f.supply {
			continue
		}
		y := b.rowY - a.l.axis
		surplus, sy = surplus+s, sy+s*y
		asked, ay = asked+math.Abs(q)-s, ay+(math.Abs(q)-s)*y
	}
	for _, b := range a.l.f.links {
		_, s := a.outward(b)
		surplus, sy = surplus+s, sy+s*(b.rowY-a.l.axis)
	}
	if surplus <= 0 || asked <= 0 {
		return false
	}
	return sy/surplus < ay/asked-20
}

// tree draws one tree.
func (a *artist) tree(root *branch, supply bool) {
	if root.to < 0 {
		return
	}
	face := a.face(root, 0)
	q := a.o.Blower.Airflow
	if !finite(q) {
		q = 0
	}
	if !supply {
		q = -q
	}
	// The air in the plenum belongs to no duct.
	surplus := a.element(a.g.Blower).Surplus
	a.plain(polyline{{a.x(-plenumWidth, supply), a.l.axis}, {a.x(face, supply), a.l.axis}}, q, surplus, supply)
	a.part(root, q, face, a.l.axis, supply)
}

// plain draws a ribbon that is not a duct: through plenums and the cabinet.
func (a *artist) plain(path polyline, q, surplus float64, supply bool) {
	if !finite(surplus) || a.before != nil {
		surplus = 0
	}
	a.sc.Ribbons = append(a.sc.Ribbons, Ribbon{Element: -1, Path: path.tidy(), Width: a.px(q), Surplus: min(a.px(surplus), a.px(q)),
		OnRight: supply != a.flip, Reversed: q < 0, Still: q == 0, Class: a.machineClass(), Change: a.before != nil, Name: "equipment"})
}

// machineClass is the colour of the air in the machine: in a difference picture the change at the blower, else none.
func (a *artist) machineClass() int {
	if a.before == nil {
		return -1
	}
	return a.w.changeClass(a.change(a.g.Blower))
}

// face is the u at which the ribbon of b ends and its children begin: where the first of them bends off.
func (a *artist) face(b *branch, least float64) float64 {
	u := math.Inf(1)
	for _, c := range b.children {
		if c.turned {
			u = min(u, c.slot-a.wide(c)/2)
		}
	}
	if math.IsInf(u, 1) {
		u = least + 20
		for _, c := range b.children {
			if len(c.gates) > 0 {
				u = min(u, c.gates[0]-30)
			}
		}
	}
	return max(u, least)
}

// part stacks the children of b on the face where its ribbon ends, top to bottom: what goes up, what goes on, what goes down.
func (a *artist) part(b *branch, q, face, y float64, supply bool) {
	stack := stackOf(b)
	total, mixed := 0.0, false
	for _, c := range stack {
		cq, _ := a.outward(c)
		total += a.px(cq)
		if cq*q < 0 && a.px(cq) > 0.05 {
			mixed = true
		}
	}
	wide := a.px(q)
	if len(stack) > 0 && (mixed || math.Abs(total-wide) > 0.02*max(total, wide)+0.05) {
		half := max(total, wide)/2 + 2
		x := a.x(face, supply)
		a.sc.Hubs = append(a.sc.Hubs, Box{x - 3, y - half, x + 3, y + half})
	}
	at := y - total/2
	for _, c := range stack {
		w := a.wide(c)
		a.branch(c, face, at+w/2, supply)
		at += w
	}
}

// stackOf orders the children of a branch as they stand on its face from top to bottom.
func stackOf(b *branch) []*branch {
	var ups, ons, downs []*branch
	for _, c := range b.children {
		switch {
		case !c.turned:
			ons = append(ons, c)
		case c.down:
			downs = append(downs, c)
		default:
			ups = append(ups, c)
		}
	}
	bySlot(ups, 1)
	bySlot(downs, -1)
	return append(append(ups, ons...), downs...)
}

func bySlot(b []*branch, sign float64) {
	for i := 1; i < len(b); i++ {
		for j := i; j > 0 && sign*b[j].slot < sign*b[j-1].slot; j-- {
			b[j], b[j-1] = b[j-1], b[j]
		}
	}
}

// branch draws one branch from the face of its parent, and what grows out of it.
func (a *artist) branch(b *branch, u, y float64, supply bool) {
	path := polyline{{a.x(u, supply), y}}
	if (b.end == link || b.end == landing) && !b.turned { // where the layout kept no lane for it
		a.half(b, append(path, point{a.x(u, supply), b.rowY}).tidy())
		return
	}
	end := y
	last := u
	if b.turned {
		last = b.slot
		path = append(path, point{a.x(b.slot, supply), y})
		switch {
		case b.end == link || b.end == landing:
			path = append(path, point{a.x(b.slot, supply), b.rowY})
			a.half(b, path.tidy())
			return
		case b.upright:
			path = append(path, point{a.x(b.slot, supply), b.endY})
			a.chain(b, path.tidy(), supply)
			a.tip(b, path[len(path)-1], supply)
			return
		}
		end = b.rowY
		path = append(path, point{a.x(b.slot, supply), end})
	}
	if len(b.children) > 0 {
		face := a.face(b, last+a.wide(b)/2)
		path = append(path, point{a.x(face, supply), end})
		a.chain(b, path.tidy(), supply)
		q, _ := a.outward(b)
		a.part(b, q, face, end, supply)
		return
	}
	path = append(path, point{a.x(max(b.endU, last+30), supply), end})
	a.chain(b, path.tidy(), supply)
	a.tip(b, path[len(path)-1], supply)
}

// half remembers one end of a loop until the other is known.
func (a *artist) half(b *branch, path polyline) {
	owner := b
	if b.end == landing {
		owner = b.mate
	}
	key := owner.elements[0]
	h := a.loose[key]
	if b.end == landing {
		h.to, h.onto = path, true
	} else {
		h.from = path
	}
	a.loose[key] = h
}

// loops draws the bypasses, whose two ends are known now.
func (a *artist) loops() {
	for _, b := range a.l.f.links {
		h := a.loose[b.elements[0]]
		if len(h.from) == 0 {
			continue
		}
		path := append(polyline{}, h.from...)
		for i := len(h.to) - 1; i >= 0; i-- {
			path = append(path, h.to[i])
		}
		a.chain(b, path.tidy(), a.l.sideOf(b) == a.l.f.supply)
	}
}
