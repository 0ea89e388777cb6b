package state

import (
	"fmt"
	"math"
	"slices"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/solver/air"
	"spillway/solver/heat"
)

// The heat side of a calculation: the flows that were found carry heat and humidity through the same graph, and the
// temperatures that come out change densities, which change the flows, until both agree.

// meanAir is the temperature and humidity ratio by which the density of the air in an element is computed, and nothing else: see
// airTemperature. They must not jump where a
// flow turns round, or a nearly still branch has two states with no rest between them; so air that hardly moves takes the state of its
// surroundings. In a duct with a known wall it is the mean along the way,
//
//	T = T_amb + (T_in − T_amb) (1 − e^(−N))/N,   N = UA/(m c_p)
//
// elsewhere the air is taken to linger at the temperature of the house, T_indoor + (T − T_indoor) e^(−N), through insulation of R-4.2 (our choice);
// at the flows that matter that changes nothing. The humidity nears the house's in the same proportion. A blower's table holds for the
// air at its inlet. With no flow worth the name the limit of the formulas is returned, and ok is false where they have none.
func (c *calculation) meanAir(i int) (temperature, humidity float64, ok bool) {
	e, b, branch := &c.solver.graph.Elements[i], &c.steady.Branches[i], &c.net.Branches[i]
	still := i != c.solver.graph.Blower && e.Side != network.EquipmentSide
	if !b.Moving {
		temperature = c.set.indoor
		if branch.Conductance > 0 {
			temperature = branch.Ambient
		}
		return temperature, c.set.room.HumidityRatio, still
	}
	middle, humidity := (b.In.Temperature+b.Out.Temperature)/2, b.In.HumidityRatio
	switch {
	case i == c.solver.graph.Blower:
		return b.In.Temperature, humidity, true
	case !still:
		return middle, humidity, true
	}
	room := c.set.room.HumidityRatio
	rate := math.Abs(branch.MassFlow)*air.SpecificHeatDry + 1e-9
	if branch.Conductance > 0 {
		n := branch.Conductance / rate
		kept := -math.Expm1(-n) / n
		return branch.Ambient + (b.In.Temperature-branch.Ambient)*kept, room + (humidity-room)*kept, true
	}
	const (
		resistance = 4.2 * quantity.RValueIP
		least      = 0.5 // W/K, of a part without a section: a leak, a door
	)
	conductance := least
	if s, ok := network.SectionOf(e.Spec); ok {
		length := s.HydraulicDiameter()
		if duct, ok := e.Spec.(*network.DuctSpec); ok {
			length = duct.Length
		}
		conductance = max(least, s.Perimeter()*length/resistance)
	}
	kept := math.Exp(-conductance / rate)
	return c.set.indoor + (middle-c.set.indoor)*kept, room + (humidity-room)*kept, true
}

// airTemperature is the mean temperature of the air in an element, °C, along its way; of a blower that of its inlet, for which its
// table holds. In a duct that loses heat through its wall it is
//
//	T = T_amb + (T_in − T_amb) (1 − e^(−N))/N,   N = UA/(m c_p)
//
// Air that does not move has the temperature of what is around it. It is the air of the heat balance, unlike that of meanAir.
func (c *calculation) airTemperature(i int) float64 {
	b, branch := &c.steady.Branches[i], &c.net.Branches[i]
	switch {
	case !b.Moving:
		t, _, _ := c.meanAir(i)
		return t
	case i == c.solver.graph.Blower:
		return b.In.Temperature
	case branch.Conductance > 0:
		n := branch.Conductance / (math.Abs(branch.MassFlow) * b.In.SpecificHeat())
		return branch.Ambient + (b.In.Temperature-branch.Ambient)*-math.Expm1(-n)/n
	}
	return (b.In.Temperature + b.Out.Temperature) / 2
}

// walls poses what of the heat problem no flow changes: rooms and outdoors as reservoirs, what ducts lie in.
func (c *calculation) walls() {
	g, n := c.solver.graph, &c.net
	n.Pressure = c.set.pressure
	for i := range g.Nodes {
		switch g.Nodes[i].Kind {
		case network.RoomAir, network.HouseAir:
			n.Nodes[i] = heat.Node{Reservoir: true, State: c.set.room}
		case network.Outdoors:
			n.Nodes[i] = heat.Node{Reservoir: true, State: c.set.outdoors}
		}
	}
	for i := range g.Elements {
		b := heat.Branch{From: g.Elements[i].From, To: g.Elements[i].To}
		if duct, ok := g.Elements[i].Spec.(*network.DuctSpec); ok {
			b.Conductance, b.Ambient = c.wall(i, duct)
		}
		n.Branches[i] = b
	}
}

// carry puts the present flows into the heat problem, and the machine's heat where it is given to the air.
func (c *calculation) carry(device heat.Device) {
	p := c.solver.plan
	for i := range c.net.Branches {
		b := &c.net.Branches[i]
		b.MassFlow = c.solution.Flow[p.edgeOf[i]] * p.signOf[i]
		b.Heat, b.Device = 0, nil
	}
	c.net.Branches[c.solver.graph.Blower].Heat = c.fanHeat()
	at := &c.net.Branches[c.machineElement()]
	at.Heat += c.set.machine.output
	at.Device = device
}

// machineElement is the element in which the machine heats or cools: the coil in cooling where there is one, else the cabinet with
// the blower.
func (c *calculation) machineElement() int {
	g := c.solver.graph
	if c.set.state.Mode == network.Cooling {
		for i := range g.Elements {
			if g.Elements[i].Kind == network.KindCoil {
				return i
			}
		}
	}
	return g.Blower
}

// fanHeat is the blower's electric power, all of which ends in the air; 0 where the table has no watts.
func (c *calculation) fanHeat() float64 {
	p := c.solver.plan
	q := c.solution.Flow[p.blower] * p.signOf[c.solver.graph.Blower]
	if watts, known := c.laws.fan.Watts(q); known {
		return max(watts, 0)
	}
	return 0
}

// wall is a duct piece's conductance to what surrounds it, W/K, and the temperature there.
//
//	UA = P L / (R_insulation + R_films)
//
// Ducts inside the house for which no insulation is given exchange nothing: what they give off stays in the house.
func (c *calculation) wall(i int, duct *network.DuctSpec) (conductance, ambient float64) {
	l := lineOf(c.solver.graph, i)
	if l == nil {
		return 0, c.set.indoor
	}
	resistance := float64(l.Insulation)
	if resistance == 0 {
		if l.Place == "" || l.Place == "inside" {
			return 0, c.set.indoor
		}
		resistance = catalog.DuctInsulation
	}
	return duct.Section.Perimeter() * duct.Length / (resistance + filmResistance), c.set.placeTemperature(l.Place)
}

// filmResistance of the air films inside and outside, m²·K/W: R-0.8 (from memory, 0.6 to 1.0).
const filmResistance = 0.8 * quantity.RValueIP

// placeTemperature is the air round a duct: what the weather gives, else between indoors and outdoors by the place's share of the
// difference; an attic in the cooling season stands above outdoors by the sun on the roof.
func (s *setting) placeTemperature(place string) float64 {
	if s.weather != nil {
		if given := s.weather.Around(place); given != nil {
			return float64(*given)
		}
	}
	if place == "attic" && s.state.Mode == network.Cooling {
		return s.outdoor + sunOnRoof
	}
	return s.indoor + outdoorShare(place)*(s.outdoor-s.indoor)
}

// outdoorShare is how much of the difference between indoors and outdoors a place takes (our choice).
func outdoorShare(place string) float64 {
	switch place {
	case "attic", "outside":
		return 1
	case "garage":
		return 0.8
	case "crawlspace":
		return 0.5
	case "basement":
		return 0.25
	}
	return 0
}

// sunOnRoof is how much warmer than outdoors a vented attic is on a summer afternoon, K: 25 °F (from memory).
const sunOnRoof = 25 / 1.8

// plant is the heating or cooling machine of a call state as the heat side sees it.
type plant struct {
	output   float64 // W into the air at the machine's element, heating
	device   heat.Device
	coil     *heat.Coil // cooling
	second   *heat.Coil // the second estimate of the same rating
	furnace  heat.Furnace
	computed bool // false: the supply temperature was given or assumed
}

// fixedLeaving is a machine known only by its leaving temperature: it gives the air whatever heat that takes.
type fixedLeaving struct{ celsius float64 }

// Exchange implements heat.Device.
func (f fixedLeaving) Exchange(entering air.Moist, massFlow, pressure float64) (heatGiven, water float64, err error) {
	w := entering.HumidityRatio
	if most, err := air.SaturationHumidity(f.celsius, pressure); err == nil && most < w {
		w = most // cooled below its dew point it gives up water
	}
	leaving := air.Moist{Temperature: f.celsius, HumidityRatio: w}
	return massFlow * (leaving.Enthalpy() - entering.Enthalpy()), massFlow * (w - entering.HumidityRatio), nil
}

// Check implements heat.Device.
func (fixedLeaving) Check(air.Moist, float64, float64) error { return nil }

// ratedAirflow is the airflow at which cooling capacity is taken to be rated, m³/s per W: 400 cfm per ton (common practice).
const ratedAirflow = 400 * quantity.CFM / quantity.TonOfCooling

// heaterOf are the devices of heating machines by their rated output, W, and the temperature outdoors, °C; a kind that gives its
// output whatever the air has none.
var heaterOf = map[network.MachineKind]func(output, outdoor float64) heat.Device{
	network.HeatPump: func(output, outdoor float64) heat.Device {
		return heat.HeatPump{RatedCapacity: output, Outdoor: outdoor}
	},
}

// newPlant makes the machine of a setting. A job without a capacity, or with a supply temperature of its own, has a machine of fixed
// leaving temperature.
func newPlant(w *workspace, s *setting, m *network.Machine) (plant, error) {
	stage := m.At(s.state.Stage)
	capacity, output, sensible := float64(stage.Capacity), float64(stage.Output), float64(stage.Sensible)
	given := s.supplyGiven
	switch {
	case s.state.Mode == network.Fan:
		return plant{computed: true}, nil
	case s.state.Mode == network.Cooling && capacity > 0 && !given:
		both, err := w.estimates(heat.CoilRating{TotalCapacity: capacity, SensibleRatio: sensible, MassFlow: capacity * ratedAirflow * air.StandardDensity})
		if err != nil {
			return plant{}, fmt.Errorf("cooling of %.1f kW (%.2f tons) with a sensible ratio of %.0f %% at 400 cfm per ton: %w",
				capacity/1000, capacity/quantity.TonOfCooling, 100*sensible, err)
		}
		return plant{coil: both.Default, second: both.Second, device: heat.Cooler{Coil: both.Default, Outdoor: s.outdoor}, computed: true}, nil
	case s.state.Mode == network.Heating && output > 0 && !given:
		p := plant{output: output, computed: true, furnace: plate(m, output)}
		if device := heaterOf[m.Kind]; device != nil {
			p.output, p.device = 0, device(output, s.outdoor)
		}
		return p, nil
	}
	return plant{device: fixedLeaving{s.supply}}, nil
}

// checkMachines tries every machine and stage in the first weather of its mode.
func checkMachines(g *network.Graph) diag.List {
	var found diag.List
	parts := len(g.Elements)
	w := &workspace{position: make([]float64, parts), warm: make([]float64, parts), air: make([]air.State, parts)}
	for _, mode := range []network.Mode{network.Cooling, network.Heating} {
		m := machine(g.Job, mode)
		i := slices.IndexFunc(g.Job.Weather, func(w network.Weather) bool { return w.Mode == mode })
		if m == nil || i < 0 {
			continue
		}
		for stage := 1; stage <= max(1, len(m.Stages)); stage++ {
			_, err := newSetting(g, CallState{Mode: mode, Weather: g.Job.Weather[i].Name, Stage: stage}, w)
			if err == nil {
				continue
			}
			path := []string{"equipment", string(mode)}
			if len(m.Stages) > 1 {
				path = append(path, "stage", m.Stages[stage-1].Name)
			}
			if mode == network.Cooling {
				path = append(path, "sensible")
			}
			d := g.Job.Place(path...)
			d.Summary = err.Error()
			d.Fix = "take capacity, sensible ratio and airflow from one row of the rating table"
			found = append(found, d)
		}
	}
	return found
}

// plate is the rating plate of a furnace.
func plate(m *network.Machine, output float64) heat.Furnace {
	f := heat.Furnace{Output: output}
	if len(m.Rise) == 2 {
		f.LeastRise, f.GreatestRise = float64(m.Rise[0]), float64(m.Rise[1])
	}
	if m.LeavingLimit != nil {
		f.LeavingLimit = float64(*m.LeavingLimit)
	}
	return f
}
