package derive

import (
	"spillway/network"
	"spillway/network/section"
)

// sectionAt is the section on which an element's velocity is calculated, and where the job gives it.
func (x *Explainer) sectionAt(i int) (s section.Section, path []string) {
	e := &x.g.Elements[i]
	line := x.linePath(e.Line, "size")
	s, ok := network.SectionOf(e.Spec)
	blade := network.BladeOf(e.Spec)
	switch {
	case !ok:
		return s, nil
	case e.Kind == network.KindGrille:
		return s, x.linePath(e.Line, "grille")
	case e.Kind == network.KindRegister:
		return s, x.linePath(e.Line, "register")
	case e.Kind == network.KindOpening:
		return s, []string{"room", e.Room, "transfer"}
	case blade != nil && e.DamperID != network.None && x.job.Damper(e.DamperID).Size.Area() > 0:
		return s, []string{"damper", blade.Damper, "size"}
	}
	return s, line
}

// area of an element's section.
func (x *Explainer) area(i int) *Step {
	return x.remembered("area\x00"+x.g.Elements[i].Name, func() *Step {
		s, path := x.sectionAt(i)
		name := x.g.Elements[i].Name + " area"
		width := x.file(x.g.Elements[i].Name+" width", "a", Length, s.Width, path...)
		height := x.file(x.g.Elements[i].Name+" height", "b", Length, s.Height, path...)
		switch s.Shape {
		case section.Rectangular:
			return derived(name, "A", Area, s.Area(), "width times height", "A = a * b", Input{"a", width}, Input{"b", height})
		case section.FlatOval:
			return derived(name, "A", Area, s.Area(), "two half circles and what is between them (Heyt and Diaz 1975)",
				"A = π * min(a, b)^2 / 4 + min(a, b) * (max(a, b) - min(a, b))", Input{"a", width}, Input{"b", height})
		}
		diameter := x.file(x.g.Elements[i].Name+" diameter", "D", Length, s.Width, path...)
		return derived(name, "A", Area, s.Area(), "circle", "A = π * D^2 / 4", Input{"D", diameter})
	})
}

// hydraulicDiameter of a duct.
func (x *Explainer) hydraulicDiameter(i int) *Step {
	return x.remembered("diameter\x00"+x.g.Elements[i].Name, func() *Step {
		s, path := x.sectionAt(i)
		name := x.g.Elements[i].Name + " hydraulic diameter"
		width := x.file(x.g.Elements[i].Name+" width", "a", Length, s.Width, path...)
		height := x.file(x.g.Elements[i].Name+" height", "b", Length, s.Height, path...)
		switch s.Shape {
		case section.Rectangular:
			return derived(name, "D", Length, s.HydraulicDiameter(), "four areas over the perimeter", "D = 2 * a * b / (a + b)", Input{"a", width}, Input{"b", height})
		case section.FlatOval:
			return derived(name, "D", Length, s.HydraulicDiameter(), "four areas over the perimeter",
				"D = 4 * A / (π * min(a, b) + 2 * (max(a, b) - min(a, b)))", Input{"A", x.area(i)}, Input{"a", width}, Input{"b", height})
		}
		return x.file(x.g.Elements[i].Name+" diameter", "D", Length, s.Width, path...)
	})
}

// velocity of the air in an element.
func (x *Explainer) velocity(i int) *Step {
	return x.remembered("velocity\x00"+x.g.Elements[i].Name, func() *Step {
		return derived(x.g.Elements[i].Name+" velocity", "V", Velocity, x.o.Elements[i].Velocity, "actual volume flow over the section",
			"V = abs(m) / (ρ * A)", Input{"m", x.flow(i)}, Input{"ρ", x.density(i)}, Input{"A", x.area(i)})
	})
}
