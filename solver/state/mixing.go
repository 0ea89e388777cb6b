package state

import (
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/network/section"
	"spillway/solver/heat"
)

// way is what lies between the place where a bypass joins the return side and the return plenum.
type way struct {
	turns, diameters float64
	next             *network.Line // the duct that it joins, or that leads on from its box; nil at the plenum
}

// wayOf follows the return lines from where a bypass joins them. Elbows count by their angle, a box as one turn.
func wayOf(job *network.Job, bypass *network.Line) way {
	w := way{}
	to, at := bypass.To, bypass.At
	for range len(job.Return) + len(job.Boxes) + 1 { // a ring is refused by the reader
		l := named(job.Return, to)
		if l == nil && to != network.ReturnPlenum {
			if l = leading(job.Return, to); l == nil {
				return w
			}
			w.turns, at = w.turns+1, nil
		}
		if l == nil {
			return w
		}
		if w.next == nil {
			w.next = l
		}
		length := float64(l.Length)
		if at != nil {
			length = max(length-float64(*at), 0)
		}
		if d := diameter(l.Size.Section); d > 0 {
			w.diameters += length / d
		}
		w.turns += turnsOf(l)
		to, at = l.To, l.At
	}
	return w
}

func named(lines []network.Line, name string) *network.Line {
	for i := range lines {
		if lines[i].Name == name {
			return &lines[i]
		}
	}
	return nil
}

// leading is the line that leaves a box.
func leading(lines []network.Line, box string) *network.Line {
	for i := range lines {
		if lines[i].From == box {
			return &lines[i]
		}
	}
	return nil
}

func diameter(s section.Section) float64 {
	if s.Check() != nil {
		return 0
	}
	return s.HydraulicDiameter()
}

// turnsOf counts the elbows of a line in right angles.
func turnsOf(l *network.Line) float64 {
	turns := 0.0
	for _, use := range l.Fittings {
		if use.Name == "" {
			continue
		}
		if f, ok := catalog.LookupFitting(use.Name); ok && f.Kind >= catalog.SmoothElbow && f.Kind <= catalog.FlexElbow {
			turns += float64(max(use.Count, 1)) * f.Angle / 90
		}
	}
	return turns
}

// coilAfterBlower reports whether the air passes the blower before the part that a mode's machine works in. The limit of a furnace always stands after
// it; a coil does where it is a part of its own, on the furnace's outlet, and is taken to stand before it inside an air handler.
func coilAfterBlower(job *network.Job, mode network.Mode) bool {
	if mode == network.Heating {
		return true
	}
	eq := &job.Equipment
	return eq.Coil != nil && !slices.Contains(eq.Included, "coil") && (job.Blower == nil || !slices.Contains(job.Blower.Includes, "coil"))
}

// mixingOf is the mixing figure of a bypass in a mode, with its band: the job's, else by where it joins.
func mixingOf(job *network.Job, l *network.Line, mode network.Mode, velocityRatio float64) heat.Mixing {
	if l.Unmixed != nil {
		u := float64(*l.Unmixed)
		return heat.Mixing{Usual: u, Low: u, High: u}
	}
	w := wayOf(job, l)
	m := heat.UnmixedBefore(w.turns, w.diameters, velocityRatio)
	if coilAfterBlower(job, mode) {
		m = m.PastBlower()
	}
	return m
}

// MixingBand is between which shares the air of a bypass may reach the equipment unmixed, over the modes of a job and jets weak and strong;
// ok is false where the job gives the figure.
func MixingBand(job *network.Job, l *network.Line) (low, high float64, ok bool) {
	if l.Unmixed != nil {
		return 0, 0, false
	}
	low = 1
	for _, mode := range []network.Mode{network.Cooling, network.Heating} {
		if machine(job, mode) == nil {
			continue
		}
		for _, ratio := range []float64{0, math.Inf(1)} {
			m := mixingOf(job, l, mode, ratio)
			low, high = min(low, m.Low), max(high, m.High)
		}
	}
	return min(low, high), high, true
}

// mixing is the mixing figure in force: that of the bypass which carries most. All zero where none carries air.
func (c *calculation) mixing() (figure heat.Mixing) {
	g, plan := c.solver.graph, c.solver.plan
	most := 0.0
	for i := range g.Elements {
		e := &g.Elements[i]
		spec, ok := e.Spec.(*network.DuctSpec)
		if !ok || e.Side != network.BypassSide || !spec.First {
			continue
		}
		q := c.solution.Flow[plan.edgeOf[i]] * plan.signOf[i]
		if q <= most {
			continue
		}
		most = q
		l := lineOf(g, i)
		figure = mixingOf(g.Job, l, c.set.state.Mode, c.velocityRatio(l, q))
	}
	return figure
}

// velocityRatio is that of a bypass's air over the return air which it joins, as far as mass flows tell; +Inf where it joins the plenum
// or meets no return air.
func (c *calculation) velocityRatio(bypass *network.Line, q float64) float64 {
	g, plan := c.solver.graph, c.solver.plan
	next := wayOf(g.Job, bypass).next
	if next == nil || bypass.Unmixed != nil {
		return math.Inf(1)
	}
	for i := len(g.Elements) - 1; i >= 0; i-- { // its last piece carries both
		if e := &g.Elements[i]; e.Kind == network.KindDuct && lineOf(g, i) == next {
			both := c.solution.Flow[plan.edgeOf[i]] * plan.signOf[i]
			own, theirs := bypass.Size.Section.Area(), next.Size.Section.Area()
			if both <= q || !(own > 0) {
				return math.Inf(1)
			}
			return q / own / ((both - q) / theirs)
		}
	}
	return math.Inf(1)
}

// percentBand writes a band of shares: "0 to 50 %".
func percentBand(low, high float64) string {
	return quantity.Fixed(100*low, 0) + " to " + quantity.Fixed(100*high, 0) + " %"
}

// mixing notes how well bypassed air is taken to mix, and in which order the parts stand.
func (a *assumed) mixing() {
	for i := range a.job.Bypass {
		l := &a.job.Bypass[i]
		if l.Unmixed != nil {
			continue
		}
		w := wayOf(a.job, l)
		var modes, places []string
		for _, mode := range []network.Mode{network.Cooling, network.Heating} {
			if machine(a.job, mode) == nil {
				continue
			}
			strong, weak := mixingOf(a.job, l, mode, math.Inf(1)), mixingOf(a.job, l, mode, 0)
			figure := quantity.Fixed(100*strong.Usual, 0) + " %"
			if w.next != nil && weak != strong {
				figure += " (a jet that is slow beside the return air " + quantity.Fixed(100*weak.Usual, 0) + " %)"
			}
			part := "the limit"
			if mode == network.Cooling {
				part = "the coil"
			}
			low, high := min(strong.Low, weak.Low), max(strong.High, weak.High)
			modes = append(modes, figure+" at "+part+", band "+percentBand(low, high))
			if coilAfterBlower(a.job, mode) {
				places = append(places, part+" after the blower")
			} else {
				places = append(places, part+" before the blower")
			}
		}
		if len(modes) == 0 {
			continue
		}
		joins := "into the return plenum"
		if w.next != nil {
			turns := strings.TrimSuffix(quantity.Fixed(w.turns, 1), ".0") + " turns"
			if w.turns == 1 {
				turns = "one turn"
			}
			joins = quantity.Fixed(w.diameters, 1) + " diameters and " + turns + " before the return plenum"
		}
		a.note(network.PathText("bypass", l.Name, "unmixed"), strings.Join(modes, "; "), joins+", filter, blower, furnace, coil in this order: "+strings.Join(places, ", ")+
			" (mixing boxes leave 35 to 88 % unmixed, published; what elbows, duct and blower leave of it is our choice)")
	}
}
