package derive

import (
	"fmt"

	"spillway/network"
	"spillway/solver/air"
)

// flow is an element's mass flow as the solution has it.
func (x *Explainer) flow(i int) *Step {
	return x.remembered("flow\x00"+x.g.Elements[i].Name, func() *Step {
		e := &x.o.Elements[i]
		c := &x.o.Certificate
		s := solvedLeaf(x.g.Elements[i].Name+" mass flow", "m", MassFlow, e.Flow,
			fmt.Sprintf("all pressure laws and air balances together, %d iterations", c.Iterations))
		s.Origin.Low, s.Origin.High = e.Low*air.StandardDensity, e.High*air.StandardDensity
		return s
	})
}

// airflow is an element's flow as standard air, with its mass flow explained by what it is made of.
func (x *Explainer) airflow(i int) *Step {
	return x.remembered("airflow\x00"+x.g.Elements[i].Name, func() *Step {
		return derived(x.g.Elements[i].Name+" airflow", "Q", Airflow, x.o.Elements[i].Airflow, "mass flow over the density of standard air",
			"Q = m / ρs", Input{"m", x.flowExplained(i)}, Input{"ρs", x.standardDensity()})
	})
}

// flowExplained says of what a mass flow is made: by the balance of air where it divides or gathers, down to the registers, grilles and
// leaks, whose flow follows from the pressure at their ends.
func (x *Explainer) flowExplained(i int) *Step {
	return x.remembered("flow explained\x00"+x.g.Elements[i].Name, func() *Step {
		e := &x.g.Elements[i]
		if s, ok := x.flowByLaw(i); ok {
			return s
		}
		if e.Side == network.BypassSide || x.o.Elements[i].Flow < 0 || x.within > 60 {
			return x.flow(i)
		}
		x.within++
		defer func() { x.within-- }()
		// On the supply side the air divides downstream, on the return side it has gathered upstream.
		down := e.Side != network.ReturnSide && e.Kind != network.KindFilter
		node := x.divide(i, down)
		if node < 0 {
			return x.flow(i)
		}
		var plus, minus []*Step
		add, take := x.outOf[node], x.into[node]
		words := "what leaves " + x.g.Nodes[node].Name
		if !down {
			add, take = take, add
			words = "what enters " + x.g.Nodes[node].Name
		}
		for _, k := range add {
			plus = append(plus, magnitude(x.o.Elements[k].Flow, x.flowExplained(k)))
		}
		for _, k := range take {
			if !x.series(i, k, down) {
				minus = append(minus, magnitude(x.o.Elements[k].Flow, x.flow(k)))
				words += ", less what comes from elsewhere"
			}
		}
		expression, inputs := sum("m", plus)
		for k, s := range minus {
			symbol := fmt.Sprintf("o%d", k+1)
			expression += " - " + symbol
			inputs = append(inputs, Input{symbol, s})
		}
		return derived(e.Name+" mass flow", "m", MassFlow, x.o.Elements[i].Flow, words, "m = "+expression, inputs...)
	})
}

// magnitude is a flow without its sign.
func magnitude(value float64, s *Step) *Step {
	if value >= 0 {
		return s
	}
	return derived(s.Name+", against the part's direction", "m", MassFlow, -value, "its magnitude", "m = abs(m1)", Input{"m1", s})
}

// divide walks from an element along parts in series to the node where its air divides (or has gathered); −1 when it ends before.
func (x *Explainer) divide(i int, down bool) int {
	for range x.g.Elements {
		from, to := x.ends(i)
		node, next := to, x.outOf
		if !down {
			node, next = from, x.into
		}
		if kind := x.g.Nodes[node].Kind; kind != network.Joint && kind != network.Chamber {
			return -1
		}
		if len(x.outOf[node])+len(x.into[node]) != 2 {
			return node
		}
		if len(next[node]) != 1 {
			return -1
		}
		i = next[node][0]
		if _, ok := x.flowByLaw(i); ok {
			return node
		}
	}
	return -1
}

// series tells whether k carries the same air as i, one after the other, on the way to the node where it divides.
func (x *Explainer) series(i, k int, down bool) bool {
	for range x.g.Elements {
		if i == k {
			return true
		}
		from, to := x.ends(i)
		node, next := to, x.outOf
		if !down {
			node, next = from, x.into
		}
		if len(x.outOf[node])+len(x.into[node]) != 2 || len(next[node]) != 1 {
			return false
		}
		i = next[node][0]
	}
	return false
}

// flowByLaw explains the flow of a part whose two ends have pressures of their own: a register, a grille, a leak, a gap.
func (x *Explainer) flowByLaw(i int) (*Step, bool) {
	e := &x.g.Elements[i]
	key := "flow by law " + e.Name
	if s, ok := x.memo[key]; ok {
		return s, s != nil
	}
	law, ok := x.law(i)
	switch e.Kind {
	case network.KindRegister, network.KindGrille, network.KindLeak, network.KindOpening:
	default:
		ok = false
	}
	if !ok || x.o.Elements[i].Flow == 0 {
		x.memo[key] = nil
		return nil, false
	}
	s := derived(e.Name+" mass flow", "m", MassFlow, x.o.Elements[i].Flow, "the flow at which it loses just the pressure between its two ends: "+law.words,
		"Δp = "+law.expression, append([]Input{{"Δp", x.between(i)}}, law.inputs...)...)
	x.memo[key] = s
	return s, true
}
