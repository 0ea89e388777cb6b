package schematic

import "math"

// point is a place on the paper, px, y downwards.
type point struct{ X, Y float64 }

// polyline is a path of horizontal and vertical pieces.
type polyline []point

func (p polyline) length() float64 {
	sum := 0.0
	for i := 1; i < len(p); i++ {
		sum += dist(p[i-1], p[i])
	}
	return sum
}

func dist(a, b point) float64 { return math.Abs(a.X-b.X) + math.Abs(a.Y-b.Y) }

// tidy drops points that do not move the path.
func (p polyline) tidy() polyline {
	out := polyline{}
	for i, q := range p {
		if i > 0 && dist(out[len(out)-1], q) < 1e-9 {
			continue
		}
		out = append(out, q)
	}
	return out
}

// at returns the point that far along the path, and the unit direction there.
func (p polyline) at(s float64) (point, point) {
	for i := 1; i < len(p); i++ {
		d := dist(p[i-1], p[i])
		if s <= d || i == len(p)-1 {
			t := 0.0
			if d > 0 {
				t = s / d
			}
			a, b := p[i-1], p[i]
			return point{a.X + (b.X-a.X)*t, a.Y + (b.Y-a.Y)*t}, unit(a, b)
		}
		s -= d
	}
	if len(p) == 1 {
		return p[0], point{1, 0}
	}
	return point{}, point{1, 0}
}

func unit(a, b point) point {
	dx, dy := b.X-a.X, b.Y-a.Y
	if math.Abs(dx) >= math.Abs(dy) {
		return point{math.Copysign(1, dx), 0}
	}
	return point{0, math.Copysign(1, dy)}
}

// between returns the part of the path from s0 to s1 along it.
func (p polyline) between(s0, s1 float64) polyline {
	if len(p) < 2 {
		return p
	}
	first, _ := p.at(s0)
	out := polyline{first}
	s := 0.0
	for i := 1; i < len(p); i++ {
		s += dist(p[i-1], p[i])
		if s > s0+1e-9 && s < s1-1e-9 {
			out = append(out, p[i])
		}
	}
	last, _ := p.at(s1)
	return append(out, last).tidy()
}

// offset returns the path moved sideways, to the right of its direction for a positive distance, with mitred corners.
func (p polyline) offset(d float64) polyline {
	out := make(polyline, len(p))
	for i, q := range p {
		var n point
		switch {
		case len(p) == 1:
		case i == 0:
			n = right(unit(p[0], p[1]))
		case i == len(p)-1:
			n = right(unit(p[i-1], q))
		default:
			a, b := right(unit(p[i-1], q)), right(unit(q, p[i+1]))
			n = a
			if a != b {
				n = point{a.X + b.X, a.Y + b.Y}
			}
		}
		out[i] = point{q.X + n.X*d, q.Y + n.Y*d}
	}
	return out
}

// right is the direction to the right of d, on paper with y downwards.
func right(d point) point { return point{-d.Y, d.X} }

// Ribbon is one element's air on paper: a band along Path whose width is the airflow, parted lengthwise into the asked-for
// strand and the surplus strand.
type Ribbon struct {
	Element  int // −1: the equipment's own, not a duct
	Path     polyline
	Width    float64 // px
	Surplus  float64 // px of Width
	OnRight  bool    // the surplus strand is on the right of the path's direction
	Reversed bool    // the air goes against the path's direction
	Still    bool    // no air moves
	Class    int     // step of the colour scale, −1 none
	Change   bool    // the scale is that of changes
	Name     string  // for people
	Text     string  // what a pointer or a screen reader is told
}

// split is the offset of the line between the strands, and of the two edges.
func (r *Ribbon) split() (left, middle, right float64) {
	left, right = -r.Width/2, r.Width/2
	if r.OnRight {
		return left, right - r.Surplus, right
	}
	return left, left + r.Surplus, right
}

// strand returns the outline between two offsets.
func (r *Ribbon) strand(from, to float64) polyline {
	a, b := r.Path.offset(from), r.Path.offset(to)
	out := make(polyline, 0, 2*len(a))
	out = append(out, a...)
	for i := len(b) - 1; i >= 0; i-- {
		out = append(out, b[i])
	}
	return out
}

// box is the smallest upright rectangle round each straight piece, for checking that labels stay clear.
func (r *Ribbon) boxes() []Box {
	var out []Box
	h := r.Width / 2
	for i := 1; i < len(r.Path); i++ {
		a, b := r.Path[i-1], r.Path[i]
		out = append(out, Box{math.Min(a.X, b.X) - h, math.Min(a.Y, b.Y) - h, math.Max(a.X, b.X) + h, math.Max(a.Y, b.Y) + h}.clip(a, b, h, i == 1, i == len(r.Path)-1))
	}
	return out
}

// Box is an upright rectangle.
type Box struct{ X0, Y0, X1, Y1 float64 }

// clip takes the half width off an end that is cut square.
func (b Box) clip(from, to point, h float64, first, last bool) Box {
	d := unit(from, to)
	trim := func(x, y float64) {
		switch {
		case x > 0:
			b.X1 -= h
		case x < 0:
			b.X0 += h
		case y > 0:
			b.Y1 -= h
		default:
			b.Y0 += h
		}
	}
	if last {
		trim(d.X, d.Y)
	}
	if first {
		trim(-d.X, -d.Y)
	}
	return b
}

// overlaps tells whether two boxes share more than a hair.
func (b Box) overlaps(c Box) bool {
	const hair = 0.25
	return b.X0 < c.X1-hair && c.X0 < b.X1-hair && b.Y0 < c.Y1-hair && c.Y0 < b.Y1-hair
}
