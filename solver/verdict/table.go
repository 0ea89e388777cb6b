package verdict

import (
	"math"
	"sync"

	"spillway/network/catalog"
	"spillway/network/quantity"
)

// velocitySlack is how far past a guideline of velocity a value is no finding: a velocity is hardly
// predicted, and read with a hood or a probe, to better than 5 % (our choice; a quarter of the 20 %
// that make a difference of some 5 dB by 60 log of the velocity).
const velocitySlack = 0.05

// classes are the classes of the checks that are more or less than a guideline.
var classes = map[Check]Class{
	LimitMargin: SafetyClass, DuctAir: SafetyClass,
	ExternalStatic: Equipment, AirflowPerTon: Equipment, GreatestRise: Equipment, LeastRise: Equipment, EnteringAir: Equipment, ColdEnteringAir: Equipment,
	CoilFrost: Equipment, LeavingAir: Equipment, Stall: Equipment,
	CaliforniaAirflow: Code, CaliforniaFanPower: Code, CaliforniaBypass: Code, CaliforniaGasFan: Code, ReturnExcess: Code,
	ZoningKept: Zoning, CallersShare: Zoning, OverConditioning: Zoning,
	Sweating: Comfort, ZoneDrift: Comfort, Shortfall: Comfort, Excess: Comfort, RoomPressure: Comfort,
	BedroomNoise: Comfort, LivingNoise: Comfort, ServiceNoise: Comfort, ShortThrow: Comfort, Carry: Comfort, JetDrop: Comfort,
	DraughtChill: Comfort, DraughtCooling: Comfort, DraughtHeating: Comfort,
	DumpRoom: Comfort, CoolingLeast: Comfort, HeatingLeast: Comfort, AirflowPerTonMost: Comfort,
	FormulaRange: Rule, SmallestZone: Rule, LargestZone: Rule,
	FloorPerTonLeast: Rule, FloorPerTonMost: Rule,
	BudgetFilter: Rule, BudgetCoil: Rule, BudgetSupply: Rule, BudgetReturn: Rule,
}

// ClassOf is the class of the checks of a name, which have one in common; "" of a name that no check has.
func ClassOf(name string) Class { return classByName()[name] }

var classByName = sync.OnceValue(func() map[string]Class {
	byName := map[string]Class{}
	for _, l := range usual().row {
		byName[l.Check] = l.Class
	}
	return byName
})

// Check is the place of a row in the table of limits.
type Check int

const (
	ExternalStatic Check = iota
	AirflowPerTon
	AirflowPerTonMost
	FanPower
	BypassShare
	BypassAll
	CoolingSize
	CoolingLeast
	HeatingSize
	HeatingLeast
	SmallestZone
	LargestZone
	FloorPerTonLeast
	FloorPerTonMost
	BudgetFilter
	BudgetCoil
	BudgetSupply
	BudgetReturn
	GreatestRise
	LeastRise
	EnteringAir
	ColdEnteringAir
	LimitMargin
	DuctAir
	CoilFrost
	LeavingAir
	Sweating
	ZoneDrift
	ZoningKept
	CallersShare
	OverConditioning
	SupplyFace
	ReturnFace
	FilterGrille
	FilterFace
	CoilFace
	Trunk
	Branch
	FlexBranch
	ReturnTrunk
	Shortfall
	Excess
	DumpRoom
	ReturnExcess
	RoomPressure
	StopInfluence
	StopSlip
	BedroomNoise
	LivingNoise
	ServiceNoise
	ShortThrow
	Carry
	JetDrop
	DraughtChill
	DraughtCooling
	DraughtHeating
	OffTable
	Stall
	FormulaRange
	CaliforniaAirflow
	CaliforniaFanPower
	CaliforniaBypass
	CaliforniaGasFan
	checks
)

// Sources that several rows share.
const (
	plateSource      = "rating plate, as the job file gives it"
	manualSource     = "usual in furnace installation manuals (from memory); the manual of the appliance governs"
	limitGivenSource = "limit of the appliance, as the job file gives it; the margin of 10 °F is our choice; a fault only where the mixed air trips it, or the job says how much arrives unmixed"
	limitSource      = "usual range of limits is 165 to 200 °F (common practice); 170 °F is our default, the appliance's own governs, and the margin of 10 °F is our choice; a fault only where the mixed air trips it, or the job says how much arrives unmixed"
	noiseFault       = "a fault only where the low end of the estimate's band is past the caution step"
	noiseSource      = "inside the ranges of Egan, Architectural Acoustics (bedrooms NC 25 to 35) and of the ASHRAE Applications table (from memory); the steps are our choice"
	sizeSource       = "a machine has to carry the load of the weather it is chosen for (ACCA Manual S, as reviewed " +
		"second-hand); the fault below nine tenths is our choice: "
	floorSource = "40 published load calculations in hot and mixed climates gave 624 to 3,325 ft² a " +
		"ton, mean 1,431, and the old rule of thumb is 400 to 600 (published second-hand); "
	californiaRule = "California Title 24 Part 6 (2013), zoned single-speed systems, in every zonal control mode, as published; confirm the edition in force"
	draughtSource  = "air speed among people: 50 fpm in cooling and 30 in heating are felt (ASHRAE Journal, April 1999), 70 fpm is the most in ADPI (ASHRAE Fundamentals, ch. 20)"
)

// Steps of temperature and pressure limits in the units in which the trade states them.
func fahrenheit(degrees float64) float64 { return (degrees - 32) * quantity.FahrenheitDeg }
func degreesF(span float64) float64      { return span * quantity.FahrenheitDeg }

// defaults is the one table of limits. SI.
func defaults() *table {
	none := math.NaN()
	t := &table{}
	put := func(c Check, l Limit) { l.row = c; t.row[c] = l }

	put(ExternalStatic, Limit{Check: "external static", Quantity: Pressure, Caution: 0.9 * 0.5 * quantity.InchWater, Fault: 0.5 * quantity.InchWater, near: 0.9,
		Key: "max-static", Hazard: LiveParts, Source: "usual rating of furnaces and air handlers, 0.5 in. of water (common practice); the rating plate governs"})
	put(AirflowPerTon, Limit{Check: "airflow per ton", Quantity: FlowPerHeat, Bounds: AtLeast, since: "cooling",
		Caution: 350 * quantity.CFM / quantity.TonOfCooling, Fault: 300 * quantity.CFM / quantity.TonOfCooling, Key: "least-airflow-per-ton", Hazard: FrozenCoil,
		Source: "350 to 450 cfm per ton is the usual target (FSEC-PF-321-97, Parker, Sherwin, Raustad and Shirey 1997); below 300 direct-expansion coils leave their rating window (published second-hand)"})
	put(AirflowPerTonMost, Limit{Check: "airflow per ton", Of: "most", Quantity: FlowPerHeat,
		since:   "cooling; instead of the least, where it is passed",
		Caution: 450 * quantity.CFM / quantity.TonOfCooling, Fault: 500 * quantity.CFM / quantity.TonOfCooling,
		near: 0.9, Key: "greatest-airflow-per-ton",
		Source: "350 to 450 cfm per ton is the usual target (FSEC-PF-321-97, Parker, Sherwin, Raustad " +
			"and Shirey 1997); above it a coil hardly dries the air, and the fault at 500 is our choice"})
	put(FanPower, Limit{Check: "fan power", Quantity: PowerPerFlow, Caution: 0.58 / quantity.CFM, Fault: 2 * 0.58 / quantity.CFM, near: 0.9, Key: "fan-power-per-cfm",
		Source: "0.58 W/cfm is California's figure for zoned single-speed systems (Title 24 Part 6, 2013); taken as a caution everywhere, and the fault at twice that, by our choice"})
	put(BypassShare, Limit{Check: "bypass share", Quantity: Fraction, Caution: 0.20, Fault: 0.35, near: 0.9, Key: "bypass-share", since: "the job has a bypass",
		Source: "a 50 °F rise reaches a usual entering-air maximum of 80 to 85 °F at 17 to 23 % recirculation (computed); the steps are our choice"})
	put(BypassAll, Limit{Check: "bypass open", Of: "all zones calling", Quantity: Fraction,
		Caution: 0.02, Fault: none, near: 1, Key: "bypass-all-calling",
		since: "the job has a bypass; all zones call",
		Source: "a bypass is shut when all zones call: its damper opens above the plenum's static then " +
			"(common practice); 2 % for its leakage is our choice"})
	put(CoolingSize, Limit{Check: "cooling size", Quantity: Ratio, Caution: 1.15, Fault: none, near: 1, Key: "cooling-size", since: "all zones call; every zone gives its gain",
		Source: "ACCA Manual S, older edition, quoted second-hand (2012): cooling at most 115 % of the load; here sensible capacity against the sum of the zones' gains"})
	put(CoolingLeast, Limit{Check: "load carried", Of: "cooling", Quantity: Fraction,
		Bounds: AtLeast, Caution: 1, Fault: 0.9, Key: "least-cooling-carried",
		since:  "all zones call; every zone gives its gain",
		Source: sizeSource + "sensible cooling that is given over the zones' gains in this weather"})
	put(HeatingSize, Limit{Check: "heating size", Quantity: Ratio, Caution: 1.40, Fault: none, near: 1, Key: "heating-size", since: "all zones call; every zone gives its loss",
		Source: "ACCA Manual S, older edition, quoted second-hand (2012): furnace at most 140 % of the load (heat pump 125 %); here against the sum of the zones' losses"})

	put(HeatingLeast, Limit{Check: "load carried", Of: "heating", Quantity: Fraction,
		Bounds: AtLeast, Caution: 1, Fault: 0.9, Key: "least-heating-carried",
		since:  "all zones call; every zone gives its loss",
		Source: sizeSource + "heat that is given over the zones' losses in this weather; auxiliary heat is not counted"})
	put(SmallestZone, Limit{Check: "smallest zone", Quantity: Fraction, Bounds: AtLeast,
		Caution: 0.35, Fault: none, near: 1, Key: "least-smallest-zone",
		since: "one stage; all zones call",
		Source: "a zone of less than 35 % of the system's air wants stages or a relief (a contractor's " +
			"guide, quoted second-hand); other figures are 25 to 33 % (from memory)"})

	put(LargestZone, Limit{Check: "largest zone", Of: "left over when it calls alone", Quantity: quantity.KindLoad,
		Caution: quantity.TonOfCooling / 2, Fault: none, near: 1,
		since: "cooling with one stage; all zones call; every zone gives its gain",
		Source: "a machine of one stage at most half a ton over its largest zone (common practice, no " +
			"standard); here rated sensible cooling less that zone's gain"})
	const floorSince = "cooling, all zones call; every zone gives its floor"
	put(FloorPerTonLeast, Limit{Check: "floor per ton", Quantity: quantity.KindFloorPerHeat,
		Bounds: AtLeast, Caution: 400 * quantity.SquareFoot / quantity.TonOfCooling, Fault: none,
		near: 1, since: floorSince, Source: floorSource + "less wants a second look at the loads"})
	put(FloorPerTonMost, Limit{Check: "floor per ton", Of: "most", Quantity: quantity.KindFloorPerHeat,
		Caution: 3400 * quantity.SquareFoot / quantity.TonOfCooling, Fault: none,
		near: 1, since: floorSince, Source: floorSource + "more wants a second look at the loads"})
	budget := func(c Check, of string, share float64) {
		put(c, Limit{Check: "static budget", Of: of, Quantity: Fraction, Caution: share,
			Fault: none, near: 1, since: "all zones call, at the highest stage",
			Source: "usual shares of the rated static: filter 20, coil 40, supply 20, return 20 % " +
				"(from memory; the idea of a static budget is in print); a first screen, no limit"})
	}
	budget(BudgetFilter, "filter", 0.20)
	budget(BudgetCoil, "coil", 0.40)
	budget(BudgetSupply, "supply", 0.20)
	budget(BudgetReturn, "return", 0.20)

	put(GreatestRise, Limit{Check: "temperature rise", Of: "greatest", Quantity: Span, Caution: none, Fault: none, Hazard: HotFurnace, since: "heating, with the plate's rise given", Source: plateSource})
	put(LeastRise, Limit{Check: "temperature rise", Of: "least", Quantity: Span, Bounds: AtLeast, Caution: none, Fault: none, Hazard: HotFurnace, since: "heating, with the plate's rise given", Source: plateSource})
	put(EnteringAir, Limit{Check: "entering air", Quantity: Temperature, Caution: fahrenheit(80), Fault: fahrenheit(85), Key: "entering-air", Hazard: HotFurnace, since: "heating", Source: manualSource})
	put(ColdEnteringAir, Limit{Check: "entering air, cold", Quantity: Temperature, Bounds: AtLeast, Caution: fahrenheit(60), Fault: fahrenheit(55),
		Key: "least-entering-air", Hazard: HotFurnace, since: "heating", Source: manualSource})
	put(LimitMargin, Limit{Check: "limit", Of: "margin under the limit", Quantity: Span, Bounds: AtLeast, Caution: degreesF(10), Fault: 0, Key: "least-limit-margin", Hazard: HotFurnace,
		since: "heating", Source: limitSource})
	put(DuctAir, Limit{Check: "duct air", Quantity: Temperature, Caution: fahrenheit(200), Fault: fahrenheit(250), Key: "duct-air", Hazard: HotDucts, since: "heating",
		Source: "equipment on ducts is limited to discharge air of 250 °F (IRC M1601.1.1, from memory); the caution at 200 °F is our choice"})
	put(CoilFrost, Limit{Check: "coil frost", Quantity: Temperature, Bounds: AtLeast, Caution: fahrenheit(34), Fault: fahrenheit(28), Key: "least-evaporating",
		Hazard: FrozenCoil, since: "cooling", Source: "saturated suction; fins are warmer by 2 to 4 °F at the coldest, and a comfort coil frosts below a saturation of 28 to 30 °F (from memory); " +
			"the caution from 34 °F is our choice; less what unmixed bypass air takes away (a fault only where the mixed air is)"})
	put(LeavingAir, Limit{Check: "leaving air", Quantity: Temperature, Bounds: AtLeast, Caution: fahrenheit(45), Fault: fahrenheit(40), Key: "least-leaving-air",
		Hazard: FrozenCoil, since: "cooling", Source: "an alarm of ours near the low end of the cut-outs of zone panels, 40 to 50 °F (common practice)"})
	put(Sweating, Limit{Check: "register sweating", Of: "under the room's dew point", Quantity: Span, Caution: degreesF(5), Fault: none, Key: "sweating", Hazard: Condensate, since: "cooling",
		Source: "surfaces colder than the room's dew point condense its moisture; a metal face stands between the air in it and the room, so 5 °F are allowed (our choice)"})
	put(ZoneDrift, Limit{Check: "zone drift", Quantity: Span, Caution: degreesF(2), Fault: degreesF(3), Key: "zone-drift", since: "satisfied zones",
		Source: "usual swing of a room about its setpoint: 2 °F in heating, 3 °F in cooling (from memory); as steps our choice"})

	const partCalls = "some zones call and others do not; a call in which the panel opens further dampers is a caution at most"
	put(ZoningKept, Limit{Check: "zoning given away", Of: "zoning kept", Quantity: Fraction, Bounds: AtLeast, Caution: 0.40, Fault: 0.25, Key: "least-zoning-kept", since: partCalls,
		Source: "part of the possible zoning that the dampers achieve, 1 with all of the call in the zones that call, 0 with no more than open dampers give: our measure, and the steps are our choice"})
	put(CallersShare, Limit{Check: "zoning given away", Of: "caller's share", Quantity: Fraction, Bounds: AtLeast, Caution: 0.50, Fault: none, near: 1, Key: "least-callers-share", since: partCalls,
		Source: "at least half of the heat or cold of a call for the zones that call: our choice"})
	put(OverConditioning, Limit{Check: "zoning given away", Of: "over-conditioning", Quantity: Span, Caution: degreesF(2), Fault: degreesF(3), Key: "over-conditioning",
		since:  "once for a weather, where all its calls are solved and every zone gives its load",
		Source: "how far past its set point a zone has to be driven to hold the others, at the best mixture of calls, in the worst of our cases (each zone at its design load or at 20 % of it); the steps are those of zone drift"})

	velocity := func(c Check, name, of, row, key, since string) {
		v, _ := catalog.LookupVelocity(row)
		l := Limit{Check: name, Of: of, Quantity: Velocity, Caution: v.Recommended, Fault: v.Maximum, near: 0.9, Key: key, since: since, Source: v.Source.String() + "; up to 5 % past it is no finding (our choice)"}
		if l.Caution == 0 || l.Caution >= l.Fault {
			l.Caution = l.near * l.Fault
		}
		l.Slack = velocitySlack
		put(c, l)
	}
	velocity(SupplyFace, "register face velocity", "", "supply face default", "supply-face-velocity", "")
	velocity(ReturnFace, "return grille velocity", "grille", "return grille default", "return-face-velocity", "")
	velocity(FilterGrille, "return grille velocity", "filter grille", "filter grille default", "filter-grille-velocity", "")
	velocity(FilterFace, "filter velocity", "", "filter face", "filter-velocity", "the filter's size is given")
	velocity(CoilFace, "coil velocity", "", "cooling coil face", "coil-velocity", "the coil's size is given")
	velocity(Trunk, "duct velocity", "trunk", "trunk default", "trunk-velocity", "")
	velocity(Branch, "duct velocity", "run to a register", "branch default", "branch-velocity", "")
	velocity(FlexBranch, "duct velocity", "flexible run to a register", "flex branch default", "flex-branch-velocity", "")
	velocity(ReturnTrunk, "duct velocity", "return", "return trunk default", "return-trunk-velocity", "")

	put(Shortfall, Limit{Check: "zone shortfall", Quantity: Fraction, Caution: 0.10, Fault: 0.20, near: 0.9, Key: "shortfall", since: "calling zones; in heating a zone that gets the heat it needs is ok however short of air, and says so",
		Source: "10 % is the usual balancing tolerance of an outlet, 20 % of a room (from memory)"})
	put(Excess, Limit{Check: "zone excess", Quantity: Ratio, Caution: 1.5, Fault: 2, near: 0.75,
		Key: "excess", since: "calling zones",
		Source: "airflow over what the zone wants: 60 log 1.5 makes its registers 10.6 dB louder, " +
			"60 log 2 makes them 18 (computed); the steps are our choice"})
	put(DumpRoom, Limit{Check: "dump room", Quantity: Ratio, Caution: 1.5, Fault: 3, near: 0.5,
		Key: "dump-room", since: "rooms with a register and a dump, where the zone gives its load",
		Source: "heat or cold given to the room over its part of the zone's load, by what its " +
			"registers want: our measure, and the steps are our choice"})
	put(ReturnExcess, Limit{Check: "return over supply", Quantity: Fraction, Caution: 0.10, Fault: none, near: 1, Key: "return-excess", Hazard: FlueGas, since: "zones with a grille of their own: with all zones calling, and in every call where the grille is behind a door; in other calls zones open to one another share a central return",
		Source: "return air taken from a room must not exceed the supply to it (IRC 2021 M1602.2); held here per zone, with a tenth for measuring (our choice)"})
	put(RoomPressure, Limit{Check: "room pressure", Quantity: Pressure, Caution: 3, Fault: 5, near: 0.6, Key: "room-pressure", Hazard: FlueGas, since: "rooms behind a shut door",
		Source: "ENERGY STAR: at most 3 Pa across a closed door, 5 Pa for rooms of 150 cfm and more"})
	put(StopInfluence, Limit{Check: "damper stop", Quantity: Fraction, Caution: 0.25, Fault: none, near: 1, Key: "stop-sensitivity", since: "dampers at a stop between shut and open",
		Source: "change of the bleed when the blade stands 5 degrees off, about what a stop set by hand is good for; 25 % is our choice"})

	put(StopSlip, Limit{Check: "damper stop slip", Quantity: quantity.KindNumber, Caution: 0, Fault: none, since: "dampers at a stop between shut and open, where a slip of 5 degrees brings a check into fault",
		Source: "number of checks that come into fault when the blade stands 5 degrees off, about what a stop set by hand is good for; none is our choice"})

	noise := func(c Check, of, key string, caution, fault float64) {
		put(c, Limit{Check: "room noise", Of: of, Quantity: Noise, Caution: caution, Fault: fault, Key: key, since: noiseFault, Source: noiseSource})
	}
	noise(BedroomNoise, "bedroom", "bedroom-noise", 30, 35)
	noise(LivingNoise, "living room", "living-noise", 35, 40)
	noise(ServiceNoise, "kitchen, bath, hall", "service-noise", 40, 45)

	const given = "registers whose pattern is given, from a tenth of their design air"
	put(ShortThrow, Limit{Check: "short throw", Quantity: Fraction, Bounds: AtLeast, Caution: 0.7, Fault: none, near: 1, Key: "least-throw", since: given + "; 70 % for sidewalls, 60 % from floor and sill, 50 % from the ceiling",
		Source: "throw to 50 fpm over the distance to cross; our choice inside the rows of throw for best ADPI (ASHRAE Fundamentals, ch. 20, older editions, from memory)"})
	put(Carry, Limit{Check: "dumping", Quantity: Fraction, Bounds: AtLeast, Caution: 0.5, Fault: none, near: 1, Key: "least-carry", since: given + "; cooling, horizontal jets",
		Source: "distance at which a cold jet leaves the ceiling or has slowed to 50 fpm, over the distance to cross (Kirkpatrick and Elleson in ASHRAE Fundamentals, ch. 20, eq. 13); half the room is our choice"})
	put(JetDrop, Limit{Check: "jet drop", Quantity: Ratio, Caution: 1, Fault: none, near: 1, Key: "jet-drop", since: given + "; cooling, horizontal jets away from the ceiling",
		Source: "fall of a cold jet at three quarters of the room, over the height of the register above people (1.8 m); formula ±40 % (our derivation after Koestel 1955)"})
	put(DraughtChill, Limit{Check: "draught", Of: "chill", Quantity: Span, Caution: 1.7, Fault: none, near: 1, Key: "draught-chill", since: given + "; cooling",
		Source: "effective draft temperature of -1.7 K and colder feels cold (ASHRAE Fundamentals, ch. 20, ADPI)"})
	put(DraughtCooling, Limit{Check: "draught", Of: "speed", Quantity: Velocity, Caution: 0.35, Fault: none, near: 1, Key: "draught-velocity", since: given + "; not heating", Source: draughtSource})
	put(DraughtHeating, Limit{Check: "draught", Of: "speed in heating", Quantity: Velocity, Caution: 0.15, Fault: none, near: 1, Key: "draught-velocity-heating", since: given + "; heating, all but jets along the ceiling", Source: draughtSource})

	put(OffTable, Limit{Check: "blower off its table", Quantity: Pressure, Caution: none, Fault: none, Hazard: LiveParts, since: "the blower runs outside the statics of its table", Source: "the blower's table"})
	put(Stall, Limit{Check: "blower stall", Quantity: Pressure, Caution: none, Fault: none, Hazard: LiveParts, since: "the blower's curve meets the ducts at several points", Source: "the blower's curve"})
	put(FormulaRange, Limit{Check: "outside a formula's range", Caution: none, Fault: none, since: "noise within 10 NC of its limit, throws that are judged, what may move a fiftieth of the air, a coil far outside its curve", Source: "the formula's own"})

	const rule, gas = "california zonal", "california gas furnace fan"
	put(CaliforniaAirflow, Limit{Check: "california zonal airflow", Of: rule,
		Quantity: FlowPerHeat, Bounds: AtLeast, Caution: none, Fault: zonal2013.Airflow.Value,
		Given: true, Hazard: FrozenCoil, since: "cooling; air to and from the dwelling, bypass left out; staged equipment: all zones calling at the highest stage", Source: californiaRule})
	put(CaliforniaFanPower, Limit{Check: "california zonal fan power", Of: rule,
		Quantity: PowerPerFlow, Caution: none, Fault: zonal2013.Power.Value,
		Given: true, since: "as the airflow", Source: californiaRule})
	put(CaliforniaBypass, Limit{Check: "california zonal bypass", Of: rule, Quantity: Fraction, Caution: none, Fault: 0,
		Given: true, since: "the job has a bypass", Source: "California Title 24 Part 6, section 150.1(c)13: no bypass duct by the prescriptive way, the performance way may allow it; as published, confirm the edition in force"})
	put(CaliforniaGasFan, Limit{Check: "california gas furnace fan", Of: gas,
		Quantity: PowerPerFlow, Caution: none, Fault: 0.45 * perCFM,
		Given: true, since: "every state", Source: "California Title 24 Part 6, section 150.0(m)13, later editions (from memory); confirm the edition in force"})
	for c := range t.row {
		if t.row[c].Class = classes[Check(c)]; t.row[c].Class == "" {
			t.row[c].Class = Guideline
		}
	}
	return t
}
