package schematic

import "spillway/render/ink"

// Label is one line of text.
type Label struct {
	X, Y   float64 // of the baseline
	Anchor string  // "start", "middle", "end"
	Text   string
	Size   float64
	Bold   bool
	Class  string // "", "faint", "accent", "title"
}

// Box is the room the line takes, on the safe side.
func (l Label) Box() Box {
	w := ink.Width(l.Text, l.Size, l.Bold)
	x := l.X
	switch l.Anchor {
	case "middle":
		x -= w / 2
	case "end":
		x -= w
	}
	return Box{x, l.Y - 0.80*l.Size, x + w, l.Y + 0.22*l.Size}
}

// line is one line of a block.
type line struct {
	Text string
	Bold bool
}

// facing says on which side of its point a block stands.
type facing int

const (
	over facing = iota
	under
	toRight
	toLeft
)

// block is a few lines of text about one thing.
type block struct {
	At       point
	Side     facing
	Lines    []line
	Optional bool // left out rather than laid over something
	Small    bool
}

// lay turns a block into labels.
func (b block) lay() []Label {
	size := float64(sizeLabel)
	if b.Small {
		size = sizeCaption
	}
	step := size * leading
	anchor := "middle"
	y := b.At.Y
	switch n := float64(len(b.Lines)); b.Side {
	case over:
		y -= (n-1)*step + 0.22*size
	case under:
		y += 0.80 * size
	case toRight, toLeft:
		y += 0.36*size - (n-1)*step/2
		anchor = "start"
		if b.Side == toLeft {
			anchor = "end"
		}
	}
	out := make([]Label, 0, len(b.Lines))
	for i, l := range b.Lines {
		if l.Text == "" {
			continue
		}
		class := "faint"
		if l.Bold {
			class = ""
		}
		out = append(out, Label{X: b.At.X, Y: y + float64(i)*step, Anchor: anchor, Text: ink.Plain(l.Text), Size: size, Bold: l.Bold, Class: class})
	}
	return out
}

// say queues a block; settle decides where it stands.
func (a *artist) say(b block) { a.blocks = append(a.blocks, b) }

// settle places the queued blocks: where they were meant to stand if that is free, else a little aside; an optional one that
// finds no room is left out (its numbers are still in the text behind the part).
func (a *artist) settle() {
	taken := newGrid(a.sc.obstacles())
	for _, l := range a.sc.Labels {
		taken.add(l.Box())
	}
	for _, wanted := range []bool{false, true} { // what must be there first
		for _, b := range a.blocks {
			if b.Optional != wanted {
				continue
			}
			placed := false
			for _, c := range b.choices() {
				labels := c.lay()
				if !taken.free(labels) {
					continue
				}
				for _, l := range labels {
					taken.add(l.Box())
				}
				a.sc.Labels = append(a.sc.Labels, labels...)
				placed = true
				break
			}
			if !placed && !b.Optional {
				a.sc.Crowded = append(a.sc.Crowded, b.Lines[0].Text)
			}
		}
	}
}

// choices are the places where a block may stand, best first.
func (b block) choices() []block {
	out := []block{b}
	if b.Optional {
		return out
	}
	for _, d := range []float64{6, 14, 24, 36, 50} {
		c := b
		switch b.Side {
		case over:
			c.At.Y -= d
		case under:
			c.At.Y += d
		case toRight:
			c.At.X += d
		default:
			c.At.X -= d
		}
		out = append(out, c)
	}
	short := b
	short.Lines = b.Lines[:min(2, len(b.Lines))]
	return append(out, short)
}

// obstacles are the boxes that no label may cover.
func (s *Scene) obstacles() []Box {
	var out []Box
	for i := range s.Ribbons {
		out = append(out, s.Ribbons[i].boxes()...)
	}
	for _, d := range s.Dampers {
		out = append(out, Box{d.At.X - d.Radius, d.At.Y - d.Radius, d.At.X + d.Radius, d.At.Y + d.Radius})
	}
	for _, g := range s.Grilles {
		out = append(out, g.Box)
	}
	return append(out, s.Hubs...)
}

// grid finds overlaps among many boxes without comparing each with each.
type grid struct{ cells map[[2]int][]Box }

const cellSize = 64.0

func newGrid(boxes []Box) *grid {
	g := &grid{cells: map[[2]int][]Box{}}
	for _, b := range boxes {
		g.add(b)
	}
	return g
}

func (g *grid) span(b Box) (x0, y0, x1, y1 int) {
	return int(b.X0 / cellSize), int(b.Y0 / cellSize), int(b.X1 / cellSize), int(b.Y1 / cellSize)
}

func (g *grid) add(b Box) {
	x0, y0, x1, y1 := g.span(b)
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			k := [2]int{x, y}
			g.cells[k] = append(g.cells[k], b)
		}
	}
}

func (g *grid) free(labels []Label) bool {
	for _, l := range labels {
		b := l.Box()
		x0, y0, x1, y1 := g.span(b)
		for x := x0; x <= x1; x++ {
			for y := y0; y <= y1; y++ {
				for _, c := range g.cells[[2]int{x, y}] {
					if b.overlaps(c) {
						return false
					}
				}
			}
		}
	}
	return true
}
