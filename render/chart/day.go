package chart

import (
	"fmt"
	"io"
	"math"

	"spillway/network/quantity"
	"spillway/render/ink"
)

// Day is a day of the house on one time axis: each zone's air against its set point, who calls, the machine
// with its stops, and the airflow by what becomes of it. All samples are evenly spaced over the day, in SI.
type Day struct {
	Title     string // the finding
	Under     string // what is shown: "A day of design-heating, simulated"
	Units     quantity.System
	Zones     []DayZone
	Burning   []bool    // burner or compressor, by sample
	Asked     []float64 // m³/s by sample
	Surplus   []float64 // m³/s by sample
	Trips     []float64 // h, openings of a limit or a cut-out
	Tolerance float64   // K either side of a set point that is shaded
}

// DayZone is one zone of a Day.
type DayZone struct {
	Name     string
	Air, Set []float64 // °C
	Calling  []bool
}

// Layout of a Day, px.
const (
	dayWidth  = 960
	dayLeft   = 150
	dayRight  = 936
	dayTop    = 72
	dayZone   = 104 // a zone's panel
	dayLane   = 22
	dayGap    = 16
	dayFlow   = 110
	dayBottom = 40
)

// dayPlot is a Day on its way to paper.
type dayPlot struct {
	*ink.Canvas
	d      *Day
	prefix string
}

// WriteDay writes a day as SVG. The same day gives the same bytes.
func WriteDay(w io.Writer, d *Day, opt Options) error {
	out := ink.NewSticky(w)
	p := &dayPlot{Canvas: ink.NewCanvas(out), d: d}
	if opt.Prefix != "" {
		p.prefix = ink.Slug(opt.Prefix) + "-"
	}
	lanes := float64(len(d.Zones) + 1)
	upper := dayTop + float64(len(d.Zones))*(dayZone+dayGap) + lanes*dayLane + dayGap
	height := upper + dayFlow + dayBottom
	p.Open(ink.Root{Width: dayWidth, Height: height, ViewWidth: dayWidth, ViewHeight: height, TitleID: p.prefix + "title", Title: d.Title,
		DescID: p.prefix + "desc", Desc: d.desc()}, ink.Class("sw-chart"), ink.Attr("role", "img"))
	p.Def()
	if !opt.Bare {
		p.Sheet(StyleSheet(opt.Theme))
	}
	p.Hatch(p.prefix+"hatch", 7)
	p.DefEnd()
	p.Rect(0, 0, dayWidth, height, ink.Class("paper"))
	p.Words(24, 28, ink.Cut(d.Title, 14, true, dayWidth-48), ink.Class("title"))
	p.Words(24, 48, ink.Cut(d.Under, 12, false, dayWidth-48), ink.Class("faint"))
	for h := 0; h <= 24; h += 3 {
		x := p.x(float64(h))
		p.Path(fmt.Sprintf("M%s %sV%s", ink.Number(x), ink.Number(dayTop), ink.Number(upper+dayFlow)), ink.Class("grid"))
		p.Words(x, upper+dayFlow+18, fmt.Sprintf("%d h", h), ink.Class("tick"), ink.Attr("text-anchor", "middle"))
	}
	y := float64(dayTop)
	for i := range d.Zones {
		p.zone(&d.Zones[i], y)
		y += dayZone + dayGap
	}
	for i := range d.Zones {
		z := &d.Zones[i]
		p.lane(z.Name+" calls", y, z.Calling, "asked")
		y += dayLane
	}
	p.lane("machine runs", y, d.Burning, "rest")
	for _, t := range d.Trips {
		x := p.x(t)
		p.Titled("stopped at "+clockText(t), ink.Class("trip"))
		p.Path(fmt.Sprintf("M%s %sV%s", ink.Number(x), ink.Number(dayTop), ink.Number(upper-dayGap)), ink.Class("rule fault"))
		p.Gend()
	}
	p.flow(upper)
	p.End()
	return out.Flush()
}

// desc says the day in a sentence.
func (d *Day) desc() string {
	text := fmt.Sprintf("%s %d zones against their set points, their calls, the machine, and its airflow.", d.Under, len(d.Zones))
	if n := len(d.Trips); n > 0 {
		text += fmt.Sprintf(" The machine is stopped %d times, first at %s.", n, clockText(d.Trips[0]))
	}
	return text
}

func clockText(hour float64) string {
	minute := int(math.Round(hour * 60))
	return fmt.Sprintf("%d:%02d", minute/60, minute%60)
}

// x is where an hour stands.
func (p *dayPlot) x(hour float64) float64 { return dayLeft + (dayRight-dayLeft)*hour/24 }

// at is where a sample of n stands.
func (p *dayPlot) at(k, n int) float64 { return p.x(24 * float64(k) / float64(n)) }

// zone draws one zone's air against its set point.
func (p *dayPlot) zone(z *DayZone, top float64) {
	sys := p.d.Units
	in := func(c float64) float64 { return quantity.KindTemperature.In(c, sys) }
	low, high := math.Inf(1), math.Inf(-1)
	for k := range z.Air {
		low = math.Min(low, math.Min(in(z.Air[k]), in(z.Set[k]-p.d.Tolerance)))
		high = math.Max(high, math.Max(in(z.Air[k]), in(z.Set[k]+p.d.Tolerance)))
	}
	s := newScale(low, high, 4)
	s.low, s.high = top+dayZone, top
	p.Words(24, top+16, ink.Cut(z.Name, 14, true, dayLeft-60), ink.Class("title"))
	p.Words(24, top+34, quantity.KindTemperature.Label(sys)+", and set point", ink.Class("tick"))
	for _, t := range s.ticks() {
		y := s.px(t)
		p.Path(fmt.Sprintf("M%s %sH%s", ink.Number(dayLeft), ink.Number(y), ink.Number(dayRight)), ink.Class("grid"))
		p.Words(dayLeft-6, y+4, s.text(t), ink.Class("tick"), ink.Attr("text-anchor", "end"))
	}
	n := len(z.Air)
	for k := 0; k < n; { // set points are steps: one rectangle for each
		end := k
		for end < n && z.Set[end] == z.Set[k] {
			end++
		}
		y0, y1 := s.px(in(z.Set[k]+p.d.Tolerance)), s.px(in(z.Set[k]-p.d.Tolerance))
		x0, x1 := p.at(k, n), p.at(end, n)
		p.Rect(x0, y0, x1-x0, y1-y0, ink.Class("band neutral"))
		p.Path(fmt.Sprintf("M%s %sH%s", ink.Number(x0), ink.Number(s.px(in(z.Set[k]))), ink.Number(x1)), ink.Class("dotted"))
		k = end
	}
	path := make([]byte, 0, 16*n)
	for k := range z.Air {
		letter := "L"
		if k == 0 {
			letter = "M"
		}
		path = fmt.Appendf(path, "%s%s %s", letter, ink.Number(p.at(k, n)), ink.Number(s.px(in(z.Air[k]))))
	}
	p.Path(string(path), ink.Class("strong"), ink.Attr("style", "stroke-width:1.4px"))
}

// lane draws when something is on.
func (p *dayPlot) lane(name string, top float64, on []bool, class string) {
	p.Words(24, top+13, ink.Cut(name, 12, false, dayLeft-34), ink.Class("small"))
	p.Path(fmt.Sprintf("M%s %sH%s", ink.Number(dayLeft), ink.Number(top+dayLane-4), ink.Number(dayRight)), ink.Class("grid"))
	n := len(on)
	for k := 0; k < n; k++ {
		if !on[k] {
			continue
		}
		end := k
		for end < n && on[end] {
			end++
		}
		p.Rect(p.at(k, n), top+3, p.at(end, n)-p.at(k, n), dayLane-8, ink.Class(class))
		k = end
	}
}

// flowBlocks is in how many equal parts of the day the airflow is averaged: half an hour each.
const flowBlocks = 48

// flow draws the mean airflow of every half hour, what was asked for below what was not.
func (p *dayPlot) flow(top float64) {
	d := p.d
	in := func(q float64) float64 { return quantity.KindAirflow.In(q, d.Units) }
	asked, surplus := blocks(d.Asked), blocks(d.Surplus)
	most := 0.0
	for k := range asked {
		most = math.Max(most, in(asked[k]+surplus[k]))
	}
	s := newScale(0, math.Max(most, 1), 3)
	s.low, s.high = top+dayFlow, top
	p.Words(24, top+24, "where the air goes", ink.Class("small"))
	p.Words(24, top+40, quantity.KindAirflow.Label(d.Units)+", mean of 30 min", ink.Class("tick"))
	p.Rect(24, top+50, 14, 10, ink.Class("asked"))
	p.Words(44, top+59, "asked for", ink.Class("tick"))
	p.Rect(24, top+68, 14, 10, ink.Attr("fill", "url(#"+p.prefix+"hatch)"))
	p.Words(44, top+77, "surplus", ink.Class("tick"))
	for _, t := range s.ticks() {
		y := s.px(t)
		p.Path(fmt.Sprintf("M%s %sH%s", ink.Number(dayLeft), ink.Number(y), ink.Number(dayRight)), ink.Class("grid"))
		p.Words(dayLeft-6, y+4, s.text(t), ink.Class("tick"), ink.Attr("text-anchor", "end"))
	}
	wide := (dayRight - dayLeft) / float64(flowBlocks)
	for k := range asked {
		x, y0, y1 := dayLeft+wide*float64(k), s.px(in(asked[k])), s.px(in(asked[k]+surplus[k]))
		p.Rect(x, y0, wide-1, s.low-y0, ink.Class("asked"))
		p.Rect(x, y1, wide-1, y0-y1, ink.Attr("fill", "url(#"+p.prefix+"hatch)"))
	}
}

// blocks are the means of equal parts.
func blocks(all []float64) []float64 {
	out := make([]float64, flowBlocks)
	n := len(all)
	for k := range out {
		from, to := k*n/flowBlocks, (k+1)*n/flowBlocks
		for _, x := range all[from:to] {
			out[k] += x / float64(to-from)
		}
	}
	return out
}
