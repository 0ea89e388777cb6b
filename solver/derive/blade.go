package derive

import (
	"fmt"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/resist"
	"spillway/solver/state"
)

// What opens by itself: weighted dampers by the moments on their blade, backdraft dampers by the way of the air.

// relief are the parts of a weighted damper's law.
type relief struct {
	spec            *network.ReliefSpec
	leak, open, set *Step // open share when shut, loss wide open, pressure at which it begins to open
	stop            float64
}

func (x *Explainer) relief(i int) (r relief, ok bool) {
	r.spec, ok = x.g.Elements[i].Spec.(*network.ReliefSpec)
	if !ok {
		return r, false
	}
	name := x.g.Elements[i].Name
	r.stop = catalog.ReliefFullOpen
	if r.spec.Leakage > 0 || r.spec.LeakageClass != "" {
		_, closed := x.closedLoss(name, r.spec.Damper, r.spec.Leakage, r.spec.LeakageClass)
		r.leak = worked(resist.ReliefLeakFormula(), name+" open share when shut", closed)
	} else {
		r.leak = catalogueConstant("relief leak area", name+" open share when shut", "l", Share)
	}
	r.open = row(name+" loss wide open", "ζ0", Plain, catalog.OpenBladeZeta, "shaft and blade of a butterfly blade at 0° (from memory)")
	r.set = x.file(name+" begins to open", "p0", Pressure, r.spec.OpensAt, "damper", r.spec.Damper, "opens-at")
	return r, true
}

// reliefAngle is how far the blade of a weighted damper has lifted, degrees from shut.
func (x *Explainer) reliefAngle(i int, r relief) *Step {
	return x.remembered("relief angle\x00"+x.g.Elements[i].Name, func() *Step {
		e := &x.g.Elements[i]
		angle := 0.0
		for k := range x.o.Dampers {
			if x.o.Dampers[k].Element == i {
				angle = 90 - x.o.Dampers[k].Blade
			}
		}
		name := e.Name + " lifted"
		drop := x.o.Elements[i].Drop - x.o.Elements[i].Junction
		switch {
		case angle <= 0:
			return solvedLeaf(name, "φ", Angle, 0, "shut: the pressure across it is below the one at which it begins to open, or the air comes from behind")
		case angle >= r.stop*(1-1e-9):
			return constant(name, "φ", Angle, angle, "against its stop")
		}
		balance, inputs := x.reliefBalance(i, r)
		m := x.flow(i)
		if k := 0.5 * m.Value * m.Value / (x.density(i).Value * x.area(i).Value * x.area(i).Value); abs(resist.ReliefFormula().At(r.leak.Value, angle, r.open.Value)*k/drop-1) > 5e-7 {
			return solvedLeaf(name, "φ", Angle, angle, "where the moments of air and weight on the blade balance at this flow, so slow that the loss is no longer square")
		}
		return derived(name, "φ", Angle, angle, "the angle at which the moments of air and weight balance and the blade loses just that pressure (our own derivation; calibrate it to the damper you have)",
			balance+" = ("+resist.ReliefFormula().Text+") * m^2 / (2 * ρ * A^2)", append(inputs, Input{"l", r.leak}, Input{"ζ0", r.open}, Input{"m", m}, Input{"ρ", x.density(i)}, Input{"A", x.area(i)})...)
	})
}

// reliefBalance is the pressure that holds the blade at an angle φ.
func (x *Explainer) reliefBalance(i int, r relief) (expression string, inputs []Input) {
	name := x.g.Elements[i].Name
	if r.spec.Arm > 0 {
		return "p0 * (1 + tan(δ * π / 180) * tan(φ * π / 180))", []Input{{"p0", r.set}, {"δ", x.file(name+" arm below level, shut", "δ", Angle, r.spec.Arm, "damper", r.spec.Damper, "arm")}}
	}
	var full *Step
	if r.spec.FullyOpenAt > 0 {
		full = x.file(name+" wide open at", "p1", Pressure, r.spec.FullyOpenAt, "damper", r.spec.Damper, "fully-open-at")
	} else {
		full = derived(name+" wide open at", "p1", Pressure, catalog.ReliefOpenRatio*r.spec.OpensAt, "a multiple of the pressure at which it begins", "p1 = k * p0",
			Input{"k", catalogueConstant("relief open ratio", "pressure wide open over pressure at first", "k", Plain)}, Input{"p0", r.set})
	}
	return "p0 + (p1 - p0) * φ / φm", []Input{{"p0", r.set}, {"p1", full}, {"φm", catalogueConstant("relief full opening", "blade at its stop, degrees from shut", "φm", Angle)}}
}

// reliefDrop is what a weighted damper loses.
func (x *Explainer) reliefDrop(i int, name string, r relief) *Step {
	value := x.o.Elements[i].Drop
	if x.o.Elements[i].Flow == 0 {
		return solvedLeaf(name, "Δp", Pressure, value, "no air moves")
	}
	angle := x.reliefAngle(i, r)
	junction := func(equation string, inputs []Input) (string, []Input) {
		if x.o.Elements[i].Junction != 0 {
			return equation + " + Δpj", append(inputs, Input{"Δpj", x.junctionLoss(i)})
		}
		return equation, inputs
	}
	if angle.Value > 0 && angle.Value < r.stop*(1-1e-9) {
		balance, inputs := x.reliefBalance(i, r)
		equation, inputs := junction("Δp = "+balance, append(inputs, Input{"φ", angle}))
		return derived(name, "Δp", Pressure, value, "the pressure at which the moments of air and weight on the blade balance", equation, inputs...)
	}
	zeta := worked(resist.ReliefFormula(), x.g.Elements[i].Name+" loss coefficient", r.leak, angle, r.open)
	l := x.local(i, zeta)
	equation, inputs := junction("Δp = "+l.expression, append([]Input{{"m", x.flow(i)}}, l.inputs...))
	return derived(name, "Δp", Pressure, value, l.words, equation, inputs...)
}

// backdraftDrop is what a one-way damper loses: its blades blown open, or its leak against the air.
func (x *Explainer) backdraftDrop(i int, name string, spec *network.BackdraftSpec) *Step {
	value := x.o.Elements[i].Drop
	if x.o.Elements[i].Flow == 0 {
		return solvedLeaf(name, "Δp", Pressure, value, "no air moves")
	}
	zeta := row(x.g.Elements[i].Name+" blades blown open", "ζ", Plain, state.OpenBackdraft, "a multi-blade damper fully open")
	if x.o.Elements[i].Flow < 0 {
		class := spec.LeakageClass
		if class == "" && spec.Leakage < 0 {
			class = "backdraft"
		}
		_, zeta = x.closedLoss(x.g.Elements[i].Name, spec.Damper, spec.Leakage, class)
	}
	l := x.local(i, zeta)
	equation, inputs := "Δp = "+l.expression, append([]Input{{"m", x.flow(i)}}, l.inputs...)
	if x.o.Elements[i].Junction != 0 {
		equation, inputs = equation+" + Δpj", append(inputs, Input{"Δpj", x.junctionLoss(i)})
	}
	return derived(name, "Δp", Pressure, value, l.words, equation, inputs...)
}

// reliefBlade is how far the blade stands from open, as dampers are printed.
func (x *Explainer) reliefBlade(i int, name string, value float64) *Step {
	r, ok := x.relief(i)
	if !ok {
		return model(name, "θ", Angle, value, "where the blade comes to rest")
	}
	return derived(name, "θ", Angle, value, fmt.Sprintf("degrees from open; it lifts at most %g° from shut", r.stop), "θ = 90 - φ", Input{"φ", x.reliefAngle(i, r)})
}
