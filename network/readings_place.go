package network

import (
	"slices"
	"strings"

	"spillway/network/diag"
)

// spot finds the place of a reading.
func (r *readingsReader) spot(reading *Reading, n *node) {
	at, across, between := n.child("at"), n.child("across"), n.child("between")
	given := 0
	for _, c := range []*node{at, across, between} {
		if c != nil {
			given++
		}
	}
	switch {
	case given > 1:
		r.fail(n.key, "keep one of at, across and between", "reading %q has two places", n.name)
	case reading.Kind == DropReading && across != nil:
		r.part(reading, across)
	case reading.Kind == DropReading && between != nil:
		r.pair(reading, between)
	case reading.Kind == DropReading:
		r.fail(n.key, `add across = "filter" (a part), or between = ["supply plenum", "return plenum"]`, "the drop %q does not say across what", n.name)
	case across != nil || between != nil:
		r.fail(n.key, `write at = "..."`, "only a drop is taken across a part; %q is a reading of %s", n.name, reading.Kind)
	case reading.Kind == WattsReading || reading.Kind == RiseReading:
		reading.Place = nowhere("blower")
		reading.Place.Element = r.g.Blower
		if reading.Kind == RiseReading {
			reading.Place.Name = "equipment"
		}
	case at == nil:
		r.fail(n.key, `add at = "..."`, "reading %q does not say where it was taken", n.name)
	default:
		if text, ok := r.text(at); ok {
			r.at(reading, at, text)
		}
	}
}

func nowhere(name string) Spot {
	return Spot{Name: name, Node: -1, Start: -1, Element: -1, Register: -1}
}

// at reads the place of a reading other than a drop.
func (r *readingsReader) at(reading *Reading, c *node, text string) {
	var spots []Spot
	var known []string
	for _, s := range r.g.Spots(reading.Kind) {
		known = append(known, s.Name)
		if sameName(s.Name, text) {
			spots = append(spots, s)
		}
	}
	if len(spots) > 0 {
		reading.Place = spots[0]
		return
	}
	if s, ok := r.g.spotCalled(reading.Kind, text); ok {
		reading.Place = s
		return
	}
	fix := diag.DidYouMean(text, append(known, shortNames(known)...))
	if fix == "" && len(known) > 0 {
		fix = "such a reading can be taken at " + strings.Join(known[:min(len(known), 8)], ", ") + map[bool]string{true: " …"}[len(known) > 8]
	}
	r.fail(c.value, fix, "%s cannot be read at %q", reading.Kind, text)
}

func shortNames(names []string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(n, " register"), " grille"), " end")
	}
	return out
}

func sameName(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

// part finds the part that a drop is taken across.
func (r *readingsReader) part(reading *Reading, c *node) {
	text, ok := r.text(c)
	if !ok {
		return
	}
	var known []string
	for _, s := range r.g.Spots(DropReading) {
		name := strings.TrimPrefix(s.Name, "across ")
		known = append(known, name)
		if sameName(name, text) || sameName(name, text+" damper") {
			reading.Place = s
			return
		}
	}
	r.fail(c.value, diag.DidYouMean(text, known), "there is no part %q to take a drop across", text)
}

// pair finds the two places that a drop is taken between.
func (r *readingsReader) pair(reading *Reading, c *node) {
	if !c.list || len(c.items) != 2 {
		r.fail(c.value, `write between = ["supply plenum", "return plenum"]`, "a drop is between two places")
		return
	}
	var ends [2]Spot
	for i, item := range c.items {
		text, ok := r.text(item)
		if !ok {
			return
		}
		one := Reading{Kind: StaticReading}
		before := len(r.found)
		if r.at(&one, item, text); len(r.found) > before {
			return
		}
		ends[i] = one.Place
	}
	reading.Place = ends[0]
	reading.Place.Name = "between " + ends[0].Name + " and " + ends[1].Name
	reading.Place.Behind = &ends[1]
}

// Spots lists the places where a kind of reading can be taken, in air order, under the names that a readings file has for them.
func (g *Graph) Spots(kind ReadingKind) []Spot {
	switch kind {
	case StaticReading, TotalReading:
		return g.pressureSpots()
	case DropReading:
		return g.dropSpots()
	case AirflowReading, FaceReading:
		return g.faceSpots(kind)
	case TemperatureReading:
		return g.temperatureSpots()
	case SoundReading:
		return g.soundSpots()
	case WattsReading, RiseReading:
		s := nowhere("blower")
		s.Element = g.Blower
		if kind == RiseReading {
			s.Name = "equipment"
		}
		return []Spot{s}
	}
	return nil
}

func (g *Graph) pressureSpots() []Spot {
	var spots []Spot
	for n := range g.Nodes {
		if g.Nodes[n].Kind == Chamber || g.Nodes[n].Kind == RoomAir {
			s := nowhere(g.Nodes[n].Name)
			s.Node = n
			spots = append(spots, s)
		}
	}
	for _, s := range g.Ports() {
		if s.Node >= 0 {
			spots = append(spots, s)
		}
	}
	return spots
}

// Ports are the places of the job's ports, in the order of the file. Node is None of one whose place is not found.
func (g *Graph) Ports() []Spot {
	spots := make([]Spot, len(g.Job.Ports))
	for i := range g.Job.Ports {
		spots[i], _ = g.pressureSpot(g.Job.Ports[i].At)
		spots[i].Name, spots[i].Port = g.Job.Ports[i].Name, true
	}
	return spots
}

// pressureSpot finds a place as ports name it: a node, "LINE start" or "LINE end"; a line alone means its end.
func (g *Graph) pressureSpot(text string) (Spot, bool) {
	s := nowhere(strings.TrimSpace(text))
	if n := g.NodeNamed(s.Name); n != None && g.Nodes[n].Kind != Outdoors && g.Nodes[n].Kind != HouseAir {
		s.Node = n
		return s, true
	}
	line, start := g.Job.LineNamed(s.Name), false
	if line == None {
		var name string
		if name, start = strings.CutSuffix(s.Name, " start"); !start {
			name = strings.TrimSuffix(s.Name, " end")
		}
		line = g.Job.LineNamed(name)
	}
	first, last := -1, -1
	for i := range g.Elements {
		if line != None && g.Elements[i].LineID == line && g.Elements[i].Kind == KindDuct {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	if first < 0 {
		return s, false
	}
	if start {
		s.Node, s.Start = g.Elements[first].From, first
		return s, true
	}
	s.Node, s.Name = g.Elements[last].To, g.Job.Line(line).Name+" end"
	return s, true
}

// dropSpots are the parts across which a drop can be taken: equipment, dampers and whole parts with a node at both ends.
func (g *Graph) dropSpots() []Spot {
	var spots []Spot
	for i := range g.Elements {
		switch e := &g.Elements[i]; {
		case e.Side == EquipmentSide, BladeOf(e.Spec) != nil, e.Kind == KindRegister, e.Kind == KindGrille:
			s := nowhere("across " + g.Elements[i].Name)
			s.Element, s.Node = i, g.Elements[i].From
			spots = append(spots, s)
		}
	}
	return spots
}

func (g *Graph) faceSpots(kind ReadingKind) []Spot {
	var spots []Spot
	for k := range g.Registers {
		s := nowhere(g.Elements[g.Registers[k].Element].Name)
		s.Element, s.Register = g.Registers[k].Element, k
		spots = append(spots, s)
	}
	for i := range g.Elements {
		grille := g.Elements[i].Kind == KindGrille
		through := g.Elements[i].Kind == KindBlower || g.Elements[i].Kind == KindDuct && g.Elements[i].Spec.(*DuctSpec).First && !g.opens(g.Elements[i].Line)
		if grille || through && kind == AirflowReading {
			s := nowhere(g.Elements[i].Name)
			s.Element = i
			spots = append(spots, s)
		}
	}
	return spots
}

// opens tells whether a line has a register or grille, whose name the line's then is.
func (g *Graph) opens(line string) bool {
	for i := range g.Elements {
		if e := &g.Elements[i]; e.Line == line && (e.Kind == KindRegister || e.Kind == KindGrille) {
			return true
		}
	}
	return false
}

func (g *Graph) temperatureSpots() []Spot {
	var spots []Spot
	for n := range g.Nodes {
		if g.Nodes[n].Kind == Chamber {
			s := nowhere(g.Nodes[n].Name)
			s.Node = n
			spots = append(spots, s)
		}
	}
	for k := range g.Registers {
		s := nowhere(g.Elements[g.Registers[k].Element].Name)
		s.Element, s.Register = g.Registers[k].Element, k
		spots = append(spots, s)
	}
	return spots
}

func (g *Graph) soundSpots() []Spot {
	var spots []Spot
	var seen []string
	add := func(e *Element) {
		if room := g.HeardIn(e); !slices.Contains(seen, room) {
			seen = append(seen, room)
			s := nowhere(room)
			s.Room = room
			spots = append(spots, s)
		}
	}
	for k := range g.Registers {
		add(&g.Elements[g.Registers[k].Element])
	}
	for i := range g.Elements {
		if g.Elements[i].Kind == KindGrille {
			add(&g.Elements[i])
		}
	}
	return spots
}

// spotCalled finds a place by other names that people have for it: a line for its register or grille, a room with one register, the end
// of a line for a pressure, "return" and "supply" for the plenums.
func (g *Graph) spotCalled(kind ReadingKind, text string) (Spot, bool) {
	text = strings.TrimSpace(text)
	switch kind {
	case StaticReading, TotalReading:
		for _, short := range []struct{ say, mean string }{{"supply", SupplyPlenum}, {"return", ReturnPlenum}, {"before blower", BlowerInlet}, {"after blower", BlowerOutlet}} {
			if sameName(short.say, text) {
				text = short.mean
			}
		}
		for _, alias := range []struct{ missing, is string }{{BlowerInlet, ReturnPlenum}, {BlowerOutlet, SupplyPlenum}} {
			if sameName(text, alias.missing) && g.NodeNamed(alias.missing) < 0 {
				text = alias.is // without a filter or coil of its own the two are the same air
			}
		}
		return g.pressureSpot(text)
	}
	var fits []Spot
	for _, s := range g.Spots(kind) {
		switch {
		case s.Register >= 0 && (sameName(g.Registers[s.Register].Line, text) || sameName(g.Registers[s.Register].Room, text)):
			fits = append(fits, s)
		case s.Register < 0 && s.Element >= 0 && g.Elements[s.Element].Kind == KindGrille && sameName(g.Elements[s.Element].Line, text):
			fits = append(fits, s)
		}
	}
	if len(fits) == 1 {
		return fits[0], true
	}
	return Spot{}, false
}
