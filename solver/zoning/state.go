package zoning

import (
	"fmt"
	"math"
	"slices"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/state"
)

// State is how zoned one call state is.
type State struct {
	Share   float64 // of the call, that reaches its callers; NaN when fans alone run or nothing is given
	Natural float64 // the same with every zone damper open; NaN when that was not solved
	Kept    float64 // of the possible zoning; NaN where every zone calls
	Zones   []Zone  // parallel to the zones of the job
}

// Zone is what a call state does to one satisfied zone; all NaN for one that calls.
type Zone struct {
	Bleed float64 // its airflow over that of all calling zones
	// Neutral is the airflow, m³/s of standard air, that just carries LowLoad of its design load while
	// the call runs as long as its own zones need it.
	Neutral float64
	Held    float64 // K; see Held
}

// CallerShare is the caller's share of an outcome; see Share.
func CallerShare(o *state.Outcome) float64 {
	if Side(o.State.Mode) == 0 {
		return math.NaN()
	}
	return Share(func(yield func(given float64, calls bool) bool) {
		for i := range o.Zones {
			if !yield(o.Zones[i].Delivered, o.Zones[i].Calling) {
				return
			}
		}
	})
}

// Of measures an outcome.
func Of(o *state.Outcome) State {
	s := State{Share: CallerShare(o), Natural: o.NaturalShare, Zones: make([]Zone, len(o.Zones))}
	if s.Kept = Kept(s.Share, s.Natural); math.IsNaN(s.Kept) {
		s.Natural = math.NaN()
	}
	nan, callers := math.NaN(), 0.0
	for i := range o.Zones {
		if o.Zones[i].Calling {
			callers += o.Zones[i].Airflow
		}
	}
	for i := range o.Zones {
		z, m := &o.Zones[i], &s.Zones[i]
		if *m = (Zone{nan, nan, nan}); z.Calling || Side(o.State.Mode) == 0 {
			continue
		}
		if callers > 0 {
			m.Bleed = z.Airflow / callers
		}
		duty := z.CallDuty
		m.Held = Held(o.State.Mode, z.Conductance, z.Load, duty*z.CapacityRate, z.SupplyTemperature-z.Setpoint)
		if need := LowLoad * z.Load / (duty * (z.SupplyTemperature - z.Setpoint)); need > 0 && !math.IsInf(need, 0) {
			m.Neutral = need / (air.StandardDensity * air.SpecificHeatDry)
		}
	}
	return s
}

// Natural solves the state of an outcome again with every zone damper open, as one zone would have
// it. The solver is that which the outcome came from; the solution is a quick one that sets out from
// the outcome.
func Natural(s *state.Solver, o *state.Outcome) (*state.Outcome, error) {
	n, err := s.Quick().Near([]*state.Outcome{o}).With(opened(o.Graph))
	if err != nil {
		return nil, err
	}
	natural, err := n.Solve(o.State)
	if err != nil {
		return nil, fmt.Errorf("with every zone damper open: %w", err)
	}
	return natural, nil
}

// Complete fills in the natural share of an outcome. It does nothing where every zone calls or fans
// alone run.
func Complete(s *state.Solver, o *state.Outcome) error {
	if Side(o.State.Mode) == 0 || len(o.State.Calling) == len(o.Zones) {
		return nil
	}
	natural, err := Natural(s, o)
	if err != nil {
		return err
	}
	o.NaturalShare = CallerShare(natural)
	return nil
}

// opened is a graph whose zone dampers are open in every call.
func opened(as *network.Graph) *network.Graph {
	job, g := *as.Job, *as
	g.Job, g.Elements = &job, slices.Clone(as.Elements)
	open := map[string]network.Position{}
	for i := range g.Elements {
		spec, ok := g.Elements[i].Spec.(*network.DamperSpec)
		if !ok || spec.Hand || len(spec.Zones) == 0 {
			continue
		}
		moved := *spec
		moved.Stop = moved.Open
		g.Elements[i].Spec = &moved
		open[spec.Damper] = spec.Open
	}
	job.Panel.Calls = slices.Clone(job.Panel.Calls)
	for i := range job.Panel.Calls {
		call := &job.Panel.Calls[i]
		call.Damper = slices.Clone(call.Damper)
		for k := range call.Damper {
			if position, ok := open[call.Damper[k].Name]; ok {
				call.Damper[k].Position = position
			}
		}
	}
	return &g
}

// WorstDrift is the satisfied zone that is driven fastest past its set point while a call runs, and
// how fast, K/s, as Past has it; None and NaN where no drift is known.
func WorstDrift(o *state.Outcome) (zone network.ZoneID, rate float64) {
	zone, rate = network.None, math.NaN()
	for i := range o.Zones {
		z := &o.Zones[i]
		if z.Calling || math.IsNaN(z.DriftRate) {
			continue
		}
		if past := Past(o.State.Mode, z.DriftRate); !(past <= rate) {
			zone, rate = network.ZoneID(i), past
		}
	}
	return zone, rate
}
