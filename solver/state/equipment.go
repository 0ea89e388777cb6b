package state

import (
	"errors"
	"fmt"
	"math"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/heat"
)

// Equipment is what happens to the air in the machine, once the loop has come to rest. Temperatures are °C, heats W.
type Equipment struct {
	// Computed is false where the supply temperature was given or assumed, and then nothing that depends on capacity is known.
	Computed        bool
	Entering        float64 // mixed air before the blower
	EnteringWetBulb float64
	Leaving         float64 // at the supply plenum
	LeavingHumidity float64 // kg/kg
	Rise            float64 // K, Leaving − Entering; negative in cooling
	Output          float64 // heating: burner or heat pump; cooling: total capacity at work, positive
	Sensible        float64 // cooling: sensible part of Output
	FanHeat         float64
	Recirculated    float64 // share of the air in the machine that has just left it, by mass
	// Unmixed is the share of the bypass's air that is taken to reach the machine as a strip which has not mixed, between UnmixedLow and
	// UnmixedHigh; the three are one where the job gives the figure. All are 0 where nothing recirculates.
	Unmixed, UnmixedLow, UnmixedHigh float64

	// Heating.
	LeastRise, GreatestRise float64 // K, rating plate; NaN when not given
	Limit                   float64 // °C at which the limit opens
	LimitGiven              bool    // by the job; otherwise a default of ours
	Sensor                  float64 // °C that the limit's sensor would come to
	SensorLow, SensorHigh   float64 // the same at the ends of the unmixed band
	OnePass                 float64 // K that the machine warms the air in one pass, where Sensor is known
	TimeToLimit             float64 // s; +Inf when it never gets there
	BurnerDuty              float64 // share of the time the burner fires once it cycles on the limit; 1 when it does not

	// Cooling.
	Evaporating       float64 // °C, generic curve
	EvaporatingSecond float64 // °C, second estimate of the same rating
	EvaporatingStrip  float64 // °C, the colder estimate less what unmixed air takes away
	StripLow          float64 // °C, the same at the mixed end of the unmixed band, and
	StripHigh         float64 // °C, at its unmixed end
	FrostMargin       float64 // K of EvaporatingStrip above freezing
	TimeToFrost       float64 // s until EvaporatingStrip is down at freezing, which is not yet ice; +Inf when it never is
	Dry               bool

	// Coil and CoilSecond are the coil at work by the two estimates; nil where no coil is computed, CoilSecond also where it is colder
	// than its model reaches (a note says so).
	Coil, CoilSecond *CoilAtWork

	// Course is the time course from the start of the call.
	Course []Moment
	colder struct{ evaporating, entering float64 } // °C, of the estimate that EvaporatingStrip follows from
	// Energy is the balance of the whole heat network.
	EnergyResidual, EnergyTotal float64 // W
}

// CoilAtWork is a cooling coil at rest with the air that enters it.
type CoilAtWork struct {
	heat.CoilState
	Of       *heat.Coil
	Entering air.Moist
}

// Moment is one instant of the time course, °C.
type Moment struct {
	Time     float64 // s
	Supply   float64
	Entering float64
	Critical float64 // limit sensor in heating, evaporating temperature less what unmixed air takes away in cooling
}

// SensorAt is where the limit's sensor would come to with a share u of the recirculated air unmixed, °C.
func (e *Equipment) SensorAt(u float64) float64 {
	return e.Leaving + heat.SensorShare(e.Recirculated, u)*e.OnePass
}

// UnmixedAtSensor is the unmixed share above which the sensor passes a temperature (°C); NaN where mixing does not decide it.
func (e *Equipment) UnmixedAtSensor(celsius float64) float64 {
	return heat.UnmixedForSensor(e.Recirculated, (celsius-e.Leaving)/e.OnePass)
}

// StripAt is the evaporating temperature of the colder estimate, °C, with a share u of the recirculated air unmixed.
func (e *Equipment) StripAt(u float64) float64 {
	return e.colder.evaporating - heat.CoilShare(e.Recirculated, u)*math.Max(0, e.colder.entering-e.colder.evaporating)
}

// EnteringColder is the air before the coil of the estimate that EvaporatingStrip follows from, °C.
func (e *Equipment) EnteringColder() float64 { return e.colder.entering }

// UnmixedAtStrip is the unmixed share above which StripAt is under a temperature (°C); NaN where mixing does not decide it.
func (e *Equipment) UnmixedAtStrip(celsius float64) float64 {
	return heat.UnmixedForCoil(e.Recirculated, (e.colder.evaporating-celsius)/(e.colder.entering-e.colder.evaporating))
}

// Times of the course: half an hour, a point every ten seconds.
const (
	courseLength = 1800.0
	courseStep   = 10.0
)

// defaultLimit is the leaving temperature at which a furnace's limit is taken to open when the job gives none, °C: 170 °F, low in
// the usual range of 165 to 200 °F (common practice). limitReset is how far it cools before it closes, K: 30 °F (our choice).
const (
	defaultLimit = (170.0 - 32) / 1.8
	limitReset   = 30 / 1.8
)

// equipment reads the solved heat network at the machine.
func (c *calculation) equipment(o *Outcome) error {
	g := c.solver.graph
	blower := &c.steady.Branches[g.Blower]
	plenum := c.steady.Nodes[c.solver.plan.supply]
	nan := math.NaN()
	e := Equipment{
		Computed: c.set.machine.computed, Entering: blower.In.Temperature, Leaving: plenum.State.Temperature,
		LeavingHumidity: plenum.State.HumidityRatio, FanHeat: c.fanHeat(), Recirculated: c.heat.Recirculated(&c.net, g.Blower),
		LeastRise: nan, GreatestRise: nan, Limit: nan, Sensor: nan, TimeToLimit: nan, BurnerDuty: nan,
		SensorLow: nan, SensorHigh: nan, OnePass: nan,
		Evaporating: nan, EvaporatingSecond: nan, EvaporatingStrip: nan, StripLow: nan, StripHigh: nan, FrostMargin: nan, TimeToFrost: nan,
		EnergyResidual: c.steady.Certificate.EnergyResidual, EnergyTotal: c.steady.Certificate.EnergyTotal,
	}
	e.Rise = e.Leaving - e.Entering
	e.EnteringWetBulb = nan
	if wet, err := blower.In.WetBulb(c.set.pressure); err == nil {
		e.EnteringWetBulb = wet
	}
	if e.Recirculated > 0 {
		m := c.mixing()
		e.Unmixed, e.UnmixedLow, e.UnmixedHigh = m.Usual, m.Low, m.High
	}
	at := &c.steady.Branches[c.machineElement()]
	var err error
	switch c.set.state.Mode {
	case network.Heating:
		e.Output = at.DeviceHeat - e.FanHeat
		err = c.heating(&e)
	case network.Cooling:
		e.Output = -at.DeviceHeat
		if c.machineElement() == g.Blower {
			e.Output += e.FanHeat
		}
		err = c.cooling(o, &e, at)
	}
	o.Equipment = e
	return err
}

func (c *calculation) heating(e *Equipment) error {
	f := c.set.machine.furnace
	if f.GreatestRise > 0 {
		e.LeastRise, e.GreatestRise = f.LeastRise, f.GreatestRise
	}
	if !c.solver.graph.Job.Equipment.KindIn(network.Heating).HasLimit() {
		return nil
	}
	e.Limit, e.LimitGiven = defaultLimit, false
	if f.LeavingLimit != 0 {
		e.Limit, e.LimitGiven = f.LeavingLimit, true
	}
	if !c.set.machine.computed || e.Recirculated >= 1 {
		return nil
	}
	flow := c.solution.Flow[c.solver.plan.blower] * c.solver.plan.signOf[c.solver.graph.Blower]
	cp := c.steady.Branches[c.solver.graph.Blower].In.SpecificHeat()
	// The return temperature of a loop without losses that comes to rest at the entering temperature found in the real ducts.
	r := e.Recirculated
	rise := (e.Output + e.FanHeat) / (flow * cp)
	loop := heat.Loop{
		MassFlow: flow, SpecificHeat: cp, Share: r, Output: e.Output, FanHeat: e.FanHeat, Exchanger: Exchanger(c.solver.graph.Job.Equipment.Heating),
		Return: e.Entering - r*rise/(1-r), Strip: heat.SensorShare(r, e.Unmixed),
	}
	e.OnePass = rise
	e.Sensor, e.SensorLow, e.SensorHigh = e.SensorAt(e.Unmixed), e.SensorAt(e.UnmixedLow), e.SensorAt(e.UnmixedHigh)
	var err error
	if e.TimeToLimit, err = loop.TimeTo(e.Limit, math.Inf(1)); err != nil {
		return err
	}
	if c.solver.brief {
		return nil
	}
	course, err := loop.Cycle(e.Limit, e.Limit-limitReset, courseLength, courseStep)
	if err != nil {
		return err
	}
	e.BurnerDuty = course.Duty
	if math.IsNaN(e.BurnerDuty) {
		e.BurnerDuty = heat.Recirculation{Return: loop.Return, Rise: rise}.LimitDuty(r, e.Limit, e.Limit-limitReset)
	}
	for _, s := range course.Samples {
		e.Course = append(e.Course, Moment{Time: s.Time, Supply: s.Supply, Entering: s.Entering, Critical: s.Sensor})
	}
	return nil
}

func (c *calculation) cooling(o *Outcome, e *Equipment, at *heat.BranchState) error {
	if !c.set.machine.computed {
		return nil
	}
	flow := math.Abs(c.solution.Flow[c.solver.plan.blower])
	s, err := c.set.machine.coil.At(at.AtDevice, flow, c.set.outdoor, c.set.pressure)
	if err != nil {
		return err
	}
	e.Sensible, e.Dry, e.Evaporating = s.Sensible, s.Dry, s.Evaporating
	e.Coil = &CoilAtWork{s, c.set.machine.coil, at.AtDevice}

	// The second estimate comes to its own state of rest in the same ducts; density differs too little to solve the flow again.
	c.carry(heat.Cooler{Coil: c.set.machine.second, Outdoor: c.set.outdoor})
	c.second.SetOut(&c.heat)
	other, err := c.second.Balance(&c.net)
	if err != nil {
		return fmt.Errorf("second estimate of the coil: %w", err)
	}
	entering := other.Branches[c.machineElement()].AtDevice
	second, err := c.set.machine.second.At(entering, flow, c.set.outdoor, c.set.pressure)
	switch {
	case err == nil:
		e.CoilSecond = &CoilAtWork{second, c.set.machine.second, entering}
	case errors.Is(err, heat.ErrBeyondRange):
		// Where the estimate that the state rests on has an answer, the second is no reason to withhold it: it is shown at its cold end.
		if second, err = c.set.machine.second.Held(entering, flow, c.set.outdoor, c.set.pressure); err != nil {
			return fmt.Errorf("second estimate of the coil: %w", err)
		}
		o.Notes = append(o.Notes, "the second estimate of the coil is colder than its model reaches and is shown at its end, a surface of −40 °C (−40 °F): nothing but its frost may be concluded from it")
	default:
		return fmt.Errorf("second estimate of the coil: %w", err)
	}
	e.EvaporatingSecond = second.Evaporating
	// Margin and time to frost follow from the colder of the two estimates, each at its own rest in the ducts: the loop is given the return
	// air with which it comes to that same rest, as in heating.
	colder, of, before := s, c.set.machine.coil, at.AtDevice
	if second.Evaporating < s.Evaporating {
		colder, of, before = second, c.set.machine.second, entering
	}
	e.colder.evaporating, e.colder.entering = colder.Evaporating, before.Temperature
	e.EvaporatingStrip, e.StripLow, e.StripHigh = e.StripAt(e.Unmixed), e.StripAt(e.UnmixedLow), e.StripAt(e.UnmixedHigh)
	e.FrostMargin = e.EvaporatingStrip

	r := e.Recirculated
	if r >= 1 || c.solver.brief {
		return nil
	}
	leaving := colder.Leaving
	back := air.FromEnthalpy((before.Enthalpy()-e.FanHeat/flow-r*leaving.Enthalpy())/(1-r), (before.HumidityRatio-r*leaving.HumidityRatio)/(1-r))
	loop := heat.CoolingLoop{
		Coil: of, Return: back, MassFlow: flow, Outdoor: c.set.outdoor, Pressure: c.set.pressure, FanHeat: e.FanHeat,
		Share: r, Capacity: heat.TypicalCoilMetal(e.Output), StartUp: startUp, Strip: heat.CoilShare(r, e.Unmixed),
	}
	course, err := loop.Run(courseLength, courseStep, 0)
	if err != nil {
		return fmt.Errorf("time course of the coil: %w", err)
	}
	e.TimeToFrost = course.FrostAt
	for _, s := range course.Samples {
		e.Course = append(e.Course, Moment{Time: s.Time, Supply: s.Supply.Temperature, Entering: s.Entering.Temperature, Critical: s.Strip})
	}
	return nil
}

// startUp is the time constant with which a compressor's capacity builds up, s; 60 to 80 is common (from memory).
const startUp = 70.0
