package state

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/section"
	"spillway/solver/air"
	"spillway/solver/sound"
	"spillway/solver/sound/jet"
	"spillway/solver/sound/validity"
)

// noisePlan is what noise needs of an installation and no call state changes: the order in which sound goes down the ducts and what
// each part takes from it, and every opening with its room.
type noisePlan struct {
	steps    []noiseStep
	outlets  []outletPlan // parallel to Graph.Registers
	grilles  []outletPlan
	rooms    []roomPlan
	listened []roomLoss // parallel to rooms
}

// noiseStep is one element of the supply or dump side, after everything upstream of it.
type noiseStep struct {
	element int
	share   sound.Spectrum // loss where the sound divides at its beginning
	loss    sound.Spectrum // loss along it
	// all is the area of all parts that leave its beginning, and before that of the duct there, 0 for still air; where it divides.
	all, before float64
	damper      bool
	shape       sound.Damper    // of a damper: area, height and blades
	area        float64         // m², 0 for a part without a section
	notes       []validity.Note // of loss
	// main is the duct out of which it leaves a junction as the branch, −1: it does not.
	main int
}

// outletPlan is a register or grille.
type outletPlan struct {
	element   int
	line      string
	supply    bool
	area      float64        // m², gross face
	openShare float64        // total pressure of the open outlet over that of outlet and its damper as set
	end       sound.Spectrum // what the end of the duct throws back; nothing for grilles
	rated     *network.NoiseRating
	room      int // index into rooms
	jet       jet.Register
	given     bool // the job names the pattern
}

type roomPlan struct {
	name, zone string
	hearing    network.Hearing
	registers  []int
	grilles    []int
}

// roomLoss is what a room takes from a source at its listener.
type roomLoss struct {
	room  sound.Room
	loss  sound.Spectrum
	notes []validity.Note
}

func newNoisePlan(g *network.Graph) (*noisePlan, error) {
	p := &noisePlan{}
	if err := p.ducts(g); err != nil {
		return nil, err
	}
	rooms := map[heard]int{}
	for _, r := range g.Registers {
		out, err := p.opening(g, r.Element, true, rooms)
		if err != nil {
			return nil, err
		}
		if spec, ok := g.Elements[r.Duct].Spec.(*network.DuctSpec); ok {
			if out.end, _, err = (sound.DuctEnd{Area: spec.Section.Area()}).Loss(); err != nil {
				return nil, fmt.Errorf("%s: %w", g.Elements[r.Element].Name, err)
			}
		}
		p.rooms[out.room].registers = append(p.rooms[out.room].registers, len(p.outlets))
		p.outlets = append(p.outlets, out)
	}
	for i := range g.Elements {
		if g.Elements[i].Kind != network.KindGrille {
			continue
		}
		out, err := p.opening(g, i, false, rooms)
		if err != nil {
			return nil, err
		}
		p.rooms[out.room].grilles = append(p.rooms[out.room].grilles, len(p.grilles))
		p.grilles = append(p.grilles, out)
	}
	for i := range p.rooms {
		h := p.rooms[i].hearing
		room := sound.Room{Volume: h.Volume(), Distance: h.Listener}
		loss, notes, err := room.Loss()
		if err != nil {
			return nil, fmt.Errorf("room %q: %w", p.rooms[i].name, err)
		}
		p.listened = append(p.listened, roomLoss{room, loss, notes})
	}
	return p, nil
}

// heard is where an opening is heard: in a room, or in one of its own when only its line is known.
type heard struct{ room, line string }

// opening plans one register or grille.
func (p *noisePlan) opening(g *network.Graph, element int, supply bool, rooms map[heard]int) (outletPlan, error) {
	e := &g.Elements[element]
	spec := e.Spec.(*network.OpeningSpec)
	out := outletPlan{element: element, line: e.Line, supply: supply, area: spec.Section.Area(), openShare: 1}
	if spec.Balance != nil {
		share, err := openShare(spec)
		if err != nil {
			return out, fmt.Errorf("%s: %w", e.Name, err)
		}
		out.openShare = share
	}
	name, key := g.HeardIn(e), heard{room: e.Room}
	if e.Room == "" {
		key.line = e.Line
	}
	room, known := rooms[key]
	if !known {
		room = len(p.rooms)
		rooms[key] = room
		p.rooms = append(p.rooms, roomPlan{name: name, zone: e.Zone, hearing: g.Job.RoomOf(e.Room, e.Zone)})
	}
	out.room = room
	var given *network.Opening
	if line := lineOf(g, element); line != nil {
		given = line.Grille
		if supply {
			given = line.Register
		}
	}
	if given != nil {
		out.rated = given.Noise
	}
	if supply {
		out.throw(given, p.rooms[room].hearing)
	}
	return out, nil
}

// throw fills in how a register throws its air.
func (out *outletPlan) throw(given *network.Opening, h network.Hearing) {
	name := network.DefaultPattern
	if given != nil && given.Pattern != "" {
		name, out.given = given.Pattern, true
	}
	out.jet.Pattern, _ = jet.Lookup(name)
	out.jet.Area = out.area
	out.jet.Ceiling = h.Ceiling
	out.jet.Height = min(network.OutletHeight(name, h.Ceiling), h.Ceiling)
	out.jet.Reach = math.Sqrt(h.Floor)
	if given == nil {
		return
	}
	if given.Height != nil {
		out.jet.Height = float64(*given.Height)
	}
	if given.Reach > 0 {
		out.jet.Reach = float64(given.Reach)
	}
	out.jet.Away = out.jet.Pattern.Attached && h.Ceiling-out.jet.Height > clings
}

// clings is how far under the ceiling a horizontal jet still finds it, m: 1 ft (from memory).
const clings = 0.3048 * (1 + 1e-9)

// openShare is the total pressure of an open outlet over that of the same outlet with its damper as set, at the same flow.
func openShare(spec *network.OpeningSpec) (float64, error) {
	var open float64
	if spec.Drop > 0 {
		velocity := spec.At / spec.Section.Area()
		open = spec.Drop / (air.StandardDensity * velocity * velocity / 2)
	} else {
		zeta, err := openingZeta(spec)
		if err != nil {
			return 0, err
		}
		open = zeta
	}
	return open / (open + openingBlades(spec)), nil
}

// ducts orders the supply and dump sides from the plenum outwards, and finds what each part takes from the sound that passes it.
func (p *noisePlan) ducts(g *network.Graph) error {
	outgoing := make([][]int, len(g.Nodes))
	incoming := make([][]int, len(g.Nodes))
	for i := range g.Elements {
		if carriesSound(&g.Elements[i]) {
			outgoing[g.Elements[i].From] = append(outgoing[g.Elements[i].From], i)
			incoming[g.Elements[i].To] = append(incoming[g.Elements[i].To], i)
		}
	}
	branchOf := make(map[int]int, len(g.Junctions)) // branch element → common element
	for _, j := range g.Junctions {
		branchOf[j.Branch] = j.Common
	}
	waiting := make([]int, len(g.Nodes))
	var ready []int
	for n := range g.Nodes {
		if waiting[n] = len(incoming[n]); waiting[n] == 0 && len(outgoing[n]) > 0 {
			ready = append(ready, n)
		}
	}
	for len(ready) > 0 {
		n := ready[0]
		ready = ready[1:]
		all, main := 0.0, 0.0
		for _, i := range outgoing[n] {
			all += areaOf(g, i)
		}
		if len(incoming[n]) == 1 && g.Nodes[n].Kind == network.Joint {
			main = areaOf(g, incoming[n][0])
		}
		for _, i := range outgoing[n] {
			step, err := newNoiseStep(g, i, all, main)
			if err != nil {
				return fmt.Errorf("%s: %w", g.Elements[i].Name, err)
			}
			if common, ok := branchOf[i]; ok && carriesSound(&g.Elements[common]) {
				step.main = common
			}
			p.steps = append(p.steps, step)
			to := g.Elements[i].To
			if waiting[to]--; waiting[to] == 0 && len(outgoing[to]) > 0 {
				ready = append(ready, to)
			}
		}
	}
	return nil
}

// carriesSound tells whether sound from a supply plenum passes an element on its way to a room.
func carriesSound(e *network.Element) bool {
	if e.Side != network.SupplySide && e.Side != network.DumpSide {
		return false
	}
	return e.Kind == network.KindDuct || network.BladeOf(e.Spec) != nil
}

func areaOf(g *network.Graph, element int) float64 {
	s, _ := network.SectionOf(g.Elements[element].Spec)
	return s.Area()
}

// newNoiseStep finds the losses of one element that leaves a node with parts of a total area, out of a main of an area (0: still air).
func newNoiseStep(g *network.Graph, element int, all, main float64) (noiseStep, error) {
	e := &g.Elements[element]
	step := noiseStep{element: element, main: -1}
	s, _ := network.SectionOf(e.Spec)
	step.area = s.Area()
	if all > step.area*(1+1e-9) {
		share, _, err := sound.Split{Branch: step.area, All: all, Main: main}.Loss()
		if err != nil {
			return step, err
		}
		step.share, step.all, step.before = share, all, main
	}
	var err error
	if spec, ok := e.Spec.(*network.DuctSpec); ok {
		step.loss, step.notes, err = ductLoss(lineOf(g, element), spec)
	}
	if blade := network.BladeOf(e.Spec); blade != nil {
		step.isDamper(s, blade.Shape)
	}
	return step, err
}

func (step *noiseStep) isDamper(s section.Section, blade string) {
	step.damper = true
	step.shape = sound.Damper{Area: s.Area(), Height: s.Height, Blades: sound.SingleBlade}
	if s.Shape == section.Round {
		step.shape.Height = s.Width
	}
	if row, ok := catalog.LookupBlade(blade); ok && (row.Kind == catalog.ParallelBlades || row.Kind == catalog.OpposedBlades) {
		step.shape.Blades = sound.MultiBlade
	}
}

// ductLoss is what a piece of duct and the elbows on it take from the sound. Notes on what is held at the end of a table are left out: it
// promises no more loss than was measured.
func ductLoss(line *network.Line, spec *network.DuctSpec) (sound.Spectrum, []validity.Note, error) {
	length := spec.Length
	lining := 0.0
	if line != nil {
		lining = float64(line.Lined)
		if len(spec.Losses) > 0 { // fittings' equivalent lengths are in the piece's, and take no sound
			for _, f := range line.Fittings {
				length -= float64(max(1, f.Count)) * float64(f.Equivalent)
			}
		}
	}
	length = max(length, 0)
	s := sound.RectangularSection(spec.Section.Width, spec.Section.Height)
	if spec.Section.Shape == section.Round {
		s = sound.RoundSection(spec.Section.Width)
	}
	var loss sound.Spectrum
	var notes []validity.Note
	var err error
	switch {
	case spec.Flexible():
		loss, notes, err = sound.FlexDuct{Diameter: spec.Section.Width, Length: length}.Loss()
	case lining > 0:
		loss, notes, err = sound.LinedDuct{Section: s, Length: length, Lining: lining}.Loss()
	default:
		loss, notes, err = sound.BareDuct{Section: s, Length: length}.Loss()
	}
	if err != nil {
		return loss, nil, err
	}
	for _, l := range spec.Losses {
		bend, is := bendOf(l.Name, spec.Section, lining > 0)
		if !is {
			continue
		}
		one, _, err := bend.Loss()
		if err != nil {
			return loss, nil, err
		}
		for band := range loss {
			loss[band] += float64(max(1, l.Count)) * one[band]
		}
	}
	return loss, slices.DeleteFunc(notes, func(n validity.Note) bool { return n.Clamped }), nil
}

// bendOf is the elbow that a fitting is for sound; small turns count as none.
func bendOf(name string, s section.Section, lined bool) (sound.Bend, bool) {
	if !strings.HasPrefix(name, "elbow") || strings.HasPrefix(name, "elbow 30") || strings.HasPrefix(name, "elbow 45") {
		return sound.Bend{}, false
	}
	b := sound.Bend{Kind: sound.RoundBend, Width: s.Width}
	switch {
	case strings.Contains(name, "vanes"):
		b.Kind = sound.VanedBend
	case strings.Contains(name, "mitred") && lined:
		b.Kind = sound.LinedBend
	case strings.Contains(name, "mitred"):
		b.Kind = sound.SquareBend
	}
	return b, true
}
