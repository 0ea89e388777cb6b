package state

import (
	"fmt"
	"math"

	"spillway/solver/sound"
	"spillway/solver/sound/jet"
	"spillway/solver/sound/validity"
)

// sound finds what every opening sounds like and how far its air carries. It is cheap beside the flow: the losses on the way were
// found once, for all states.
//
// Sound goes down the supply ducts with the air: at each division it is shared by area (Long, Architectural Acoustics, 2nd ed., eq.
// 14.17), ducts and elbows take their part, dampers and take-offs add theirs, and the end of the duct throws low notes back. Not
// followed: what a damper sends upstream and round into another branch, the blower's own noise, and what comes up return ducts.
func (c *calculation) sound(o *Outcome) error {
	p := c.solver.noise
	arriving, err := c.ductSound(p, o)
	if err != nil {
		return err
	}
	for k := range p.outlets {
		out := &p.outlets[k]
		from := c.solver.graph.Elements[out.element].From
		if err := c.opening(out, &p.listened[out.room], arriving[from], o, &o.Registers[k].Noise); err != nil {
			return fmt.Errorf("%s: %w", c.solver.graph.Elements[out.element].Name, err)
		}
		if err := c.throw(out, o, k); err != nil {
			return fmt.Errorf("%s: %w", c.solver.graph.Elements[out.element].Name, err)
		}
	}
	o.Grilles = make([]Grille, len(p.grilles))
	for k := range p.grilles {
		out := &p.grilles[k]
		o.Grilles[k].Element = out.element
		if err := c.opening(out, &p.listened[out.room], sound.Silence(), o, &o.Grilles[k].Noise); err != nil {
			return fmt.Errorf("%s: %w", c.solver.graph.Elements[out.element].Name, err)
		}
	}
	c.rooms(p, o)
	return nil
}

// ductSound is the sound power that arrives at each node from upstream.
func (c *calculation) ductSound(p *noisePlan, o *Outcome) ([]sound.Spectrum, error) {
	g := c.solver.graph
	arriving := make([]sound.Spectrum, len(g.Nodes))
	for n := range arriving {
		arriving[n] = sound.Silence()
	}
	for i := range p.steps {
		step := &p.steps[i]
		e := &g.Elements[step.element]
		o.noisy(step.element, step.notes)
		s := arriving[e.From].Less(step.share)
		if step.main >= 0 {
			own, notes, err := step.takeOffPower(o)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", e.Name, err)
			}
			o.noisy(step.element, notes)
			s = s.Plus(own)
		}
		s = s.Less(step.loss)
		if step.damper {
			own, notes, err := step.damperPower(o)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", e.Name, err)
			}
			o.noisy(step.element, notes)
			s = s.Plus(own)
		}
		arriving[e.To] = arriving[e.To].Plus(s)
	}
	return arriving, nil
}

// volume is the actual airflow, m³/s, magnitude.
func (e *Element) volume() float64 { return math.Abs(e.Flow) / e.Density }

// opening finds the noise of one register or grille.
func (c *calculation) opening(out *outletPlan, listened *roomLoss, arriving sound.Spectrum, o *Outcome, n *Noise) error {
	x := &o.Elements[out.element]
	flow := x.volume()
	own, notes, err := out.power(flow, x)
	if err != nil {
		return err
	}
	borne := arriving.Less(out.end)
	n.NoiseNotes, n.Rated = append(notes, listened.notes...), out.rated != nil
	j, err := sound.Judge(sound.Opening{Own: own, Borne: borne, Rated: n.Rated}, listened.loss)
	if err != nil {
		return err
	}
	n.Power, n.Levels, n.DBA = j.Power, j.Levels, j.DBA
	n.NC, n.NCBelow, n.Band = j.NC.Number, j.NC.Below, sound.Centre(j.NC.Band)
	n.NCLow, n.NCHigh = j.Low, j.High
	n.OutletNC, n.DuctNC, n.Catalogue = j.Outlet, j.Duct, j.Catalogue.Number
	n.From = out.element
	if band := j.NC.Band; borne[band] > own[band] {
		n.From, _ = c.solver.noise.source(o, c.solver.graph.Elements[out.element].From, band)
	}
	return nil
}

// source returns the element upstream of a node that is heard most there in an octave band, a
// damper or a takeoff; level is how loud, dB. Where several parts meet, the loudest way counts.
func (p *noisePlan) source(o *Outcome, node, band int) (element int, level float64) {
	element, level = -1, math.Inf(-1)
	for i := range p.steps {
		step := &p.steps[i]
		if o.Graph.Elements[step.element].To != node {
			continue
		}
		louder := func(of int, l float64) {
			if l > level {
				element, level = of, l
			}
		}
		if step.damper {
			own, _, _ := step.damperPower(o) // an error has ended the solution before
			louder(step.element, own[band])
		}
		if step.main >= 0 {
			own, _, _ := step.takeOffPower(o)
			louder(step.element, own[band]-step.loss[band])
		}
		of, l := p.source(o, o.Graph.Elements[step.element].From, band)
		louder(of, l-step.share[band]-step.loss[band])
	}
	return element, level
}

// takeOffPower is what the junction makes out of which the step leaves as the branch.
func (step *noiseStep) takeOffPower(o *Outcome) (sound.Spectrum, []validity.Note, error) {
	return sound.TakeOff{BranchFlow: o.Elements[step.element].volume(), BranchArea: step.area,
		MainVelocity: o.Elements[step.main].Velocity}.Power()
}

// damperPower is what a damper makes.
func (step *noiseStep) damperPower(o *Outcome) (sound.Spectrum, []validity.Note, error) {
	x := &o.Elements[step.element]
	damper := step.shape
	damper.Flow, damper.Drop = x.volume(), x.Drop-x.Junction
	return damper.Power()
}

// power is what the outlet makes itself: by its maker's rating, else from the static pressure that it takes when open; its own
// damper, throttled in the neck, adds to either.
func (out *outletPlan) power(flow float64, x *Element) (sound.Spectrum, []validity.Note, error) {
	drop := math.Abs(x.Drop - x.Junction)
	dynamic := 0.0
	if out.supply { // the drop in total pressure includes the velocity that is lost in the room
		dynamic = x.Density * x.Velocity * x.Velocity / 2
	}
	open := max(drop*out.openShare-dynamic, 0)
	var power sound.Spectrum
	var notes []validity.Note
	var err error
	if out.rated != nil {
		power, notes, err = sound.Rated{NC: out.rated.NC, RatedFlow: float64(out.rated.At), FaceArea: out.area, Flow: flow}.Power()
	} else {
		power, notes, err = sound.Outlet{Flow: flow, FaceArea: out.area, Drop: open}.Power()
	}
	if err != nil || out.openShare == 1 || open <= 0 {
		return power, notes, err
	}
	more, beyond, err := sound.Throttled(sound.InNeck, (drop-dynamic)/open)
	return power.Raised(more), append(notes, beyond...), err
}

// throw finds what the air of one register does in its room.
func (c *calculation) throw(out *outletPlan, o *Outcome, k int) error {
	r, x := &o.Registers[k], &o.Elements[out.element]
	jetOf := out.jet
	jetOf.Air = jet.Air{Supply: c.set.indoor, Room: c.set.indoor}
	jetOf.WantedFlow = r.Wants
	nan := math.NaN()
	r.Jet = Jet{Pattern: jetOf.Pattern.Name, PatternGiven: out.given, Throw: nan, Throw050: nan, Throw075: nan, FreeThrow: nan, EndSpeed: nan, Reach: jetOf.Reach,
		LeastThrow: jetOf.Pattern.WindowLow, Horizontal: jetOf.Pattern.Direction == jet.Horizontal, Attached: jetOf.Pattern.Attached && !jetOf.Away,
		Separation: nan, JetDrop: nan, Clearance: jetOf.Height - jet.OccupiedHeight,
		Draught: jet.Draught{Distance: nan, Velocity: nan, Difference: nan, Effective: nan}}
	if !(x.Flow > 0) { // at rest, or drawing room air in
		return nil
	}
	jetOf.Flow = x.volume()
	jetOf.Drop = max(math.Abs(x.Drop-x.Junction)-x.Density*x.Velocity*x.Velocity/2, 0)
	if !math.IsNaN(r.Temperature) {
		jetOf.Air.Supply = r.Temperature
	}
	a, err := jetOf.Assess()
	if err != nil { // air beyond the formulas of jets is no reason to withhold the rest
		o.Notes = append(o.Notes, fmt.Sprintf("throw and draught of %s are not computed: %v", c.solver.graph.Elements[out.element].Name, err))
		return nil
	}
	ends := a.Ending()
	r.Throw, r.Throw050, r.Throw075, r.FreeThrow = ends.T025, ends.T050, ends.T075, a.Throws.T025
	r.ThrowEnd, r.Beyond = a.End, a.Beyond
	if a.End != jet.Nothing {
		r.EndSpeed = a.EndSpeed
	}
	r.Short, r.Long, r.Dumping = a.Short, a.Long, a.Dumping
	r.Separation, r.JetDrop, r.Draught, r.JetNotes = a.Separation, a.Drop, a.Entry, a.Notes
	return nil
}

// rooms adds up what opens into each room.
func (c *calculation) rooms(p *noisePlan, o *Outcome) {
	o.Rooms = make([]Room, len(p.rooms))
	for i := range p.rooms {
		plan, r := &p.rooms[i], &o.Rooms[i]
		*r = Room{Name: plan.name, Zone: plan.zone, Registers: plan.registers, Grilles: plan.grilles, Levels: sound.Silence(), From: -1}
		loudest, weight := math.Inf(-1), 0.0
		hear := func(n *Noise, out *outletPlan) {
			r.Levels = r.Levels.Plus(n.Levels)
			if n.NC > loudest {
				loudest, r.Loudest, r.From = n.NC, out.line, n.From
				r.FaceVelocity = o.Elements[out.element].volume() / out.area
			}
			share := math.Pow(10, n.NC/10)
			weight += share
			r.NCLow += share * (n.NCLow - n.NC)
			r.NCHigh += share * (n.NCHigh - n.NC)
		}
		for _, k := range plan.registers {
			hear(&o.Registers[k].Noise, &p.outlets[k])
		}
		for _, k := range plan.grilles {
			hear(&o.Grilles[k].Noise, &p.grilles[k])
		}
		rating := sound.RateNC(r.Levels)
		r.NC, r.NCBelow, r.Band = rating.Number, rating.Below, sound.Centre(rating.Band)
		r.NCLow, r.NCHigh = r.NC+r.NCLow/weight, r.NC+r.NCHigh/weight
		r.DBA, r.RC = r.Levels.DBA(), sound.RateRC(r.Levels)
	}
}
