package state

import (
	"math"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/heat"
)

// load is a zone's sensible need for heat (positive) in a weather, W, and its conductance to outdoors, W/K; ok is false when the
// job says too little of the zone.
//
// The heat loss at the coldest heating weather of the job gives the conductance; without it the floor area does, with a usual figure of
// ours. In cooling, what the heat gain at the hottest weather has beyond conduction (sun, people, appliances) is taken to stay the
// same in milder weather: our choice.
func zoneLoad(job *network.Job, z *network.Zone, s *setting) (load, conductance float64, ok bool) {
	coldest, hottest := designDifference(job, network.Heating), designDifference(job, network.Cooling)
	switch {
	case z.HeatLoss > 0 && coldest > 0:
		conductance = float64(z.HeatLoss) / coldest
	case z.Floor > 0:
		conductance = heat.ConductancePerArea * float64(z.Floor)
	default:
		return 0, 0, false
	}
	load = conductance * (s.indoor - s.outdoor)
	if s.state.Mode != network.Heating && z.HeatGain > 0 {
		gains := float64(z.HeatGain)
		if hottest > 0 {
			gains = max(0, gains-conductance*hottest)
		}
		load -= gains
	}
	return load, conductance, true
}

// designDifference is the greatest difference between indoors and outdoors among the weathers of a mode, K; 0 when there is none.
func designDifference(job *network.Job, mode network.Mode) float64 {
	most := 0.0
	for i := range job.Weather {
		w := &job.Weather[i]
		if w.Mode != mode || w.Indoor == nil || w.Outdoor == nil {
			continue
		}
		d := float64(*w.Indoor - *w.Outdoor)
		if mode == network.Cooling {
			d = -d
		}
		most = max(most, d)
	}
	return most
}

// climate fills in what each zone is given against its load, and where satisfied zones drift.
func (c *calculation) climate(o *Outcome) error {
	g := c.solver.graph
	job := g.Job
	duty := c.callDuty(o)
	for i := range job.Zones {
		z := &o.Zones[i]
		*z = nanClimate(*z)
		rate, mean := c.airOf(o, i)
		supply := c.set.indoor
		if rate > 0 {
			supply = mean / rate
		}
		z.Delivered = rate * (supply - c.set.indoor)
		z.SupplyTemperature, z.Setpoint, z.CapacityRate = supply, c.set.indoor, rate
		load, conductance, ok := zoneLoad(job, &job.Zones[i], c.set)
		if !ok {
			continue
		}
		z.Load, z.Conductance = load, conductance
		if z.Calling || job.Zones[i].Floor == 0 {
			continue
		}
		floor := float64(job.Zones[i].Floor)
		house := heat.House{Fast: heat.FastCapacityPerArea * floor, Mass: (heat.WholeCapacityPerArea - heat.FastCapacityPerArea) * floor,
			Between: heat.BetweenPerArea * floor, Conductance: conductance, Load: load}
		bleed := heat.Bleed{CapacityRate: rate, Duty: 1, Supply: supply, Setpoint: c.set.indoor}
		running, err := house.Drift(bleed)
		if err != nil {
			return err
		}
		bleed.Duty = duty
		cycling, err := house.Drift(bleed)
		if err != nil {
			return err
		}
		z.DriftRate, z.DriftEnd, z.CallDuty = running.At(hour)/hour, cycling.Offset, duty
		z.TimeToSwing = running.Until(Swing)
		z.TimeToCall = math.Inf(1)
		if (z.DriftEnd < 0) == (c.set.state.Mode == network.Heating) || c.set.state.Mode == network.Fan {
			z.TimeToCall = cycling.Until(CallBand)
		}
		if b := heat.NeutralBleed(load, 1, supply, c.set.indoor); !math.IsNaN(b) {
			z.NeutralBleed = b / (air.StandardDensity * air.SpecificHeatDry)
		}
	}
	return nil
}

// Swing is how far a satisfied zone may drift before people notice, K: 2 °F, our default at the usual limit of 2 °F in heating and
// below that of 3 °F in cooling (from memory).
const Swing = 2 / 1.8

// CallBand is how far off its setpoint a thermostat calls, K: 1 °F, our choice within differentials of 0.5 to 1.5 °F of electronic ones (from
// memory; mechanical ones 1 to 3 °F).
const CallBand = 1 / 1.8

const hour = 3600.0 // s

// callDuty is the share of the time that the present call must run to cover the loads of its zones; 1 when that is not known or
// not enough.
func (c *calculation) callDuty(o *Outcome) float64 {
	job := c.solver.graph.Job
	duty := 0.0
	for i := range job.Zones {
		if !c.set.calls([]string{job.Zones[i].Name}) {
			continue
		}
		load, _, ok := zoneLoad(job, &job.Zones[i], c.set)
		rate, mean := c.airOf(o, i)
		given := mean - rate*c.set.indoor
		if !ok || given == 0 || load/given <= 0 {
			return 1
		}
		duty = max(duty, load/given)
	}
	if duty == 0 {
		return 1
	}
	return min(duty, 1)
}

// airOf is m c_p of the air that a zone is given by its registers and by the leaks of its ducts, and its temperature weighted by it.
func (c *calculation) airOf(o *Outcome, zone int) (rate, mean float64) {
	add := func(element int) {
		if q := o.Elements[element].Airflow; q > 0 {
			state := c.steady.Branches[element].In
			cp := q * air.StandardDensity * state.SpecificHeat()
			rate += cp
			mean += cp * state.Temperature
		}
	}
	for _, r := range c.solver.graph.Registers {
		if r.Zone == c.solver.graph.Job.Zones[zone].Name {
			add(r.Element)
		}
	}
	for _, e := range c.solver.plan.leaksInto[zone] {
		add(e)
	}
	return rate, mean
}

func nanClimate(z Zone) Zone {
	nan := math.NaN()
	z.Load, z.Conductance = nan, nan
	z.DriftRate, z.DriftEnd, z.TimeToSwing, z.TimeToCall, z.NeutralBleed, z.CallDuty = nan, nan, nan, nan, nan, nan
	return z
}
