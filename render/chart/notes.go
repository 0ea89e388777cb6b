package chart

import (
	"fmt"

	"spillway/render/ink"
)

// noteLane is the height of one line of notes.
const noteLane = 13.0

// notes writes the names of places below the axis, in as many lanes as keep them apart, each with a rule up through the chart.
func (p *plot) notes() {
	lanes, _ := p.noteLanes()
	for i, n := range p.f.Notes {
		if lanes[i].row < 0 {
			continue
		}
		x := p.x.px(n.X)
		y := p.bottom + p.noteTop() + noteLane*float64(lanes[i].row)
		p.Path(fmt.Sprintf("M%s %sV%s", ink.Number(x), ink.Number(p.top), ink.Number(y)), ink.Class("note"))
		p.text(lanes[i].x, y+10, lanes[i].anchor, "faint small", lanes[i].text)
	}
}

// noteTop is how far below the axis the notes begin: under its numbers where it has any.
func (p *plot) noteTop() float64 {
	if p.f.X.Plain {
		return 4
	}
	return 18
}

type lane struct {
	row    int // −1: a place that is none
	x      float64
	anchor string
	text   string
}

// noteLanes sorts the notes into lanes and tells how many there are.
func (p *plot) noteLanes() (lanes []lane, rows int) {
	var ends []float64
	lanes = make([]lane, len(p.f.Notes))
	for i, n := range p.f.Notes {
		if !finite(n.X) {
			lanes[i].row = -1
			continue
		}
		l := lane{x: p.x.px(n.X), anchor: "middle", text: ink.Cut(n.Text, tickSize, false, 120)}
		half := ink.Width(l.text, tickSize, false) / 2
		from, to := l.x-half, l.x+half
		switch {
		case from < p.left:
			from, to, l.x, l.anchor = p.left, p.left+2*half, p.left, "start"
		case to > p.right:
			from, to, l.x, l.anchor = p.right-2*half, p.right, p.right, "end"
		}
		for l.row < len(ends) && ends[l.row] > from-8 {
			l.row++
		}
		if l.row == len(ends) {
			ends = append(ends, 0)
		}
		ends[l.row] = to
		lanes[i] = l
	}
	return lanes, len(ends)
}
