package schematic

import (
	"math"
	"strconv"

	"spillway/network/quantity"
	"spillway/render/ink"
	"spillway/render/palette"
	"spillway/solver/state"
)

// A difference picture shows an outcome against another one: another alternative, or the same one before a change. Widths are those of
// the outcome; the colour says how much more or less air runs than before, and so do the numbers, with their sign.

// before holds the other outcome's airflows by the names of the elements, for the two may be of different networks.
type before struct {
	name  string
	flows map[string]float64
	gone  []string // ducts that are no longer there
}

// newBefore gathers what an outcome is held against; nil without one.
func newBefore(o, other *state.Outcome, name string) *before {
	if other == nil || other.Graph == nil || len(other.Elements) != len(other.Graph.Elements) {
		return nil
	}
	b := &before{name: ink.Plain(name), flows: make(map[string]float64, len(other.Elements))}
	now := make(map[string]bool, len(o.Graph.Elements))
	for i := range o.Graph.Elements {
		now[o.Graph.Elements[i].Line] = true
	}
	told := map[string]bool{}
	for i := range other.Graph.Elements {
		e := &other.Graph.Elements[i]
		b.flows[e.Name] = other.Elements[i].Airflow
		if e.Line != "" && !now[e.Line] && !told[e.Line] {
			told[e.Line] = true
			b.gone = append(b.gone, ink.Plain(e.Line))
		}
	}
	return b
}

// change is how much more air moves in an element than before, m³/s: of magnitudes, so that it does not depend on which way the
// element is drawn. What was not there moved nothing.
func (a *artist) change(element int) float64 {
	e := a.element(element)
	if element < 0 || element >= len(a.g.Elements) {
		return math.NaN()
	}
	return math.Abs(e.Airflow) - math.Abs(a.before.flows[a.g.Elements[element].Name])
}

// changeBounds are the sizes of a change at which its colour changes, in the system's unit.
func changeBounds(sys quantity.System) [3]float64 {
	if sys == quantity.SI {
		return [3]float64{5, 25, 75}
	}
	return [3]float64{10, 50, 150}
}

// changeClass is the step of the scale of changes, 0 (much less) to palette.Changes−1 (much more).
func (w writer) changeClass(m3s float64) int {
	if !finite(m3s) {
		return -1
	}
	v, class := w.flowIn(m3s), palette.Changes/2
	for _, bound := range changeBounds(w.sys) {
		switch {
		case v >= bound:
			class++
		case v <= -bound:
			class--
		}
	}
	return class
}

// with adds the change to the text of an airflow.
func (a *artist) with(text string, element int) string {
	if a.before == nil {
		return text
	}
	d := a.change(element)
	if !finite(d) {
		return text
	}
	s := a.w.flowNumber(d)
	switch {
	case s == "0":
		return text + " (as before)"
	case d > 0:
		s = "+" + s
	}
	return text + " (" + s + ")"
}

// changeLegend draws the key of a difference picture's colours.
func (a *artist) changeLegend(lg *Legend, x, top float64) float64 {
	const step = 44.0
	lg.Title, lg.Prefix = "change in airflow, "+a.w.flowUnit(), "d"
	if a.before.name != "" {
		lg.Title += ", against " + a.before.name
	}
	a.sc.Labels = append(a.sc.Labels, Label{X: x, Y: top + 14, Anchor: "start", Text: ink.Cut(lg.Title, sizeCaption, true, step*palette.Changes+60), Size: sizeCaption, Bold: true})
	bounds := changeBounds(a.w.sys)
	for i := range palette.Changes {
		lg.Steps = append(lg.Steps, Box{x + step*float64(i), top + 22, x + step*float64(i+1), top + 34})
		if i == 0 {
			continue
		}
		bound := -bounds[max(0, palette.Changes/2-i)]
		if i > palette.Changes/2 {
			bound = bounds[i-palette.Changes/2-1]
		}
		text := fixed(bound, 0)
		if bound > 0 {
			text = "+" + text
		}
		a.sc.Labels = append(a.sc.Labels, Label{X: x + step*float64(i), Y: top + 49, Anchor: "middle", Text: text, Size: sizeCaption, Class: "faint"})
	}
	return step * palette.Changes
}

// changeRules are the style rules of the colours of changes.
func changeRules() string {
	s := ""
	for i := range palette.Changes {
		n := strconv.Itoa(i)
		s += ".d" + n + "{fill:@d" + n + "}\n"
	}
	return s
}
