package state

import (
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/sound"
)

// The fields that code names. Any field may get a constant; it has no other meaning.
const (
	NoField FieldID = iota // of what has no field

	BlowerAirflow
	BlowerExternalStatic
	BlowerPower
	BlowerPowerPerFlow
	BlowerPerTon

	LedgerBlower
	LedgerWanted
	LedgerAsked
	LedgerSurplus

	PathAirflow

	EquipmentEntering
	EquipmentLeaving
	EquipmentRecirculated
	EquipmentBypassShare
	EquipmentRise
	EquipmentLimit
	EquipmentSensor
	EquipmentSensorLow
	EquipmentSensorHigh
	EquipmentTimeToLimit
	EquipmentStrip
	EquipmentStripLow
	EquipmentStripHigh
	EquipmentFrostMargin

	ElementAirflow
	ElementSurplus
	ElementVelocity
	ElementDrop
	ElementTemperature

	NodeStatic
	NodeTotal

	RegisterAirflow
	RegisterWanted
	RegisterFaceVelocity
	RegisterStatic
	RegisterTemperature
	RegisterDewPoint
	RegisterNoise
	RegisterThrow
	RegisterReach
	RegisterJetDrop
	RegisterDraughtVelocity
	RegisterDraughtEffective
	RegisterFreeThrow

	GrilleFaceVelocity
	GrilleNoise

	RoomNoise

	ZoneAirflow
	ZoneWanted
	ZoneShortfall
	ZoneReturn
	ZonePressure
	ZoneDrift
	ZoneDriftEnd
	ZoneSupplyTemperature
	ZoneDelivered
	ZoneLoad
	ZoneNeutralBleed
	ZoneTimeToCall

	DamperPosition
	DamperAirflow
	DamperDrop

	PortStatic

	namedFields
)

// describe makes the list of all fields, those of each subject in the order of its JSON object.
func describe() (t [Subjects][]Field, byID []*Field) {
	const (
		airflow, pressure         = quantity.KindAirflow, quantity.KindPressure
		friction, temperature     = quantity.KindFriction, quantity.KindTemperature
		drift, span               = quantity.KindDrift, quantity.KindTemperatureSpan
		velocity, density         = quantity.KindVelocity, quantity.KindDensity
		number, electricity       = quantity.KindNumber, quantity.KindElectricity
		load, duration            = quantity.KindLoad, quantity.KindTime
		powerPerFlow, flowPerHeat = quantity.KindPowerPerFlow, quantity.KindFlowPerHeat
		share, length             = quantity.KindFraction, quantity.KindLength
		angle, noise              = quantity.KindAngle, quantity.KindNoise
		loudness, frequency       = quantity.KindLoudness, quantity.KindFrequency
	)
	var (
		whole       = from(func(o *Outcome, _ int) *Outcome { return o })
		blower      = from(func(o *Outcome, _ int) *Blower { return &o.Blower })
		ledger      = from(func(o *Outcome, _ int) *Ledger { return &o.Ledger })
		machine     = from(func(o *Outcome, _ int) *Equipment { return &o.Equipment })
		proof       = from(func(o *Outcome, _ int) *Certificate { return &o.Certificate })
		point       = from(func(o *Outcome, i int) *OperatingPoint { return &o.Blower.Points[i] })
		moment      = from(func(o *Outcome, i int) *Moment { return &o.Equipment.Course[i] })
		path        = from(func(o *Outcome, i int) *Path { return &o.Ledger.Paths[i] })
		passed      = from((*Outcome).damperOf)
		element     = from(func(o *Outcome, i int) *Element { return &o.Elements[i] })
		part        = from(func(o *Outcome, i int) *network.Element { return &o.Graph.Elements[i] })
		node        = from(func(o *Outcome, i int) *Node { return &o.Nodes[i] })
		joint       = from(func(o *Outcome, i int) *network.Node { return &o.Graph.Nodes[i] })
		register    = from(func(o *Outcome, i int) *Register { return &o.Registers[i] })
		placed      = from(func(o *Outcome, i int) *network.Register { return &o.Graph.Registers[i] })
		drawn       = from(func(o *Outcome, i int) *Element { return &o.Elements[o.Grilles[i].Element] })
		intake      = from((*Outcome).grille)
		room        = from(func(o *Outcome, i int) *Room { return &o.Rooms[i] })
		zone        = from(func(o *Outcome, i int) *Zone { return &o.Zones[i] })
		district    = from(func(o *Outcome, i int) *network.Zone { return &o.Graph.Job.Zones[i] })
		damper      = from(func(o *Outcome, i int) *Damper { return &o.Dampers[i] })
		outletNoise = from(func(o *Outcome, i int) *Noise { return &o.Registers[i].Noise })
		intakeNoise = from(func(o *Outcome, i int) *Noise { return &o.Grilles[i].Noise })
		port        = from(func(o *Outcome, i int) *Port { return &o.Ports[i] })
	)
	t[OfBlower] = []Field{
		blower.text("tap", func(b *Blower) string { return b.Tap }),
		blower.row("airflow", airflow, func(b *Blower) float64 { return b.Airflow }).
			named("blower airflow").id(BlowerAirflow),
		blower.num("airflow_actual", airflow, func(b *Blower) float64 { return b.ActualAirflow }).
			named("blower actual airflow"),
		blower.row("external_static", pressure,
			func(b *Blower) float64 { return b.ExternalStatic }).less().id(BlowerExternalStatic),
		blower.row("power", electricity, func(b *Blower) float64 { return b.Power }).
			named("blower power").less().id(BlowerPower),
		whole.row("power", powerPerFlow, (*Outcome).PowerPerFlow).rowed("power per airflow").
			named("power per airflow").id(BlowerPowerPerFlow),
		whole.row("airflow", flowPerHeat, (*Outcome).PerTon).rowed("airflow per nominal cooling").
			named("airflow per ton").id(BlowerPerTon),
		blower.truth("off_table", func(b *Blower) bool { return b.OffTable }),
	}
	t[OfPoint] = []Field{
		point.num("airflow", airflow, func(p *OperatingPoint) float64 { return p.Airflow }),
		point.num("static", pressure, func(p *OperatingPoint) float64 { return p.Static }),
		point.truth("stable", func(p *OperatingPoint) bool { return p.Stable }),
	}
	t[OfLedger] = []Field{
		ledger.num("blower", airflow, func(l *Ledger) float64 { return l.Blower }).id(LedgerBlower),
		ledger.num("wanted", airflow, func(l *Ledger) float64 { return l.Wanted }).
			named("wanted and got").id(LedgerWanted),
		ledger.num("asked", airflow, func(l *Ledger) float64 { return l.Asked }).id(LedgerAsked),
		ledger.num("surplus", airflow, func(l *Ledger) float64 { return l.Surplus }).less().
			id(LedgerSurplus),
	}
	t[OfPath] = []Field{
		path.text("to", func(p *Path) string { return p.To }),
		path.text("kind", func(p *Path) string { return string(p.Kind) }),
		path.num("airflow", airflow, func(p *Path) float64 { return p.Airflow }).id(PathAirflow),
		passed.word("damper", func(d *Damper) string { return d.Name }),
		passed.num("position", share, func(d *Damper) float64 { return d.Position }),
	}
	t[OfEquipment] = []Field{
		machine.truth("computed", func(e *Equipment) bool { return e.Computed }),
		machine.row("entering", temperature, func(e *Equipment) float64 { return e.Entering }).
			early(3).named("entering air").id(EquipmentEntering),
		machine.row("leaving", temperature, func(e *Equipment) float64 { return e.Leaving }).
			early(1).named("leaving air").id(EquipmentLeaving),
		machine.row("recirculated", share, func(e *Equipment) float64 { return e.Recirculated }).
			less().id(EquipmentRecirculated),
		whole.num("bypass_share", share, func(o *Outcome) float64 { return o.Bypass }).
			id(EquipmentBypassShare),
		machine.row("unmixed", share, func(e *Equipment) float64 { return e.mixing(e.Unmixed) }),
		machine.row("unmixed_low", share,
			func(e *Equipment) float64 { return e.mixing(e.UnmixedLow) }).
			rowed("unmixed, low"),
		machine.row("unmixed_high", share,
			func(e *Equipment) float64 { return e.mixing(e.UnmixedHigh) }).
			rowed("unmixed, high"),
		machine.row("temperature_rise", span, func(e *Equipment) float64 { return e.Rise }).
			early(1).id(EquipmentRise),
		machine.row("entering_wet_bulb", temperature,
			func(e *Equipment) float64 { return e.EnteringWetBulb }).early(2),
		machine.num("leaving_humidity_ratio", number,
			func(e *Equipment) float64 { return e.LeavingHumidity }),
		whole.row("output", load, (*Outcome).output),
		whole.row("rated", load, (*Outcome).RatedHeat).rowed("rated output"),
		whole.row("sensible_share", share, (*Outcome).SensibleShare),
		whole.row("fan_heat", load, (*Outcome).FanHeat),
		machine.row("least_rise", span, func(e *Equipment) float64 { return e.LeastRise }),
		machine.row("greatest_rise", span, func(e *Equipment) float64 { return e.GreatestRise }),
		whole.fate("limit", (*Outcome).LimitFate),
		machine.row("limit_opens", temperature, func(e *Equipment) float64 { return e.Limit }).
			named("limit").id(EquipmentLimit),
		maybe("limit_given", func(o *Outcome, _ int) (is, arises bool) {
			e := &o.Equipment
			return e.LimitGiven, o.State.Mode == network.Heating && !math.IsNaN(e.Limit)
		}),
		machine.row("limit_sensor", temperature, func(e *Equipment) float64 { return e.Sensor }).
			id(EquipmentSensor),
		machine.row("limit_sensor_low", temperature,
			func(e *Equipment) float64 { return e.SensorLow }).rowed("limit sensor, mixed").
			named("limit sensor mixed").id(EquipmentSensorLow),
		machine.row("limit_sensor_high", temperature,
			func(e *Equipment) float64 { return e.SensorHigh }).rowed("limit sensor, least mixed").
			named("limit sensor least mixed").id(EquipmentSensorHigh),
		whole.word("limit_band", func(o *Outcome) string { return string(o.LimitBand()) }),
		machine.row("limit_flips_at", share,
			func(e *Equipment) float64 { return e.UnmixedAtSensor(e.Limit) }),
		machine.row("time_to_limit", duration, func(e *Equipment) float64 { return e.TimeToLimit }).
			more().id(EquipmentTimeToLimit),
		machine.row("burner_duty", share, func(e *Equipment) float64 { return e.BurnerDuty }),
		whole.fate("frost", (*Outcome).FrostFate),
		machine.row("evaporating", temperature,
			func(e *Equipment) float64 { return e.Evaporating }).named("evaporating temperature"),
		machine.row("evaporating_second", temperature,
			func(e *Equipment) float64 { return e.EvaporatingSecond }).
			rowed("evaporating, second estimate").named("evaporating temperature second estimate"),
		machine.row("coldest_strip", temperature,
			func(e *Equipment) float64 { return e.EvaporatingStrip }).id(EquipmentStrip),
		machine.row("coldest_strip_low", temperature,
			func(e *Equipment) float64 { return e.StripLow }).rowed("coldest strip, mixed").
			named("coldest strip mixed").id(EquipmentStripLow),
		machine.row("coldest_strip_high", temperature,
			func(e *Equipment) float64 { return e.StripHigh }).rowed("coldest strip, least mixed").
			named("coldest strip least mixed").id(EquipmentStripHigh),
		machine.row("frost_margin", span, func(e *Equipment) float64 { return e.FrostMargin }).
			more().id(EquipmentFrostMargin),
		machine.row("time_to_frost", duration, func(e *Equipment) float64 { return e.TimeToFrost }),
		maybe("dry", func(o *Outcome, _ int) (is, arises bool) {
			return o.Equipment.Dry, o.State.Mode == network.Cooling && o.Equipment.Computed
		}),
	}
	t[OfMoment] = []Field{
		moment.num("t", duration, func(m *Moment) float64 { return m.Time }),
		moment.num("supply", temperature, func(m *Moment) float64 { return m.Supply }).
			named("leaving air"),
		moment.num("entering", temperature, func(m *Moment) float64 { return m.Entering }).
			named("entering air"),
		moment.num("critical", temperature, func(m *Moment) float64 { return m.Critical }).
			named("critical temperature"),
	}
	t[OfElement] = []Field{
		part.text("name", func(e *network.Element) string { return e.Name }),
		part.text("kind", func(e *network.Element) string { return e.Kind.String() }),
		part.text("side", func(e *network.Element) string { return e.Side.String() }),
		part.text("line", func(e *network.Element) string { return e.Line }),
		part.text("zone", func(e *network.Element) string { return e.Zone }),
		part.text("room", func(e *network.Element) string { return e.Room }),
		text("from", func(o *Outcome, i int) string { return o.end(o.Graph.Elements[i].From) }),
		text("to", func(o *Outcome, i int) string { return o.end(o.Graph.Elements[i].To) }),
		element.row("airflow", airflow, func(e *Element) float64 { return e.Airflow }).early(1).
			id(ElementAirflow),
		element.num("airflow_within", airflow, (*Element).within),
		element.row("surplus", airflow, func(e *Element) float64 { return e.Surplus }).
			id(ElementSurplus),
		element.row("velocity", velocity, func(e *Element) float64 { return e.Velocity }).
			id(ElementVelocity),
		element.row("drop", pressure, func(e *Element) float64 { return e.Drop }).early(1).
			id(ElementDrop),
		element.row("friction", friction, func(e *Element) float64 { return e.Friction }),
		element.row("temperature", temperature, func(e *Element) float64 { return e.Temperature }).
			id(ElementTemperature),
		element.num("density", density, func(e *Element) float64 { return e.Density }),
	}
	t[OfNode] = []Field{
		joint.text("name", func(n *network.Node) string { return n.Name }),
		joint.text("kind", func(n *network.Node) string { return n.Kind.String() }),
		node.row("static", pressure, func(n *Node) float64 { return n.Static }).id(NodeStatic),
		node.row("total", pressure, func(n *Node) float64 { return n.Total }).id(NodeTotal),
		node.row("temperature", temperature, func(n *Node) float64 { return n.Temperature }),
	}
	t[OfRegister] = slices.Concat([]Field{
		text("name", (*Outcome).RegisterName),
		text("element", func(o *Outcome, i int) string { return o.Subject(OfRegister, i) }),
		placed.text("zone", func(r *network.Register) string { return r.Zone }),
		placed.text("room", func(r *network.Register) string { return r.Room }),
		register.truth("calling", func(r *Register) bool { return r.Calling }),
		placed.truth("dump", func(r *network.Register) bool { return r.Dump }),
		register.row("airflow", airflow, func(r *Register) float64 { return r.Airflow }).
			id(RegisterAirflow),
		register.row("wanted", airflow, func(r *Register) float64 { return r.Wants }).
			id(RegisterWanted),
		register.row("face_velocity", velocity,
			func(r *Register) float64 { return r.FaceVelocity }).less().id(RegisterFaceVelocity),
		register.row("static", pressure, func(r *Register) float64 { return r.Static }).
			id(RegisterStatic),
		register.row("temperature", temperature,
			func(r *Register) float64 { return r.Temperature }).id(RegisterTemperature),
		register.row("dew_point", temperature, func(r *Register) float64 { return r.DewPoint }).
			named("dew point of the room").id(RegisterDewPoint),
		maybe("sweats",
			func(o *Outcome, i int) (is, arises bool) { return o.Registers[i].Sweats() }),
	}, openingNoise(RegisterNoise, outletNoise), []Field{
		register.num("throw", length, func(r *Register) float64 { return r.Throw }).
			id(RegisterThrow).in(Sound),
		register.num("throw_middle", length, func(r *Register) float64 { return r.Throw050 }),
		register.num("throw_fast", length, func(r *Register) float64 { return r.Throw075 }),
		register.num("reach", length, func(r *Register) float64 { return r.Reach }).
			id(RegisterReach),
		register.text("pattern", func(r *Register) string { return r.Pattern }),
		register.truth("pattern_given", func(r *Register) bool { return r.PatternGiven }),
		register.num("least_throw", share, func(r *Register) float64 { return r.LeastThrow }),
		register.truth("short_throw", func(r *Register) bool { return r.Short }),
		register.truth("horizontal", func(r *Register) bool { return r.Horizontal }),
		register.truth("attached", func(r *Register) bool { return r.Attached }),
		register.num("separation", length, func(r *Register) float64 { return r.separation() }),
		register.num("jet_drop", length, func(r *Register) float64 { return r.jetDrop() }).
			id(RegisterJetDrop),
		register.num("clearance", length, func(r *Register) float64 { return r.Clearance }),
		register.text("dumping", func(r *Register) string { return r.Dumping.String() }),
		register.num("draught", velocity, func(r *Register) float64 { return r.Draught.Velocity }).
			id(RegisterDraughtVelocity),
		register.num("draught_effective", span,
			func(r *Register) float64 { return r.Draught.Effective }).id(RegisterDraughtEffective),
		register.num("throw_free", length, func(r *Register) float64 { return r.FreeThrow }).
			named("free throw").id(RegisterFreeThrow),
		register.text("throw_end", func(r *Register) string { return r.ThrowEnd.String() }),
		register.num("throw_end", velocity, func(r *Register) float64 { return r.EndSpeed }),
		register.text("throw_beyond", func(r *Register) string { return r.BeyondText() }),
	})
	t[OfGrille] = slices.Concat([]Field{
		intake.text("name", func(e *network.Element) string { return e.Line }),
		intake.text("element", func(e *network.Element) string { return e.Name }),
		intake.text("zone", func(e *network.Element) string { return e.Zone }),
		intake.text("room", func(e *network.Element) string { return e.Room }),
		drawn.num("airflow", airflow, func(e *Element) float64 { return e.Airflow }),
		drawn.num("face_velocity", velocity, func(e *Element) float64 { return e.Velocity }).
			id(GrilleFaceVelocity),
	}, openingNoise(GrilleNoise, intakeNoise))
	t[OfRoom] = []Field{
		room.text("name", func(r *Room) string { return r.Name }),
		room.text("zone", func(r *Room) string { return r.Zone }),
		room.row("noise", noise, func(r *Room) float64 { return r.NC }).named("room noise").
			id(RoomNoise),
		room.truth("noise_below", func(r *Room) bool { return r.NCBelow }),
		room.row("noise_low", noise, func(r *Room) float64 { return r.NCLow }).
			rowed("noise, low end of band").named("room noise lowest"),
		room.row("noise_high", noise, func(r *Room) float64 { return r.NCHigh }).
			rowed("noise, high end of band").named("room noise highest"),
		room.num("noise_band", frequency, func(r *Room) float64 { return r.Band }),
		room.row("noise", loudness, func(r *Room) float64 { return r.DBA }).rowed("sound level").
			named("room noise level"),
		room.text("noise_rc", func(r *Room) string { return r.RC.String() }),
		num("screen_low", noise, absent),
		num("screen", noise, absent),
		num("screen_high", noise, absent),
		room.text("loudest", func(r *Room) string { return r.Loudest }),
		room.text("noise_text", (*Room).noiseText),
		text("noise_from", func(o *Outcome, i int) string { return o.HeardFrom(o.Rooms[i].From) }),
		room.num("face_velocity", velocity, func(r *Room) float64 { return r.FaceVelocity }),
	}
	t[OfZone] = []Field{
		district.text("name", func(z *network.Zone) string { return z.Name }),
		zone.truth("calling", func(z *Zone) bool { return z.Calling }),
		zone.row("airflow", airflow, func(z *Zone) float64 { return z.Airflow }).early(2).
			id(ZoneAirflow),
		zone.row("wanted", airflow, func(z *Zone) float64 { return z.Wants }).early(2).
			id(ZoneWanted),
		zone.row("shortfall", airflow, func(z *Zone) float64 { return z.Shortfall }).early(2).
			id(ZoneShortfall),
		zone.row("return", airflow, func(z *Zone) float64 { return z.Return }).early(2).
			id(ZoneReturn),
		zone.row("pressure", pressure, func(z *Zone) float64 { return z.Pressure }).early(2).
			rowed("pressure against house").id(ZonePressure),
		zone.row("drift", drift, func(z *Zone) float64 { return z.satisfied(z.DriftRate) }).less().
			id(ZoneDrift),
		zone.row("drift_end", span, func(z *Zone) float64 { return z.satisfied(z.DriftEnd) }).
			id(ZoneDriftEnd),
		zone.row("call_duty", share, func(z *Zone) float64 { return z.satisfied(z.CallDuty) }).
			named("zone call share"),
		zone.fate("swing", (*Zone).SwingFate),
		num("swing", span, func(*Outcome, int) float64 { return Swing }),
		zone.row("time_to_swing", duration,
			func(z *Zone) float64 { return z.satisfied(z.TimeToSwing) }).named("zone off after"),
		zone.row("supply", temperature, (*Zone).supply).early(1).rowed("supply temperature").
			named("zone supply temperature").id(ZoneSupplyTemperature),
		zone.row("delivered", load, func(z *Zone) float64 { return z.Delivered }).early(1).
			named("zone heat given").id(ZoneDelivered),
		zone.row("load", load, func(z *Zone) float64 { return z.Load }).early(1).
			named("zone heat needed").id(ZoneLoad),
		zone.row("neutral_bleed", airflow, func(z *Zone) float64 { return z.NeutralBleed }).
			early(-1).id(ZoneNeutralBleed),
		zone.fate("calls_itself", (*Zone).CallFate),
		num("call_band", span, func(*Outcome, int) float64 { return CallBand }),
		zone.row("time_to_call", duration,
			func(z *Zone) float64 { return z.satisfied(z.TimeToCall) }).
			named("zone calls itself after").id(ZoneTimeToCall),
	}
	t[OfDamper] = []Field{
		damper.text("name", func(d *Damper) string { return d.Name }),
		text("element", func(o *Outcome, i int) string { return o.Subject(OfDamper, i) }),
		damper.row("position", share, func(d *Damper) float64 { return d.Position }).rowed("open").
			named("open").id(DamperPosition),
		damper.row("blade", angle, func(d *Damper) float64 { return d.Blade }).
			rowed("blade from open"),
		damper.truth("moved", func(d *Damper) bool { return d.Moved }),
		damper.truth("calling", func(d *Damper) bool { return d.Calling }),
		damper.row("airflow", airflow, func(d *Damper) float64 { return d.Airflow }).
			id(DamperAirflow),
		damper.row("drop", pressure, func(d *Damper) float64 { return d.Drop }).id(DamperDrop),
	}
	t[OfPort] = []Field{
		port.text("name", func(p *Port) string { return p.Name }),
		port.text("at", func(p *Port) string { return p.At }),
		port.row("static", pressure, func(p *Port) float64 { return p.Static }).id(PortStatic),
	}
	t[OfCertificate] = []Field{
		proof.num("mass_residual", airflow,
			func(c *Certificate) float64 { return standard(c.MassResidual) }).
			named("air imbalance"),
		proof.text("mass_node", func(c *Certificate) string { return c.MassNode }),
		proof.num("pressure_residual", pressure,
			func(c *Certificate) float64 { return c.PressureResidual }).named("pressure imbalance"),
		proof.text("pressure_element", func(c *Certificate) string { return c.PressureElement }),
		proof.num("gap", electricity, func(c *Certificate) float64 { return c.Gap }),
		proof.num("flow_bound", airflow, func(c *Certificate) float64 { return c.FlowBound }).
			named("airflow bound"),
		proof.text("flow_element", func(c *Certificate) string { return c.FlowElement }),
		machine.num("energy_residual", electricity,
			func(e *Equipment) float64 { return e.EnergyResidual }).named("heat imbalance"),
		machine.num("energy_total", electricity,
			func(e *Equipment) float64 { return e.EnergyTotal }),
		proof.num("iterations", number,
			func(c *Certificate) float64 { return float64(c.Iterations) }),
		proof.truth("unique", func(c *Certificate) bool { return c.Isolated }),
	}
	byID = make([]*Field, namedFields)
	byID[NoField] = &Field{}
	for of := range t {
		for i := range t[of] {
			f := &t[of][i]
			f.Of = Subject(of)
			if f.ID == NoField {
				f.ID = FieldID(len(byID))
				byID = append(byID, nil)
			}
			byID[f.ID] = f
			if f.Of == OfZone && !strings.HasPrefix(f.Name, "zone ") {
				f.Name = "zone " + f.Name
			}
		}
	}
	byID[RegisterNoise].In = Sound // of grilles CSV has none
	return t, byID
}

// openingNoise are the fields of the noise of a register or grille. The screen keys held what
// velocity tables expect; those are limits for rooms, so there is no such number and the keys stay
// as null.
func openingNoise(id FieldID, at place[Noise]) []Field {
	const nc = quantity.KindNoise
	return []Field{
		at.num("noise", nc, func(n *Noise) float64 { return n.NC }).less().id(id),
		at.truth("noise_below", func(n *Noise) bool { return n.NCBelow }),
		at.num("noise_low", nc, func(n *Noise) float64 { return n.NCLow }),
		at.num("noise_high", nc, func(n *Noise) float64 { return n.NCHigh }),
		at.num("noise_band", quantity.KindFrequency, func(n *Noise) float64 { return n.Band }),
		at.num("noise", quantity.KindLoudness, func(n *Noise) float64 { return n.DBA }).
			named("noise level"),
		at.num("noise_outlet", nc, func(n *Noise) float64 { return n.OutletNC }),
		at.num("noise_duct", nc, func(n *Noise) float64 { return n.DuctNC }),
		at.num("noise_catalogue", nc, func(n *Noise) float64 { return n.Catalogue }),
		at.truth("noise_rated", func(n *Noise) bool { return n.Rated }),
		num("screen_low", nc, absent),
		num("screen", nc, absent),
		num("screen_high", nc, absent),
		num("screen_beyond", quantity.KindNumber, absent),
		at.text("noise_text",
			func(n *Noise) string { return sound.ShownWith(n.NC, n.NCLow, n.NCHigh) }),
		text("noise_from", func(o *Outcome, i int) string { return o.HeardFrom(at(o, i).From) }),
	}
}
