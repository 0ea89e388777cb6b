package chart

import (
	_ "embed"
	"fmt"
	"math"
	"strings"

	"spillway/render/ink"
)

//go:embed style.css
var rules string

// StyleSheet is the style of all charts, for pages that carry it once.
func StyleSheet(t ink.Theme) string { return ink.StyleSheet(".sw-chart", rules, t) }

// plot is a figure on its way to paper.
type plot struct {
	*ink.Canvas
	f                        *Figure
	opt                      Options
	prefix                   string
	x, y                     scale
	left, right, top, bottom float64
	width, height            float64
	taken                    []box    // where text and marks stand already
	drawn                    []box    // bars and pieces of lines, which text had better not cover
	crossed                  []string // texts that found no place free of them
	later                    []func() // texts that stand over lines and bars
}

type box struct {
	x0, y0, x1, y1 float64
	faint          bool // a line for comparison, over which the halo of a text may stand if it must
}

func (b box) meets(o box) bool { return b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1 }

const (
	textSize = 12
	tickSize = 11
	keyPitch = 17
)

func newPlot(f *Figure, opt Options, out *ink.Sticky) *plot {
	p := &plot{Canvas: ink.NewCanvas(out), f: f, opt: opt, width: f.Width, height: f.Height}
	if p.width <= 0 {
		p.width = 560
	}
	if p.height <= 0 {
		p.height = 340
	}
	if opt.Prefix != "" {
		p.prefix = ink.Slug(opt.Prefix) + "-"
	}
	p.y = p.range_(f.Y, func(q XY) float64 { return q.Y }, false, 5)
	p.x = p.range_(f.X, func(q XY) float64 { return q.X }, true, 6)
	widest := 0.0
	for _, t := range p.y.ticks() {
		widest = math.Max(widest, ink.Width(p.y.text(t), tickSize, false))
	}
	p.left, p.right = 26+widest, p.width-22
	p.top, p.bottom = 50, p.height-42
	p.bottom -= keyPitch * float64(p.keyRows())
	if len(f.Bars) > 0 {
		p.bottom -= p.nameDepth()
	}
	p.x.low, p.x.high = p.left, p.right
	if _, rows := p.noteLanes(); rows > 0 {
		p.bottom -= noteLane*float64(rows) + p.noteTop() - 16
	}
	p.y.low, p.y.high = p.bottom, p.top
	return p
}

// range_ finds the range of an axis: what it asks for, else what the data fill.
func (p *plot) range_(a Axis, pick func(XY) float64, across bool, count int) scale {
	from, to := math.Inf(1), math.Inf(-1)
	add := func(v float64) {
		if finite(v) {
			from, to = math.Min(from, v), math.Max(to, v)
		}
	}
	for i := range p.f.Lines {
		for _, q := range p.f.Lines[i].Points {
			if q.finite() {
				add(pick(q))
			}
		}
	}
	for _, m := range p.f.Marks {
		if m.At.finite() {
			add(pick(m.At))
		}
	}
	if !across {
		for _, b := range p.f.Bars {
			add(b.Value)
			add(b.Target)
		}
		for _, b := range p.f.Bands {
			if !b.Upright {
				add(b.Rule)
			}
		}
	}
	if a.Zero {
		add(0)
	}
	if !across && a.From == a.To {
		// A limit at the very end of the axis would not show what lies beyond it.
		low, high, span := from, to, to-from
		for _, b := range p.f.Bands {
			if b.Upright || !finite(b.Rule) {
				continue
			}
			if b.To > b.Rule && b.Rule >= high-0.02*span {
				to = math.Max(to, b.Rule+0.08*span)
			}
			if b.From < b.Rule && b.Rule <= low+0.02*span {
				from = math.Min(from, b.Rule-0.08*span)
			}
		}
	}
	if a.From != a.To {
		s := newScale(a.From, a.To, count)
		s.from, s.to = a.From, a.To
		return s
	}
	return newScale(from, to, count)
}

func (p *plot) draw() {
	p.Open(ink.Root{Width: p.width, Height: p.height, ViewWidth: p.width, ViewHeight: p.height,
		TitleID: p.prefix + "title", Title: p.f.Title, DescID: p.prefix + "desc", Desc: p.f.Desc}, ink.Class("sw-chart"), ink.Attr("role", "img"))
	p.Def()
	if !p.opt.Bare {
		p.Sheet(StyleSheet(p.opt.Theme))
	}
	p.Hatch(p.prefix+"hatch", 7)
	p.ClipPath(ink.Attr("id", p.prefix+"clip"))
	p.Rect(p.left, p.top-1, p.right-p.left, p.bottom-p.top+2)
	p.ClipEnd()
	p.DefEnd()
	p.Rect(0, 0, p.width, p.height, ink.Class("paper"))
	p.text(p.left, 18, "start", "title", ink.Cut(p.f.Title, 14, true, p.right-p.left))
	p.grid()
	p.bands()
	p.notes()
	p.bars()
	p.Group(ink.Attr("clip-path", "url(#"+p.prefix+"clip)"))
	for i := range p.f.Lines {
		p.line(&p.f.Lines[i])
	}
	p.Gend()
	p.marks()
	for _, draw := range p.later {
		draw()
	}
	p.markLabels()
	for i := range p.f.Lines {
		p.lineLabel(&p.f.Lines[i])
	}
	p.key()
	p.End()
}

func (p *plot) text(x, y float64, anchor, class, s string) {
	if s == "" {
		return
	}
	p.Words(x, y, s, ink.Class(class), ink.Attr("text-anchor", anchor))
}

// place writes a text at the first of several places where nothing stands yet. Where every place has a line or a bar behind it, the text
// stands where the least of them is; where text stands everywhere, it stands at the first place if it must be.
func (p *plot) place(s, class string, size float64, must bool, spots ...spot) {
	w := ink.Width(s, size, class == "b")
	best, least := -1, 0
	for i, at := range spots {
		b := at.box(w, size)
		if b.x0 < p.left || b.x1 > p.right+20 || b.y0 < p.top-14 || b.y1 > p.bottom || p.occupied(b) {
			continue
		}
		if n := p.behind(b); best < 0 || n < least {
			best, least = i, n
		}
		if least == 0 {
			break
		}
	}
	if best < 0 {
		if !must {
			return
		}
		best, least = 0, solid
	}
	if least >= solid {
		p.crossed = append(p.crossed, s)
	}
	at := spots[best]
	p.taken = append(p.taken, at.box(w, size))
	p.text(at.x, at.y, at.anchor, class, s)
}

// behind weighs the bars and pieces of lines that a text would cover.
func (p *plot) behind(b box) int {
	n := 0
	for _, d := range p.drawn {
		switch {
		case !d.meets(b):
		case d.faint:
			n++
		default:
			n += solid
		}
	}
	return n
}

// solid is the weight of what no text should cover, against that of a piece of a faint line.
const solid = 1000

// afterwards places a text when lines, bars and marks are drawn.
func (p *plot) afterwards(s, class string, must bool, spots ...spot) {
	p.later = append(p.later, func() { p.place(s, class, tickSize, must, spots...) })
}

type spot struct {
	x, y   float64
	anchor string
}

// box is the room of a text at a spot.
func (at spot) box(w, size float64) box {
	b := box{x0: at.x, y0: at.y - 0.8*size, x1: at.x + w, y1: at.y + 3}
	switch at.anchor {
	case "end":
		b.x0, b.x1 = at.x-w, at.x
	case "middle":
		b.x0, b.x1 = at.x-w/2, at.x+w/2
	}
	return b
}

func (p *plot) occupied(b box) bool {
	for _, t := range p.taken {
		if t.meets(b) {
			return true
		}
	}
	return false
}

func (p *plot) grid() {
	for _, t := range p.y.ticks() {
		y := p.y.px(t)
		p.Path(fmt.Sprintf("M%s %sH%s", ink.Number(p.left), ink.Number(y), ink.Number(p.right)), ink.Class("grid"))
		p.text(p.left-6, y+4, "end", "tick", p.y.text(t))
	}
	if len(p.f.Bars) == 0 && !p.f.X.Plain {
		for _, t := range p.x.ticks() {
			if t < p.x.from-1e-9 || t > p.x.to+1e-9 {
				continue
			}
			x := p.x.px(t)
			p.Path(fmt.Sprintf("M%s %sV%s", ink.Number(x), ink.Number(p.top), ink.Number(p.bottom)), ink.Class("grid"))
			p.text(x, p.bottom+15, "middle", "tick", p.x.text(t))
		}
	}
	p.Path(fmt.Sprintf("M%s %sV%sH%s", ink.Number(p.left), ink.Number(p.top), ink.Number(p.bottom), ink.Number(p.right)), ink.Class("axis"))
	if p.y.from < 0 && p.y.to > 0 {
		p.Path(fmt.Sprintf("M%s %sH%s", ink.Number(p.left), ink.Number(p.y.px(0)), ink.Number(p.right)), ink.Class("zero"))
	}
	p.text(p.left-6-p.widestTick(), 38, "start", "faint small", p.f.Y.Label)
	p.text(p.right, p.axisLabelY(), "end", "faint small", p.f.X.Label)
}

func (p *plot) widestTick() float64 {
	widest := 0.0
	for _, t := range p.y.ticks() {
		widest = math.Max(widest, ink.Width(p.y.text(t), tickSize, false))
	}
	return widest
}

func (p *plot) axisLabelY() float64 {
	if _, rows := p.noteLanes(); rows > 0 {
		return p.bottom + 12 + p.noteTop() + noteLane*float64(rows)
	}
	if p.f.X.Plain {
		return p.bottom + 15
	}
	return p.bottom + 31
}

func (p *plot) bands() {
	for _, b := range p.f.Bands {
		s := p.y
		if b.Upright {
			s = p.x
		}
		from, to := s.clamp(b.From), s.clamp(b.To)
		a, z := s.px(from), s.px(to)
		c := b.Level.class()
		if to > from {
			if b.Upright {
				p.Rect(a, p.top, z-a, p.bottom-p.top, ink.Class("band "+c))
			} else {
				p.Rect(p.left, z, p.right-p.left, a-z, ink.Class("band "+c))
			}
		}
		if !finite(b.Rule) || b.Rule < s.from || b.Rule > s.to {
			continue
		}
		at := s.px(b.Rule)
		if b.Upright {
			p.drawn = append(p.drawn, box{x0: at - 0.5, y0: p.top, x1: at + 0.5, y1: p.bottom})
			p.Path(fmt.Sprintf("M%s %sV%s", ink.Number(at), ink.Number(p.top), ink.Number(p.bottom)), ink.Class("rule "+c))
			p.afterwards(b.Text, "limit "+c, true, spot{at + 5, p.top + 12, "start"}, spot{at - 5, p.top + 12, "end"}, spot{at + 5, p.top + 26, "start"}, spot{at - 5, p.top + 26, "end"})
			continue
		}
		p.drawn = append(p.drawn, box{x0: p.left, y0: at - 0.5, x1: p.right, y1: at + 0.5})
		p.Path(fmt.Sprintf("M%s %sH%s", ink.Number(p.left), ink.Number(at), ink.Number(p.right)), ink.Class("rule "+c))
		spots := []spot{{p.right - 4, at - 4, "end"}, {p.right - 4, at + 12, "end"}, {p.left + 6, at - 4, "start"}, {p.left + 6, at + 12, "start"}}
		for share := 0.98; share > 0.02; share -= 0.02 {
			x := p.left + share*(p.right-p.left)
			spots = append(spots, spot{x, at - 4, "end"}, spot{x, at + 12, "end"})
		}
		p.afterwards(b.Text, "limit "+c, true, spots...)
	}
}

func (p *plot) line(l *Line) {
	var d strings.Builder
	pen, last := false, XY{}
	for _, q := range l.Points {
		if !q.finite() {
			pen = false
			continue
		}
		c := "L"
		if !pen {
			c = "M"
		}
		if pen {
			p.strike(l, last, q)
		}
		pen, last = true, q
		d.WriteString(c + ink.Number(p.x.px(q.X)) + " " + ink.Number(p.y.px(q.Y)))
	}
	if d.Len() == 0 {
		return
	}
	p.Titled(l.Name)
	p.Path(d.String(), ink.Class(l.Style.class()))
	p.Gend()
}

// strike marks a piece of a line as drawn, in boxes small enough to follow a slope.
func (p *plot) strike(l *Line, a, b XY) {
	x0, y0, x1, y1 := p.x.px(a.X), p.y.px(a.Y), p.x.px(b.X), p.y.px(b.Y)
	n := max(1, int(math.Max(math.Abs(x1-x0), math.Abs(y1-y0))/6))
	for i := range n {
		t, u := float64(i)/float64(n), float64(i+1)/float64(n)
		xa, xb, ya, yb := x0+(x1-x0)*t, x0+(x1-x0)*u, y0+(y1-y0)*t, y0+(y1-y0)*u
		p.drawn = append(p.drawn, box{math.Min(xa, xb) - 1, math.Min(ya, yb) - 1, math.Max(xa, xb) + 1, math.Max(ya, yb) + 1, l.Style == Faint})
	}
}

// lineLabel names a line at its last point inside the chart.
func (p *plot) lineLabel(l *Line) {
	if l.Label == "" {
		return
	}
	var spots []spot
	for i := len(l.Points) - 1; i >= 0; i-- {
		q := l.Points[i]
		if !q.finite() || q.X < p.x.from || q.X > p.x.to || q.Y < p.y.from || q.Y > p.y.to {
			continue
		}
		x, y := p.x.px(q.X), p.y.px(q.Y)
		spots = append(spots, spot{x + 4, y + 4, "start"}, spot{x - 4, y - 6, "end"}, spot{x - 4, y + 15, "end"}, spot{x + 4, y - 6, "start"})
	}
	if len(spots) > 0 {
		p.place(l.Label, "faint small", tickSize, false, spots...)
	}
}

func (p *plot) marks() {
	for pass := range 2 {
		for _, m := range p.f.Marks {
			if !m.At.finite() || m.Strong != (pass == 1) {
				continue
			}
			x, y := p.x.px(m.At.X), p.y.px(m.At.Y)
			c, r := "mark", 4.0
			if m.Strong {
				c, r = "mark on", 6.5
			}
			if m.Level != Neutral {
				c += " " + m.Level.class()
			}
			p.Titled(m.Name)
			p.Circle(x, y, r, ink.Class(c))
			p.Gend()
			p.taken = append(p.taken, box{x0: x - r, y0: y - r, x1: x + r, y1: y + r})
		}
	}
}

// markLabels names the marks, the strong one first.
func (p *plot) markLabels() {
	for pass := range 2 {
		for _, m := range p.f.Marks {
			if m.Label == "" || !m.At.finite() || m.Strong != (pass == 0) {
				continue
			}
			x, y := p.x.px(m.At.X), p.y.px(m.At.Y)
			class := "faint small"
			if m.Strong {
				class = "b"
			}
			p.place(m.Label, class, textSize, m.Strong, around(x, y)...)
		}
	}
}

// around are the places for the name of a point, nearest first.
func around(x, y float64) []spot {
	spots := []spot{{x + 9, y - 5, "start"}, {x + 9, y + 14, "start"}, {x - 10, y - 5, "end"}, {x - 10, y + 14, "end"}, {x, y - 12, "middle"}, {x, y + 20, "middle"}}
	for _, dy := range [...]float64{0, 14, 28, 44, 60, 90} {
		for _, dx := range [...]float64{10, 13, 18, 26, 40, 60} {
			spots = append(spots, spot{x + dx, y + 4 - dy, "start"}, spot{x - dx, y + 4 - dy, "end"}, spot{x + dx, y + 4 + dy, "start"}, spot{x - dx, y + 4 + dy, "end"})
		}
	}
	return spots
}
