package calendar

import (
	"context"
	"fmt"
	"math"
	"slices"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/air"
	"spillway/solver/clock"
	"spillway/solver/session"
	"spillway/solver/state"
)

// Fates are the kinds of path of a ledger, in the order in which a Supply has them.
var Fates = []state.PathKind{state.PathWanted, state.PathCalling, state.PathBleed, state.PathBypass, state.PathDump, state.PathLeakage}

// The lattice on which call states are solved, K, and the step to which conditions are rounded before
// the answer is interpolated. Our choice: Lookup.Error says what the lattice costs.
const (
	outdoorStep = 8.0
	returnStep  = 4.0
	rounding    = 0.5
)

// guardOf says which temperature a guard feels.
type guardOf int

const (
	feelsLimit guardOf = iota
	feelsLeaving
)

func guardsOf(m *clock.Machine) []guardOf {
	if m == nil {
		return nil
	}
	out := make([]guardOf, len(m.Guards))
	for i, g := range m.Guards {
		if g.CutOut {
			out[i] = feelsLeaving
		}
	}
	return out
}

// intake is what one side of the machine takes in.
type intake struct {
	fuel       bool
	efficiency float64 // of fuel or of electric heat
	power      float64 // W of the compressor at its rated output
	rated      float64 // W
}

// lookup answers the clock from call states that are solved when they are first needed, at the corners of
// a lattice of outdoor and return temperatures, linear between them. It is for one run at a time.
type lookup struct {
	session *session.Session
	solver  *state.Solver
	guards  map[clock.Season][]guardOf
	intake  map[clock.Season]intake

	answers map[place]*clock.Supply // by rounded conditions
	corners map[place]*corner       // by lattice
	centers map[place]bool
	solved  int
	worst   float64 // share by which a lattice's center was off
}

// place is a call at a temperature outdoors and one of the return air, in steps.
type place struct {
	call             clock.Call
	outdoor, returns int
	iced             float64
}

type corner struct {
	supply *clock.Supply
	err    error
}

func newLookup(s *session.Session) *lookup {
	return &lookup{session: s, solver: s.Solver().Quick(), intake: map[clock.Season]intake{}, answers: map[place]*clock.Supply{},
		corners: map[place]*corner{}, centers: map[place]bool{}}
}

// At is the answer of clock.Source.
func (l *lookup) At(call clock.Call, at clock.Conditions) (*clock.Supply, error) {
	p := place{call, int(math.Round(at.Outdoor / rounding)),
		int(math.Round(at.Return / rounding)), at.Iced}
	if s := l.answers[p]; s != nil {
		return s, nil
	}
	s, err := l.between(call, at.Iced, float64(p.outdoor)*rounding, float64(p.returns)*rounding)
	if err != nil {
		return nil, err
	}
	l.answers[p] = s
	return s, nil
}

// between interpolates within the lattice. Where a corner has no answer the nearest one stands alone; the
// call has none when that has none.
func (l *lookup) between(call clock.Call, iced, outdoor, returns float64) (*clock.Supply, error) {
	x, y := outdoor/outdoorStep, returns/returnStep
	i, j := int(math.Floor(x)), int(math.Floor(y))
	fx, fy := x-float64(i), y-float64(j)
	weights := [4]float64{(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy}
	var corners [4]*corner
	nearest, whole := 0, true
	for k := range corners {
		corners[k] = l.corner(place{call, i + k%2, j + k/2, iced})
		whole = whole && corners[k].err == nil
		if weights[k] > weights[nearest] {
			nearest = k
		}
	}
	if !whole {
		return corners[nearest].supply, corners[nearest].err
	}
	mixed := mix(corners, weights)
	l.check(place{call, i, j, iced}, corners)
	return mixed, nil
}

// check solves the middle of a cell once and notes how far the interpolation is off.
func (l *lookup) check(cell place, corners [4]*corner) {
	if l.centers[cell] {
		return
	}
	l.centers[cell] = true
	truth, err := l.solve(cell.call, cell.iced, (float64(cell.outdoor)+0.5)*outdoorStep,
		(float64(cell.returns)+0.5)*returnStep)
	if err != nil {
		return
	}
	got := mix(corners, [4]float64{0.25, 0.25, 0.25, 0.25})
	off := math.Abs(got.Output-truth.Output) / truth.Output
	total, wrong := 0.0, 0.0
	for i := range truth.Rate {
		total += truth.Rate[i]
		wrong = max(wrong, math.Abs(got.Rate[i]-truth.Rate[i]))
	}
	l.worst = max(l.worst, off, wrong/total)
}

func (l *lookup) corner(p place) *corner {
	if c := l.corners[p]; c != nil {
		return c
	}
	s, err := l.solve(p.call, p.iced, float64(p.outdoor)*outdoorStep, float64(p.returns)*returnStep)
	c := &corner{s, err}
	l.corners[p] = c
	return c
}

// callState is the state of a call in the weather row of its season that asks most.
func (l *lookup) callState(call clock.Call) (state.CallState, bool) {
	g := l.session.Graph()
	h := House{job: g.Job}
	var zones []string
	for i := range g.Job.Zones {
		if call.Has(i) {
			zones = append(zones, g.Job.Zones[i].Name)
		}
	}
	row := h.design(modeOf(call.Season))
	for _, cs := range state.Calling(g, zones...) {
		if cs.Weather == row.Name && cs.Stage == call.Stage {
			return cs, true
		}
	}
	return state.CallState{}, false
}

// solve solves a call at temperatures of outdoors and of the rooms, with a share of the coil closed
// by ice.
func (l *lookup) solve(call clock.Call, iced, outdoor, indoor float64) (*clock.Supply, error) {
	cs, ok := l.callState(call)
	if !ok {
		return nil, fmt.Errorf("the panel has no stage %d for this call", call.Stage)
	}
	g := *l.session.Graph()
	job := *g.Job
	job.Weather = slices.Clone(job.Weather)
	w := &job.Weather[slices.IndexFunc(job.Weather, func(w network.Weather) bool { return w.Name == cs.Weather })]
	moved := func(t *quantity.Temperature) *quantity.Temperature {
		if t == nil {
			return nil
		}
		x := *t + quantity.Temperature(outdoor) - *g.Job.Weather[slices.IndexFunc(job.Weather, func(o network.Weather) bool { return o.Name == cs.Weather })].Outdoor
		return &x
	}
	w.Attic, w.Garage, w.Crawlspace, w.Basement = moved(w.Attic), moved(w.Garage), moved(w.Crawlspace), moved(w.Basement)
	out, in := quantity.Temperature(outdoor), quantity.Temperature(indoor)
	w.Outdoor, w.Indoor = &out, &in
	g.Job = &job
	if iced > 0 {
		iceOver(&g, iced)
	}
	solver, err := l.solver.With(&g)
	if err != nil {
		return nil, err
	}
	o, err := solver.SolveContext(context.Background(), cs)
	l.solved++
	if err != nil {
		return nil, err
	}
	return l.supply(call, o, indoor)
}

// supply reads from an outcome what the clock needs. The fan's heat is counted to the machine's.
func (l *lookup) supply(call clock.Call, o *state.Outcome, indoor float64) (*clock.Supply, error) {
	e := &o.Equipment
	n := len(o.Zones)
	s := &clock.Supply{Rate: make([]float64, n), Rise: make([]float64, n), Blower: o.Blower.Power, NextPass: o.State.More,
		Airflow: make([]float64, len(Fates))}
	standard := air.StandardDensity * air.SpecificHeatDry
	total := 0.0
	for i := range o.Zones {
		z := &o.Zones[i]
		s.Rise[i] = z.SupplyTemperature - indoor
		s.Rate[i] = z.Airflow * standard
		if math.Abs(s.Rise[i]) > 1e-3 {
			s.Rate[i] = z.Delivered / s.Rise[i]
		}
		s.Rate[i] = max(0, s.Rate[i])
		total += s.Rate[i]
	}
	s.Return = returns(o, s.Rate, total)
	flow := o.Blower.Airflow * air.StandardDensity
	switch call.Season {
	case clock.Heating:
		s.Output = e.Output + e.FanHeat
		metal := state.Exchanger(o.Graph.Job.Equipment.Heating)
		c := flow * air.SpecificHeatDry
		if e.Recirculated < 1 && c > 0 {
			// The single-metal case of heat.Loop.
			s.Lag = metal.Capacity / c * (1/-math.Expm1(-metal.Conductance/c) + e.Recirculated/(1-e.Recirculated))
		}
	case clock.Cooling:
		sensible := e.Sensible
		if !e.Computed {
			sensible = math.Abs(e.Rise) * flow * air.SpecificHeatDry
		}
		s.Output = sensible - e.FanHeat
		s.Latent = max(0, e.Output-e.Sensible)
		if e.Coil != nil && !e.Dry {
			s.Contact, s.Surface = l.contact(o, indoor)
		}
		s.Coil = e.EvaporatingStrip - indoor
		if math.IsNaN(s.Coil) {
			s.Coil = 0
		}
	}
	for _, guard := range l.guards[call.Season] {
		feels := e.Leaving
		if guard == feelsLimit && !math.IsNaN(e.Sensor) {
			feels = e.Sensor
		}
		s.Guards = append(s.Guards, feels-indoor)
	}
	in := l.intake[call.Season]
	switch {
	case in.efficiency > 0:
		s.Input = e.Output / in.efficiency
	case in.rated > 0:
		s.Input = in.power * stageShare(o)
	}
	for _, p := range o.Ledger.Paths {
		s.Airflow[slices.Index(Fates, p.Kind)] += p.Airflow
	}
	if !(s.Output > 0) {
		return nil, fmt.Errorf("%s gives %.0f W", o.State.Name, s.Output)
	}
	return s, nil
}

// contact is the share of the return air that the coil dries to its surface's humidity, so that the
// air that leaves has the humidity that the state has, and the humidity of the surface.
func (l *lookup) contact(o *state.Outcome, indoor float64) (share, surface float64) {
	pressure := air.Pressure(float64(o.Graph.Job.Site.Elevation))
	surface, err := air.SaturationHumidity(o.Equipment.Coil.Surface, pressure)
	if err != nil {
		return 0, 0
	}
	back, err := air.FromRelativeHumidity(indoor, l.humidity(o.State.Weather), pressure)
	if err != nil || back.HumidityRatio <= surface {
		return 0, 0
	}
	dried := (back.HumidityRatio - o.Equipment.LeavingHumidity) / (back.HumidityRatio - surface)
	return max(0, min(1, dried)), surface
}

// humidity is the relative humidity indoors for which a weather row solves.
func (l *lookup) humidity(row string) float64 {
	for _, w := range l.session.Graph().Job.Weather {
		if w.Name == row && w.Humidity > 0 {
			return float64(w.Humidity)
		}
	}
	return usualHumidity
}

// usualHumidity is relative, of a cooled house (common practice).
const usualHumidity = 0.5

// iceOver makes the coil's drop that of the share of its face that ice leaves open: a drop grows
// with
//
//	(1 − closed)^−2.5 (our choice, between the 2 and 3 of the square of the velocity and of narrower gaps)
func iceOver(g *network.Graph, closed float64) {
	g.Elements = slices.Clone(g.Elements)
	for i := range g.Elements {
		if spec, ok := g.Elements[i].Spec.(*network.RatedSpec); ok &&
			g.Elements[i].Kind == network.KindCoil {
			iced := *spec
			iced.Factor *= math.Pow(1-closed, -2.5)
			g.Elements[i].Spec = &iced
		}
	}
}

// stageShare is the rated output of the stage that runs, over that of the machine.
func stageShare(o *state.Outcome) float64 {
	m := side(o.Graph.Job, o.State.Mode)
	if len(m.Stages) == 0 {
		return 1
	}
	st := m.Stages[o.State.Stage-1]
	top := m.Stages[len(m.Stages)-1]
	if o.State.Mode == network.Cooling && top.Capacity > 0 {
		return float64(st.Capacity / top.Capacity)
	}
	if top.Output > 0 {
		return float64(st.Output / top.Output)
	}
	return 1
}

// returns is the share of the return air that comes from each zone: by its own grilles, and of grilles
// that belong to none as its supply. It is nil where no zone has a grille of its own.
func returns(o *state.Outcome, rate []float64, total float64) []float64 {
	own, all := 0.0, 0.0
	for i := range o.Zones {
		if !math.IsNaN(o.Zones[i].Return) {
			own += max(0, o.Zones[i].Return)
		}
	}
	for _, g := range o.Grilles {
		all += max(0, o.Elements[g.Element].Airflow)
	}
	if own == 0 || all < own {
		all = own
	}
	if own == 0 {
		return nil
	}
	share := make([]float64, len(o.Zones))
	for i := range o.Zones {
		if r := o.Zones[i].Return; !math.IsNaN(r) {
			share[i] += max(0, r) / all
		}
		share[i] += (all - own) / all * rate[i] / total
	}
	return share
}

// mix is a weighted mean of supplies.
func mix(corners [4]*corner, weights [4]float64) *clock.Supply {
	first := corners[0].supply
	out := &clock.Supply{NextPass: first.NextPass}
	sum := func(of func(s *clock.Supply) []float64) []float64 {
		if of(first) == nil {
			return nil
		}
		values := make([]float64, len(of(first)))
		for k, c := range corners {
			for i, x := range of(c.supply) {
				values[i] += weights[k] * x
			}
		}
		return values
	}
	one := func(of func(s *clock.Supply) *float64) {
		for k, c := range corners {
			*of(out) += weights[k] * *of(c.supply)
		}
	}
	out.Rate = sum(func(s *clock.Supply) []float64 { return s.Rate })
	out.Rise = sum(func(s *clock.Supply) []float64 { return s.Rise })
	out.Return = sum(func(s *clock.Supply) []float64 { return s.Return })
	out.Guards = sum(func(s *clock.Supply) []float64 { return s.Guards })
	out.Airflow = sum(func(s *clock.Supply) []float64 { return s.Airflow })
	for _, of := range []func(s *clock.Supply) *float64{
		func(s *clock.Supply) *float64 { return &s.Output }, func(s *clock.Supply) *float64 { return &s.Input },
		func(s *clock.Supply) *float64 { return &s.Blower }, func(s *clock.Supply) *float64 { return &s.Lag },
		func(s *clock.Supply) *float64 { return &s.Latent }, func(s *clock.Supply) *float64 { return &s.Coil },
		func(s *clock.Supply) *float64 { return &s.Contact },
		func(s *clock.Supply) *float64 { return &s.Surface },
	} {
		one(of)
	}
	return out
}
