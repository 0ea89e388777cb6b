package derive

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/air"
	"spillway/solver/internal/formula"
	"spillway/solver/resist"
)

// law is the pressure that a part loses as an expression of its mass flow m and other inputs.
type law struct {
	words      string
	expression string
	inputs     []Input // without m
}

var leakTest = formula.Write("#", resist.LeakTest)

// leastKnee is the square of knee over flow below which the knee does not reach the last printed digit and is left out.
const leastKnee = 5e-7

// law is the pressure law of a part other than a duct, in its flow m; false where it has no closed form.
func (x *Explainer) law(i int) (law, bool) {
	if own := laws()[x.g.Elements[i].Kind]; own != nil {
		return own(x, i)
	}
	return law{}, false
}

// laws are the pressure laws with a closed form by kind of part.
func laws() [network.PartKinds]func(x *Explainer, i int) (law, bool) {
	damper := func(x *Explainer, i int) (law, bool) { return x.local(i, x.damperLoss(i)), true }
	opening := func(x *Explainer, i int) (law, bool) {
		switch spec := x.g.Elements[i].Spec.(type) {
		case *network.GapSpec:
			return x.gap(i, spec), true
		case *network.OpeningSpec:
			switch {
			case spec.Drop == 0:
				return x.local(i, x.openingLoss(i, spec)), true
			case spec.Balance == nil:
				return x.rated(i, x.ratingOf(i, spec)), true
			}
		}
		return law{}, false
	}
	rated := func(x *Explainer, i int) (law, bool) {
		spec, ok := x.g.Elements[i].Spec.(*network.RatedSpec)
		if !ok {
			return law{}, false
		}
		return x.rated(i, x.ratedPart(i, spec)), true
	}
	return [network.PartKinds]func(x *Explainer, i int) (law, bool){
		network.KindDamper: damper, network.KindRegulator: damper,
		network.KindRegister: opening, network.KindGrille: opening, network.KindOpening: opening,
		network.KindFilter: rated, network.KindCoil: rated,
		network.KindLeak: func(x *Explainer, i int) (law, bool) {
			spec, ok := x.g.Elements[i].Spec.(*network.LeakSpec)
			if !ok {
				return law{}, false
			}
			return x.rated(i, x.leakRating(i, spec)), true
		},
	}
}

// local is a loss coefficient on the velocity pressure in the part's area.
func (x *Explainer) local(i int, zeta *Step) law {
	return x.localOn(i, zeta, x.area(i))
}

func (x *Explainer) localOn(i int, zeta, area *Step) law {
	m := x.o.Elements[i].Flow
	l := law{words: "coefficient times velocity pressure", expression: "ζ * m * abs(m) / (2 * ρ * A^2)",
		inputs: []Input{{"ζ", zeta}, {"ρ", x.density(i)}, {"A", area}}}
	knee := worked(resist.KneeFormula(), x.g.Elements[i].Name+" knee of its law", x.viscosity(i), area, zeta)
	if knee.Value*knee.Value > leastKnee*m*m {
		l.words += fmt.Sprintf(", turning linear below the flow d where Re = %g/√(1 + ζ)", resist.KneeReynolds)
		l.expression = resist.LocalFormula().Text
		l.inputs = append(l.inputs, Input{"d", knee})
	}
	return l
}

// gap is a sharp-edged opening.
func (x *Explainer) gap(i int, spec *network.GapSpec) law {
	e := &x.g.Elements[i]
	discharge := catalogueConstant("orifice discharge", "discharge coefficient", "Cd", Plain)
	zeta := derived(e.Name+" loss coefficient", "ζ", Plain, 1/(discharge.Value*discharge.Value), "Q = Cd A √(2 Δp/ρ), solved for the coefficient", "ζ = 1 / Cd^2", Input{"Cd", discharge})
	cracks := catalogueConstant("crack allowance", "cracks round a shut door", "Ac", Area)
	width, undercut := 0.0, 0.0
	for k := range x.job.Rooms {
		if r := &x.job.Rooms[k]; r.Name == e.Room && r.Door != nil {
			width, undercut = float64(r.Door.Width), float64(r.Door.Undercut)
		}
	}
	var w *Step
	if width == 0 {
		width = network.UsualDoor
		w = assumed(e.Name+" width", "w", Length, width, "32 in, the usual inner door (common practice)")
	} else {
		w = x.file(e.Name+" width", "w", Length, width, "room", e.Room, "door", "width")
	}
	area := derived(e.Name+" open area", "A", Area, spec.Area, "undercut and cracks", "A = w * u + Ac", Input{"w", w},
		Input{"u", x.file(e.Name+" undercut", "u", Length, undercut, "room", e.Room, "door", "undercut")}, Input{"Ac", cracks})
	return x.localOn(i, zeta, area)
}

// rating is one measured point of a part and its exponent.
type rating struct {
	words                string
	drop, flow, exponent *Step
	factor               *Step // on the drop; nil for 1
}

// rated is a power law through a rating point, corrected for the air's density and viscosity.
func (x *Explainer) rated(i int, r rating) law {
	m := x.o.Elements[i].Flow
	l := law{words: r.words, expression: "Δpr * abs(m / (Qr * ρs))^n * m / abs(m) * (μ / μs)^(2 - n) * ρs / ρ",
		inputs: []Input{{"Δpr", r.drop}, {"Qr", r.flow}, {"n", r.exponent}, {"ρs", x.standardDensity()}, {"ρ", x.density(i)}, {"μ", x.viscosity(i)}, {"μs", x.standardViscosity()}}}
	if knee := resist.PowerKnee * r.flow.Value * air.StandardDensity; knee*knee > leastKnee*m*m {
		f := resist.PowerFormula()
		l.words, l.expression = l.words+", "+f.Name, f.Text
	}
	if r.factor != nil {
		l.expression = "F * " + l.expression
		l.inputs = append([]Input{{"F", r.factor}}, l.inputs...)
	}
	return l
}

func (x *Explainer) ratingOf(i int, spec *network.OpeningSpec) rating {
	_, path := x.sectionAt(i)
	name := x.g.Elements[i].Name
	return rating{words: "its catalogue point, as the square of the flow", drop: x.file(name+" rated drop", "Δpr", Pressure, spec.Drop, append(path[:len(path):len(path)], "drop")...),
		flow:     x.file(name+" rated airflow", "Qr", Airflow, spec.At, append(path[:len(path):len(path)], "at")...),
		exponent: constant("exponent", "n", Plain, 2, "a register's loss goes with the square of its flow")}
}

// ratedPart is a filter or coil.
func (x *Explainer) ratedPart(i int, spec *network.RatedSpec) rating {
	part := x.g.Elements[i].Kind.String()
	r := rating{words: "its rated drop, by the power n of the flow", drop: x.file(part+" rated drop", "Δpr", Pressure, spec.Drop, "equipment", part, "drop"),
		flow: x.file(part+" rated airflow", "Qr", Airflow, spec.At, "equipment", part, "at")}
	given := x.job.Equipment.Filter
	if part == "coil" {
		given = x.job.Equipment.Coil
	}
	if given != nil && given.Exponent > 0 {
		r.exponent = x.file(part+" exponent", "n", Plain, spec.Exponent, "equipment", part, "exponent")
	} else {
		r.exponent = catalogueConstant(part+" exponent", part+" exponent", "n", Plain)
	}
	switch {
	case part == "coil" && x.o.State.Mode == network.Cooling && spec.WetFactor != 1:
		r.factor = catalogueConstant("coil wet factor", "wet coil over dry coil", "F", Plain)
	case part == "filter" && spec.Factor != 1:
		r.factor = x.file("filter loading", "F", Plain, spec.Factor, "equipment", "filter", "loading")
	}
	return r
}

// leakRating is the leak at 25 Pa.
func (x *Explainer) leakRating(i int, spec *network.LeakSpec) rating {
	name := x.g.Elements[i].Name
	at := constant("test pressure of the law", "Δpr", Pressure, resist.LeakTest, "leaks are stated at "+leakTest+" Pa (common practice)")
	exponent := x.leakExponent(i, spec)
	inverse := derived(name+" exponent of its drop", "n", Plain, 1/spec.Exponent, "Q = C Δp^k turned round", "n = 1 / k", Input{"k", exponent})
	return rating{words: "a leak, Q = C Δp^k", drop: at, flow: x.leakFlow(i, spec, exponent), exponent: inverse}
}

// leakOf finds the leak of the job file that an element is part of, and its place.
func (x *Explainer) leakOf(i int) (l *network.Leak, path []string) {
	e := &x.g.Elements[i]
	spec, _ := e.Spec.(*network.LeakSpec)
	switch spec.Of {
	case network.LeakOfSupply:
		return x.job.Leakage.Supply, []string{"leakage", "supply"}
	case network.LeakOfReturn:
		return x.job.Leakage.Return, []string{"leakage", "return"}
	case network.LeakOfEnvelope:
		return x.job.Leakage.Envelope, []string{"leakage", "envelope"}
	case network.LeakOfRoom:
		return x.job.Room(e.RoomID).Envelope, []string{"room", e.Room, "envelope"}
	case network.LeakOfLine:
		return x.job.Line(e.LineID).Leakage, x.linePath(e.Line, "leakage")
	}
	return nil, nil
}

func (x *Explainer) leakExponent(i int, spec *network.LeakSpec) *Step {
	name := x.g.Elements[i].Name
	l, path := x.leakOf(i)
	switch {
	case l != nil && l.Exponent > 0:
		return x.file(name+" exponent", "k", Plain, spec.Exponent, append(path, "exponent")...)
	case l != nil && l.Class > 0:
		return catalogueConstant("duct leakage exponent", "leakage exponent", "k", Plain)
	}
	return catalogueConstant("leakage test exponent", "leakage exponent", "k", Plain)
}

// leakFlow is the leak's airflow at 25 Pa.
func (x *Explainer) leakFlow(i int, spec *network.LeakSpec, exponent *Step) *Step {
	name := x.g.Elements[i].Name
	l, path := x.leakOf(i)
	value := spec.Coefficient * math.Pow(25, spec.Exponent)
	label := name + " at 25 Pa"
	if l == nil || l.Class > 0 {
		return x.file(label+", by its class and surface", "Qr", Airflow, value, path...)
	}
	test := x.file("test pressure", "Δpt", Pressure, float64(l.At), path...)
	tested := x.file(name+" as tested", "Qt", Airflow, float64(l.Airflow), path...)
	if l.Airflow == 0 {
		design := x.designAirflow()
		tested = derived(name+" as tested", "Qt", Airflow, float64(l.Share)*design.Value, "its share of the blower's design airflow", "Qt = s * Qd",
			Input{"s", x.file(name+" share", "s", Share, float64(l.Share), path...)}, Input{"Qd", design})
	}
	if spec.Share == 1 {
		return derived(label, "Qr", Airflow, value, "moved to "+leakTest+" Pa by its exponent", "Qr = Qt * ("+leakTest+" / Δpt)^k", Input{"Qt", tested}, Input{"Δpt", test}, Input{"k", exponent})
	}
	part := row(name+" share of the figure", "w", Share, spec.Share, "plenum, ducts by surface and boots, in the house or outdoors by where they lie; "+catalog.LeakSharesSource.String())
	return derived(label, "Qr", Airflow, value, "its share of the figure, moved to "+leakTest+" Pa by the exponent", "Qr = w * Qt * ("+leakTest+" / Δpt)^k",
		Input{"w", part}, Input{"Qt", tested}, Input{"Δpt", test}, Input{"k", exponent})
}

func (x *Explainer) designAirflow() *Step {
	return x.remembered("design airflow", func() *Step {
		spec, _ := x.g.Elements[x.g.Blower].Spec.(*network.BlowerSpec)
		s := x.tableLeaf("blower's design airflow", "Qd", Airflow, x.g.DesignAirflow)
		if spec != nil {
			s.Origin.Text += ": at its rated static, on the highest tap in use"
		}
		return s
	})
}

// openingLoss is the coefficient of a register or grille.
func (x *Explainer) openingLoss(i int, spec *network.OpeningSpec) *Step {
	return x.remembered("opening\x00"+x.g.Elements[i].Name, func() *Step {
		name := x.g.Elements[i].Name
		terminal, _ := spec.Terminal()
		_, path := x.sectionAt(i)
		var free *Step
		share := spec.FreeShare()
		switch {
		case spec.FreeArea == 0 && share == catalog.DefaultFreeArea:
			free = catalogueConstant("free area", "free share of the face", "f", Share)
		case spec.FreeArea == 0:
			free = row(name+" free share of the face", "f", Share, share, terminal.Source.String())
		default:
			free = x.file(name+" free share of the face", "f", Share, share, append(path[:len(path):len(path)], "free-area")...)
		}
		grid := worked(resist.GridFormula(terminal.Role), name+" loss coefficient", free)
		grid.Words += " (" + terminal.Source.String() + ")"
		if spec.Balance == nil {
			return grid
		}
		opposed, _ := catalog.LookupBlade("opposed")
		position := float64(*spec.Balance)
		set := catalog.Setting{Proportion: catalog.RegisterBladeProportion}
		own := max(catalog.Zeta(opposed.Kind, catalog.BladeAngle(100*position), set)-catalog.Zeta(opposed.Kind, 0, set), 0)
		open := worked(resist.GridFormula(terminal.Role).As("ζ1"), name+" loss coefficient, open", free)
		open.Words = grid.Words
		damper := row(fmt.Sprintf("%s damper at %.0f %% open, beyond open", name, 100*position), "ζ2", Plain, own, opposed.Source.String())
		return derived(name+" loss coefficient", "ζ", Plain, open.Value+own, "its face and its own damper", "ζ = ζ1 + ζ2", Input{"ζ1", open}, Input{"ζ2", damper})
	})
}
