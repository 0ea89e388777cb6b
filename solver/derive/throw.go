package derive

import (
	"math"

	"spillway/solver/sound/jet"
)

// throw is how far the air of a register carries until it has slowed to 0.25 m/s.
func (x *Explainer) throw(k int) *Step {
	reg, r := &x.g.Registers[k], &x.o.Registers[k]
	i := reg.Element
	name := x.g.Elements[i].Name
	pattern, ok := jet.Lookup(r.Pattern)
	if !ok || !(x.o.Elements[i].Flow > 0) {
		return model(name+" throw", "X", Length, r.Throw, "isothermal jet to 0.25 m/s")
	}
	const handbook = "ASHRAE Handbook – Fundamentals (SI), ch. 20"
	kind := "pattern " + r.Pattern
	if !r.PatternGiven {
		kind += ", taken where the job names none"
	}
	flow := derived(name+" actual airflow", "Q", Airflow, abs(x.o.Elements[i].Flow)/x.o.Elements[i].Density, "mass flow over density", "Q = abs(m) / ρ", Input{"m", x.flow(i)}, Input{"ρ", x.density(i)})
	area := derived(name+" effective area of the jet", "A0", Area, pattern.FreeShare*x.area(i).Value, "share of the "+pattern.Area+" that the jet fills", "A0 = f * A",
		Input{"f", row("share of the "+pattern.Area, "f", Share, pattern.FreeShare, handbook+", Table 1: "+kind)}, Input{"A", x.area(i)})
	constantOf := row(name+" throw constant", "K", Plain, pattern.K, handbook+", Table 1, generic values, ±30 %: "+kind)
	inputs := []Input{{"z", constant("share of the throw left by the jet's fourth zone", "z", Share, 0.70, handbook+", Example 1")}, {"K", constantOf}, {"Q", flow},
		{"V", constant("terminal velocity", "V", Velocity, jet.SlowAir, "50 fpm, about the threshold of feeling air move")}, {"A0", area}}
	equation := "X = z * K * Q / (V * sqrt(A0))"
	words := "the jet slows as its distance grows (" + handbook + ", eqs. 4 to 8)"
	if pattern.Attached && !r.Attached {
		equation += " * c"
		inputs = append(inputs, Input{"c", constant("a jet in the open over one along a ceiling", "c", Share, jet.FreeShare, handbook)})
	}
	if pattern.Direction != jet.Horizontal {
		sign, way := "+", "up"
		if pattern.Direction == jet.Down {
			sign, way = "-", "down"
		}
		words += "; temperature takes 2 % per K, up to 20 K, from a jet that starts " + way + " (ASHRAE Journal, April 1999)"
		equation += " * (1 " + sign + " 0.02 * min(max(ts - ti, -20), 20))"
		supply := solvedLeaf(name+" temperature", "ts", Temperature, r.Temperature, x.heatProof())
		if math.IsNaN(r.Temperature) {
			supply = named("register temperature, taken as the room's", x.indoor())
		}
		inputs = append(inputs, Input{"ts", supply}, Input{"ti", x.indoor()})
	}
	return derived(name+" throw", "X", Length, r.Throw, words, equation, inputs...)
}
