package schematic

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"spillway/render/ink"
)

// pen writes a scene as SVG.
type pen struct {
	*ink.Canvas
	prefix string
	ids    map[string]int
}

// write turns a scene into SVG.
func write(w io.Writer, sc *Scene, opt Options) error {
	out := ink.NewSticky(w)
	p := &pen{Canvas: ink.NewCanvas(out), ids: map[string]int{}}
	if opt.Prefix != "" {
		p.prefix = ink.Slug(opt.Prefix) + "-"
	}
	p.open(sc, opt)
	p.defs(opt)
	p.Rect(0, sc.Top, sc.Width, sc.Height-sc.Top, ink.Class("paper"))
	p.group("bands", func() { p.bands(sc) })
	p.group("ducts", func() { p.ducts(sc) })
	p.group("equipment", func() { p.frames(sc) })
	p.group("arrows", func() { p.arrowheads(sc) })
	p.group("dampers", func() {
		for i := range sc.Dampers {
			p.damper(&sc.Dampers[i])
		}
	})
	p.group("registers", func() { p.grilles(sc) })
	p.group("ledger", func() { p.strip(sc) })
	p.group("legend", func() { p.key(sc) })
	p.group("labels", func() { p.labels(sc) })
	p.End()
	return out.Flush()
}

// open writes the root element.
func (p *pen) open(sc *Scene, opt Options) {
	width, height := sc.Width, sc.Height-sc.Top
	if opt.Width > 0 && finite(opt.Width) {
		height *= opt.Width / width
		width = opt.Width
	}
	attrs := []string{ink.Class("sw"), ink.Attr("role", "group")}
	if opt.Bare { // so that a page's style can say how far it may be made smaller
		attrs = append(attrs, ink.Attr("style", "--sw-natural:"+ink.Number(width)+"px"))
	}
	p.Open(ink.Root{Width: width, Height: height, Top: sc.Top, ViewWidth: sc.Width, ViewHeight: sc.Height - sc.Top,
		TitleID: p.id("title"), Title: sc.Title, DescID: p.id("desc"), Desc: sc.Desc}, attrs...)
}

// defs writes the style sheet and the hatching.
func (p *pen) defs(opt Options) {
	p.Def()
	if !opt.Bare {
		p.Sheet(StyleSheet(opt.Theme))
	}
	p.Hatch(p.id("hatch"), 9)
	p.DefEnd()
}

func (p *pen) id(name string) string { return p.prefix + name }

// unique makes an id out of a name; equal ones are numbered in the order they come.
func (p *pen) unique(kind, name string) string {
	s := p.prefix + kind + "-" + ink.Slug(name)
	id := s
	for p.ids[id] > 0 {
		p.ids[s]++
		id = s + "-" + strconv.Itoa(p.ids[s])
	}
	p.ids[id]++
	return id
}

func (p *pen) group(name string, body func()) {
	p.Group(ink.Class(name))
	body()
	p.Gend()
}

// part opens a group that stands for one thing, with what a screen reader and a pointer are told.
func (p *pen) part(kind, name, text, classes string, more ...string) {
	if text == "" {
		text = name
	}
	attrs := append([]string{ink.Attr("id", p.unique(kind, name)), ink.Class(classes), ink.Attr("role", "img"), ink.Attr("aria-label", text)}, more...)
	p.Titled(text, attrs...)
}

func (p *pen) bands(sc *Scene) {
	for i := range sc.Bands {
		b := &sc.Bands[i]
		c := "band rest"
		switch {
		case b.Calling:
			c = "band call"
		case b.Dump:
			c = "band dump"
		}
		p.part("zone", b.Name, b.Text, c)
		p.Roundrect(b.X0, b.Y0, b.X1-b.X0, b.Y1-b.Y0, 12, 12)
		p.Gend()
		x, y := b.X0+24, b.Y0+17
		if b.Calling {
			p.Circle(x, y, 6, ink.Class("lamp on"))
		} else {
			p.Circle(x, y, 5.5, ink.Class("lamp off"))
		}
	}
}

func (p *pen) ducts(sc *Scene) {
	// Outer ducts first, so that what is nearer to the equipment lies over the joints.
	for i := len(sc.Ribbons) - 1; i >= 0; i-- {
		r := &sc.Ribbons[i]
		if r.Element < 0 {
			continue
		}
		p.ribbon(r)
	}
	for i := range sc.Ribbons {
		if sc.Ribbons[i].Element < 0 {
			p.ribbon(&sc.Ribbons[i])
		}
	}
	for _, h := range sc.Hubs {
		p.Roundrect(h.X0, h.Y0, h.X1-h.X0, h.Y1-h.Y0, 2, 2, ink.Class("hub"))
	}
}

func (p *pen) ribbon(r *Ribbon) {
	kind := "duct"
	if r.Element < 0 {
		kind = "air"
	}
	p.part(kind, r.Name, r.Text, kind)
	if r.Still {
		p.Path(trace(r.Path, false), ink.Class("still-duct"))
		p.Gend()
		return
	}
	left, middle, right := r.split()
	if r.Width < thinnest && r.Surplus > r.Width/2 && !r.Change {
		// Too thin for hatching: a dashed line in its colour, so that what seeps can be followed to where it ends.
		p.Path(trace(r.Path, false), ink.Class("thin-halo"))
		p.Path(trace(r.Path, false), ink.Class("thin"), ink.Attr("stroke-width", ink.Number(max(r.Width, 1.6))))
		p.Gend()
		return
	}
	fill := "s-none"
	switch {
	case r.Class >= 0 && r.Change:
		fill = "d" + strconv.Itoa(r.Class)
	case r.Class >= 0:
		fill = "s" + strconv.Itoa(r.Class)
	}
	p.Path(trace(r.strand(left, right), true), ink.Class(fill))
	if r.Surplus > 0.05 {
		from, to := left, middle
		if r.OnRight {
			from, to = middle, right
		}
		p.Path(trace(r.strand(from, to), true), ink.Class("surplus"), ink.Attr("fill", "url(#"+p.id("hatch")+")"))
		if r.Width-r.Surplus > 1 && r.Surplus > 1 {
			p.Path(trace(r.Path.offset(middle), false), ink.Class("seam"))
		}
	}
	p.Path(trace(r.Path.offset(left), false)+trace(r.Path.offset(right), false), ink.Class("edge"))
	p.Gend()
}

// thinnest is the width, px, below which a ribbon shows no hatching.
const thinnest = 3.0

func (p *pen) frames(sc *Scene) {
	for i := range sc.Frames {
		f := &sc.Frames[i]
		p.part("part", f.Kind, f.Text, "frame "+ink.Slug(f.Kind))
		rx := 4.0
		if f.Kind == "cabinet" {
			rx = 9
		}
		p.Roundrect(f.X0, f.Y0, f.X1-f.X0, f.Y1-f.Y0, rx, rx)
		x, y := (f.X0+f.X1)/2, (f.Y0+f.Y1)/2
		switch f.Kind {
		case "filter":
			p.Path(fmt.Sprintf("M%s %sl10 8l-20 8l20 8l-20 8l20 8l-20 8l10 8", ink.Number(x), ink.Number(y-28)), ink.Class("sign"))
		case "coil":
			p.Path(fmt.Sprintf("M%s %sv40M%s %sv40M%s %sv40M%s %sv40", ink.Number(x-12), ink.Number(y-20), ink.Number(x-4), ink.Number(y-20), ink.Number(x+4), ink.Number(y-20), ink.Number(x+12), ink.Number(y-20)), ink.Class("sign"))
		case "blower":
			p.Circle(x, y, 21, ink.Class("wheel"))
			for k := range 6 {
				s, c := math.Sincos(float64(k) * math.Pi / 3)
				s2, c2 := math.Sincos(float64(k)*math.Pi/3 + 0.7)
				p.Path(fmt.Sprintf("M%s %sQ%s %s %s %s", ink.Number(x+5*c), ink.Number(y+5*s), ink.Number(x+13*c), ink.Number(y+13*s), ink.Number(x+18*c2), ink.Number(y+18*s2)), ink.Class("sign"))
			}
		}
		p.Gend()
	}
}

func (p *pen) arrowheads(sc *Scene) {
	for _, a := range sc.Arrows {
		n := right(a.To)
		tip := point{a.At.X + a.To.X*a.Size, a.At.Y + a.To.Y*a.Size}
		back := point{a.At.X - a.To.X*a.Size*0.7, a.At.Y - a.To.Y*a.Size*0.7}
		notch := point{a.At.X - a.To.X*a.Size*0.2, a.At.Y - a.To.Y*a.Size*0.2}
		w := a.Size * 0.8
		p.Path(trace(polyline{tip, {back.X + n.X*w, back.Y + n.Y*w}, notch, {back.X - n.X*w, back.Y - n.Y*w}}, true), ink.Class("arrow"))
	}
}

func (p *pen) damper(d *Blade) {
	c := "damper"
	if d.Calling {
		c += " open"
	}
	if d.Name != "" {
		var more []string
		if d.Damper != "" { // what a page needs to move it by hand
			more = append(more, ink.Attr("data-damper", d.Damper))
		}
		p.part("damper", d.Name, d.Text, c, more...)
	} else {
		p.Group(ink.Class(c))
	}
	p.Circle(d.At.X, d.At.Y, d.Radius)
	if finite(d.Degrees) {
		// The blade stands along the duct when open and turns towards the right of the duct's direction.
		s, co := math.Sincos(d.Degrees * math.Pi / 180)
		n := right(d.Along)
		x, y := d.Along.X*co-n.X*s, d.Along.Y*co-n.Y*s
		r := d.Radius - 3
		p.Line(d.At.X-x*r, d.At.Y-y*r, d.At.X+x*r, d.At.Y+y*r, ink.Class("blade"))
	}
	p.Circle(d.At.X, d.At.Y, 1.8, ink.Class("pivot"))
	p.Gend()
}

func (p *pen) grilles(sc *Scene) {
	for i := range sc.Grilles {
		g := &sc.Grilles[i]
		c, kind := "register", "register"
		if g.Calling {
			c += " call"
		}
		if g.Return {
			kind = "grille"
		}
		p.part(kind, g.Name, g.Text, c)
		p.Roundrect(g.X0, g.Y0, g.X1-g.X0, g.Y1-g.Y0, 1.5, 1.5)
		p.Gend()
	}
}

func (p *pen) strip(sc *Scene) {
	for i := range sc.Ledger {
		s := &sc.Ledger[i]
		p.part("share", string(s.Kind), s.Text, "share")
		p.Rect(s.X0, s.Y0, s.X1-s.X0, s.Y1-s.Y0, ink.Class("share-"+ink.Slug(string(s.Kind))))
		if s.Surplus {
			p.Rect(s.X0, s.Y0, s.X1-s.X0, s.Y1-s.Y0, ink.Attr("fill", "url(#"+p.id("hatch")+")"))
		}
		p.Rect(s.X0, s.Y0, s.X1-s.X0, s.Y1-s.Y0, ink.Class("outline"))
		p.Gend()
	}
	for _, r := range sc.Rules {
		p.Path(trace(r, false), ink.Class("leader"))
	}
}

func (p *pen) key(sc *Scene) {
	l := &sc.Legend
	for i, b := range l.Steps {
		p.Rect(b.X0, b.Y0, b.X1-b.X0, b.Y1-b.Y0, ink.Class(l.Prefix+strconv.Itoa(i)))
	}
	if n := len(l.Steps); n > 0 {
		p.Rect(l.Steps[0].X0, l.Steps[0].Y0, l.Steps[n-1].X1-l.Steps[0].X0, l.Steps[0].Y1-l.Steps[0].Y0, ink.Class("outline"))
	}
	box := func(b Box, c string, hatch bool) {
		p.Rect(b.X0, b.Y0, b.X1-b.X0, b.Y1-b.Y0, ink.Class(c))
		if hatch {
			p.Rect(b.X0, b.Y0, b.X1-b.X0, b.Y1-b.Y0, ink.Attr("fill", "url(#"+p.id("hatch")+")"))
		}
		p.Rect(b.X0, b.Y0, b.X1-b.X0, b.Y1-b.Y0, ink.Class("outline"))
	}
	box(l.Plain, "s-none", false)
	box(l.Hatch, "s-none", true)
	box(l.Ruler, "s-none", false)
	for i := range l.Rings {
		p.damper(&l.Rings[i])
	}
}

func (p *pen) labels(sc *Scene) {
	for _, l := range sc.Labels {
		c := "t"
		if l.Class != "" {
			c += " " + l.Class
		}
		if l.Bold {
			c += " b"
		}
		p.Words(l.X, l.Y, l.Text, ink.Class(c), ink.Attr("font-size", ink.Number(l.Size)), ink.Attr("text-anchor", l.Anchor))
	}
}

// trace writes a path of straight pieces.
func trace(p polyline, closed bool) string {
	var b strings.Builder
	for i, q := range p {
		c := byte('L')
		if i == 0 {
			c = 'M'
		}
		b.WriteByte(c)
		b.WriteString(ink.Number(q.X))
		b.WriteByte(' ')
		b.WriteString(ink.Number(q.Y))
	}
	if closed {
		b.WriteByte('Z')
	}
	return b.String()
}
