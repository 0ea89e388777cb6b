package sheet

import (
	"math"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/sound/validity"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// The fixtures are invented outcomes, built by hand: they exercise the printing, not the physics.

func cfm(v float64) float64  { return v * quantity.CFM }
func inwc(v float64) float64 { return v * quantity.InchWater }
func fpm(v float64) float64  { return v * quantity.FPM }

// twoZones is a loft and a living floor on one trunk, with a bypass that stands shut and leaks at the supply plenum.
func twoZones() *network.Graph {
	job := &network.Job{
		Title: "Two zones for the printer",
		Equipment: network.Equipment{Cooling: &network.Machine{Capacity: 3 * quantity.TonOfCooling, Stages: []network.Stage{
			{Name: "low", Capacity: 2 * quantity.TonOfCooling}, {Name: "high"}}}},
		Zones:  []network.Zone{{Name: "living floor", Damper: network.Names{"living"}}, {Name: "loft", Damper: network.Names{"loft"}}},
		Supply: []network.Line{{Name: "trunk"}, {Name: "loft-main"}, {Name: "living-main"}},
		Ports:  []network.Port{{Name: "before the fork", At: "trunk end"}, {Name: "loft riser", At: "loft-main start"}, {Name: "nowhere", At: "attic"}},
	}
	roles := map[string]network.Role{network.ReturnPlenum: network.AtReturnPlenum, network.BlowerInlet: network.AtBlowerInlet,
		network.BlowerOutlet: network.AtBlowerOutlet, network.SupplyPlenum: network.AtSupplyPlenum}
	node := func(name string, kind network.NodeKind) network.Node {
		return network.Node{Name: name, Kind: kind, Role: roles[name]}
	}
	g := &network.Graph{Job: job, Blower: 0, Nodes: []network.Node{
		node(network.ReturnPlenum, network.Chamber), node(network.BlowerInlet, network.Chamber), node(network.BlowerOutlet, network.Chamber),
		node(network.SupplyPlenum, network.Chamber), node("trunk end", network.Joint), node("loft-main end", network.Joint),
		node("living-main end", network.Joint), {Name: network.House, Kind: network.HouseAir, Known: true}, {Name: network.Outside, Kind: network.Outdoors, Known: true},
	}}
	g.Elements = []network.Element{
		{Name: "blower", Kind: network.KindBlower, Side: network.EquipmentSide, From: 1, To: 2, Spec: &network.BlowerSpec{}},
		{Name: "filter", Kind: network.KindFilter, Side: network.EquipmentSide, From: 0, To: 1, Spec: &network.RatedSpec{}},
		{Name: "coil", Kind: network.KindCoil, Side: network.EquipmentSide, From: 2, To: 3, Spec: &network.RatedSpec{}},
		{Name: "trunk", Kind: network.KindDuct, From: 3, To: 4, Line: "trunk", Spec: &network.DuctSpec{First: true}},
		{Name: "loft-main", Kind: network.KindDuct, From: 4, To: 5, Line: "loft-main", Zone: "loft", Spec: &network.DuctSpec{First: true}},
		{Name: "living", Kind: network.KindDamper, From: 4, To: 6, Line: "living-main", Zone: "living floor", Spec: &network.DamperSpec{}},
		{Name: "loft register", Kind: network.KindRegister, From: 5, To: 7, Line: "loft-main", Zone: "loft", Room: "loft bed", Spec: &network.OpeningSpec{}},
		{Name: "living register", Kind: network.KindRegister, From: 6, To: 7, Line: "living-main", Zone: "living floor", Room: "living", Spec: &network.OpeningSpec{}},
		{Name: "relief", Kind: network.KindRelief, Side: network.BypassSide, From: 3, To: 0, Line: "relief", Spec: &network.ReliefSpec{}},
		{Name: "supply leakage", Kind: network.KindLeak, From: 3, To: 8, Spec: &network.LeakSpec{}},
	}
	for i := range g.Elements {
		g.Elements[i].LineID = job.LineNamed(g.Elements[i].Line)
	}
	g.Registers = []network.Register{
		{Element: 7, Line: "living-main", Zone: "living floor", Room: "living", Wants: cfm(760)},
		{Element: 6, Line: "loft-main", Zone: "loft", Room: "loft bed", Wants: cfm(520)},
	}
	return g
}

// loftCalls is the state of the design: of 1,130 cfm the loft takes 655 and wants 520, 384 bleeds, 91 leaks.
func loftCalls() *state.Outcome {
	g := twoZones()
	nan := math.NaN()
	o := &state.Outcome{
		State: state.CallState{Name: "cooling: loft", Mode: network.Cooling, Weather: "design-cooling", Calling: []string{"loft"}, Stage: 2, Stages: 2},
		Graph: g,
		Certificate: state.Certificate{MassResidual: 3e-14, MassNode: "trunk end", PressureResidual: 2e-10, PressureElement: "coil", Gap: 4e-13,
			FlowBound: cfm(2e-7), FlowElement: "relief", Iterations: 5, Isolated: true},
		Blower: state.Blower{Tap: "high", Airflow: cfm(1130.2), ActualAirflow: cfm(1110.5), ExternalStatic: inwc(0.6234), Power: 498,
			Points: []state.OperatingPoint{{Airflow: cfm(1130.2), Static: inwc(0.6234), Stable: true}}},
		Zones: []state.Zone{{Airflow: cfm(384.4), Wants: cfm(760), Return: nan, Pressure: inwc(0.001)},
			{Calling: true, Airflow: cfm(655.3), Wants: cfm(520), Return: nan, Pressure: inwc(0.004)}},
		Registers: []state.Register{{Airflow: cfm(384.4), Wants: cfm(760), FaceVelocity: fpm(310), Static: inwc(0.021)},
			{Airflow: cfm(655.3), Wants: cfm(520), Calling: true, FaceVelocity: fpm(905), Static: inwc(0.088)}},
		Dampers: []state.Damper{
			{Element: 5, Name: "living", Position: 0.25, Blade: 67.5, Airflow: cfm(384.4), Drop: inwc(0.31)},
			{Element: 8, Name: "relief", Position: 0, Blade: nan, Moved: true, Airflow: cfm(0), Drop: inwc(0.4)},
		},
		Notes: []string{"the second estimate of the coil is colder than its model reaches"},
		Stretches: []state.Stretch{
			{Element: 4, Where: "loft-main", Airflow: cfm(3), Note: validity.Note{Value: 1.86, Range: validity.Range{Quantity: "branch over main velocity", Low: 0.8, High: 1.12, Of: "45-entry tap"}}},
			{Element: 5, Where: "living-main", Airflow: cfm(40), Note: validity.Note{Value: 0.3, Range: validity.Range{Quantity: "branch over main velocity", Low: 0.8, High: 1.12, Of: "45-entry tap"}}},
			{Element: 2, Where: "coil", Airflow: math.NaN(), Note: validity.Note{Value: 10, Range: validity.Range{Quantity: "entering wet bulb", Low: 12.78, High: 23.89, Unit: "°C", Of: "capacity of the coil"}}},
		},
	}
	o.Ledger = state.Ledger{Blower: cfm(1130.2), Wanted: cfm(520), Asked: cfm(520), Surplus: cfm(610.2), Paths: []state.Path{
		{To: "loft", Kind: state.PathWanted, Airflow: cfm(520), Damper: -1},
		{To: "loft", Kind: state.PathCalling, Airflow: cfm(135.3), Damper: -1},
		{To: "living floor", Kind: state.PathBleed, Airflow: cfm(384.4), Damper: 0},
		{To: "relief", Kind: state.PathBypass, Airflow: 0, Damper: 1},
		{To: network.Outside, Kind: state.PathLeakage, Airflow: cfm(90.5), Damper: -1},
	}}
	flows := []float64{1130.2, 1130.2, 1130.2, 1039.7, 655.3, 384.4, 655.3, 384.4, 0, 90.5}
	surplus := []float64{610.2, 610.2, 610.2, 519.7, 135.3, 384.4, 135.3, 384.4, 0, 90.5}
	for i, q := range flows {
		e := state.Element{Airflow: cfm(q), Flow: cfm(q) * 1.2014, Surplus: cfm(surplus[i]), Velocity: nan, Drop: inwc(0.05 * float64(i+1)),
			Friction: nan, Density: 1.19, Temperature: 13, Low: cfm(q - 1e-6), High: cfm(q + 1e-6)}
		if g.Elements[i].Kind == network.KindDuct {
			e.Velocity, e.Friction = fpm(930), inwc(0.09)/(100*quantity.Foot)
		}
		o.Elements = append(o.Elements, e)
	}
	o.Elements[0].Drop = -inwc(0.6234)
	o.Equipment = coolingEquipment()
	o.Zones[0] = climate(o.Zones[0], 54, -2400, -11000, 3.1, 8.6, 0.31, 2322, 310)
	o.Zones[1] = climate(o.Zones[1], 54, -12600, -7200, nan, nan, nan, nan, nan)
	for i := range o.Registers {
		o.Registers[i].Temperature, o.Registers[i].DewPoint = fahrenheit(54), fahrenheit(55.3)
	}
	statics := []float64{-0.12, -0.24, 0.51, 0.30, 0.26, 0.10, 0.02, 0, 0}
	for i, p := range statics {
		o.Nodes = append(o.Nodes, state.Node{Static: inwc(p), Total: inwc(p + 0.03), Temperature: 24 - float64(i)})
	}
	o.Ports = state.Ports(g)
	for i := range o.Ports {
		o.Ports[i].Static, _ = o.Static(o.Ports[i].Spot)
	}
	return o
}

// bothCall is a heating state without surplus: each zone is a little short.
func bothCall() *state.Outcome {
	o := loftCalls()
	o.State = state.CallState{Name: "heating: living floor + loft", Mode: network.Heating, Calling: []string{"living floor", "loft"}, Stage: 1, Stages: 1}
	o.Blower.Tap, o.Blower.Power, o.Blower.OffTable = "", math.NaN(), true
	o.Blower.Airflow = cfm(1000)
	o.Registers[0] = state.Register{Airflow: cfm(500.5), Wants: cfm(760), Calling: true, FaceVelocity: fpm(400), Static: inwc(0.03)}
	o.Registers[1] = state.Register{Airflow: cfm(399.5), Wants: cfm(520), Calling: true, FaceVelocity: fpm(500), Static: inwc(0.04)}
	o.Zones[0] = state.Zone{Calling: true, Airflow: cfm(500.5), Wants: cfm(760), Return: math.NaN(), Pressure: 0, Shortfall: cfm(259.5)}
	o.Zones[1] = state.Zone{Calling: true, Airflow: cfm(399.5), Wants: cfm(520), Return: math.NaN(), Pressure: 0, Shortfall: cfm(120.5)}
	o.Dampers[0].Position, o.Dampers[0].Blade, o.Dampers[0].Calling = 1, 0, true
	o.Dampers[1].Position, o.Dampers[1].Blade = 0.12, 79.2
	o.Ledger = state.Ledger{Blower: cfm(1000), Wanted: cfm(900), Asked: cfm(1280), Surplus: cfm(100), Paths: []state.Path{
		{To: "living floor", Kind: state.PathWanted, Airflow: cfm(500.5), Damper: -1},
		{To: "loft", Kind: state.PathWanted, Airflow: cfm(399.5), Damper: -1},
		{To: "relief", Kind: state.PathBypass, Airflow: cfm(60.5), Damper: 1},
		{To: network.Outside, Kind: state.PathLeakage, Airflow: cfm(39.5), Damper: -1},
	}}
	o.Bypass = 0.0605
	o.Equipment = heatingEquipment()
	for i := range o.Zones {
		o.Zones[i] = climate(o.Zones[i], 168, 26000, []float64{30000, math.NaN()}[i], math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN())
		o.Registers[i].Temperature, o.Registers[i].DewPoint = fahrenheit(168), fahrenheit(41)
	}
	o.Notes = nil
	return o
}

func fahrenheit(v float64) float64 { return (v - 32) / 1.8 }

// coolingEquipment is a coil that comes near frost and never gets there.
func coolingEquipment() state.Equipment {
	nan := math.NaN()
	return state.Equipment{
		Computed: true, Entering: fahrenheit(75.4), EnteringWetBulb: fahrenheit(62.8), Leaving: fahrenheit(53.9), LeavingHumidity: 0.0081, Rise: -21.5 / 1.8,
		Output: 32800 * quantity.BtuPerHour, Sensible: 25900 * quantity.BtuPerHour, FanHeat: 498,
		LeastRise: nan, GreatestRise: nan, Limit: nan, Sensor: nan, SensorLow: nan, SensorHigh: nan, OnePass: nan, TimeToLimit: nan, BurnerDuty: nan,
		Evaporating: fahrenheit(40.9), EvaporatingSecond: fahrenheit(39.1), EvaporatingStrip: fahrenheit(39.1), StripLow: fahrenheit(39.1), StripHigh: fahrenheit(39.1), FrostMargin: 7.1 / 1.8, TimeToFrost: math.Inf(1),
		Course: []state.Moment{
			{Time: 0, Supply: fahrenheit(75), Entering: fahrenheit(75), Critical: fahrenheit(75)},
			{Time: 50, Supply: fahrenheit(65), Entering: fahrenheit(75.2), Critical: fahrenheit(55)},
			{Time: 100, Supply: fahrenheit(55), Entering: fahrenheit(75.4), Critical: fahrenheit(45)},
			{Time: 400, Supply: fahrenheit(53.9), Entering: fahrenheit(75.4), Critical: fahrenheit(39.1)},
		},
		EnergyResidual: -2.3e-13, EnergyTotal: 19216,
	}
}

// heatingEquipment is a furnace that a bypass drives into its limit.
func heatingEquipment() state.Equipment {
	nan := math.NaN()
	return state.Equipment{
		Computed: true, Entering: fahrenheit(88), EnteringWetBulb: fahrenheit(60), Leaving: fahrenheit(168), LeavingHumidity: 0.0054, Rise: 80 / 1.8,
		Output: 66000 * quantity.BtuPerHour, FanHeat: 0, Recirculated: 0.0612, Unmixed: 0.18, UnmixedLow: 0.05, UnmixedHigh: 0.45,
		LeastRise: 35 / 1.8, GreatestRise: 65 / 1.8, Limit: fahrenheit(170), Sensor: fahrenheit(182.4), SensorLow: fahrenheit(172), SensorHigh: fahrenheit(190.2), OnePass: 80 / 1.8, TimeToLimit: 251, BurnerDuty: 0.83,
		Evaporating: nan, EvaporatingSecond: nan, EvaporatingStrip: nan, StripLow: nan, StripHigh: nan, FrostMargin: nan, TimeToFrost: nan,
		Course: []state.Moment{
			{Time: 0, Supply: fahrenheit(70), Entering: fahrenheit(69), Critical: fahrenheit(72)},
			{Time: 120, Supply: fahrenheit(140), Entering: fahrenheit(80), Critical: fahrenheit(152)},
			{Time: 251, Supply: fahrenheit(158), Entering: fahrenheit(85), Critical: fahrenheit(170)},
			{Time: 251, Supply: fahrenheit(158), Entering: fahrenheit(85), Critical: fahrenheit(170)},
			{Time: 1800, Supply: fahrenheit(150), Entering: fahrenheit(84), Critical: fahrenheit(161)},
		},
		EnergyResidual: 3e-12, EnergyTotal: 38000,
	}
}

// climate fills in the heat side of a zone: supply °F, delivered and load Btu/h, drift °F/h, end °F, duty, time to a swing s,
// neutral bleed cfm.
func climate(z state.Zone, supply, delivered, load, drift, end, duty, swing, neutral float64) state.Zone {
	z.SupplyTemperature, z.Delivered, z.Load = fahrenheit(supply), delivered*quantity.BtuPerHour, load*quantity.BtuPerHour
	z.DriftRate, z.DriftEnd, z.CallDuty, z.TimeToSwing, z.NeutralBleed = drift/1.8/3600, end/1.8, duty, swing, cfm(neutral)
	z.TimeToCall = swing / 2
	return z
}

func someFindings() []verdict.Finding {
	return []verdict.Finding{
		{Check: "external static", Level: verdict.Fault, Value: inwc(0.6234), Limit: inwc(0.5), Quantity: verdict.Pressure, Source: "the job's max-static",
			Remedy: "Open the living damper's stop, or add return area: every part between blower and room takes its share of this pressure."},
		{Check: "face velocity", Where: "loft-main", Level: verdict.Caution, Value: fpm(905), Limit: fpm(700), Quantity: verdict.Velocity,
			Source: "common practice", Remedy: "A larger register."},
		{Check: "reversed air", Where: "hall", Level: verdict.Caution, Value: math.NaN(), Limit: math.NaN()},
		{Check: "airflow per ton", Level: verdict.OK, Value: cfm(1130.2) / (3 * quantity.TonOfCooling), Limit: cfm(350) / quantity.TonOfCooling, Quantity: verdict.FlowPerHeat},
		{Check: "power per airflow", Level: verdict.OK, Value: 498 / cfm(1130.2), Limit: 0.58 / cfm(1), Quantity: verdict.PowerPerFlow},
		{Check: "recirculation", Level: verdict.OK, Value: 0, Limit: 0.25, Quantity: verdict.Fraction},
	}
}

func fixture() *Sheet {
	g := twoZones()
	return &Sheet{Version: "test", File: "house.toml", Job: g.Job,
		Assumptions: []network.Assumption{{Path: "supply.trunk.material", Value: "galvanised steel", Why: "the usual material"}},
		Reports:     []*Report{{Outcome: loftCalls(), Findings: someFindings()}, {Outcome: bothCall()}}}
}

func fixtureIn(system quantity.System) *Sheet {
	s := fixture()
	s.Units = system
	return s
}
