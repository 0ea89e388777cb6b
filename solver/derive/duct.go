package derive

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/resist"
)

// Limits of the flow regimes in the friction law.
const (
	laminarReynolds = 1000
	blendStart      = 2300
	blendEnd        = 4000
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
	equation := "M = 1 + 0.58 * K * exp(-4.96 * D)"
	inputs := []Input{{"K", k}, {"D", x.hydraulicDiameter(i)}}
	words := "flexible duct (Handbook of Fundamentals 2021 SI, ch. 21, eq. 22 and 23)"
	if l.Sag > 0 {
		equation = "M = S * (1 + 0.58 * K * exp(-4.96 * D))"
		inputs = append(inputs, Input{"S", x.file(e.Name+" sag multiplier", "S", Plain, l.Sag, x.linePath(e.Line, "sag")...)})
	}
	if 100*float64(l.Compression) > 45 {
		return row(e.Name+" friction multiplier", "M", Plain, spec.Multiplier, words+", held at 45 % of compression")
	}
	return derived(e.Name+" friction multiplier", "M", Plain, spec.Multiplier, words, equation, inputs...)
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
	re, r := reynolds.Value, relative.Value
	label := name + " friction factor"
	churchill := func(symbol string) *Step {
		a := math.Pow(-2.457*math.Log(math.Pow(7/re, 0.9)+0.27*r), 16)
		b := math.Pow(37530/re, 16)
		f := 8 * math.Pow(math.Pow(8/re, 12)+math.Pow(a+b, -1.5), 1.0/12)
		return derived(label+" by Churchill", symbol, Plain, f, "Churchill, all regimes (Chemical Engineering 84, 1977)",
			symbol+" = 8 * ((8 / Re)^12 + ((-2.457 * ln((7 / Re)^0.9 + 0.27 * r))^16 + (37530 / Re)^16)^(-1.5))^(1 / 12)", Input{"Re", reynolds}, Input{"r", relative})
	}
	switch {
	case re < laminarReynolds:
		return derived(label, "f", Plain, 64/re, "laminar", "f = 64 / Re", Input{"Re", reynolds})
	case re < blendStart:
		s := churchill("f")
		s.Name = label
		return s
	case re < blendEnd:
		c := churchill("f1")
		total := resist.FrictionFactor(re, r)
		t := (re - blendStart) / (blendEnd - blendStart)
		w := t * t * (3 - 2*t)
		turbulent := c.Value + (total-c.Value)/w
		k := derived(label+" by Colebrook", "f2", Plain, turbulent, "Colebrook", "1 / sqrt(f2) = -2 * log10(r / 3.7 + 2.51 / (Re * sqrt(f2)))", Input{"Re", reynolds}, Input{"r", relative})
		return derived(label, "f", Plain, total, "smooth passage between Re 2300 and 4000 (our choice)",
			"f = f1 + (f2 - f1) * ((Re - 2300) / 1700)^2 * (3 - 2 * (Re - 2300) / 1700)", Input{"f1", c}, Input{"f2", k}, Input{"Re", reynolds})
	}
	return derived(label, "f", Plain, resist.FrictionFactor(re, r), "Colebrook (Handbook of Fundamentals 2021 SI, ch. 21, eq. 19); f stands on both sides",
		"1 / sqrt(f) = -2 * log10(r / 3.7 + 2.51 / (Re * sqrt(f)))", Input{"Re", reynolds}, Input{"r", relative})
}

// fittings are the local losses on a duct's own velocity pressure.
func (x *Explainer) fittings(i int, spec *network.DuctSpec, value float64) *Step {
	name := x.g.Elements[i].Name
	e := &x.o.Elements[i]
	c := x.coefficient(i, spec)
	inputs := []Input{{"C", c}, {"ρ", x.density(i)}, {"V", x.velocity(i)}}
	knee := kneeReynolds * x.viscosity(i).Value / (e.Density * x.hydraulicDiameter(i).Value) / math.Sqrt(1+c.Value)
	if knee*knee > leastKnee*e.Velocity*e.Velocity {
		k := derived(name+" knee of its fittings", "Vk", Velocity, knee, "velocity at which Re = 200/√(1 + C): slower air is resisted in proportion (our choice)",
			"Vk = 200 * μ / (ρ * D) / sqrt(1 + C)", Input{"μ", x.viscosity(i)}, Input{"ρ", x.density(i)}, Input{"D", x.hydraulicDiameter(i)}, Input{"C", c})
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
