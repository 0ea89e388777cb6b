package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/solver/state"
)

// Demand is what one zone asks of a modulating system.
type Demand struct {
	Zone  string
	Share float64 // of what the zone wants at most, above 0 to 1
}

// Modulation is how a variable-speed blower and modulating dampers share the air.
type Modulation struct {
	State     string
	Zones     []string  // that ask
	Asked     []float64 // m³/s
	Given     []float64
	Positions []float64 // of their dampers, 0 to 1; at least one is wide open
	Airflow   float64   // set flow of the blower, m³/s
	AtLeast   bool      // the blower runs at its least airflow and is asked for less
	AtMost    bool      // the blower runs at its greatest airflow and is asked for more
	LeftOver  float64   // m³/s that nobody asked for
	Outcome   *state.Outcome
	Variant   Variant
}

// Modulate finds what a controller would come to: dampers of the zones that ask throttled against each other until each gets the same
// share of what it asks, with the one that is hardest to reach wide open, and the blower slowed until that share is all that is asked,
// or until it runs at its least airflow. What it moves beyond is left over. The blower must be one of constant airflow, which is one
// that can be told how much; the zones' other dampers stand at their stops.
func (s *Study) Modulate(v Variant, mode network.Mode, demands []Demand, least, most float64) (*Modulation, error) {
	g, err := s.Read(v)
	if err != nil {
		return nil, err
	}
	if len(demands) == 0 || !(least > 0) || !(most > least) {
		return nil, question("modulation needs zones that ask and a least and greatest airflow of the blower")
	}
	spec, ok := g.Elements[g.Blower].Spec.(*network.BlowerSpec)
	if !ok || spec.Kind != "constant airflow" {
		return nil, question("the blower cannot be told how much air to move; take one of constant airflow")
	}
	tap := spec.Taps[0] // the one that leaves the blower the most room
	for _, t := range spec.Taps {
		if len(t.Airflow) > 0 && t.Airflow[0] > tap.Airflow[0] {
			tap = t
		}
	}
	m := &Modulation{}
	var calling []string
	for i := range g.Job.Zones {
		if slices.ContainsFunc(demands, func(d Demand) bool { return d.Zone == g.Job.Zones[i].Name }) {
			calling = append(calling, g.Job.Zones[i].Name)
		}
	}
	if len(calling) != len(demands) {
		return nil, question("a zone that asks is not in the job, or asks twice")
	}
	states, err := s.States(v)
	if err != nil {
		return nil, err
	}
	for _, cs := range states {
		if cs.Mode == mode && slices.Equal(cs.Calling, calling) {
			m.State = cs.Name
			break
		}
	}
	if m.State == "" {
		return nil, question("the job has no call state in which just %s ask for %s", strings.Join(calling, ", "), mode)
	}
	// The panel's rule for this call, its own or a new one.
	call := "modulated"
	for i := range g.Job.Panel.Calls {
		if c := &g.Job.Panel.Calls[i]; sameZones(c.Zones, calling) && (len(c.Modes) == 0 || slices.Contains(c.Modes, mode)) {
			call = c.Name
			break
		}
	}
	var zones []string
	for _, z := range calling {
		zones = append(zones, `"`+z+`"`)
	}
	var list []throttle
	var dampers []string
	asked := 0.0
	for i := range g.Job.Zones {
		z := &g.Job.Zones[i]
		k := slices.IndexFunc(demands, func(d Demand) bool { return d.Zone == z.Name })
		if k < 0 {
			continue
		}
		if !(demands[k].Share > 0 && demands[k].Share <= 1) || len(z.Damper) != 1 {
			return nil, question("%q must ask for a share above 0 and up to 100 %%, and have one damper", z.Name)
		}
		e := g.ElementOf(g.Job.DamperNamed(z.Damper[0]))
		if e < 0 {
			return nil, question("damper %q sits in no line", z.Damper[0])
		}
		want := demands[k].Share * float64(z.Wants)
		list = append(list, throttle{element: e, want: want, flow: func(o *state.Outcome) float64 { return o.Zones[i].Airflow }})
		dampers = append(dampers, z.Damper[0])
		m.Zones, m.Asked, asked = append(m.Zones, z.Name), append(m.Asked, want), asked+want
	}
	with := func(airflow float64, position []float64) Variant {
		path := network.PathText("panel", "call", call)
		point := v.With(path+".zones", "["+strings.Join(zones, ", ")+"]").With(path+".airflow", write(airflow, "m3/s")).With(path+".tap", `"`+tap.Name+`"`)
		for k, d := range dampers {
			point = point.With(path+".damper."+network.PathText(d), write(100*position[k], "%"))
		}
		return point
	}
	at := func(airflow float64) error {
		position, o, _, err := equalise(func(position []float64) (*state.Outcome, error) { return s.outcome(with(airflow, position), m.State) }, list)
		if err != nil {
			return fmt.Errorf("at %.4g m³/s: %w", airflow, err)
		}
		m.Positions, m.Outcome, m.Airflow, m.Variant = position, o, airflow, with(airflow, position)
		m.Given = nil
		for _, t := range list {
			m.Given = append(m.Given, t.flow(o))
		}
		return nil
	}
	// The share given rises with the blower's airflow.
	share := func() float64 { return leastRatio(m.Outcome, list) }
	if err := at(least); err != nil {
		return nil, err
	}
	if share() >= 1 {
		m.AtLeast = true
	} else if err := at(most); err != nil {
		return nil, err
	} else if share() <= 1 {
		m.AtMost = true
	} else {
		low, high := least, most
		for high-low > 1e-5*most {
			if err := at((low + high) / 2); err != nil {
				return nil, err
			}
			if share() < 1 {
				low = m.Airflow
			} else {
				high = m.Airflow
			}
		}
	}
	m.LeftOver = m.Outcome.Blower.Airflow
	for k := range m.Given {
		m.LeftOver -= math.Min(m.Given[k], m.Asked[k])
	}
	return m, nil
}

func sameZones(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for _, x := range a {
		if !slices.Contains(b, x) {
			return false
		}
	}
	return true
}
