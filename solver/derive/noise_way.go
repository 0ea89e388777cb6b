package derive

import (
	"fmt"
	"math"
	"strings"

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
		expression, inputs, total := "", []Input(nil), []float64(nil)
		for k, l := range steps {
			symbol := fmt.Sprintf("L%d", k+1)
			if k > 0 {
				expression += " + "
			}
			expression += "10^(" + symbol + " / 10)"
			inputs = append(inputs, Input{symbol, l})
			total = append(total, l.Value)
		}
		return derived(at(x.g.Nodes[node].Name+" sound", band), "L", Level, levelSum(total...), "what comes from all sides", "L = 10 * log10("+expression+")", inputs...)
	})
}

// soundBehind is the sound power behind one part: what came to it less what it takes, and what it adds.
func (x *Explainer) soundBehind(s *state.SoundStep, band int) *Step {
	i := s.Element
	name := x.g.Elements[i].Name
	return x.remembered(at("behind\x00"+name, band), func() *Step {
		from := x.arriving(x.g.Elements[i].From, band)
		var inputs []Input
		expression, value, quiet := "", 0.0, true
		if from != nil {
			level := from.Value
			expression, inputs, quiet = "La", []Input{{"La", from}}, false
			if s.All > 0 {
				share := x.division(s, band)
				expression, inputs = "La - D", append(inputs, Input{"D", share})
				level -= share.Value
			}
			expression = "10^((" + expression + ") / 10)"
			value = math.Pow(10, level/10)
		}
		add := func(symbol string, own *Step) {
			if own == nil || own.Value < inaudible {
				return
			}
			term := "10^(" + symbol + " / 10)"
			if quiet {
				expression = term
			} else {
				expression = "(" + expression + " + " + term + ")"
			}
			inputs, quiet = append(inputs, Input{symbol, own}), false
			value += math.Pow(10, own.Value/10)
		}
		if s.Main >= 0 {
			add("Lt", x.takeOff(s, band))
		}
		if loss := s.Loss[band]; loss != 0 && !quiet {
			expression += " * 10^(-W / 10)"
			inputs = append(inputs, Input{"W", row(at(name+" takes", band), "W", Level, loss, "walls and elbows by length and size: "+long+"ch. 14 (Reynolds), Tables 14.1, 14.4 and 14.5 to 14.7")})
			value *= math.Pow(10, -loss/10)
		}
		if s.Damper {
			add("Lg", x.damperNoise(s, band))
		}
		if quiet || 10*math.Log10(value) < inaudible {
			return nil
		}
		return derived(at(name+" sound", band), "L", Level, 10*math.Log10(value), "what came to it, less what it takes, and what it makes", "L = 10 * log10("+expression+")", inputs...)
	})
}

// division is what sound loses where the duct divides.
func (x *Explainer) division(s *state.SoundStep, band int) *Step {
	name := x.g.Elements[s.Element].Name
	return x.remembered("division\x00"+name, func() *Step {
		all := row("area of all ducts that leave there", "Sa", Area, s.All, "the job's sections, together")
		own := x.area(s.Element)
		if s.Before == 0 {
			return derived(name+" share of the sound", "D", Level, s.Share[band], "its share of the area ("+long+"eq. 14.17)", "D = -10 * log10(S / Sa)", Input{"S", own}, Input{"Sa", all})
		}
		value := -10*math.Log10(own.Value/s.All) - 10*math.Log10(1-math.Pow((s.All-s.Before)/(s.All+s.Before), 2))
		if abs(value-s.Share[band]) > 1e-9 {
			return row(name+" share of the sound", "D", Level, s.Share[band], long+"eq. 14.17")
		}
		return derived(name+" share of the sound", "D", Level, s.Share[band], "its share of the area, and what is thrown back where the area changes ("+long+"eq. 14.17)", "D = -10 * log10(S / Sa) - 10 * log10(1 - ((Sa - Sb) / (Sa + Sb))^2)",
			Input{"S", own}, Input{"Sa", all}, Input{"Sb", row("area of the duct before it", "Sb", Area, s.Before, "the job's section")})
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
	velocity := flow.Value / area.Value
	main := x.o.Elements[s.Main].Velocity
	m := min(max(abs(main)/velocity, 0.5), 3)
	own, _, err := sound.TakeOff{BranchFlow: flow.Value, BranchArea: s.Area, MainVelocity: main}.Power()
	if err != nil || own[band] < inaudible {
		return nil
	}
	ratio := derived(name+" velocity before over in the branch", "M", Plain, m, "held within 0.5 and 3", "M = min(max(V * S / Q, 0.5), 3)", Input{"V", x.velocity(s.Main)}, Input{"S", area}, Input{"Q", flow})
	a, b := 5.047*math.Pow(m, -0.254), 16.482*math.Pow(m, -0.303)
	diameter := math.Sqrt(4 * s.Area / math.Pi)
	strouhal := max(math.Log10(sound.Centre(band)*diameter/velocity), -b/(2*a))
	st := derived(at(name+" log of the Strouhal number", band), "s", Plain, strouhal, "frequency times diameter over velocity, not below the top of the curve", "s = max(log10(f * sqrt(4 * S / π) * S / Q), -(16.482 * M^(-0.303)) / (2 * 5.047 * M^(-0.254)))",
		Input{"f", x.frequency(band)}, Input{"S", area}, Input{"Q", flow}, Input{"M", ratio})
	return derived(at(name+" take-off noise", band), "Lt", Level, own[band], "turbulence at the branch (Reynolds; coefficients to three figures from memory)",
		"Lt = -21.6 + 12.388 * M^0.673 - s * (16.482 * M^(-0.303) + 5.047 * M^(-0.254) * s) + 10 * log10(f / 63) + 50 * log10(Q / S) + 10 * log10(S) + 10 * log10(sqrt(4 * S / π)) + 41.279",
		Input{"M", ratio}, Input{"s", st}, Input{"f", x.frequency(band)}, Input{"Q", flow}, Input{"S", area})
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
	c := d.Coefficient()
	coefficient := derived(name+" drop over velocity pressure", "C", Plain, c, "of standard air", "C = 1.6473 * "+expression+" * S^2 / Q^2", append(inputs, Input{"S", area}, Input{"Q", flow})...)
	equation := "1 / (1 + sqrt(C))"
	switch {
	case d.Blades == sound.SingleBlade && c > 4 && c < 16:
		equation = "max(1 / (1 + sqrt(C)), 0.68 * C^(-0.15) - 0.22)"
	case d.Blades == sound.SingleBlade && c > 4:
		equation = "0.68 * C^(-0.15) - 0.22"
	}
	blockage := derived(name+" free share of the duct", "B", Share, min(d.Blockage(), 1), "by its drop, as the method for dampers has it", "B = min(max("+equation+", 0.02), 1)", Input{"C", coefficient})
	velocity := flow.Value / (s.Shape.Area * blockage.Value)
	constriction := derived(name+" velocity past the blade", "V", Velocity, velocity, "in what the blade leaves free", "V = Q / (S * B)", Input{"Q", flow}, Input{"S", area}, Input{"B", blockage})
	height := row(name+" height across the blade's axis", "h", Length, s.Shape.Height, "the duct's, or its diameter, as the job has it")
	st := derived(at(name+" log of the Strouhal number", band), "s", Plain, math.Log10(sound.Centre(band)*s.Shape.Height/velocity), "frequency times height over velocity", "s = log10(f * h / V)", Input{"f", x.frequency(band)}, Input{"h", height}, Input{"V", constriction})
	return derived(at(name+" damper noise", band), "Lg", Level, own[band], "turbulence behind the blade (Reynolds; application guide on sound in ventilation systems)",
		"Lg = min(-36.3 - 10.7 * s, -1.1 - 35.9 * s) + 41.279 + 10 * log10(f / 63) + 50 * log10(V) + 10 * log10(S) + 10 * log10(h)",
		Input{"s", st}, Input{"f", x.frequency(band)}, Input{"V", constriction}, Input{"S", area}, Input{"h", height})
}

// ---- what is printed

const noiseMethod = "octave spectra of the outlet by its pressure drop (or its maker's rating), of dampers and takeoffs upstream, through ducts, division, end and room to the listener; Reynolds' formulas as quoted by Long, Architectural Acoustics, 2nd ed., and others, as solver/sound says"

// registerNoise explains the noise of one register.
func (x *Explainer) registerNoise(k int) *Step {
	n := &x.o.Registers[k].Noise
	name := x.g.Elements[x.g.Registers[k].Element].Name + " noise"
	band := bandOf(n.Band)
	if t := x.soundTrace(); t != nil && band >= 0 && k < len(t.Outlets) {
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
		if x.soundTrace() == nil || band < 0 {
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
	expression, inputs, levels := "", []Input(nil), []float64(nil)
	hear := func(o *state.SoundOpening, n *state.Noise) bool {
		if n.Levels[band] < inaudible {
			return true
		}
		level := x.heard(o, n, band)
		if level == nil {
			return false
		}
		symbol := fmt.Sprintf("L%d", len(inputs)+1)
		if len(inputs) > 0 {
			expression += " + "
		}
		expression += "10^(" + symbol + " / 10)"
		inputs, levels = append(inputs, Input{symbol, level}), append(levels, level.Value)
		return true
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
	if len(inputs) == 0 || abs(levelSum(levels...)-r.Levels[band]) > 1e-4 {
		return nil
	}
	return derived(at(r.Name+" room level", band), "L", Level, levelSum(levels...), "all that opens into the room", "L = 10 * log10("+expression+")", inputs...)
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
	weights := [sound.Bands]float64{-26.2, -16.1, -8.6, -3.2, 0, 1.2, 1.0, -1.1}
	expression, inputs, levels := "", []Input(nil), []float64(nil)
	for band, l := range r.Levels {
		if l < inaudible {
			continue
		}
		if len(inputs) > 0 {
			expression += " + "
		}
		symbol := fmt.Sprintf("L%d", band+1)
		expression += fmt.Sprintf("10^((%s %s) / 10)", symbol, strings.Replace(strings.Replace(fmt.Sprintf("%+.1f", weights[band]), "+", "+ ", 1), "-", "- ", 1))
		inputs = append(inputs, Input{symbol, model(at(r.Name+" room level", band), "L", Level, l, "found as the level of the governing band is, see "+r.Name+" room noise")})
		levels = append(levels, l+weights[band])
	}
	if len(inputs) == 0 || abs(levelSum(levels...)-r.DBA) > 1e-7*abs(r.DBA) {
		return model(name, "L", Level, r.DBA, "A-weighted sum of the same octaves, dB(A)")
	}
	return derived(name, "L", Level, r.DBA, "A-weighted sum of its octaves, dB(A) (IEC 61672-1)", "L = 10 * log10("+expression+")", inputs...)
}
