package derive

import (
	"fmt"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/internal/formula"
	"spillway/solver/resist"
)

// ductLoss is what a duct loses by friction and fittings, without a junction at its end, in the direction of its air.
func (x *Explainer) ductLoss(i int, spec *network.DuctSpec) *Step {
	name := x.g.Elements[i].Name
	value := abs(x.o.Elements[i].Drop - x.o.Elements[i].Junction)
	if spec.Length == 0 {
		return derived(name+" loss", "Δp", Pressure, value, "its fittings", "Δp = Δpl", Input{"Δpl", x.fittings(i, spec, value)})
	}
	friction := x.frictionLoss(i, spec)
	if spec.Local == 0 {
		return derived(name+" loss", "Δp", Pressure, value, "wall friction", "Δp = Δpf", Input{"Δpf", friction})
	}
	return derived(name+" loss", "Δp", Pressure, value, "wall friction and fittings", "Δp = Δpf + Δpl", Input{"Δpf", friction},
		Input{"Δpl", x.fittings(i, spec, value-friction.Value)})
}

// frictionLoss by Darcy and Weisbach.
func (x *Explainer) frictionLoss(i int, spec *network.DuctSpec) *Step {
	return x.remembered("friction\x00"+x.g.Elements[i].Name, func() *Step {
		name := x.g.Elements[i].Name
		e := &x.o.Elements[i]
		inputs := []Input{{"f", x.frictionFactor(i, spec)}, {"L", x.length(i, spec)}, {"D", x.hydraulicDiameter(i)}, {"ρ", x.density(i)}, {"V", x.velocity(i)}}
		equation := "Δpf = f * L / D * ρ * V^2 / 2"
		if spec.Multiplier != 1 {
			equation = "Δpf = M * f * L / D * ρ * V^2 / 2"
			inputs = append([]Input{{"M", x.multiplier(i, spec)}}, inputs...)
		}
		return derived(name+" friction", "Δpf", Pressure, e.Friction*spec.Length,
			"Darcy and Weisbach (Handbook of Fundamentals 2021 SI, ch. 21, eq. 18)", equation, inputs...)
	})
}

// length of a piece of duct.
func (x *Explainer) length(i int, spec *network.DuctSpec) *Step {
	e := &x.g.Elements[i]
	s := x.file(e.Name+" length", "L", Length, spec.Length, x.linePath(e.Line, "length")...)
	pieces := 0
	for k := range x.g.Elements {
		if x.g.Elements[k].Kind == network.KindDuct && x.g.Elements[k].Line == e.Line {
			pieces++
		}
	}
	switch {
	case pieces > 1:
		s.Words = "one of " + fmt.Sprint(pieces) + " pieces into which takeoffs cut the line; equivalent lengths of fittings count in the first"
	default:
		if l := x.line(e.Line); l != nil && abs(float64(l.Length)-spec.Length) > 1e-9 {
			s.Words = "with the equivalent lengths of its fittings"
		}
	}
	return s
}

// multiplier on the friction of flexible duct.
func (x *Explainer) multiplier(i int, spec *network.DuctSpec) *Step {
	e := &x.g.Elements[i]
	l := x.line(e.Line)
	if l == nil {
		return row(e.Name+" friction multiplier", "M", Plain, spec.Multiplier, "flexible duct")
	}
	k := derived(e.Name+" compression, percent", "K", Plain, 100*float64(l.Compression), "in percent", "K = 100 * c",
		Input{"c", x.file(e.Name+" compression", "c", Share, float64(l.Compression), x.linePath(e.Line, "compression")...)})
	f := resist.FlexFormula()
	if k.Value > catalog.FlexClamp {
		return row(e.Name+" friction multiplier", "M", Plain, spec.Multiplier, f.Words()+formula.Write(", held at # % of compression", catalog.FlexClamp))
	}
	s := by(f, e.Name+" friction multiplier", spec.Multiplier, k, x.hydraulicDiameter(i))
	if l.Sag > 0 {
		s.Equation = "M = S * (" + f.Text + ")"
		s.Inputs = append(s.Inputs, Input{"S", x.file(e.Name+" sag multiplier", "S", Plain, l.Sag, x.linePath(e.Line, "sag")...)})
	}
	return s
}

// frictionFactor in the regime of the duct's Reynolds number.
func (x *Explainer) frictionFactor(i int, spec *network.DuctSpec) *Step {
	name := x.g.Elements[i].Name
	e := &x.o.Elements[i]
	d := x.hydraulicDiameter(i)
	reynolds := derived(name+" Reynolds number", "Re", Plain, e.Density*e.Velocity*d.Value/x.viscosity(i).Value, "inertia over viscosity", "Re = ρ * V * D / μ",
		Input{"ρ", x.density(i)}, Input{"V", x.velocity(i)}, Input{"D", d}, Input{"μ", x.viscosity(i)})
	material, _ := catalog.LookupMaterial(spec.Material)
	rough := row(name+" roughness, "+spec.Material, "ε", Length, spec.Roughness, material.Source.String())
	relative := derived(name+" relative roughness", "r", Plain, spec.Roughness/d.Value, "roughness over diameter", "r = ε / D", Input{"ε", rough}, Input{"D", d})
	label, churchill, colebrook := name+" friction factor", resist.ChurchillFormula(), resist.ColebrookFormula()
	switch total := resist.FrictionFactor(reynolds.Value, relative.Value); {
	case reynolds.Value < resist.LaminarReynolds:
		return by(resist.LaminarFormula(), label, total, reynolds)
	case reynolds.Value < resist.BlendStart:
		return by(churchill, label, total, reynolds, relative)
	case reynolds.Value < resist.BlendEnd:
		return by(resist.TransitionFormula(), label, total, worked(churchill.As("f1"), label+" by Churchill", reynolds, relative),
			worked(colebrook.As("f2"), label+" by Colebrook", reynolds, relative), reynolds)
	default:
		s := by(colebrook, label, total, reynolds, relative)
		s.Words += "; f stands on both sides"
		return s
	}
}

// fittings are the local losses on a duct's own velocity pressure.
func (x *Explainer) fittings(i int, spec *network.DuctSpec, value float64) *Step {
	name := x.g.Elements[i].Name
	e := &x.o.Elements[i]
	c := x.coefficient(i, spec)
	inputs := []Input{{"C", c}, {"ρ", x.density(i)}, {"V", x.velocity(i)}}
	if k := worked(resist.VelocityKneeFormula(), name+" knee of its fittings", x.viscosity(i), x.density(i), x.hydraulicDiameter(i), c); k.Value*k.Value > leastKnee*e.Velocity*e.Velocity {
		return derived(name+" fittings", "Δpl", Pressure, value, "coefficients times velocity pressure, linear at rest", "Δpl = C * ρ / 2 * V * sqrt(V^2 + Vk^2)",
			append(inputs, Input{"Vk", k})...)
	}
	return derived(name+" fittings", "Δpl", Pressure, value, "coefficients times velocity pressure", "Δpl = C * ρ * V^2 / 2", inputs...)
}

// coefficient is the sum of a duct's fittings.
func (x *Explainer) coefficient(i int, spec *network.DuctSpec) *Step {
	name := x.g.Elements[i].Name
	if spec.Length == 0 && spec.Local < 1e-6 {
		return constant(name+" loss coefficient", "C", Plain, 1e-6, "a perfectly open passage counts as a millionth of a velocity pressure")
	}
	expression := ""
	var inputs []Input
	for k, l := range spec.Losses {
		symbol := fmt.Sprintf("C%d", k+1)
		if k > 0 {
			expression += " + "
		}
		if l.Count > 1 {
			expression += fmt.Sprintf("%d * ", l.Count)
		}
		expression += symbol
		s := row(l.Name, symbol, Plain, l.Coefficient, l.Source)
		if l.Source == "job file" {
			s = x.file(l.Name, symbol, Plain, l.Coefficient, x.linePath(x.g.Elements[i].Line, "fittings")...)
		}
		inputs = append(inputs, Input{symbol, s})
	}
	return derived(name+" fittings' coefficient", "C", Plain, spec.Local, "its fittings, each on this duct's velocity pressure", "C = "+expression, inputs...)
}

// junctionLoss is what the junction at a duct's end takes from it, by the velocity pressure of the leg towards the blower.
func (x *Explainer) junctionLoss(i int) *Step {
	name := x.g.Elements[i].Name
	value := x.o.Elements[i].Junction
	for k := range x.g.Junctions {
		j := &x.g.Junctions[k]
		if j.Run != i && j.Branch != i {
			continue
		}
		leg := "straight leg"
		switch {
		case j.Branch == i:
			leg = "branch"
		case j.RunOut+j.RunIn > 0:
			leg = "straight leg with its change of section"
		}
		common, rho := x.velocityIn(j.Common, j.CommonArea), x.density(j.Common)
		pv := rho.Value * common.Value * common.Value / 2
		if !(pv > 0) {
			break
		}
		kind, _ := catalog.LookupJunction(j.Kind)
		share := abs(x.o.Elements[j.Branch].Flow / x.o.Elements[j.Common].Flow)
		c := row(fmt.Sprintf("%s, %s: %.3g of the flow in the branch, areas %.3g", j.Kind, leg, share, j.BranchArea/j.CommonArea), "Cj", Plain, value/pv, kind.Source.String())
		return derived(name+" share of the junction", "Δpj", Pressure, value, "coefficient by flow split, on the velocity pressure of "+x.g.Elements[j.Common].Name, "Δpj = Cj * ρ * V^2 / 2",
			Input{"Cj", c}, Input{"ρ", rho}, Input{"V", common})
	}
	return solvedLeaf(name+" share of the junction", "Δpj", Pressure, value, "junction law at this flow split")
}

// velocityIn is an element's velocity; a junction's area is that of its duct.
func (x *Explainer) velocityIn(i int, area float64) *Step {
	if s, _ := x.sectionAt(i); abs(s.Area()-area) <= 1e-9 {
		return x.velocity(i)
	}
	e := &x.o.Elements[i]
	return derived(x.g.Elements[i].Name+" velocity before the junction", "V", Velocity, abs(e.Flow)/(e.Density*area), "actual volume flow over the section of the line",
		"V = abs(m) / (ρ * A)", Input{"m", x.flow(i)}, Input{"ρ", x.density(i)},
		Input{"A", x.file("area of the line", "A", Area, area, x.linePath(x.g.Elements[i].Line, "size")...)})
}
