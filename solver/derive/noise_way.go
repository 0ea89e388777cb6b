package derive

import (
	"fmt"
	"math"

	"spillway/solver/sound"
	"spillway/solver/state"
)

// arriving is the sound power that comes to a node from upstream in a band; nil when there is none to speak of.
func (x *Explainer) arriving(node, band int) *Step {
	return x.remembered(at("arriving\x00"+x.g.Nodes[node].Name, band), func() *Step {
		var steps []*Step
		for k := range x.soundTrace().Steps {
			s := &x.soundTrace().Steps[k]
			if x.g.Elements[s.Element].To == node {
				if l := x.soundBehind(s, band); l != nil {
					steps = append(steps, l)
				}
			}
		}
		if len(steps) <= 1 {
			if len(steps) == 0 {
				return nil
			}
			return steps[0]
		}
		return together(at(x.g.Nodes[node].Name+" sound", band), "what comes from all sides", steps)
	})
}

// together is the energy sum of levels; of none, nil.
func together(name, words string, steps []*Step) *Step {
	if len(steps) == 0 {
		return nil
	}
	_, inputs := sum("L", steps)
	terms := make([]string, len(inputs))
	for i := range inputs {
		terms[i] = inputs[i].Symbol
	}
	return calculated(name, "L", Level, words, "L = "+levels(terms...), inputs...)
}

// soundBehind is the sound power behind one part: what came to it less what it takes, and what it adds.
func (x *Explainer) soundBehind(s *state.SoundStep, band int) *Step {
	i := s.Element
	name := x.g.Elements[i].Name
	return x.remembered(at("behind\x00"+name, band), func() *Step {
		from := x.arriving(x.g.Elements[i].From, band)
		var takeOff, damper *Step
		if s.Main >= 0 {
			takeOff = x.takeOff(s, band)
		}
		if s.Damper {
			damper = x.damperNoise(s, band)
		}
		before, loss := levelOf(from)-s.Share[band], s.Loss[band]
		made := levelOf(takeOff)
		after := max(before, made) - loss
		var inputs []Input
		expression := ""
		add := func(symbol, divided string, level *Step) {
			term := "10^(" + symbol + " / 10)"
			if divided != "" {
				term = "10^((" + symbol + divided + ") / 10)"
			}
			inputs = append(inputs, Input{symbol, level})
			if expression != "" {
				term = "(" + expression + " + " + term + ")"
			}
			expression = term
		}
		if from != nil && before >= made-drowned && before-loss >= levelOf(damper)-drowned {
			if s.All > 0 {
				add("La", " - D", from)
				inputs = append(inputs, Input{"D", x.division(s, band)})
			} else {
				add("La", "", from)
			}
		}
		if takeOff != nil && made >= before-drowned && made-loss >= levelOf(damper)-drowned {
			add("Lt", "", takeOff)
		}
		if loss != 0 && expression != "" {
			expression += " * 10^(-W / 10)"
			inputs = append(inputs, Input{"W", row(at(name+" takes", band), "W", Level, loss, "walls and elbows by length and size: "+long+"ch. 14 (Reynolds), Tables 14.1, 14.4 and 14.5 to 14.7")})
		}
		if damper != nil && damper.Value >= after-drowned {
			add("Lg", "", damper)
		}
		if expression == "" {
			return nil
		}
		level := calculated(at(name+" sound", band), "L", Level, "what came to it, less what it takes, and what it makes", "L = 10 * log10("+expression+")", inputs...)
		if level.Value < inaudible {
			return nil
		}
		return level
	})
}

// levelOf is the level of a sound, silence where there is none.
func levelOf(s *Step) float64 {
	if s == nil {
		return math.Inf(-1)
	}
	return s.Value
}

// division is what sound loses where the duct divides.
func (x *Explainer) division(s *state.SoundStep, band int) *Step {
	name := x.g.Elements[s.Element].Name
	return x.remembered("division\x00"+name, func() *Step {
		all := row("area of all ducts that leave there", "Sa", Area, s.All, "the job's sections, together")
		own := x.area(s.Element)
		if s.Before == 0 {
			return by(sound.Division(false), name+" share of the sound", s.Share[band], own, all)
		}
		return by(sound.Division(true), name+" share of the sound", s.Share[band], own, all, row("area of the duct before it", "Sb", Area, s.Before, "the job's section"))
	})
}

// takeOff is the noise that a take-off makes in its branch.
func (x *Explainer) takeOff(s *state.SoundStep, band int) *Step {
	i := s.Element
	name := x.g.Elements[i].Name
	flow := x.actual(i)
	if flow.Value == 0 {
		return nil
	}
	area := x.area(i)
	own, _, err := sound.TakeOff{BranchFlow: flow.Value, BranchArea: s.Area, MainVelocity: x.o.Elements[s.Main].Velocity}.Power()
	if err != nil || own[band] < inaudible {
		return nil
	}
	f := x.frequency(band)
	ratio := worked(sound.TakeOffRatio(), name+" velocity before over in the branch", x.velocity(s.Main), area, flow)
	st := worked(sound.TakeOffStrouhal(), at(name+" log of the Strouhal number", band), f, area, flow, ratio)
	return by(sound.TakeOffNoise(), at(name+" take-off noise", band), own[band], ratio, st, f, flow, area)
}

// damperNoise is the noise that a damper makes as it stands.
func (x *Explainer) damperNoise(s *state.SoundStep, band int) *Step {
	i := s.Element
	name := x.g.Elements[i].Name
	e := &x.o.Elements[i]
	flow := x.actual(i)
	d := s.Shape
	d.Flow, d.Drop = flow.Value, e.Drop-e.Junction
	own, _, err := d.Power()
	if err != nil || flow.Value == 0 || own[band] < inaudible {
		return nil
	}
	area := x.area(i)
	inputs, expression := []Input{{"Δp", x.drop(i)}}, "abs(Δp)"
	if e.Junction != 0 {
		inputs, expression = append(inputs, Input{"Δpj", x.junctionLoss(i)}), "abs(Δp - Δpj)"
	}
	f, height := x.frequency(band), row(name+" height across the blade's axis", "h", Length, s.Shape.Height, "the duct's, or its diameter, as the job has it")
	law := sound.DamperCoefficient()
	c := calculated(name+" drop over velocity pressure", "C", Plain, law.Words(), "C = "+law.With(expression, "S", "Q"), append(inputs, Input{"S", area}, Input{"Q", flow})...)
	free := worked(sound.DamperBlockage(d.Blades, c.Value), name+" free share of the duct", c)
	constriction := calculated(name+" velocity past the blade", "V", Velocity, "in what the blade leaves free", "V = Q / (S * B)", Input{"Q", flow}, Input{"S", area}, Input{"B", free})
	st := calculated(at(name+" log of the Strouhal number", band), "s", Plain, "frequency times height over velocity", "s = log10(f * h / V)", Input{"f", f}, Input{"h", height}, Input{"V", constriction})
	return by(sound.DamperNoise(), at(name+" damper noise", band), own[band], st, f, constriction, area, height)
}

// ---- what is printed

const noiseMethod = "octave spectra of the outlet by its pressure drop (or its maker's rating), of dampers and takeoffs upstream, through ducts, division, end and room to the listener; Reynolds' formulas as quoted by Long, Architectural Acoustics, 2nd ed., and others, as solver/sound says"

// registerNoise explains the noise of one register.
func (x *Explainer) registerNoise(k int) *Step {
	n := &x.o.Registers[k].Noise
	name := x.g.Elements[x.g.Registers[k].Element].Name + " noise"
	band := bandOf(n.Band)
	if t := x.soundTrace(); t != nil && band >= 0 && n.Levels[band] > quiet {
		if level := x.heard(&t.Outlets[k], n, band); level != nil {
			return noiseNumber(name, n.NC, level, band)
		}
	}
	return model(name, "NC", Noise, n.NC, noiseMethod)
}

// roomNoise explains the noise of a room: all its openings together.
func (x *Explainer) roomNoise(k int) *Step {
	r := &x.o.Rooms[k]
	name := r.Name + " room noise"
	return x.remembered("room noise\x00"+name, func() *Step {
		unknown := model(name, "NC", Noise, r.NC, noiseMethod+"; all openings of the room added")
		band := bandOf(r.Band)
		if x.soundTrace() == nil || band < 0 || r.Levels[band] < quiet {
			return unknown
		}
		level := x.roomLevel(k, band)
		if level == nil {
			return unknown
		}
		return noiseNumber(name, r.NC, level, band)
	})
}

// roomLevel is the level in a room in a band.
func (x *Explainer) roomLevel(k, band int) *Step {
	r, t := &x.o.Rooms[k], x.soundTrace()
	var openings []*Step
	hear := func(o *state.SoundOpening, n *state.Noise) bool {
		if n.Levels[band] < inaudible {
			return true
		}
		level := x.heard(o, n, band)
		openings = append(openings, level)
		return level != nil
	}
	for _, n := range r.Registers {
		if !hear(&t.Outlets[n], &x.o.Registers[n].Noise) {
			return nil
		}
	}
	for _, n := range r.Grilles {
		if !hear(&t.Grilles[n], &x.o.Grilles[n].Noise) {
			return nil
		}
	}
	level := together(at(r.Name+" room level", band), "all that opens into the room", openings)
	if level != nil {
		level.Value = r.Levels[band]
	}
	return level
}

// roomBound is an end of the band of a room's noise.
func (x *Explainer) roomBound(k int, name string, value float64) *Step {
	number := x.roomNoise(k)
	u := value - number.Value
	return derived(name, "n", Noise, value, "the estimate with its band", "n = N + u", Input{"N", number},
		Input{"u", row("band of the estimate", "u", Noise, u, fmt.Sprintf("-%g to +%g NC: free area of the face, formula and room, fittings near the outlet; -%g to +%g for a maker's rating (our choice)",
			sound.EstimateBand.Low, sound.EstimateBand.High, sound.RatingBand.Low, sound.RatingBand.High))})
}

// roomDBA is the A-weighted sum of the octaves.
func (x *Explainer) roomDBA(k int, name string) *Step {
	r := &x.o.Rooms[k]
	var terms []string
	var inputs []Input
	for band, l := range r.Levels {
		if l <= sound.Floor {
			continue
		}
		symbol, weight := fmt.Sprintf("L%d", band+1), sound.AWeight(band)
		sign := "+"
		if weight < 0 {
			sign = "-"
		}
		terms = append(terms, fmt.Sprintf("(%s %s %.1f)", symbol, sign, abs(weight)))
		inputs = append(inputs, Input{symbol, model(at(r.Name+" room level", band), "L", Level, l, "found as the level of the governing band is, see "+r.Name+" room noise")})
	}
	if r.DBA < -30 { // nearer to silence the sum shows where silence is counted from
		return model(name, "L", Level, r.DBA, "A-weighted sum of the same octaves, dB(A)")
	}
	return derived(name, "L", Level, r.DBA, "A-weighted sum of its octaves, dB(A) (IEC 61672-1)", "L = "+levels(terms...), inputs...)
}
