package derive

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/section"
	"spillway/solver/internal/formula"
	"spillway/solver/resist"
)

// damperLoss is the coefficient of a set or motorised damper where it stands: blade and leak in parallel.
func (x *Explainer) damperLoss(i int) *Step {
	return x.remembered("damper\x00"+x.g.Elements[i].Name, func() *Step {
		name := x.g.Elements[i].Name
		blade := network.BladeOf(x.g.Elements[i].Spec)
		s := blade.Section
		kind, _ := catalog.LookupBlade(blade.Shape)
		position := x.position(i)
		closed, closedStep := x.closedLoss(name, blade.Damper, blade.Leakage, blade.LeakageClass)
		set := catalog.Setting{ClosedZeta: closed}
		if kind.Kind == catalog.RectangularBlade && s.Shape == section.Rectangular {
			set.Proportion = s.Height / s.Width
		}
		angle := derived(name+" blade angle", "θ", Angle, catalog.BladeAngle(100*position.Value), "degrees from open", "θ = 90 * (1 - x)", Input{"x", position})
		total := catalog.Zeta(kind.Kind, angle.Value, set)
		g := 1/math.Sqrt(total) - 1/math.Sqrt(closed)
		if !(g > 1e-9) {
			return derived(name+" loss coefficient", "ζ", Plain, total, "the blade is shut: only the gaps round it pass air", "ζ = ζl", Input{"ζl", closedStep})
		}
		own := row(fmt.Sprintf("%s blade alone at %.4g°", name, angle.Value), "ζb", Plain, 1/(g*g), blade.Shape+" blade; "+kind.Source.String())
		own.Words = "read at its angle"
		// The angle shows at which row the table was read.
		read := derived(own.Name, "ζb", Plain, own.Value, "the table's row for the "+blade.Shape+" blade at angle θ, "+angleText(angle.Value), "ζb = r + 0 * θ",
			Input{"r", own}, Input{"θ", angle})
		return derived(name+" loss coefficient", "ζ", Plain, total, "blade and leak pass air side by side", "ζ = 1 / (1 / sqrt(ζb) + 1 / sqrt(ζl))^2", Input{"ζb", read}, Input{"ζl", closedStep})
	})
}

func angleText(a float64) string { return fmt.Sprintf("%.4g° from open", a) }

// closedLoss is the loss of the gaps round a shut blade.
func (x *Explainer) closedLoss(name, damper string, share float64, class string) (float64, *Step) {
	if class != "" {
		leak, _ := catalog.LookupDamperLeakage(class)
		return leak.ClosedZeta(), row(name+" gaps when shut", "ζl", Plain, leak.ClosedZeta(), leak.Name+"; "+leak.Source.String())
	}
	var from *Step
	if share < 0 {
		share = catalog.DefaultDamperLeakage
		from = catalogueConstant("damper leakage", "leakage when shut", "s", Share)
	} else {
		from = x.file(name+" leakage when shut", "s", Share, share, "damper", damper, "leakage")
	}
	if share < catalog.LeastDamperLeakage {
		value := catalog.LeakZeta(share)
		return value, row(name+" gaps when shut", "ζl", Plain, value, formula.Write("no damper is tighter than # % (our choice)", 100*catalog.LeastDamperLeakage))
	}
	s := worked(resist.ShutFormula(), name+" gaps when shut", from)
	return s.Value, s
}

// position is how far a damper is open in this call, and who says so.
func (x *Explainer) position(i int) *Step {
	name := x.g.Elements[i].Name
	value, moved, calling := 1.0, false, false
	for k := range x.o.Dampers {
		if d := &x.o.Dampers[k]; d.Element == i {
			value, moved, calling = d.Position, d.Moved, d.Calling
		}
	}
	label := name + " open"
	if moved {
		return solvedLeaf(label, "x", Share, value, "where the air or the controller moves it, found with the flows")
	}
	spec, ok := x.g.Elements[i].Spec.(*network.DamperSpec)
	switch {
	case !ok:
		return solvedLeaf(label, "x", Share, value, "found with the flows")
	case x.panelSets(spec):
		s := x.file(label, "x", Share, value, "panel", "call")
		s.Words = "as the panel sets it in this call"
		return s
	case spec.Damper == "":
		s := x.file(label, "x", Share, value, x.linePath(x.g.Elements[i].Line, "balance")...)
		s.Words = "hand balance"
		return s
	case value == float64(spec.Open) && (calling || spec.Hand || spec.Open != spec.Stop):
		words := "open for its call"
		if spec.Hand {
			words = "set by hand"
		}
		var s *Step
		if x.gives(spec.Damper, true) {
			s = x.file(label, "x", Share, value, "damper", spec.Damper, "open")
		} else {
			s = assumed(label, "x", Share, value, "a damper opens fully when the file does not say otherwise")
		}
		s.Words = words
		return s
	}
	s := x.file(label, "x", Share, value, "damper", spec.Damper, "stop")
	s.Words = "at its stop: its zones do not call"
	return s
}

func (x *Explainer) gives(damper string, _ bool) bool {
	for k := range x.job.Dampers {
		if d := &x.job.Dampers[k]; d.Name == damper {
			return d.Open != nil
		}
	}
	return false
}

// panelSets tells whether the zone panel has a rule of its own for a damper in this call.
func (x *Explainer) panelSets(spec *network.DamperSpec) bool {
	for k := range x.job.Panel.Calls {
		c := &x.job.Panel.Calls[k]
		if len(c.Zones) != len(x.o.State.Calling) {
			continue
		}
		same := true
		for _, z := range x.o.State.Calling {
			found := false
			for _, w := range c.Zones {
				found = found || w == z
			}
			same = same && found
		}
		if !same {
			continue
		}
		for _, d := range c.Damper {
			if d.Name == spec.Damper {
				return true
			}
		}
	}
	return false
}
