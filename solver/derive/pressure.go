package derive

import (
	"fmt"
	"slices"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/air"
)

// drop is what an element loses of total pressure in its own direction, with the junction at its end.
func (x *Explainer) drop(i int) *Step {
	return x.remembered("drop\x00"+x.g.Elements[i].Name, func() *Step {
		name := x.g.Elements[i].Name + " drop"
		if own := drops()[x.g.Elements[i].Kind]; own != nil {
			return own(x, i, name)
		}
		return x.lawDrop(i, name)
	})
}

// drops are the drops of parts whose law has no closed form in their flow; all others have one of laws.
func drops() [network.PartKinds]func(x *Explainer, i int, name string) *Step {
	return [network.PartKinds]func(x *Explainer, i int, name string) *Step{
		network.KindBlower: func(x *Explainer, i int, name string) *Step {
			return derived(name, "Δp", Pressure, x.o.Elements[i].Drop, "a blower adds what others lose", "Δp = -s", Input{"s", x.tableRise()})
		},
		network.KindDuct: (*Explainer).ductDrop,
		network.KindRelief: func(x *Explainer, i int, name string) *Step {
			r, _ := x.relief(i)
			return x.reliefDrop(i, name, r)
		},
		network.KindBackdraft: func(x *Explainer, i int, name string) *Step {
			spec, _ := x.g.Elements[i].Spec.(*network.BackdraftSpec)
			return x.backdraftDrop(i, name, spec)
		},
	}
}

func (x *Explainer) ductDrop(i int, name string) *Step {
	spec, _ := x.g.Elements[i].Spec.(*network.DuctSpec)
	value, own := x.o.Elements[i].Drop, x.ductLoss(i, spec)
	sign := ""
	words := "what it loses"
	if x.o.Elements[i].Flow < 0 {
		sign, words = "-", "what it loses, the air running against its direction"
	}
	if x.o.Elements[i].Junction == 0 {
		return derived(name, "Δp", Pressure, value, words, "Δp = "+sign+"Δp1", Input{"Δp1", own})
	}
	return derived(name, "Δp", Pressure, value, words+", and its share of the junction", "Δp = "+sign+"Δp1 + Δpj", Input{"Δp1", own}, Input{"Δpj", x.junctionLoss(i)})
}

// lawDrop is the drop by a law in closed form.
func (x *Explainer) lawDrop(i int, name string) *Step {
	value := x.o.Elements[i].Drop
	l, ok := x.law(i)
	if !ok {
		return model(name, "Δp", Pressure, value, "pressure law of a "+x.g.Elements[i].Kind.String())
	}
	if x.o.Elements[i].Flow == 0 {
		return solvedLeaf(name, "Δp", Pressure, value, "no air moves")
	}
	equation, inputs := "Δp = "+l.expression, append([]Input{{"m", x.flow(i)}}, l.inputs...)
	if x.o.Elements[i].Junction != 0 {
		equation += " + Δpj"
		inputs = append(inputs, Input{"Δpj", x.junctionLoss(i)})
	}
	return derived(name, "Δp", Pressure, value, l.words, equation, inputs...)
}

// tableLeaf is a number read from the blower's table.
func (x *Explainer) tableLeaf(name, symbol string, q Quantity, value float64) *Step {
	spec, _ := x.g.Elements[x.g.Blower].Spec.(*network.BlowerSpec)
	s := &Step{Name: name, Symbol: symbol, Value: value, Quantity: q, Origin: Origin{Kind: Catalogue}}
	if spec == nil {
		return s
	}
	s.Origin.Text = fmt.Sprintf("table %q, tap %q", spec.Name, x.o.Blower.Tap)
	if x.job.Blower != nil {
		s.Origin = Origin{Kind: File, Text: s.Origin.Text, Place: x.job.Place("blower")}
	} else if r, ok := catalog.LookupBlower(x.job.Equipment.Blower.Table); ok {
		s.Origin.Text += "; " + r.Source.String()
	}
	for k := range spec.Taps {
		if t := &spec.Taps[k]; t.Name == x.o.Blower.Tap {
			for n := range t.Static {
				text := fmt.Sprintf("%.5g Pa: %.5g m³/s", t.Static[n], t.Airflow[n])
				if n < len(t.Watts) {
					text += fmt.Sprintf(", %.4g W", t.Watts[n])
				}
				s.Lines = append(s.Lines, text)
			}
		}
	}
	return s
}

// tableRise is the pressure that the blower adds at its airflow.
func (x *Explainer) tableRise() *Step {
	return x.remembered("blower rise", func() *Step {
		i := x.g.Blower
		value := x.o.Blower.ExternalStatic
		rho := x.o.Elements[i].Density
		table := x.tableLeaf("rise by the blower's table at this volume flow", "st", Pressure, value*air.StandardDensity/rho)
		table.Origin.Text += ", read between its rows by a monotone cubic"
		return derived("blower rise", "s", Pressure, value, "the table holds for standard air; pressure goes with density (fan laws)", "s = st * ρ / ρs",
			Input{"st", table}, Input{"ρ", x.density(i)}, Input{"ρs", x.standardDensity()})
	})
}

// way is a chain of elements from a node of known pressure to another, each passed in the direction of its air.
type way struct {
	start    int
	elements []int
}

// wayTo follows the air back from a node to where its pressure is known, each time by the element that brings most.
func (x *Explainer) wayTo(node int) way {
	w := way{start: node}
	seen := map[int]bool{}
	for !x.g.Nodes[w.start].Known && !seen[w.start] {
		seen[w.start] = true
		best, most := -1, -1.0
		for _, pass := range []bool{false, true} { // leaks and bypasses only when nothing else comes
			for _, k := range x.into[w.start] {
				side := x.g.Elements[k].Kind == network.KindLeak || x.g.Elements[k].Side == network.BypassSide
				if from, _ := x.ends(k); side == pass && !seen[from] && abs(x.o.Elements[k].Flow) > most {
					best, most = k, abs(x.o.Elements[k].Flow)
				}
			}
			if best >= 0 {
				break
			}
		}
		if best < 0 {
			break
		}
		w.elements = append(w.elements, best)
		w.start, _ = x.ends(best)
	}
	slices.Reverse(w.elements)
	return w
}

// wayFrom follows the air on from a node to where its pressure is known, each time by the element that takes most.
func (x *Explainer) wayFrom(node int) (elements []int, end int) {
	seen := map[int]bool{}
	for !x.g.Nodes[node].Known && !seen[node] {
		seen[node] = true
		best, most := -1, -1.0
		for _, k := range x.outOf[node] {
			if x.g.Elements[k].Kind == network.KindLeak || x.g.Elements[k].Side == network.BypassSide {
				continue
			}
			if _, to := x.ends(k); !seen[to] && abs(x.o.Elements[k].Flow) > most {
				best, most = k, abs(x.o.Elements[k].Flow)
			}
		}
		if best < 0 {
			break
		}
		elements = append(elements, best)
		_, node = x.ends(best)
	}
	return elements, node
}

// terms writes what a way's elements take and give as a sum. gain is the sign of what is lost: "-" along a way to a node.
func (x *Explainer) terms(elements []int, lost, given string) (expression string, inputs []Input) {
	losses, rises, lifts := 0, 0, 0
	for _, k := range elements {
		if k == x.g.Blower {
			rises++
			symbol := fmt.Sprintf("s%d", rises)
			expression += " " + given + " " + symbol
			inputs = append(inputs, Input{symbol, x.tableRise()})
			continue
		}
		losses++
		symbol := fmt.Sprintf("Δp%d", losses)
		sign := lost
		if x.o.Elements[k].Flow < 0 { // its own drop counts the other way
			sign = given
		}
		expression += " " + sign + " " + symbol
		inputs = append(inputs, Input{symbol, x.drop(k)})
		if x.o.Elements[k].Lift != 0 {
			lifts++
			symbol := fmt.Sprintf("b%d", lifts)
			sign := given
			if x.o.Elements[k].Flow < 0 {
				sign = lost
			}
			expression += " " + sign + " " + symbol
			inputs = append(inputs, Input{symbol, x.lift(k)})
		}
	}
	return expression, inputs
}

// lift is the buoyancy of the air in a riser.
func (x *Explainer) lift(i int) *Step {
	return x.remembered("lift\x00"+x.g.Elements[i].Name, func() *Step {
		e := &x.o.Elements[i]
		spec, ok := x.g.Elements[i].Spec.(*network.DuctSpec)
		name := x.g.Elements[i].Name + " buoyancy"
		if !ok || spec.Rise == 0 {
			return solvedLeaf(name, "b", Pressure, e.Lift, "lighter or heavier air in a riser")
		}
		reference := e.Lift/(air.Gravity*spec.Rise) + e.Density
		room := solvedLeaf("density of room air", "ρr", Density, reference, "room air of this weather, at the job's elevation")
		return derived(name, "b", Pressure, e.Lift, "air lighter than the room's rises by itself", "b = g * (ρr - ρ) * h",
			Input{"g", constant("gravity", "g", Plain, air.Gravity, "m/s²")}, Input{"ρr", room}, Input{"ρ", x.density(i)},
			Input{"h", x.file(x.g.Elements[i].Name+" rise", "h", Length, spec.Rise, x.linePath(x.g.Elements[i].Line, "rise")...)})
	})
}

// total is the total pressure at a node, by what the air gained and lost on its way from where the pressure is known.
func (x *Explainer) total(node int) *Step {
	return x.remembered("total\x00"+x.g.Nodes[node].Name, func() *Step {
		name := x.g.Nodes[node].Name + " total pressure"
		value := x.o.Nodes[node].Total
		if x.g.Nodes[node].Known {
			return constant(name, "p", Pressure, value, "the open house and outdoors are the reference, zero")
		}
		w := x.wayTo(node)
		if len(w.elements) == 0 {
			return solvedLeaf(name, "p", Pressure, value, "balance of all air that comes and goes there")
		}
		var start *Step
		if x.g.Nodes[w.start].Known {
			start = x.total(w.start)
		} else {
			start = solvedLeaf(x.g.Nodes[w.start].Name+" total pressure", "p0", Pressure, x.o.Nodes[w.start].Total, "balance of all air that comes and goes there")
		}
		expression, inputs := x.terms(w.elements, "-", "+")
		return derived(name, "p", Pressure, value, "from "+x.g.Nodes[w.start].Name+" along the air: what the blower adds, less what the parts lose", "p = p0"+expression,
			append([]Input{{"p0", start}}, inputs...)...)
	})
}

// static is the static pressure at a node.
func (x *Explainer) static(node int) *Step {
	return x.remembered("static\x00"+x.g.Nodes[node].Name, func() *Step {
		n := &x.o.Nodes[node]
		name := x.g.Nodes[node].Name + " static"
		if n.Static == n.Total {
			return derived(name, "ps", Pressure, n.Static, "still air: static and total pressure are the same", "ps = p", Input{"p", x.total(node)})
		}
		// The duct that brings most of the air has the velocity pressure that counts.
		best, most := -1, 0.0
		for _, k := range x.into[node] {
			if _, opening := x.g.Elements[k].Spec.(*network.OpeningSpec); !opening && abs(x.o.Elements[k].Flow) > most && x.o.Elements[k].Velocity == x.o.Elements[k].Velocity {
				best, most = k, abs(x.o.Elements[k].Flow)
			}
		}
		if best < 0 {
			return solvedLeaf(name, "ps", Pressure, n.Static, "total pressure less velocity pressure")
		}
		return derived(name, "ps", Pressure, n.Static, "total pressure less the velocity pressure of the air that arrives", "ps = p - ρ * V^2 / 2",
			Input{"p", x.total(node)}, Input{"ρ", x.density(best)}, Input{"V", x.velocity(best)})
	})
}

// between is the pressure between the two ends of an element in its own direction.
func (x *Explainer) between(i int) *Step {
	e := &x.g.Elements[i]
	return derived("pressure across "+e.Name, "Δp", Pressure, x.o.Elements[i].Drop, "total pressure before it less that behind it", "Δp = pa - pb",
		Input{"pa", x.total(e.From)}, Input{"pb", x.total(e.To)})
}
