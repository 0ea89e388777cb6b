package state

import (
	"fmt"
	"slices"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/air"
)

// setting is what the panel and the weather make of a call state before any air moves: where dampers stand, what the blower is
// told, how warm the air is.
type setting struct {
	state       CallState
	call        *network.Call
	tap         string
	airflow     float64   // set flow of a constant-airflow blower, m³/s; 0 = by its table
	position    []float64 // per element: damper opening 0..1; 1 where there is no damper
	wet         bool      // the coil runs wet
	warm        []float64 // °C per element
	air         []air.State
	indoor      float64 // °C
	outdoor     float64 // °C
	supply      float64 // °C, the first guess of supply air, or the given one
	supplyGiven bool
	weather     *network.Weather // nil: none
	room        air.Moist        // the air of every room
	outdoors    air.Moist
	pressure    float64 // Pa, absolute
	machine     plant
}

// Supply temperatures that are used until the heat side computes them, °C: 55 °F and 120 °F, usual figures of the trade (common
// practice).
const (
	coolSupply = (55.0 - 32) / 1.8
	warmSupply = (120.0 - 32) / 1.8
	indoorCool = (75.0 - 32) / 1.8
	indoorHeat = (70.0 - 32) / 1.8
)

// newSetting takes its memory from a workspace.
func newSetting(g *network.Graph, cs CallState, w *workspace) (*setting, error) {
	job := g.Job
	m := machine(job, cs.Mode)
	if m == nil {
		return nil, fmt.Errorf("%s: the equipment has no %s side", cs.Name, cs.Mode)
	}
	if len(m.Stages) > 0 && (cs.Stage < 1 || cs.Stage > len(m.Stages)) {
		return nil, fmt.Errorf("%s: %s has no stage %d", cs.Name, cs.Mode, cs.Stage)
	}
	stage := m.At(cs.Stage)
	s := &setting{state: cs, call: panelCall(job, cs.Mode, cs.Calling), tap: stage.Tap, airflow: float64(stage.Airflow)}
	if c := s.call; c != nil {
		if c.Tap != "" {
			s.tap = c.Tap
		}
		if c.Airflow > 0 {
			s.airflow = float64(c.Airflow)
		}
	}
	s.position, s.warm, s.air = w.position, w.warm, w.air
	for i := range g.Elements {
		s.position[i] = 1
		switch spec := g.Elements[i].Spec.(type) {
		case *network.DamperSpec:
			s.position[i] = s.opening(spec)
		case *network.RegulatorSpec:
			s.position[i] = 0.5 // where the search for its opening begins
		}
	}
	if err := s.temperatures(g); err != nil {
		return nil, err
	}
	var err error
	if s.machine, err = newPlant(w, s, m); err != nil {
		return nil, err
	}
	return s, nil
}

// opening is where a set damper stands in this call.
func (s *setting) opening(d *network.DamperSpec) float64 {
	if c := s.call; c != nil {
		for _, fixed := range c.Damper {
			if fixed.Name == d.Damper {
				return float64(fixed.Position)
			}
		}
		if d.Damper != "" && slices.Contains(c.Open, d.Damper) {
			return float64(d.Open)
		}
	}
	if d.Hand {
		return float64(d.Open)
	}
	if s.calls(d.Zones) {
		return float64(d.Open)
	}
	return float64(d.Stop)
}

// calls tells whether any of the zones calls.
func (s *setting) calls(zones []string) bool {
	return slices.ContainsFunc(zones, func(z string) bool { return slices.Contains(s.state.Calling, z) })
}

// temperatures reads the weather and gives every element a first temperature of its air, from which heat and flow set out: supply air
// downstream of the equipment, indoor air on the return side, outdoor air in a leak on the return side.
func (s *setting) temperatures(g *network.Graph) error {
	s.indoor, s.supply = indoorCool, coolSupply
	humidity := coolHumidity
	outdoorHumidity := summerHumidity
	if s.state.Mode == network.Heating {
		s.indoor, s.supply, humidity, outdoorHumidity = indoorHeat, warmSupply, heatHumidity, winterHumidity
	}
	s.outdoor = s.indoor
	w := weather(g.Job, s.state.Weather)
	s.weather = w
	if w != nil {
		if w.Indoor != nil {
			s.indoor = float64(*w.Indoor)
		}
		if w.Outdoor != nil {
			s.outdoor = float64(*w.Outdoor)
		}
		if w.Humidity > 0 {
			humidity = float64(w.Humidity)
		}
	}
	if s.state.Mode == network.Fan {
		s.supply = s.indoor
	}
	if w != nil && w.SupplyAir != nil {
		s.supply, s.supplyGiven = float64(*w.SupplyAir), w.SupplyAirGiven
	}
	s.wet = s.state.Mode == network.Cooling
	s.pressure = air.Pressure(float64(g.Job.Site.Elevation))
	var err error
	if s.room, err = air.FromRelativeHumidity(s.indoor, humidity, s.pressure); err != nil {
		return fmt.Errorf("indoor air of weather %q: %w", s.state.Weather, err)
	}
	if s.outdoors, err = air.FromRelativeHumidity(s.outdoor, outdoorHumidity, s.pressure); err != nil {
		return fmt.Errorf("outdoor air of weather %q: %w", s.state.Weather, err)
	}
	for i := range g.Elements {
		e := &g.Elements[i]
		t := s.indoor
		switch {
		case e.Kind == network.KindLeak && e.Side == network.ReturnSide && g.Nodes[e.From].Kind == network.Outdoors:
			t = s.outdoor
		case e.Side == network.SupplySide || e.Side == network.DumpSide || e.Side == network.BypassSide:
			t = s.supply
		}
		s.warm[i] = t
		s.air[i] = air.At(t, s.pressure)
	}
	return nil
}

// Humidities where the job gives none: indoors 50 % in cooling and 35 % in heating, outdoors 40 % on a summer afternoon and 80 % in
// winter (our choice; outdoor humidity matters only for what leaks in).
const (
	coolHumidity   = 0.50
	heatHumidity   = 0.35
	summerHumidity = 0.40
	winterHumidity = 0.80
)

func weather(job *network.Job, name string) *network.Weather {
	for i := range job.Weather {
		if job.Weather[i].Name == name {
			return &job.Weather[i]
		}
	}
	return nil
}

// closedZeta is the loss of the gaps round a shut blade: by class, by share of the nominal flow, or the catalogue's default.
func closedZeta(share float64, class string) (float64, error) {
	if class != "" {
		row, ok := catalog.LookupDamperLeakage(class)
		if !ok {
			return 0, fmt.Errorf("damper leakage class %q is not in the catalogue", class)
		}
		return row.ClosedZeta(), nil
	}
	if share < 0 {
		share = catalog.DefaultDamperLeakage
	}
	return catalog.LeakZeta(share), nil
}
