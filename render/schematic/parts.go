package schematic

import (
	"math"
	"strings"

	"spillway/network"
	"spillway/render/ink"
	"spillway/solver/state"
)

// chain draws the elements of one branch along its path, pointing outwards: a ribbon for each duct, a circle for each damper,
// arrowheads, and the label of its first straight part.
func (a *artist) chain(b *branch, path polyline, supply bool) {
	q, surplus := a.outward(b)
	stops := a.stops(b, path)
	length := path.length()

	// Ducts share the stretches between dampers; a stretch without a duct of its own takes the next one's colour.
	stretches := make([][]int, len(stops)+1)
	k := 0
	for _, e := range b.elements {
		switch a.g.Elements[e].Kind {
		case network.KindDuct:
			stretches[k] = append(stretches[k], e)
		case network.KindRegister, network.KindGrille, network.KindLeak, network.KindOpening:
		default:
			if k < len(stops) {
				k++
			}
		}
	}
	from := 0.0
	for i := range stretches {
		to := length
		if i < len(stops) {
			to = stops[i]
		}
		a.stretch(b, stretches, i, path.between(from, to), q, surplus, supply)
		from = to
	}
	a.blades(b, path, stops)
	a.segment(b, path, q, supply)
}

// stops are the distances along the path at which a branch's dampers stand.
func (a *artist) stops(b *branch, path polyline) []float64 {
	length := path.length()
	stops := make([]float64, 0, len(b.dampers))
	for i := range b.dampers {
		s := 0.0
		switch {
		case b.end == link:
			// On the long way under the equipment.
			longest, before := longestPiece(path)
			n := float64(len(b.dampers))
			s = before + longest/2 + (float64(i)-(n-1)/2)*gatePitch
		case b.upright:
			s = length - 22 - 24*float64(len(b.dampers)-1-i)
		case i < len(b.gates):
			s = length - math.Abs(path[len(path)-1].X-a.x(b.gates[i], a.l.sideOf(b) == a.l.f.supply))
		default:
			s = length * float64(i+1) / float64(len(b.dampers)+1)
		}
		stops = append(stops, min(max(s, 0), length))
	}
	return stops
}

func longestPiece(path polyline) (longest, before float64) {
	s := 0.0
	for i := 1; i < len(path); i++ {
		d := dist(path[i-1], path[i])
		if d > longest {
			longest, before = d, s
		}
		s += d
	}
	return longest, before
}

// stretch draws the ducts between two dampers.
func (a *artist) stretch(b *branch, all [][]int, i int, path polyline, q, surplus float64, supply bool) {
	ducts := all[i]
	if len(ducts) == 0 {
		ducts = neighbour(all, i)
	}
	if len(ducts) == 0 {
		ducts = b.elements[:1]
	}
	// Several ducts in a row part the longest straight piece, so that no cut falls into a bend.
	longest, before := longestPiece(path)
	length := path.length()
	bend := 0.0 // behind the last bend of a run to a register
	if n := len(path); b.upright && n > 2 {
		bend = min(length-dist(path[n-2], path[n-1])+a.px(q)/2+2, length)
	}
	from := 0.0
	for k, e := range ducts {
		to := length
		switch {
		case k == len(ducts)-1:
		case bend > 0:
			to = bend + (length-bend)*float64(k)/float64(len(ducts)-1)
		default:
			to = before + longest*float64(k+1)/float64(len(ducts))
		}
		a.ribbon(e, path.between(from, to), q, surplus, supply)
		from = to
	}
}

func neighbour(all [][]int, i int) []int {
	for j := i + 1; j < len(all); j++ {
		if len(all[j]) > 0 {
			return all[j][:1]
		}
	}
	for j := i - 1; j >= 0; j-- {
		if n := len(all[j]); n > 0 {
			return all[j][n-1:]
		}
	}
	return nil
}

// ribbon draws one element's air.
func (a *artist) ribbon(element int, path polyline, q, surplus float64, supply bool) {
	if len(path) < 2 {
		return
	}
	e := a.element(element)
	w := a.px(q)
	still := w < 0.02
	class := -1
	if !still {
		class = a.opt.Quantity.class(a.value(element), a.w.sys)
	}
	if a.before != nil {
		surplus = 0
		if !still {
			class = a.w.changeClass(a.change(element))
		}
	}
	name := a.g.Elements[element].Name
	r := Ribbon{Element: element, Path: path, Width: w, Surplus: min(a.px(surplus), w), OnRight: supply != a.flip,
		Reversed: q < 0, Still: still, Class: class, Change: a.before != nil, Name: name}
	r.Text = a.tell(name, element, e)
	a.sc.Ribbons = append(a.sc.Ribbons, r)
	a.arrows(&r)
}

// tell is what a pointer over an element reads.
func (a *artist) tell(name string, element int, e state.Element) string {
	var b strings.Builder
	b.WriteString(name)
	b.WriteString(": ")
	b.WriteString(a.with(a.w.flow(math.Abs(e.Airflow)), element))
	if e.Airflow < 0 {
		b.WriteString(" backwards")
	}
	if finite(e.Surplus) && a.w.flowNumber(e.Surplus) != "0" {
		b.WriteString(", of it " + a.w.flowNumber(e.Surplus) + " surplus")
	}
	if finite(e.Velocity) {
		b.WriteString(", " + a.w.speed(e.Velocity))
	}
	if finite(e.Drop) {
		b.WriteString(", drop " + a.w.pressure(e.Drop))
	}
	if finite(e.Temperature) {
		b.WriteString(", " + a.w.temperature(e.Temperature))
	}
	return b.String()
}

// value is what the colour of an element shows.
func (a *artist) value(element int) float64 {
	e := a.element(element)
	switch a.opt.Quantity {
	case Static:
		g := a.g.Elements[element]
		return (math.Abs(a.static(g.From)) + math.Abs(a.static(g.To))) / 2
	case Temperature:
		return e.Temperature
	}
	return e.Velocity
}

func (a *artist) static(node int) float64 {
	if node < 0 || node >= len(a.o.Nodes) {
		return math.NaN()
	}
	return a.o.Nodes[node].Static
}

func (a *artist) temperature(node int) float64 {
	if node < 0 || node >= len(a.o.Nodes) {
		return math.NaN()
	}
	return a.o.Nodes[node].Temperature
}

// arrows puts arrowheads on the straight pieces of a ribbon, pointing where the air goes.
func (a *artist) arrows(r *Ribbon) {
	if r.Still || r.Width < 1 {
		return
	}
	size := min(max(r.Width*0.30, 4.5), 9)
	longest, _ := longestPiece(r.Path)
	for i := 1; i < len(r.Path); i++ {
		p, q := r.Path[i-1], r.Path[i]
		d := dist(p, q)
		if d < 46 && d < longest || d < 3*size {
			continue
		}
		to := unit(p, q)
		n := 1 + int(d/420)
		for k := range n {
			t := (float64(k) + 0.5) / float64(n)
			at := point{p.X + (q.X-p.X)*t, p.Y + (q.Y-p.Y)*t}
			dir := to
			if r.Reversed {
				dir = point{-to.X, -to.Y}
			}
			a.sc.Arrows = append(a.sc.Arrows, Arrow{at, dir, size})
		}
	}
}

// blades draws the dampers of a branch, each with its name, its opening and its angle.
func (a *artist) blades(b *branch, path polyline, stops []float64) {
	for i, k := range b.dampers {
		element := b.elements[k]
		at, along := path.at(stops[i])
		q, _ := a.outward(b)
		r := max(11, a.px(q)/2+4)
		d := Blade{At: at, Radius: r, Along: along, Degrees: math.NaN(), Name: a.g.Elements[element].Name, Damper: DamperName(&a.g.Elements[element])}
		small := b.upright && b.end != link
		if small {
			d.Radius = max(8, a.px(q)/2+3)
		}
		lines := []line{{Text: ink.Cut(strings.TrimSuffix(d.Name, " damper"), sizeLabel, true, gatePitch-10), Bold: true}}
		setting := ""
		if n := a.blade[element]; n >= 0 {
			s := a.o.Dampers[n]
			d.Degrees, d.Calling = s.Blade, s.Calling
			setting = percent(s.Position) + " · " + degrees(s.Blade)
			switch {
			case s.Position >= 0.995:
				setting = "open · " + degrees(s.Blade)
			case s.Position <= 0.005:
				setting = "shut · " + degrees(s.Blade)
			}
			d.Text = d.Name + ": " + percent(s.Position) + " open, blade " + degrees(s.Blade) + " from open, " + a.w.flow(s.Airflow) + ", drop " + a.w.pressure(s.Drop)
			lines = append(lines, line{Text: setting})
		}
		a.sc.Dampers = append(a.sc.Dampers, d)
		switch {
		case small:
			text := setting
			if n := a.blade[element]; n >= 0 {
				text = percent(a.o.Dampers[n].Position)
			}
			a.say(block{At: point{at.X + d.Radius + 4, at.Y}, Side: toRight, Lines: []line{{Text: text}}, Optional: true})
		case b.end == link:
			lines = append(lines, line{Text: a.w.flow(math.Abs(q)) + " recirculate"})
			if a.l.sideOf(b) == a.l.sideOf(b.mate) {
				lines[len(lines)-1].Text = a.w.flow(math.Abs(q))
			}
			lines[len(lines)-1].Text = a.with(lines[len(lines)-1].Text, element)
			a.say(block{At: point{at.X, at.Y + d.Radius + 4}, Side: under, Lines: lines})
		default:
			a.say(block{At: point{at.X, at.Y - d.Radius - 5}, Side: over, Lines: lines})
		}
	}
	if b.end == link && len(b.dampers) == 0 && len(path) > 1 {
		q, _ := a.outward(b)
		longest, before := longestPiece(path)
		at, _ := path.at(before + longest/2)
		a.say(block{At: point{at.X, at.Y + a.px(q)/2 + 5}, Side: under, Lines: []line{
			{Text: ink.Cut(a.g.Elements[b.elements[0]].Name, sizeLabel, true, 180), Bold: true}, {Text: a.w.flow(math.Abs(q))}}})
	}
}

// segment labels the first straight part of a run with its airflow and velocity.
func (a *artist) segment(b *branch, path polyline, q float64, supply bool) {
	if math.IsNaN(b.labelU) || len(path) < 2 {
		return
	}
	duct := b.elements[0]
	for _, i := range b.elements {
		if a.g.Elements[i].Kind == network.KindDuct {
			duct = i
			break
		}
	}
	lines := []line{{Text: a.with(a.w.flow(math.Abs(q)), duct), Bold: true}}
	if v := a.element(duct).Velocity; finite(v) {
		lines = append(lines, line{Text: a.w.speed(v)})
	}
	// The static where a duct begins: behind its damper, if it has one.
	if p := a.static(a.g.Elements[duct].From); finite(p) && supply {
		lines = append(lines, line{Text: a.w.gauge(p)})
	} else if p := a.static(a.g.Elements[duct].To); finite(p) && !supply {
		lines = append(lines, line{Text: a.w.gauge(p)})
	}
	y := path[len(path)-1].Y
	bl := block{At: point{a.x(b.labelU, supply), y - a.px(q)/2 - 5}, Side: over, Lines: lines, Optional: true}
	if !b.shared && supply { // in a band: below, where no register stands
		bl.At.Y, bl.Side = y+a.px(q)/2+4, under
		if b.entry && len(b.gates) > 0 {
			bl.At.Y = y + max(11, a.px(q)/2+4) + 4
		}
	}
	a.say(bl)
}

// tip draws what a branch ends in.
func (a *artist) tip(b *branch, at point, supply bool) {
	if b.end != opening && b.end != leak {
		return
	}
	last := b.elements[len(b.elements)-1]
	e := a.element(last)
	q := e.Airflow // a register that draws air in has a minus sign
	if b.end == leak {
		q = 0 // the figure's, wherever on the ducts it leaks
		same, word := a.g.SameLeak(last), "leak"
		for _, k := range same {
			q += math.Abs(a.element(k).Airflow)
		}
		if len(same) > 1 {
			word = "leaks in all" // ducts further on carry less by parts of it
		}
		side := over
		y := at.Y - 5
		if b.down {
			side, y = under, at.Y+5
		}
		a.say(block{At: point{at.X, y}, Side: side, Optional: true, Lines: []line{{Text: word, Bold: true}, {Text: a.with(a.w.flow(q), last)}}})
		return
	}
	grille := Grille{Name: a.l.nameOf(b), Return: !supply}
	half := max(14, a.wide(b)/2+5)
	lines := []line{{Text: grille.Name, Bold: true}, {Text: a.w.flow(q)}}
	face := e.Velocity
	if b.register >= 0 && b.register < len(a.o.Registers) {
		r := a.o.Registers[b.register]
		grille.Calling = r.Calling
		if r.Calling && r.Wants > 0 && a.before == nil {
			lines[1].Text = a.w.flowNumber(q) + " / " + a.w.flow(r.Wants)
		}
		face = r.FaceVelocity
		grille.Text = a.g.Elements[last].Name + ": " + a.w.flow(q) + ", wants " + a.w.flow(r.Wants) + ", face " + a.w.speed(face) + ", static behind it " + a.w.pressure(r.Static)
	} else {
		grille.Text = a.tell(a.g.Elements[last].Name, last, e)
	}
	if a.before != nil { // a line of its own, so that neighbours stay apart
		if change := strings.TrimSpace(a.with("", last)); change != "" {
			lines = append(lines, line{Text: change})
		}
	} else if finite(face) {
		lines = append(lines, line{Text: a.w.speed(face)})
	}
	var label block
	switch {
	case !b.upright && supply:
		grille.Box = Box{at.X, at.Y - half, at.X + barDepth, at.Y + half}
		label = block{At: point{at.X + barDepth + 7, at.Y}, Side: toRight, Lines: lines}
	case !b.upright:
		grille.Box = Box{at.X - barDepth, at.Y - half, at.X, at.Y + half}
		label = block{At: point{at.X - barDepth - 7, at.Y}, Side: toLeft, Lines: lines}
	case b.down:
		grille.Box = Box{at.X - half, at.Y, at.X + half, at.Y + barDepth}
		label = block{At: point{at.X, at.Y + barDepth + 5}, Side: under, Lines: lines}
	default:
		grille.Box = Box{at.X - half, at.Y - barDepth, at.X + half, at.Y}
		label = block{At: point{at.X, at.Y - barDepth - 5}, Side: over, Lines: lines}
	}
	a.sc.Grilles = append(a.sc.Grilles, grille)
	a.say(label)
}

// DamperName is what a picture calls a damper for whoever wants to move it: its name in the job file; for one that a line has without a name,
// "=" and the part, as no damper can be called; "" for what is no damper or cannot be moved.
func DamperName(e *network.Element) string {
	blade := network.BladeOf(e.Spec)
	switch {
	case blade == nil:
		return ""
	case blade.Damper == "":
		return "=" + e.Name
	}
	return blade.Damper
}
