package state

import (
	"fmt"
	"math"
	"slices"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/section"
	"spillway/solver/air"
	"spillway/solver/flow"
	"spillway/solver/resist"
)

// laws is what is kept of the elements' pressure laws besides those in the workspace.
type laws struct {
	fan     fan
	reliefs map[int]*resist.Relief
}

// fan is what the state package needs of a blower besides its law.
type fan interface {
	flow.Law
	Watts(q float64) (watts float64, known bool)
}

// makeLaws gives every element its law in the air as it is now.
func (c *calculation) makeLaws() error {
	g := c.solver.graph
	for i := range g.Elements {
		c.kind[i] = lawOfItsOwn
		law, err := c.law(i)
		if err != nil {
			return fmt.Errorf("%s: %w", g.Elements[i].Name, err)
		}
		c.element[i] = law
	}
	return nil
}

func (c *calculation) law(i int) (flow.Law, error) {
	e := &c.solver.graph.Elements[i]
	if law := lawOf[e.Kind]; law != nil {
		return law(c, i, e.Spec)
	}
	return nil, noLaw(e.Spec)
}

// partLaw makes the pressure law of an element by its Spec.
type partLaw func(c *calculation, i int, spec network.Spec) (flow.Law, error)

// lawOf are the pressure laws by kind of part.
var lawOf = [network.PartKinds]partLaw{
	network.KindDuct:      lawBy((*calculation).ductLaw),
	network.KindDamper:    lawBy((*calculation).setDamperLaw),
	network.KindRelief:    lawBy((*calculation).weightedLaw),
	network.KindRegulator: lawBy((*calculation).pressureLaw),
	network.KindBackdraft: lawBy((*calculation).backdraftLaw),
	network.KindRegister:  lawBy((*calculation).openingLaw),
	network.KindGrille:    lawBy((*calculation).openingLaw),
	network.KindFilter:    lawBy((*calculation).filterLaw),
	network.KindCoil:      lawBy((*calculation).coilLaw),
	network.KindBlower:    lawBy((*calculation).blowerLaw),
	network.KindLeak:      lawBy((*calculation).leakLaw),
	network.KindOpening: func(c *calculation, i int, spec network.Spec) (flow.Law, error) {
		if gap, ok := spec.(*network.GapSpec); ok {
			l, err := resist.NewOrifice(gap.Area, resist.TransferOpening, c.set.air[i])
			return c.local(i, l), err
		}
		return lawBy((*calculation).openingLaw)(c, i, spec)
	},
}

// lawBy is the law of a kind of part that has one type of Spec.
func lawBy[S network.Spec](law func(c *calculation, i int, spec S) (flow.Law, error)) partLaw {
	return func(c *calculation, i int, spec network.Spec) (flow.Law, error) {
		own, ok := spec.(S)
		if !ok {
			return nil, noLaw(spec)
		}
		return law(c, i, own)
	}
}

func noLaw(spec network.Spec) error { return fmt.Errorf("no pressure law for it as %T", spec) }

func (c *calculation) ductLaw(i int, spec *network.DuctSpec) (flow.Law, error) {
	d, err := resist.NewDuct(resist.DuctData{
		Area: spec.Section.Area(), Diameter: spec.Section.HydraulicDiameter(), Length: spec.Length, Roughness: spec.Roughness,
		Multiplier: spec.Multiplier, Local: spec.Local, Air: c.set.air[i],
	})
	return c.duct(i, d), err
}

func (c *calculation) setDamperLaw(i int, spec *network.DamperSpec) (flow.Law, error) {
	return c.localLaw(i, spec.Section.Area(), func() (float64, error) {
		return setDamperZeta(spec, c.set.position[i])
	})
}

func (c *calculation) pressureLaw(i int, spec *network.RegulatorSpec) (flow.Law, error) {
	return c.localLaw(i, spec.Section.Area(), func() (float64, error) {
		return damperZeta(&spec.Blade, c.set.position[i])
	})
}

func (c *calculation) weightedLaw(i int, spec *network.ReliefSpec) (flow.Law, error) {
	r, err := reliefLaw(spec, c.set.air[i])
	if c.laws.reliefs == nil {
		c.laws.reliefs = map[int]*resist.Relief{}
	}
	c.laws.reliefs[i] = r
	return r, err
}

func (c *calculation) backdraftLaw(i int, spec *network.BackdraftSpec) (flow.Law, error) {
	return backdraftLaw(spec, c.set.air[i])
}

func (c *calculation) openingLaw(i int, spec *network.OpeningSpec) (flow.Law, error) {
	if spec.Drop > 0 {
		return ratedOpening(spec, c.set.air[i])
	}
	return c.localLaw(i, spec.Section.Area(), func() (float64, error) {
		zeta, err := openingZeta(spec)
		return zeta + openingBlades(spec), err // register and blades are one loss on one section
	})
}

func (c *calculation) filterLaw(i int, spec *network.RatedSpec) (flow.Law, error) {
	return resist.NewFilter(resist.Rating{Drop: spec.Drop, Flow: spec.At, Exponent: spec.Exponent}, spec.Factor, c.set.air[i])
}

func (c *calculation) coilLaw(i int, spec *network.RatedSpec) (flow.Law, error) {
	wetness := 1.0
	if c.set.wet {
		wetness = spec.WetFactor
	}
	return resist.NewCoil(resist.Rating{Drop: spec.Drop, Flow: spec.At, Exponent: spec.Exponent}, wetness, c.set.air[i])
}

func (c *calculation) blowerLaw(i int, spec *network.BlowerSpec) (flow.Law, error) {
	f, err := c.solver.fanLaw(spec, c.set, c.set.air[i].Density)
	c.laws.fan = f
	return f, err
}

// positionOf fills in how far a damper is open at a flow, by its kind, and how far its blade is from open.
var positionOf = [network.PartKinds]func(c *calculation, d *Damper, q float64){
	network.KindDamper: func(c *calculation, d *Damper, _ float64) {
		d.Position, d.Moved = c.set.position[d.Element], false
		d.Blade = catalog.BladeAngle(100 * d.Position)
		if spec, ok := c.solver.graph.Elements[d.Element].Spec.(*network.DamperSpec); ok {
			d.Calling = c.set.calls(spec.Zones)
		}
	},
	network.KindRegulator: func(c *calculation, d *Damper, _ float64) {
		d.Position = c.set.position[d.Element]
		d.Blade = catalog.BladeAngle(100 * d.Position)
	},
	network.KindRelief: func(c *calculation, d *Damper, q float64) {
		phi := c.laws.reliefs[d.Element].Opening(q)
		d.Position, d.Blade = phi/90, 90-phi
	},
	network.KindBackdraft: func(_ *calculation, d *Damper, q float64) {
		if q > 0 {
			d.Position = 1
		}
		d.Blade = catalog.BladeAngle(100 * d.Position)
	},
}

// leakLaw is a leak in the air as it is. A house has a score of them, so the law in standard air is kept.
func (c *calculation) leakLaw(i int, spec *network.LeakSpec) (flow.Law, error) {
	l := &c.leaks[i]
	if l.of != *spec {
		standard, err := resist.NewLeak(spec.Coefficient, spec.Exponent, air.Standard())
		if err != nil {
			return nil, err
		}
		l.of, l.standard = *spec, standard
	}
	var err error
	l.law, err = l.standard.In(c.set.air[i])
	return &l.law, err
}

// leakLaw is the law of a leak in standard air, of what it was made, and in the air as it is.
type leakLaw struct {
	of            network.LeakSpec
	standard, law resist.PowerLaw
}

// localLaw is a local loss whose coefficient does not depend on the air, and is looked up once for a setting.
func (c *calculation) localLaw(i int, area float64, zeta func() (float64, error)) (flow.Law, error) {
	if math.IsNaN(c.zeta[i]) {
		var err error
		if c.zeta[i], err = zeta(); err != nil {
			return nil, err
		}
	}
	l, err := resist.NewLocal(c.zeta[i], area, c.set.air[i])
	return c.local(i, l), err
}

// damperZeta is the loss coefficient of a damper at an opening, with its leak.
func damperZeta(b *network.Blade, position float64) (float64, error) {
	kind, set, err := damperSetting(b)
	return catalog.Zeta(kind, catalog.BladeAngle(100*position), set), err
}

// setDamperZeta is the same for a damper that is set, with what a study has it differ by.
func setDamperZeta(spec *network.DamperSpec, position float64) (float64, error) {
	kind, set, err := damperSetting(&spec.Blade)
	if err != nil {
		return 0, err
	}
	angle := catalog.BladeAngle(100 * position)
	if spec.Deviation != 0 {
		set.BladeFactor = math.Exp(spec.Deviation * catalog.BladeDeviation(angle))
	}
	if spec.LeakDeviation != 0 {
		set.ClosedZeta *= math.Exp(spec.LeakDeviation * catalog.DamperLeakageDeviation)
	}
	zeta := catalog.Zeta(kind, angle, set)
	if spec.Factor > 0 {
		zeta *= spec.Factor
	}
	return zeta, nil
}

// damperSetting is what decides the loss of a damper besides its angle.
func damperSetting(b *network.Blade) (catalog.BladeKind, catalog.Setting, error) {
	row, ok := catalog.LookupBlade(b.Shape)
	if !ok {
		return 0, catalog.Setting{}, fmt.Errorf("damper blade %q is not in the catalogue", b.Shape)
	}
	closed, err := closedZeta(b.Leakage, b.LeakageClass)
	set := catalog.Setting{ClosedZeta: closed}
	if row.Kind == catalog.RectangularBlade && b.Section.Shape == section.Rectangular {
		set.Proportion = b.Section.Height / b.Section.Width
	}
	return row.Kind, set, err
}

func reliefLaw(spec *network.ReliefSpec, a air.State) (*resist.Relief, error) {
	leak := catalog.ReliefLeakArea
	if spec.Leakage > 0 || spec.LeakageClass != "" {
		closed, err := closedZeta(spec.Leakage, spec.LeakageClass)
		if err != nil {
			return nil, err
		}
		leak = resist.ReliefLeak(closed)
	}
	if spec.Arm > 0 {
		return resist.NewRelief(resist.ReliefData{SetPressure: spec.OpensAt, ArmAngle: spec.Arm, Area: spec.Section.Area(), LeakFraction: leak, Air: a})
	}
	return resist.NewSimpleRelief(resist.SimpleReliefData{StartPressure: spec.OpensAt, FullPressure: spec.FullyOpenAt,
		Area: spec.Section.Area(), LeakFraction: leak, Air: a})
}

// OpenBackdraft is the loss of a gravity backdraft damper with its blades blown open: that of a multi-blade damper fully open.
const OpenBackdraft = 0.52

func backdraftLaw(spec *network.BackdraftSpec, a air.State) (flow.Law, error) {
	class := spec.LeakageClass
	if class == "" && spec.Leakage < 0 {
		class = "backdraft"
	}
	closed, err := closedZeta(spec.Leakage, class)
	if err != nil {
		return nil, err
	}
	open, err := resist.NewLocal(OpenBackdraft, spec.Section.Area(), a)
	if err != nil {
		return nil, err
	}
	shut, err := resist.NewLocal(closed, spec.Section.Area(), a)
	if err != nil {
		return nil, err
	}
	return resist.NewBackdraft(open, shut), nil
}

// openingBlades is the loss of a register's own damper beyond what it has when open: opposed blades in the neck. Fully open they are part of
// the register's rating.
func openingBlades(spec *network.OpeningSpec) float64 {
	if spec.Balance == nil {
		return 0
	}
	set := catalog.Setting{Proportion: catalog.RegisterBladeProportion}
	angle := catalog.BladeAngle(100 * float64(*spec.Balance))
	return max(catalog.Zeta(catalog.OpposedBlades, angle, set)-catalog.Zeta(catalog.OpposedBlades, 0, set), 0)
}

// ratedOpening is a register or grille with a catalogue point.
func ratedOpening(spec *network.OpeningSpec, a air.State) (flow.Law, error) {
	rated, err := resist.NewPowerLaw(resist.Rating{Drop: spec.Drop, Flow: spec.At, Exponent: 2}, a)
	if err != nil || spec.Balance == nil {
		return rated, err
	}
	d, err := resist.NewLocal(openingBlades(spec), spec.Section.Area(), a)
	if err != nil {
		return nil, err
	}
	return resist.NewSeries(rated, d), nil
}

func openingZeta(spec *network.OpeningSpec) (float64, error) {
	row, ok := spec.Terminal()
	if !ok {
		return 0, fmt.Errorf("%q is not a register or grille of the catalogue", spec.Kind)
	}
	return row.Zeta(spec.FreeShare()), nil
}

// fanLaw is the blower's law at its tap, or holding its set airflow.
func (s *Solver) fanLaw(spec *network.BlowerSpec, set *setting, density float64) (fan, error) {
	i := slices.IndexFunc(spec.Taps, func(t network.TapCurve) bool { return t.Name == set.tap })
	if set.tap == "" {
		i = 0
	}
	switch {
	case i < 0:
		return nil, fmt.Errorf("the blower has no tap %q", set.tap)
	case spec.Kind == constantAirflow && set.airflow > 0:
		return newHeldFlow(set.airflow, fanTable(&spec.Taps[i]), density)
	case s.fans[i] != nil:
		return s.fans[i].At(density), nil
	}
	return resist.NewStallFan(fanTable(&spec.Taps[i]), density)
}

// constantAirflow is the blower kind that holds a set flow.
const constantAirflow = "constant airflow"

func fanTable(t *network.TapCurve) resist.FanTable {
	table := make(resist.FanTable, len(t.Static))
	for i := range t.Static {
		table[i] = resist.FanRow{Static: t.Static[i], Flow: t.Airflow[i]}
		if i < len(t.Watts) {
			table[i].Watts = t.Watts[i]
		}
	}
	return table
}

// heldFlow is a constant-airflow blower at a set flow below what its table gives at most. Its power is the table's at the same
// static, in proportion to the air power with the same internal loss: W = W_table Q (p + p_i) / (Q_table (p + p_i)), p_i falling
// with the square of the flow (our choice).
type heldFlow struct {
	resist.ConstantFlow
	limit   resist.Fan
	density float64
}

// internalLoss of the cabinet at the table's flow, Pa: 0.25 in. of water (constructed with the catalogue's tables).
const internalLoss = 62.3

func newHeldFlow(set float64, table resist.FanTable, density float64) (fan, error) {
	c, err := resist.NewConstantFlow(resist.ConstantFlowData{Flow: set, Limit: table, Density: density})
	if err != nil {
		return nil, err
	}
	limit, err := resist.NewFan(table, density)
	if err != nil {
		return nil, err
	}
	return heldFlow{ConstantFlow: c, limit: limit, density: density}, nil
}

// Watts implements fan.
func (h heldFlow) Watts(q float64) (float64, bool) {
	drop, _ := h.Drop(q)
	rise := math.Max(-drop, 0)
	full := h.limit.FlowAt(rise)
	watts, known := h.limit.Watts(full)
	if !known || full <= 0 {
		return math.NaN(), false
	}
	share := q / full
	return watts * share * (rise + internalLoss*share*share) / (rise + internalLoss), true
}
