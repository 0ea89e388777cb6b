package derive

import (
	"fmt"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/state"
)

// system offers the blower's operating point.
func (x *Explainer) system() {
	b := &x.o.Blower
	const group = "Blower"
	x.tell(group, state.BlowerAirflow, 0, func() *Step { return x.airflow(x.g.Blower) })
	x.tell(group, state.BlowerExternalStatic, 0, x.externalStatic)
	x.tell(group, state.BlowerPower, 0, x.power)
	x.tell(group, state.BlowerPowerPerFlow, 0, func() *Step {
		return derived("power per airflow", "w", PowerPerFlow, b.Power/b.Airflow, "electric power over airflow", "w = P / Q", Input{"P", x.power()}, Input{"Q", x.airflow(x.g.Blower)})
	})
	if c := x.capacity(); c != nil {
		x.tell(group, state.BlowerPerTon, 0, func() *Step {
			return derived("airflow per ton", "q", FlowPerHeat, b.Airflow/c.Value, "blower airflow over the nominal cooling of the stage that runs", "q = Q / Pn", Input{"Q", x.airflow(x.g.Blower)}, Input{"Pn", c})
		})
	}
	x.offer(group, "blower actual airflow", b.ActualAirflow, func() *Step {
		return derived("blower actual airflow", "Qa", Airflow, b.ActualAirflow, "mass flow over the density of the air in the blower", "Qa = m / ρ",
			Input{"m", x.flowExplained(x.g.Blower)}, Input{"ρ", x.density(x.g.Blower)})
	})
	if x.o.Bypass > 0 {
		x.tell(group, state.EquipmentBypassShare, 0, func() *Step {
			var steps []*Step
			for i := range x.g.Elements {
				e := &x.g.Elements[i]
				if d, ok := e.Spec.(*network.DuctSpec); ok && e.Side == network.BypassSide && d.First {
					steps = append(steps, x.flow(i))
				}
			}
			expression, inputs := sum("m", steps)
			return derived("bypass share", "r", Share, x.o.Bypass, "what goes through the bypass over what the blower moves", "r = ("+expression+") / mb",
				append(inputs, Input{"mb", x.flow(x.g.Blower)})...)
		})
	}
}

// capacity is the nominal cooling of the stage that runs; nil when there is none.
func (x *Explainer) capacity() *Step {
	m := x.job.Equipment.Cooling
	if m == nil || x.o.State.Mode != network.Cooling {
		return nil
	}
	if n := x.o.State.Stage - 1; n >= 0 && n < len(m.Stages) && m.Stages[n].Capacity > 0 && m.Stages[n].Capacity != m.Capacity {
		return x.file("nominal cooling of the stage", "Pn", Heat, float64(m.Stages[n].Capacity), "equipment", "cooling", "stage", m.Stages[n].Name, "capacity")
	}
	if m.Capacity <= 0 {
		return nil
	}
	return x.file("nominal cooling", "Pn", Heat, float64(m.Capacity), "equipment", "cooling", "capacity")
}

func (x *Explainer) power() *Step {
	s := x.tableLeaf("blower power by its table at this static", "Pt", Power, x.o.Blower.Power*air.StandardDensity/x.o.Elements[x.g.Blower].Density)
	return derived("blower power", "P", Power, x.o.Blower.Power, "the table holds for standard air; power goes with density (fan laws)", "P = Pt * ρ / ρs",
		Input{"Pt", s}, Input{"ρ", x.density(x.g.Blower)}, Input{"ρs", x.standardDensity()})
}

// externalStatic is explained by what the loop outside the blower loses: on along the most air to a room, and back.
func (x *Explainer) externalStatic() *Step {
	return x.remembered("external static", func() *Step {
		i := x.g.Blower
		_, outlet := x.ends(i)
		inlet, _ := x.ends(i)
		there, end := x.wayFrom(outlet)
		back := x.wayTo(inlet)
		expression, inputs := x.terms(append(append([]int{}, there...), back.elements...), "+", "-")
		words := "what one way round the system loses outside the blower: " + x.wayWords(there, back.elements)
		equation := "s = 0" + expression
		if end != back.start {
			equation += " + pe - pb"
			inputs = append(inputs, Input{"pe", x.endPressure(end)}, Input{"pb", x.endPressure(back.start)})
		}
		return derived("external static", "s", Pressure, x.o.Blower.ExternalStatic, words, equation, inputs...)
	})
}

func (x *Explainer) endPressure(node int) *Step {
	if x.g.Nodes[node].Known {
		return x.total(node)
	}
	return solvedLeaf(x.g.Nodes[node].Name+" total pressure", "p", Pressure, x.o.Nodes[node].Total, "balance of all air that comes and goes there")
}

func (x *Explainer) wayWords(there, back []int) string {
	if len(there) == 0 || len(back) == 0 {
		return "from outlet to inlet"
	}
	return fmt.Sprintf("from the blower through %s into the house and back through %s (every other way loses the same)",
		x.g.Elements[there[len(there)-1]].Name, x.g.Elements[back[0]].Name)
}

// ledger offers where the blower's air goes.
func (x *Explainer) ledger() {
	l := &x.o.Ledger
	const group = "Where the air goes"
	x.tell(group, state.LedgerSurplus, 0, func() *Step {
		return derived("surplus", "S", Airflow, l.Surplus, "what the blower moves beyond what the calling zones want and get", "S = Q - W",
			Input{"Q", x.airflow(x.g.Blower)}, Input{"W", x.wantedAir()})
	})
	x.tell(group, state.LedgerWanted, 0, x.wantedAir)
	for k := range l.Paths {
		p := &l.Paths[k]
		name := p.Name()
		x.offer(group, name, p.Airflow, func() *Step { return x.path(name, p) })
		if l.Blower > 0 {
			x.offer(group, name+" share", p.Airflow, func() *Step {
				return derived(name+" share", "r", Share, p.Airflow/l.Blower, "of the blower's air", "r = q / Q", Input{"q", x.path(name, p)}, Input{"Q", x.airflow(x.g.Blower)})
			})
		}
	}
}

// wantedOf is what a register delivers of what it wants.
func (x *Explainer) wantedOf(k int) *Step {
	r := &x.o.Registers[k]
	reg := &x.g.Registers[k]
	name := x.g.Elements[reg.Element].Name + " wanted and got"
	return x.remembered("wanted\x00"+name, func() *Step {
		return derived(name, "w", Airflow, max(0, min(r.Airflow, r.Wants)), "what it delivers, up to its want", "w = max(0, min(Q, Qw))",
			Input{"Q", x.airflow(reg.Element)}, Input{"Qw", x.want(k)})
	})
}

// want is what a register should deliver.
func (x *Explainer) want(k int) *Step {
	reg := &x.g.Registers[k]
	name := x.g.Elements[reg.Element].Name + " wanted"
	line := x.line(reg.Line)
	s := x.file(name, "Qw", Airflow, reg.Wants, x.linePath(reg.Line, "wants")...)
	if s.Origin.Kind == File && line != nil && s.Origin.Place.Line == 0 && s.Origin.Place.File == "" {
		s.Origin = Origin{Kind: Assumed, Text: "its share of what its zone wants"}
	}
	return s
}

func (x *Explainer) wantedAir() *Step {
	return x.remembered("wanted air", func() *Step {
		var steps []*Step
		for k := range x.o.Registers {
			if x.o.Registers[k].Calling && !x.g.Registers[k].Dump {
				steps = append(steps, x.wantedOf(k))
			}
		}
		expression, inputs := sum("w", steps)
		return derived("wanted and got", "W", Airflow, x.o.Ledger.Wanted, "what the registers of the calling zones deliver, each up to its want", "W = "+expression, inputs...)
	})
}

// path explains one line of the ledger.
func (x *Explainer) path(name string, p *state.Path) *Step {
	return x.remembered("path\x00"+name, func() *Step {
		var steps []*Step
		words, symbol := "", "Q"
		switch p.Kind {
		case state.PathWanted, state.PathCalling, state.PathBleed:
			words = "its registers"
			for k := range x.g.Registers {
				r := &x.g.Registers[k]
				if r.Zone != p.To || r.Dump {
					continue
				}
				switch p.Kind {
				case state.PathWanted:
					steps, symbol, words = append(steps, x.wantedOf(k)), "w", "its registers, each up to its want"
				case state.PathCalling:
					words = "what its registers deliver beyond their wants"
					e := x.g.Elements[r.Element].Name + " more than wanted"
					q := x.o.Registers[k].Airflow
					steps = append(steps, derived(e, "x", Airflow, q-max(0, min(q, r.Wants)), "delivered less wanted", "x = Q - w", Input{"Q", x.airflow(r.Element)}, Input{"w", x.wantedOf(k)}))
				default:
					steps = append(steps, x.airflow(r.Element))
				}
			}
		case state.PathDump:
			words = "its registers"
			for k := range x.g.Registers {
				if r := &x.g.Registers[k]; r.Dump && r.Line == p.To {
					steps = append(steps, x.airflow(r.Element))
				}
			}
		case state.PathBypass:
			words = "the line's first duct"
			for i := range x.g.Elements {
				e := &x.g.Elements[i]
				if d, ok := e.Spec.(*network.DuctSpec); ok && e.Line == p.To && d.First {
					steps = append(steps, x.airflow(i))
				}
			}
		case state.PathLeakage:
			words = "the leak"
			for _, i := range x.g.SameLeak(p.Element) {
				words = "the leaks of this figure of the file"
				steps = append(steps, x.airflow(i))
			}
		}
		expression, inputs := sum(symbol, steps)
		return derived(name, "q", Airflow, p.Airflow, words, "q = "+expression, inputs...)
	})
}

// surplusOf is the part of an element's air that nobody asked for.
func (x *Explainer) surplusOf(i int) *Step {
	return x.remembered("surplus\x00"+x.g.Elements[i].Name, func() *Step {
		name := x.g.Elements[i].Name + " surplus"
		e := &x.o.Elements[i]
		if x.g.Elements[i].Side == network.BuildingSide {
			return constant(name, "S", Airflow, 0, "air in rooms is nobody's surplus any more")
		}
		return derived(name, "S", Airflow, e.Surplus, "its air less what somebody asked for", "S = max(0, abs(Q) - a)", Input{"Q", x.airflow(i)}, Input{"a", x.askedFor(i)})
	})
}

// askedFor is the asked-for part of an element's air: at registers by their wants, elsewhere by following the air back, well mixed where it divides.
func (x *Explainer) askedFor(i int) *Step {
	return x.remembered("asked\x00"+x.g.Elements[i].Name, func() *Step {
		e := &x.g.Elements[i]
		name := e.Name + " asked-for air"
		value := abs(x.o.Elements[i].Airflow) - x.o.Elements[i].Surplus
		for k := range x.g.Registers {
			if x.g.Registers[k].Element != i {
				continue
			}
			if !x.o.Registers[k].Calling || x.g.Registers[k].Dump {
				return constant(name, "a", Airflow, 0, "nobody calls for it")
			}
			return named(name, x.wantedOf(k))
		}
		if e.Kind == network.KindLeak {
			if value > 1e-15 {
				return solvedLeaf(name, "a", Airflow, value, "what the grilles cannot account for")
			}
			return constant(name, "a", Airflow, 0, "a leak is surplus")
		}
		_, to := x.ends(i)
		kind := x.g.Nodes[to].Kind
		if i == x.g.Blower || e.Kind == network.KindFilter || e.Side == network.ReturnSide || kind == network.RoomAir || kind == network.HouseAir || kind == network.Outdoors ||
			e.Side == network.BypassSide || x.within > 60 {
			if i == x.g.Blower {
				return named(name, x.wantedAir())
			}
			return solvedLeaf(name, "a", Airflow, value, "on the return side asked-for air is followed from the blower back to the grilles, in proportion to what each brings; a bypass or leak brings surplus only")
		}
		x.within++
		defer func() { x.within-- }()
		var steps []*Step
		for _, k := range x.outOf[to] {
			steps = append(steps, x.askedFor(k))
		}
		expression, inputs := sum("a", steps)
		if into := x.into[to]; len(into) > 1 {
			var flows []*Step
			for _, k := range into {
				flows = append(flows, x.flow(k))
			}
			total, more := sum("m", flows)
			for n := range more {
				total = replaceWord(total, more[n].Symbol, "abs("+more[n].Symbol+")")
			}
			return derived(name, "a", Airflow, value, "its share of what is asked for behind it", "a = ("+expression+") * abs(m) / ("+total+")",
				append(append(inputs, more...), Input{"m", x.flow(i)})...)
		}
		return derived(name, "a", Airflow, value, "what is asked for behind it", "a = "+expression, inputs...)
	})
}
