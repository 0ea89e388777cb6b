package schematic

import (
	"math"

	"spillway/network"
	"spillway/network/quantity"
)

// handScale is the scale of positions that a job file gives to lines, px per metre: 20 px to the foot.
const handScale = 20 / quantity.Foot

// handMost is the farthest that a position reaches, px, so that a slip of the pen makes no picture of a mile.
const handMost = network.MostPosition * handScale

// place is where the job file wants the end of a line: u outwards from the face of the plenum, y down from the upper edge of
// the first band, px.
type place struct{ u, y float64 }

// byHand collects the positions of lines by their names.
func byHand(job *network.Job) map[string]place {
	if job == nil {
		return nil
	}
	var places map[string]place
	for _, lines := range [][]network.Line{job.Supply, job.Return, job.Bypass, job.Dump} {
		for i := range lines {
			at := lines[i].Position
			if len(at) != 2 {
				continue
			}
			p := place{float64(at[0]) * handScale, float64(at[1]) * handScale}
			if math.IsNaN(p.u) || math.IsNaN(p.y) {
				continue
			}
			if places == nil {
				places = map[string]place{}
			}
			places[lines[i].Name] = place{min(max(p.u, 0), handMost), min(max(p.y, 0), handMost)}
		}
	}
	return places
}

// wish is where the job file wants the end of a branch; ok is false without a wish, and for a piece of a line that goes on.
func (l *layout) wish(b *branch) (p place, ok bool) {
	if len(l.hand) == 0 || len(b.elements) == 0 {
		return place{}, false
	}
	g := l.f.g
	line := g.Elements[b.elements[len(b.elements)-1]].Line
	if p, ok = l.hand[line]; !ok || line == "" {
		return place{}, false
	}
	for _, c := range b.children {
		if len(c.elements) > 0 && g.Elements[c.elements[0]].Line == line {
			return place{}, false
		}
	}
	return p, true
}

// wishedU is the distance from the plenum at which something may stand that would stand at u: there, or farther out if the job
// file wants it so. Nothing is drawn nearer than the layout has room for.
func (l *layout) wishedU(b *branch, u float64) float64 {
	if p, ok := l.wish(b); ok {
		return max(u, p.u)
	}
	return u
}

// origin is the y from which positions count.
func (l *layout) origin() float64 {
	if len(l.bands) == 0 {
		return headerHeight
	}
	return l.bands[0].top
}

// wishedY is wishedU for heights: y, or farther down.
func (l *layout) wishedY(b *branch, y float64) float64 {
	if p, ok := l.wish(b); ok {
		return max(y, l.origin()+p.y)
	}
	return y
}
