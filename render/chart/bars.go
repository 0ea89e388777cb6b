package chart

import (
	"fmt"
	"math"

	"spillway/render/ink"
)

// Bars stand side by side, groups a little apart, their names turned so that each fits.

const (
	nameSize  = 11.0
	nameMost  = 92.0
	groupGap  = 0.6 // of a bar's pitch
	barFilled = 0.64
)

// nameDepth is the room that the turned names take below the axis.
func (p *plot) nameDepth() float64 {
	deepest := 0.0
	for _, b := range p.f.Bars {
		deepest = math.Max(deepest, math.Min(ink.Width(b.Name, nameSize, b.Active), nameMost))
	}
	return deepest*0.72 + 2
}

func (p *plot) bars() {
	n := len(p.f.Bars)
	if n == 0 {
		return
	}
	groups := 0
	for i := 1; i < n; i++ {
		if p.f.Bars[i].Group != p.f.Bars[i-1].Group {
			groups++
		}
	}
	pitch := math.Min((p.right-p.left-14)/(float64(n)+groupGap*float64(groups)), 64)
	width := pitch * barFilled
	x := p.left + 8
	base := p.y.px(math.Max(p.y.from, math.Min(0, p.y.to)))
	for i := range p.f.Bars {
		b := &p.f.Bars[i]
		if i > 0 && b.Group != p.f.Bars[i-1].Group {
			x += groupGap * pitch
		}
		p.bar(b, x+(pitch-width)/2, width, base)
		p.name(b, x+pitch/2)
		x += pitch
	}
}

func (p *plot) bar(b *Bar, x, width, base float64) {
	p.Titled(b.Text)
	if finite(b.Value) {
		y := p.y.px(b.Value)
		top, height := math.Min(y, base), math.Abs(base-y)
		fill := "rest"
		if b.Active {
			fill = "asked"
		}
		if finite(b.Asked) && b.Asked < b.Value {
			split := p.y.px(math.Max(b.Asked, 0))
			p.Rect(x, split, width, base-split, ink.Class(fill))
			p.Rect(x, top, width, split-top, ink.Class("rest"))
			p.Rect(x, top, width, split-top, ink.Attr("fill", "url(#"+p.prefix+"hatch)"))
		} else {
			p.Rect(x, top, width, height, ink.Class(fill))
		}
		p.Rect(x, top, width, height, ink.Class("outline"))
		p.drawn = append(p.drawn, box{x0: x, y0: top, x1: x + width, y1: top + height})
		if b.Level != Neutral {
			at := top - 5
			if b.HasBand {
				at = math.Min(at, p.y.px(b.High)-5) // over the band, not behind it
			}
			p.text(x+width/2, at, "middle", "limit "+b.Level.class(), "!")
			p.drawn = append(p.drawn, box{x0: x + width/2 - 3, y0: at - 10, x1: x + width/2 + 3, y1: at})
		}
	}
	if finite(b.Target) {
		d := fmt.Sprintf("M%s %sH%s", ink.Number(x-4), ink.Number(p.y.px(b.Target)), ink.Number(x+width+4))
		p.Path(d, ink.Class("target-halo"))
		p.Path(d, ink.Class("target"))
		y := p.y.px(b.Target)
		p.drawn = append(p.drawn, box{x0: x - 4, y0: y - 2, x1: x + width + 4, y1: y + 2})
	}
	if b.HasBand {
		low, high := p.y.px(b.Low), p.y.px(b.High)
		d := bandPath(x+width/2, low, high)
		p.Path(d, ink.Class("span-halo"))
		p.Path(d, ink.Class("span"))
		p.drawn = append(p.drawn, box{x0: x + width/2 - 3, y0: high, x1: x + width/2 + 3, y1: low})
	}
	p.Gend()
}

// bandPath is an upright line between two heights, with ends.
func bandPath(x, low, high float64) string {
	return fmt.Sprintf("M%s %sh6M%s %sV%sM%s %sh6", ink.Number(x-3), ink.Number(low), ink.Number(x), ink.Number(low), ink.Number(high), ink.Number(x-3), ink.Number(high))
}

func (p *plot) name(b *Bar, x float64) {
	class := "faint"
	if b.Active {
		class = "b"
	}
	turn := "translate(" + ink.Number(x+4) + " " + ink.Number(p.bottom+12) + ") rotate(-45)"
	p.Words(0, 0, ink.Cut(b.Name, nameSize, b.Active, nameMost), ink.Attr("transform", turn), ink.Class(class),
		ink.Attr("text-anchor", "end"), ink.Attr("style", "font-size:"+ink.Number(nameSize)+"px"))
}

// keyRows is how many rows the key takes.
func (p *plot) keyRows() int {
	if len(p.f.Key) == 0 {
		return 0
	}
	rows, x := 1, 0.0
	for _, k := range p.f.Key {
		w := keyWidth(k)
		if x > 0 && x+w > p.width-40 {
			rows, x = rows+1, 0
		}
		x += w
	}
	return rows
}

func keyWidth(k Key) float64 { return 34 + ink.Width(k.Text, tickSize, false) + 16 }

func (p *plot) key() {
	x, y := p.left, p.height-8-keyPitch*float64(p.keyRows()-1)
	for _, k := range p.f.Key {
		w := keyWidth(k)
		if x > p.left && x-p.left+w > p.width-40 {
			x, y = p.left, y+keyPitch
		}
		switch k.Fill {
		case "":
			p.Path(fmt.Sprintf("M%s %sh28", ink.Number(x), ink.Number(y-4)), ink.Class(k.Style.class()))
		case "target":
			p.Path(fmt.Sprintf("M%s %sh28", ink.Number(x), ink.Number(y-4)), ink.Class("target"))
		case "mark":
			p.Circle(x+14, y-4, 4, ink.Class("mark"))
		case "span":
			p.Path(bandPath(x+14, y+1, y-11), ink.Class("span"))
		case "quiet":
			p.Rect(x+4, y-11, 20, 12, ink.Class("band neutral"))
			p.Path(fmt.Sprintf("M%s %sh20", ink.Number(x+4), ink.Number(y-11)), ink.Class("rule neutral"))
		case "point":
			p.Circle(x+14, y-4, 6, ink.Class("mark on"))
		case "surplus":
			p.Rect(x+4, y-11, 20, 12, ink.Class("rest"))
			p.Rect(x+4, y-11, 20, 12, ink.Attr("fill", "url(#"+p.prefix+"hatch)"))
			p.Rect(x+4, y-11, 20, 12, ink.Class("outline"))
		default:
			p.Rect(x+4, y-11, 20, 12, ink.Class(k.Fill))
			p.Rect(x+4, y-11, 20, 12, ink.Class("outline"))
		}
		p.text(x+34, y, "start", "tick", k.Text)
		x += w
	}
}
