package derive

import (
	"fmt"
	"math"

	"spillway/solver/sound/jet"
)

// throw is how far the air of a register carries in its room: until it has slowed to 0.25 m/s, or to what is in its way.
func (x *Explainer) throw(k int) *Step {
	r := &x.o.Registers[k]
	free := x.freeThrow(k)
	name := x.g.Elements[x.g.Registers[k].Element].Name
	if r.ThrowEnd == jet.Nothing {
		return named(name+" throw", free)
	}
	what := map[jet.End]string{jet.AtCeiling: "the ceiling, along which it turns", jet.AtWall: "the far wall", jet.AtFloor: "the floor"}[r.ThrowEnd]
	return derived(name+" throw", "Xc", Length, r.Throw, "the jet reaches "+what, "Xc = min(X, d)", Input{"X", free},
		Input{"d", model(name+" way to the "+r.ThrowEnd.String(), "d", Length, r.Throw, "by the height of the register and the size of its room, as the job gives them or as assumed")})
}

// freeThrow is the length of the jet until it has slowed to 0.25 m/s, as if nothing were in its way.
func (x *Explainer) freeThrow(k int) *Step {
	reg, r := &x.g.Registers[k], &x.o.Registers[k]
	i := reg.Element
	name := x.g.Elements[i].Name
	pattern, ok := jet.Lookup(r.Pattern)
	if !ok || !(x.o.Elements[i].Flow > 0) {
		return model(name+" free throw", "X", Length, r.FreeThrow, "isothermal jet to 0.25 m/s")
	}
	const handbook = "ASHRAE Handbook – Fundamentals (SI), ch. 20"
	kind := "pattern " + r.Pattern
	if !r.PatternGiven {
		kind += ", taken where the job names none"
	}
	flow := x.actual(i)
	area := derived(name+" effective area of the jet", "A0", Area, pattern.FreeShare*x.area(i).Value, "share of the "+pattern.Area+" that the jet fills", "A0 = f * A",
		Input{"f", row("share of the "+pattern.Area, "f", Share, pattern.FreeShare, handbook+", Table 1: "+kind)}, Input{"A", x.area(i)})
	constantOf := row(name+" throw constant", "K", Plain, pattern.K, fmt.Sprintf("%s, Table 1, ±%.0f %%: %s", handbook, 100*pattern.Spread, kind))
	inputs := []Input{{"z", constant("share of the throw left by the jet's fourth zone", "z", Share, jet.SlowZone, handbook+", Example 1")}, {"K", constantOf}, {"Q", flow},
		{"V", constant("terminal velocity", "V", Velocity, jet.SlowAir, "50 fpm, about the threshold of feeling air move")}, {"A0", area}}
	equation := "X = z * K * Q / (V * sqrt(A0))"
	words := "the jet slows as its distance grows (" + handbook + ", eqs. 4 to 8)"
	if pattern.Attached && !r.Attached {
		equation += " * c"
		inputs = append(inputs, Input{"c", constant("a jet in the open over one along a ceiling", "c", Share, jet.FreeShare, handbook)})
	}
	if pattern.Direction != jet.Horizontal {
		f := jet.VerticalFormula(pattern.Direction)
		words += "; " + f.Words()
		equation += " * (" + f.Text + ")"
		supply := solvedLeaf(name+" temperature", "ts", Temperature, r.Temperature, x.heatProof())
		if math.IsNaN(r.Temperature) {
			supply = named("register temperature, taken as the room's", x.indoor())
		}
		inputs = append(inputs, Input{"ts", supply}, Input{"ti", x.indoor()})
	}
	return derived(name+" free throw", "X", Length, r.FreeThrow, words, equation, inputs...)
}
