// Package schematic draws one call state: return, equipment, supply and zones, with ducts as ribbons whose width follows the
// airflow, whose colour follows a chosen quantity, and which are parted lengthwise into the air that somebody asked for and
// the surplus.
//
// The way is Outcome → Scene → SVG. The layout comes from the graph alone, so that all call states and all alternatives of one
// topology stand in the same places; the scene adds widths, colours and numbers; the writer turns it into SVG.
//
// The package knows places, shapes and words on paper. It must not know how air behaves, what a limit is, or what a job file
// looks like, and it opens nothing.
package schematic

import (
	"errors"
	"fmt"
	"io"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/ink"
	"spillway/render/palette"
	"spillway/solver/state"
)

// Quantity is what the colour of the ducts shows.
type Quantity int

// Quantities for colour.
const (
	Velocity    Quantity = iota // of the air in the duct
	Static                      // magnitude of the static pressure, mean of both ends
	Temperature                 // of the air
)

const classes = palette.Classes

// Theme says for what ground a picture is made.
type Theme = ink.Theme

// Themes.
const (
	Auto  = ink.Auto  // light, dark where the reader prefers it, grey in print
	Light = ink.Light // light only
	Dark  = ink.Dark  // dark only
	Print = ink.Print // grey only
)

// Options say how a picture is drawn. The zero value is a good picture.
type Options struct {
	Units    quantity.System
	Sentence string   // one plain sentence on where the surplus goes, under the title
	Title    string   // instead of the one made from the call state
	Quantity Quantity // that the colour shows
	Theme    Theme
	// Width is the width on the page, px; 0 keeps the natural size. The picture scales, its text too.
	Width float64
	// Prefix comes before every id, so that several pictures can stand in one page.
	Prefix string
	// Bare is for a page that says title, sentence and figures itself and carries StyleSheet: the picture leaves them out.
	Bare bool
	// Before makes it a difference picture: what moves more and what moves less than in this outcome, of any alternative. BeforeName is
	// what it is called.
	Before     *state.Outcome
	BeforeName string
}

// ErrNoGraph is returned for an outcome that does not say what it is an outcome of.
var ErrNoGraph = errors.New("schematic: the outcome has no graph")

// Draw writes the picture of an outcome as SVG. The same outcome and options give the same bytes. It returns ErrNoGraph, an
// error when the outcome and its graph do not fit together, or the writer's error.
func Draw(w io.Writer, o *state.Outcome, opt Options) error {
	if o == nil || o.Graph == nil {
		return ErrNoGraph
	}
	return Lay(o.Graph).Draw(w, o, opt)
}

// Plan is the places of everything in the pictures of one graph. It may be used for many outcomes of that graph, by several
// goroutines at once.
type Plan struct{ l *layout }

// Lay lays a graph out.
func Lay(g *network.Graph) *Plan { return &Plan{plan(g)} }

// sameParts tells whether two graphs have the same parts in the same places: one is the other, or its copy with settings changed, so that one
// layout serves both.
func sameParts(a, b *network.Graph) bool {
	if a == b {
		return true
	}
	if len(a.Elements) != len(b.Elements) || !sameSlice(a.Nodes, b.Nodes) || !sameSlice(a.Registers, b.Registers) || !sameSlice(a.Job.Zones, b.Job.Zones) {
		return false
	}
	for i := range a.Elements {
		x, y := &a.Elements[i], &b.Elements[i]
		if x.Kind != y.Kind || x.From != y.From || x.To != y.To || x.Line != y.Line {
			return false
		}
	}
	return true
}

// sameSlice tells whether two slices are one.
func sameSlice[T any](a, b []T) bool { return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0]) }

// Draw writes the picture of an outcome of the plan's graph, or of a copy of it with settings changed; see the function Draw.
func (p *Plan) Draw(w io.Writer, o *state.Outcome, opt Options) error {
	sc, err := p.Scene(o, opt)
	if err != nil {
		return err
	}
	return write(w, sc, opt)
}

// Scene returns the picture of an outcome before it is written.
func (p *Plan) Scene(o *state.Outcome, opt Options) (*Scene, error) {
	if o == nil || o.Graph == nil {
		return nil, ErrNoGraph
	}
	if !sameParts(o.Graph, p.l.f.g) {
		return nil, errors.New("schematic: the outcome belongs to another graph than the plan")
	}
	if len(o.Elements) != len(o.Graph.Elements) {
		return nil, fmt.Errorf("schematic: the outcome has %d elements, its graph %d", len(o.Elements), len(o.Graph.Elements))
	}
	return compose(p.l, o, opt), nil
}

// step is the width of one class of the colour scale in the system's unit, and where the scale begins.
func (q Quantity) step(sys quantity.System) (first, step, toSI, offset float64) {
	switch {
	case q == Static && sys == quantity.SI:
		return 0, 25, 1, 0
	case q == Static:
		return 0, 0.1, quantity.InchWater, 0
	case q == Temperature && sys == quantity.SI:
		return 10, 5, 1, 0
	case q == Temperature:
		return 50, 10, quantity.KindTemperature.Factor(sys), quantity.KindTemperature.Offset(sys)
	case sys == quantity.SI:
		return 0, 0.5, 1, 0
	}
	return 0, 100, quantity.FPM, 0
}

// class is the step of the scale that a value (SI) falls into, −1 for a number that does not apply.
func (q Quantity) class(v float64, sys quantity.System) int {
	if !finite(v) {
		return -1
	}
	first, step, toSI, offset := q.step(sys)
	n := ((v-offset)/toSI - first) / step
	return int(min(max(n, 0), classes-1))
}

// steps are the lower bounds of the classes, and what they are.
func (q Quantity) steps(sys quantity.System) ([classes]string, string) {
	first, step, _, _ := q.step(sys)
	decimals := 0
	if step < 1 {
		decimals = 1
	}
	var out [classes]string
	for i := range out {
		out[i] = fixed(first+step*float64(i), decimals)
	}
	w := writer{sys: sys}
	switch q {
	case Static:
		return out, "static pressure, " + w.pressureUnit()
	case Temperature:
		return out, "temperature, " + quantity.KindTemperature.Label(sys)
	}
	return out, "velocity, " + w.speedUnit()
}
