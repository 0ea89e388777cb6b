package state

import (
	"math"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
)

// The fields, by subject, each subject in the order of its JSON object.
const (
	NoField FieldID = iota // of what has no field

	BlowerTap
	BlowerAirflow
	BlowerActualAirflow
	BlowerExternalStatic
	BlowerPower
	BlowerPowerPerFlow
	BlowerPerTon
	BlowerOffTable

	PointAirflow
	PointStatic
	PointStable

	LedgerBlower
	LedgerWanted
	LedgerAsked
	LedgerSurplus

	PathTo
	PathWay
	PathAirflow
	PathDamper
	PathPosition

	EquipmentComputed
	EquipmentEntering
	EquipmentLeaving
	EquipmentRecirculated
	EquipmentBypassShare
	EquipmentUnmixed
	EquipmentUnmixedLow
	EquipmentUnmixedHigh
	EquipmentRise
	EquipmentEnteringWetBulb
	EquipmentLeavingHumidity
	EquipmentOutput
	EquipmentRated
	EquipmentSensibleShare
	EquipmentFanHeat
	EquipmentLeastRise
	EquipmentGreatestRise
	EquipmentLimitFate
	EquipmentLimit
	EquipmentLimitGiven
	EquipmentSensor
	EquipmentSensorLow
	EquipmentSensorHigh
	EquipmentLimitBand
	EquipmentLimitFlipsAt
	EquipmentTimeToLimit
	EquipmentBurnerDuty
	EquipmentFrostFate
	EquipmentEvaporating
	EquipmentEvaporatingSecond
	EquipmentStrip
	EquipmentStripLow
	EquipmentStripHigh
	EquipmentFrostMargin
	EquipmentTimeToFrost
	EquipmentDry

	MomentTime
	MomentSupply
	MomentEntering
	MomentCritical

	ElementName
	ElementKind
	ElementSide
	ElementLine
	ElementZone
	ElementRoom
	ElementFrom
	ElementTo
	ElementAirflow
	ElementWithin
	ElementSurplus
	ElementVelocity
	ElementDrop
	ElementFriction
	ElementTemperature
	ElementDensity

	NodeName
	NodeKind
	NodeStatic
	NodeTotal
	NodeTemperature

	RegisterName
	RegisterElement
	RegisterZone
	RegisterRoom
	RegisterCalling
	RegisterDump
	RegisterAirflow
	RegisterWanted
	RegisterFaceVelocity
	RegisterStatic
	RegisterTemperature
	RegisterDewPoint
	RegisterSweats
	RegisterNoise
	RegisterNoiseBelow
	RegisterNoiseLow
	RegisterNoiseHigh
	RegisterNoiseBand
	RegisterNoiseDBA
	RegisterOutletNoise
	RegisterDuctNoise
	RegisterCatalogueNoise
	RegisterNoiseRated
	RegisterScreenLow
	RegisterScreen
	RegisterScreenHigh
	RegisterScreenBeyond
	RegisterNoiseText
	RegisterNoiseFrom
	RegisterThrow
	RegisterThrowMiddle
	RegisterThrowFast
	RegisterReach
	RegisterPattern
	RegisterPatternGiven
	RegisterLeastThrow
	RegisterShortThrow
	RegisterHorizontal
	RegisterAttached
	RegisterSeparation
	RegisterJetDrop
	RegisterClearance
	RegisterDumping
	RegisterDraughtVelocity
	RegisterDraughtEffective
	RegisterFreeThrow
	RegisterThrowEnd
	RegisterEndSpeed
	RegisterThrowBeyond

	GrilleName
	GrilleElement
	GrilleZone
	GrilleRoom
	GrilleAirflow
	GrilleFaceVelocity
	GrilleNoise
	GrilleNoiseBelow
	GrilleNoiseLow
	GrilleNoiseHigh
	GrilleNoiseBand
	GrilleNoiseDBA
	GrilleOutletNoise
	GrilleDuctNoise
	GrilleCatalogueNoise
	GrilleNoiseRated
	GrilleScreenLow
	GrilleScreen
	GrilleScreenHigh
	GrilleScreenBeyond
	GrilleNoiseText
	GrilleNoiseFrom

	RoomName
	RoomZone
	RoomNoise
	RoomNoiseBelow
	RoomNoiseLow
	RoomNoiseHigh
	RoomNoiseBand
	RoomNoiseDBA
	RoomNoiseRC
	RoomScreenLow
	RoomScreen
	RoomScreenHigh
	RoomLoudest
	RoomNoiseText
	RoomNoiseFrom
	RoomFaceVelocity

	ZoneName
	ZoneCalling
	ZoneAirflow
	ZoneWanted
	ZoneShortfall
	ZoneReturn
	ZonePressure
	ZoneDrift
	ZoneDriftEnd
	ZoneCallDuty
	ZoneSwingFate
	ZoneSwing
	ZoneTimeToSwing
	ZoneSupplyTemperature
	ZoneDelivered
	ZoneLoad
	ZoneNeutralBleed
	ZoneCallFate
	ZoneCallBand
	ZoneTimeToCall

	DamperName
	DamperElement
	DamperPosition
	DamperBlade
	DamperMoved
	DamperCalling
	DamperAirflow
	DamperDrop

	PortName
	PortAt
	PortStatic

	MassResidual
	MassNode
	PressureResidual
	PressureElement
	Gap
	FlowBound
	FlowElement
	EnergyResidual
	EnergyTotal
	Iterations
	Unique

	fieldCount
)

// describe makes the list of all fields.
func describe() (t [fieldCount]Field) {
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
	t[BlowerTap] = text("tap", func(o *Outcome, _ int) string { return o.Blower.Tap })
	t[BlowerAirflow] = row("airflow", airflow,
		func(o *Outcome, _ int) float64 { return o.Blower.Airflow }).named("blower airflow")
	t[BlowerActualAirflow] = num("airflow_actual", airflow,
		func(o *Outcome, _ int) float64 { return o.Blower.ActualAirflow }).
		named("blower actual airflow")
	t[BlowerExternalStatic] = row("external_static", pressure,
		func(o *Outcome, _ int) float64 { return o.Blower.ExternalStatic }).less()
	t[BlowerPower] = row("power", electricity,
		func(o *Outcome, _ int) float64 { return o.Blower.Power }).named("blower power").less()
	t[BlowerPowerPerFlow] = row("power", powerPerFlow,
		func(o *Outcome, _ int) float64 { return o.PowerPerFlow() }).
		rowed("power per airflow").named("power per airflow")
	t[BlowerPerTon] = row("airflow", flowPerHeat,
		func(o *Outcome, _ int) float64 { return o.PerTon() }).
		rowed("airflow per nominal cooling").named("airflow per ton")
	t[BlowerOffTable] = truth("off_table",
		func(o *Outcome, _ int) bool { return o.Blower.OffTable })

	t[PointAirflow] = num("airflow", airflow,
		func(o *Outcome, i int) float64 { return o.Blower.Points[i].Airflow })
	t[PointStatic] = num("static", pressure,
		func(o *Outcome, i int) float64 { return o.Blower.Points[i].Static })
	t[PointStable] = truth("stable",
		func(o *Outcome, i int) bool { return o.Blower.Points[i].Stable })

	t[LedgerBlower] = num("blower", airflow,
		func(o *Outcome, _ int) float64 { return o.Ledger.Blower })
	t[LedgerWanted] = num("wanted", airflow,
		func(o *Outcome, _ int) float64 { return o.Ledger.Wanted }).named("wanted and got")
	t[LedgerAsked] = num("asked", airflow,
		func(o *Outcome, _ int) float64 { return o.Ledger.Asked })
	t[LedgerSurplus] = num("surplus", airflow,
		func(o *Outcome, _ int) float64 { return o.Ledger.Surplus }).less()

	t[PathTo] = text("to", func(o *Outcome, i int) string { return o.Ledger.Paths[i].To })
	t[PathWay] = text("kind",
		func(o *Outcome, i int) string { return string(o.Ledger.Paths[i].Kind) })
	t[PathAirflow] = num("airflow", airflow,
		func(o *Outcome, i int) float64 { return o.Ledger.Paths[i].Airflow })
	t[PathDamper] = word("damper", func(o *Outcome, i int) string { return o.damperOf(i).Name })
	t[PathPosition] = num("position", share,
		func(o *Outcome, i int) float64 { return o.damperOf(i).Position })

	t[EquipmentComputed] = truth("computed",
		func(o *Outcome, _ int) bool { return o.Equipment.Computed })
	t[EquipmentEntering] = row("entering", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.Entering }).
		early(3).named("entering air")
	t[EquipmentLeaving] = row("leaving", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.Leaving }).
		early(1).named("leaving air")
	t[EquipmentRecirculated] = row("recirculated", share,
		func(o *Outcome, _ int) float64 { return o.Equipment.Recirculated }).less()
	t[EquipmentBypassShare] = num("bypass_share", share,
		func(o *Outcome, _ int) float64 { return o.Bypass })
	t[EquipmentUnmixed] = row("unmixed", share,
		func(o *Outcome, _ int) float64 { return o.mixing(o.Equipment.Unmixed) })
	t[EquipmentUnmixedLow] = row("unmixed_low", share,
		func(o *Outcome, _ int) float64 { return o.mixing(o.Equipment.UnmixedLow) }).
		rowed("unmixed, low")
	t[EquipmentUnmixedHigh] = row("unmixed_high", share,
		func(o *Outcome, _ int) float64 { return o.mixing(o.Equipment.UnmixedHigh) }).
		rowed("unmixed, high")
	t[EquipmentRise] = row("temperature_rise", span,
		func(o *Outcome, _ int) float64 { return o.Equipment.Rise }).early(1)
	t[EquipmentEnteringWetBulb] = row("entering_wet_bulb", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.EnteringWetBulb }).early(2)
	t[EquipmentLeavingHumidity] = num("leaving_humidity_ratio", number,
		func(o *Outcome, _ int) float64 { return o.Equipment.LeavingHumidity })
	t[EquipmentOutput] = row("output", load, func(o *Outcome, _ int) float64 { return o.output() })
	t[EquipmentRated] = row("rated", load,
		func(o *Outcome, _ int) float64 { return o.RatedHeat() }).rowed("rated output")
	t[EquipmentSensibleShare] = row("sensible_share", share,
		func(o *Outcome, _ int) float64 { return o.SensibleShare() })
	t[EquipmentFanHeat] = row("fan_heat", load,
		func(o *Outcome, _ int) float64 { return o.FanHeat() })
	t[EquipmentLeastRise] = row("least_rise", span,
		func(o *Outcome, _ int) float64 { return o.Equipment.LeastRise })
	t[EquipmentGreatestRise] = row("greatest_rise", span,
		func(o *Outcome, _ int) float64 { return o.Equipment.GreatestRise })
	t[EquipmentLimitFate] = fate("limit",
		func(o *Outcome, _ int) string { return string(o.LimitFate()) })
	t[EquipmentLimit] = row("limit_opens", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.Limit }).named("limit")
	t[EquipmentLimitGiven] = maybe("limit_given", func(o *Outcome, _ int) (is, arises bool) {
		e := &o.Equipment
		return e.LimitGiven, o.State.Mode == network.Heating && !math.IsNaN(e.Limit)
	})
	t[EquipmentSensor] = row("limit_sensor", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.Sensor })
	t[EquipmentSensorLow] = row("limit_sensor_low", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.SensorLow }).
		rowed("limit sensor, mixed").named("limit sensor mixed")
	t[EquipmentSensorHigh] = row("limit_sensor_high", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.SensorHigh }).
		rowed("limit sensor, least mixed").named("limit sensor least mixed")
	t[EquipmentLimitBand] = word("limit_band",
		func(o *Outcome, _ int) string { return string(o.LimitBand()) })
	t[EquipmentLimitFlipsAt] = row("limit_flips_at", share,
		func(o *Outcome, _ int) float64 { return o.Equipment.UnmixedAtSensor(o.Equipment.Limit) })
	t[EquipmentTimeToLimit] = row("time_to_limit", duration,
		func(o *Outcome, _ int) float64 { return o.Equipment.TimeToLimit }).more()
	t[EquipmentBurnerDuty] = row("burner_duty", share,
		func(o *Outcome, _ int) float64 { return o.Equipment.BurnerDuty })
	t[EquipmentFrostFate] = fate("frost",
		func(o *Outcome, _ int) string { return string(o.FrostFate()) })
	t[EquipmentEvaporating] = row("evaporating", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.Evaporating }).
		named("evaporating temperature")
	t[EquipmentEvaporatingSecond] = row("evaporating_second", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.EvaporatingSecond }).
		rowed("evaporating, second estimate").named("evaporating temperature second estimate")
	t[EquipmentStrip] = row("coldest_strip", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.EvaporatingStrip })
	t[EquipmentStripLow] = row("coldest_strip_low", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.StripLow }).
		rowed("coldest strip, mixed").named("coldest strip mixed")
	t[EquipmentStripHigh] = row("coldest_strip_high", temperature,
		func(o *Outcome, _ int) float64 { return o.Equipment.StripHigh }).
		rowed("coldest strip, least mixed").named("coldest strip least mixed")
	t[EquipmentFrostMargin] = row("frost_margin", span,
		func(o *Outcome, _ int) float64 { return o.Equipment.FrostMargin }).more()
	t[EquipmentTimeToFrost] = row("time_to_frost", duration,
		func(o *Outcome, _ int) float64 { return o.Equipment.TimeToFrost })
	t[EquipmentDry] = maybe("dry", func(o *Outcome, _ int) (is, arises bool) {
		return o.Equipment.Dry, o.State.Mode == network.Cooling && o.Equipment.Computed
	})

	t[MomentTime] = num("t", duration,
		func(o *Outcome, i int) float64 { return o.Equipment.Course[i].Time })
	t[MomentSupply] = num("supply", temperature,
		func(o *Outcome, i int) float64 { return o.Equipment.Course[i].Supply }).
		named("leaving air")
	t[MomentEntering] = num("entering", temperature,
		func(o *Outcome, i int) float64 { return o.Equipment.Course[i].Entering }).
		named("entering air")
	t[MomentCritical] = num("critical", temperature,
		func(o *Outcome, i int) float64 { return o.Equipment.Course[i].Critical }).
		named("critical temperature")

	t[ElementName] = text("name",
		func(o *Outcome, i int) string { return o.Graph.Elements[i].Name })
	t[ElementKind] = text("kind",
		func(o *Outcome, i int) string { return string(o.Graph.Elements[i].Kind) })
	t[ElementSide] = text("side",
		func(o *Outcome, i int) string { return o.Graph.Elements[i].Side.String() })
	t[ElementLine] = text("line",
		func(o *Outcome, i int) string { return o.Graph.Elements[i].Line })
	t[ElementZone] = text("zone",
		func(o *Outcome, i int) string { return o.Graph.Elements[i].Zone })
	t[ElementRoom] = text("room",
		func(o *Outcome, i int) string { return o.Graph.Elements[i].Room })
	t[ElementFrom] = text("from",
		func(o *Outcome, i int) string { return o.Graph.Nodes[o.Graph.Elements[i].From].Name })
	t[ElementTo] = text("to",
		func(o *Outcome, i int) string { return o.Graph.Nodes[o.Graph.Elements[i].To].Name })
	t[ElementAirflow] = row("airflow", airflow,
		func(o *Outcome, i int) float64 { return o.Elements[i].Airflow }).early(1)
	t[ElementWithin] = num("airflow_within", airflow,
		func(o *Outcome, i int) float64 { return o.Elements[i].within() })
	t[ElementSurplus] = row("surplus", airflow,
		func(o *Outcome, i int) float64 { return o.Elements[i].Surplus })
	t[ElementVelocity] = row("velocity", velocity,
		func(o *Outcome, i int) float64 { return o.Elements[i].Velocity })
	t[ElementDrop] = row("drop", pressure,
		func(o *Outcome, i int) float64 { return o.Elements[i].Drop }).early(1)
	t[ElementFriction] = row("friction", friction,
		func(o *Outcome, i int) float64 { return o.Elements[i].Friction })
	t[ElementTemperature] = row("temperature", temperature,
		func(o *Outcome, i int) float64 { return o.Elements[i].Temperature })
	t[ElementDensity] = num("density", density,
		func(o *Outcome, i int) float64 { return o.Elements[i].Density })

	t[NodeName] = text("name", func(o *Outcome, i int) string { return o.Graph.Nodes[i].Name })
	t[NodeKind] = text("kind",
		func(o *Outcome, i int) string { return o.Graph.Nodes[i].Kind.String() })
	t[NodeStatic] = row("static", pressure,
		func(o *Outcome, i int) float64 { return o.Nodes[i].Static })
	t[NodeTotal] = row("total", pressure,
		func(o *Outcome, i int) float64 { return o.Nodes[i].Total })
	t[NodeTemperature] = row("temperature", temperature,
		func(o *Outcome, i int) float64 { return o.Nodes[i].Temperature })

	t[RegisterName] = text("name", (*Outcome).RegisterName)
	t[RegisterElement] = text("element",
		func(o *Outcome, i int) string { return o.Subject(OfRegister, i) })
	t[RegisterZone] = text("zone",
		func(o *Outcome, i int) string { return o.Graph.Registers[i].Zone })
	t[RegisterRoom] = text("room",
		func(o *Outcome, i int) string { return o.Graph.Registers[i].Room })
	t[RegisterCalling] = truth("calling",
		func(o *Outcome, i int) bool { return o.Registers[i].Calling })
	t[RegisterDump] = truth("dump",
		func(o *Outcome, i int) bool { return o.Graph.Registers[i].Dump })
	t[RegisterAirflow] = row("airflow", airflow,
		func(o *Outcome, i int) float64 { return o.Registers[i].Airflow })
	t[RegisterWanted] = row("wanted", airflow,
		func(o *Outcome, i int) float64 { return o.Registers[i].Wants })
	t[RegisterFaceVelocity] = row("face_velocity", velocity,
		func(o *Outcome, i int) float64 { return o.Registers[i].FaceVelocity }).less()
	t[RegisterStatic] = row("static", pressure,
		func(o *Outcome, i int) float64 { return o.Registers[i].Static })
	t[RegisterTemperature] = row("temperature", temperature,
		func(o *Outcome, i int) float64 { return o.Registers[i].Temperature })
	t[RegisterDewPoint] = row("dew_point", temperature,
		func(o *Outcome, i int) float64 { return o.Registers[i].DewPoint }).
		named("dew point of the room")
	t[RegisterSweats] = maybe("sweats",
		func(o *Outcome, i int) (is, arises bool) { return o.Registers[i].Sweats() })
	t[RegisterThrow] = num("throw", length,
		func(o *Outcome, i int) float64 { return o.Registers[i].Throw })
	t[RegisterThrowMiddle] = num("throw_middle", length,
		func(o *Outcome, i int) float64 { return o.Registers[i].Throw050 })
	t[RegisterThrowFast] = num("throw_fast", length,
		func(o *Outcome, i int) float64 { return o.Registers[i].Throw075 })
	t[RegisterReach] = num("reach", length,
		func(o *Outcome, i int) float64 { return o.Registers[i].Reach })
	t[RegisterPattern] = text("pattern",
		func(o *Outcome, i int) string { return o.Registers[i].Pattern })
	t[RegisterPatternGiven] = truth("pattern_given",
		func(o *Outcome, i int) bool { return o.Registers[i].PatternGiven })
	t[RegisterLeastThrow] = num("least_throw", share,
		func(o *Outcome, i int) float64 { return o.Registers[i].LeastThrow })
	t[RegisterShortThrow] = truth("short_throw",
		func(o *Outcome, i int) bool { return o.Registers[i].Short })
	t[RegisterHorizontal] = truth("horizontal",
		func(o *Outcome, i int) bool { return o.Registers[i].Horizontal })
	t[RegisterAttached] = truth("attached",
		func(o *Outcome, i int) bool { return o.Registers[i].Attached })
	t[RegisterSeparation] = num("separation", length,
		func(o *Outcome, i int) float64 { return o.Registers[i].separation() })
	t[RegisterJetDrop] = num("jet_drop", length,
		func(o *Outcome, i int) float64 { return o.Registers[i].jetDrop() })
	t[RegisterClearance] = num("clearance", length,
		func(o *Outcome, i int) float64 { return o.Registers[i].Clearance })
	t[RegisterDumping] = text("dumping",
		func(o *Outcome, i int) string { return o.Registers[i].Dumping.String() })
	t[RegisterDraughtVelocity] = num("draught", velocity,
		func(o *Outcome, i int) float64 { return o.Registers[i].Draught.Velocity })
	t[RegisterDraughtEffective] = num("draught_effective", span,
		func(o *Outcome, i int) float64 { return o.Registers[i].Draught.Effective })
	t[RegisterFreeThrow] = num("throw_free", length,
		func(o *Outcome, i int) float64 { return o.Registers[i].FreeThrow }).named("free throw")
	t[RegisterThrowEnd] = text("throw_end",
		func(o *Outcome, i int) string { return o.Registers[i].ThrowEnd.String() })
	t[RegisterEndSpeed] = num("throw_end", velocity,
		func(o *Outcome, i int) float64 { return o.Registers[i].EndSpeed })
	t[RegisterThrowBeyond] = text("throw_beyond",
		func(o *Outcome, i int) string { return o.Registers[i].BeyondText() })

	t[GrilleName] = text("name", func(o *Outcome, i int) string { return o.grille(i).Line })
	t[GrilleElement] = text("element", func(o *Outcome, i int) string { return o.grille(i).Name })
	t[GrilleZone] = text("zone", func(o *Outcome, i int) string { return o.grille(i).Zone })
	t[GrilleRoom] = text("room", func(o *Outcome, i int) string { return o.grille(i).Room })
	t[GrilleAirflow] = num("airflow", airflow,
		func(o *Outcome, i int) float64 { return o.Elements[o.Grilles[i].Element].Airflow })
	t[GrilleFaceVelocity] = num("face_velocity", velocity,
		func(o *Outcome, i int) float64 { return o.Elements[o.Grilles[i].Element].Velocity })

	t[RoomName] = text("name", func(o *Outcome, i int) string { return o.Rooms[i].Name })
	t[RoomZone] = text("zone", func(o *Outcome, i int) string { return o.Rooms[i].Zone })
	t[RoomNoise] = row("noise", noise,
		func(o *Outcome, i int) float64 { return o.Rooms[i].NC }).named("room noise")
	t[RoomNoiseBelow] = truth("noise_below",
		func(o *Outcome, i int) bool { return o.Rooms[i].NCBelow })
	t[RoomNoiseLow] = row("noise_low", noise,
		func(o *Outcome, i int) float64 { return o.Rooms[i].NCLow }).
		rowed("noise, low end of band").named("room noise lowest")
	t[RoomNoiseHigh] = row("noise_high", noise,
		func(o *Outcome, i int) float64 { return o.Rooms[i].NCHigh }).
		rowed("noise, high end of band").named("room noise highest")
	t[RoomNoiseBand] = num("noise_band", frequency,
		func(o *Outcome, i int) float64 { return o.Rooms[i].Band })
	t[RoomNoiseDBA] = row("noise", loudness,
		func(o *Outcome, i int) float64 { return o.Rooms[i].DBA }).
		rowed("sound level").named("room noise level")
	t[RoomNoiseRC] = text("noise_rc",
		func(o *Outcome, i int) string { return o.Rooms[i].RC.String() })
	t[RoomScreenLow] = num("screen_low", noise, absent)
	t[RoomScreen] = num("screen", noise, absent)
	t[RoomScreenHigh] = num("screen_high", noise, absent)
	t[RoomLoudest] = text("loudest", func(o *Outcome, i int) string { return o.Rooms[i].Loudest })
	t[RoomNoiseText] = text("noise_text",
		func(o *Outcome, i int) string { return o.Rooms[i].noiseText() })
	t[RoomNoiseFrom] = text("noise_from",
		func(o *Outcome, i int) string { return o.HeardFrom(o.Rooms[i].From) })
	t[RoomFaceVelocity] = num("face_velocity", velocity,
		func(o *Outcome, i int) float64 { return o.Rooms[i].FaceVelocity })

	t[ZoneName] = text("name", func(o *Outcome, i int) string { return o.Graph.Job.Zones[i].Name })
	t[ZoneCalling] = truth("calling", func(o *Outcome, i int) bool { return o.Zones[i].Calling })
	t[ZoneAirflow] = row("airflow", airflow,
		func(o *Outcome, i int) float64 { return o.Zones[i].Airflow }).early(2)
	t[ZoneWanted] = row("wanted", airflow,
		func(o *Outcome, i int) float64 { return o.Zones[i].Wants }).early(2)
	t[ZoneShortfall] = row("shortfall", airflow,
		func(o *Outcome, i int) float64 { return o.Zones[i].Shortfall }).early(2)
	t[ZoneReturn] = row("return", airflow,
		func(o *Outcome, i int) float64 { return o.Zones[i].Return }).early(2)
	t[ZonePressure] = row("pressure", pressure,
		func(o *Outcome, i int) float64 { return o.Zones[i].Pressure }).
		early(2).rowed("pressure against house")
	t[ZoneDrift] = row("drift", drift,
		func(o *Outcome, i int) float64 { return o.Zones[i].satisfied(o.Zones[i].DriftRate) }).
		less()
	t[ZoneDriftEnd] = row("drift_end", span,
		func(o *Outcome, i int) float64 { return o.Zones[i].satisfied(o.Zones[i].DriftEnd) })
	t[ZoneCallDuty] = row("call_duty", share,
		func(o *Outcome, i int) float64 { return o.Zones[i].satisfied(o.Zones[i].CallDuty) }).
		named("zone call share")
	t[ZoneSwingFate] = fate("swing",
		func(o *Outcome, i int) string { return string(o.Zones[i].SwingFate()) })
	t[ZoneSwing] = num("swing", span, func(*Outcome, int) float64 { return Swing })
	t[ZoneTimeToSwing] = row("time_to_swing", duration,
		func(o *Outcome, i int) float64 { return o.Zones[i].satisfied(o.Zones[i].TimeToSwing) }).
		named("zone off after")
	t[ZoneSupplyTemperature] = row("supply", temperature,
		func(o *Outcome, i int) float64 { return o.Zones[i].supply() }).
		early(1).rowed("supply temperature").named("zone supply temperature")
	t[ZoneDelivered] = row("delivered", load,
		func(o *Outcome, i int) float64 { return o.Zones[i].Delivered }).
		early(1).named("zone heat given")
	t[ZoneLoad] = row("load", load,
		func(o *Outcome, i int) float64 { return o.Zones[i].Load }).
		early(1).named("zone heat needed")
	t[ZoneNeutralBleed] = row("neutral_bleed", airflow,
		func(o *Outcome, i int) float64 { return o.Zones[i].NeutralBleed }).early(-1)
	t[ZoneCallFate] = fate("calls_itself",
		func(o *Outcome, i int) string { return string(o.Zones[i].CallFate()) })
	t[ZoneCallBand] = num("call_band", span, func(*Outcome, int) float64 { return CallBand })
	t[ZoneTimeToCall] = row("time_to_call", duration,
		func(o *Outcome, i int) float64 { return o.Zones[i].satisfied(o.Zones[i].TimeToCall) }).
		named("zone calls itself after")

	t[DamperName] = text("name", func(o *Outcome, i int) string { return o.Dampers[i].Name })
	t[DamperElement] = text("element",
		func(o *Outcome, i int) string { return o.Subject(OfDamper, i) })
	t[DamperPosition] = row("position", share,
		func(o *Outcome, i int) float64 { return o.Dampers[i].Position }).
		rowed("open").named("open")
	t[DamperBlade] = row("blade", angle,
		func(o *Outcome, i int) float64 { return o.Dampers[i].Blade }).rowed("blade from open")
	t[DamperMoved] = truth("moved", func(o *Outcome, i int) bool { return o.Dampers[i].Moved })
	t[DamperCalling] = truth("calling",
		func(o *Outcome, i int) bool { return o.Dampers[i].Calling })
	t[DamperAirflow] = row("airflow", airflow,
		func(o *Outcome, i int) float64 { return o.Dampers[i].Airflow })
	t[DamperDrop] = row("drop", pressure,
		func(o *Outcome, i int) float64 { return o.Dampers[i].Drop })

	t[PortName] = text("name", func(o *Outcome, i int) string { return o.Ports[i].Name })
	t[PortAt] = text("at", func(o *Outcome, i int) string { return o.Ports[i].At })
	t[PortStatic] = row("static", pressure,
		func(o *Outcome, i int) float64 { return o.Ports[i].Static })

	t[MassResidual] = num("mass_residual", airflow,
		func(o *Outcome, _ int) float64 { return standard(o.Certificate.MassResidual) }).
		named("air imbalance")
	t[MassNode] = text("mass_node",
		func(o *Outcome, _ int) string { return o.Certificate.MassNode })
	t[PressureResidual] = num("pressure_residual", pressure,
		func(o *Outcome, _ int) float64 { return o.Certificate.PressureResidual }).
		named("pressure imbalance")
	t[PressureElement] = text("pressure_element",
		func(o *Outcome, _ int) string { return o.Certificate.PressureElement })
	t[Gap] = num("gap", electricity, func(o *Outcome, _ int) float64 { return o.Certificate.Gap })
	t[FlowBound] = num("flow_bound", airflow,
		func(o *Outcome, _ int) float64 { return o.Certificate.FlowBound }).named("airflow bound")
	t[FlowElement] = text("flow_element",
		func(o *Outcome, _ int) string { return o.Certificate.FlowElement })
	t[EnergyResidual] = num("energy_residual", electricity,
		func(o *Outcome, _ int) float64 { return o.Equipment.EnergyResidual }).
		named("heat imbalance")
	t[EnergyTotal] = num("energy_total", electricity,
		func(o *Outcome, _ int) float64 { return o.Equipment.EnergyTotal })
	t[Iterations] = num("iterations", number,
		func(o *Outcome, _ int) float64 { return float64(o.Certificate.Iterations) })
	t[Unique] = truth("unique", func(o *Outcome, _ int) bool { return o.Certificate.Isolated })

	outlet := func(o *Outcome, i int) *Noise { return &o.Registers[i].Noise }
	intake := func(o *Outcome, i int) *Noise { return &o.Grilles[i].Noise }
	copy(t[RegisterNoise:], openingNoise(outlet))
	copy(t[GrilleNoise:], openingNoise(intake))
	t[RegisterNoise].In, t[RegisterThrow].In = Sound, Sound

	for of := range Subjects {
		for id := first[of]; id < last(of); id++ {
			f := &t[id]
			f.ID, f.Of = id, of
			if of == OfZone && !strings.HasPrefix(f.Name, "zone ") {
				f.Name = "zone " + f.Name
			}
		}
	}
	return t
}

// openingNoise are the fields of the noise of a register or grille, in the order of RegisterNoise
// and after. The screen keys held what velocity tables expect; those are limits for rooms, so there
// is no such number and the keys stay as null.
func openingNoise(at func(*Outcome, int) *Noise) []Field {
	const nc = quantity.KindNoise
	return []Field{
		num("noise", nc, func(o *Outcome, i int) float64 { return at(o, i).NC }).less(),
		truth("noise_below", func(o *Outcome, i int) bool { return at(o, i).NCBelow }),
		num("noise_low", nc, func(o *Outcome, i int) float64 { return at(o, i).NCLow }),
		num("noise_high", nc, func(o *Outcome, i int) float64 { return at(o, i).NCHigh }),
		num("noise_band", quantity.KindFrequency,
			func(o *Outcome, i int) float64 { return at(o, i).Band }),
		num("noise", quantity.KindLoudness,
			func(o *Outcome, i int) float64 { return at(o, i).DBA }).named("noise level"),
		num("noise_outlet", nc, func(o *Outcome, i int) float64 { return at(o, i).OutletNC }),
		num("noise_duct", nc, func(o *Outcome, i int) float64 { return at(o, i).DuctNC }),
		num("noise_catalogue", nc, func(o *Outcome, i int) float64 { return at(o, i).Catalogue }),
		truth("noise_rated", func(o *Outcome, i int) bool { return at(o, i).Rated }),
		num("screen_low", nc, absent),
		num("screen", nc, absent),
		num("screen_high", nc, absent),
		num("screen_beyond", quantity.KindNumber, absent),
		text("noise_text", func(o *Outcome, i int) string { return at(o, i).text() }),
		text("noise_from", func(o *Outcome, i int) string { return o.HeardFrom(at(o, i).From) }),
	}
}
