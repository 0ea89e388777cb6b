package derive

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/heat"
	"spillway/solver/state"
)

// outdoor is the temperature outdoors in this weather.
func (x *Explainer) outdoor() *Step {
	w := x.weather()
	if w == nil || w.Outdoor == nil {
		return named("outdoor temperature, taken as indoors where the job gives none", x.indoor())
	}
	return x.file("outdoor temperature", "to", Temperature, float64(*w.Outdoor), "weather", w.Name, "outdoor")
}

// designDifference is the greatest temperature difference among the weathers of a mode; nil when the job gives none.
func (x *Explainer) designDifference(mode network.Mode) *Step {
	return x.remembered("design difference\x00"+string(mode), func() *Step {
		var best *network.Weather
		most := 0.0
		for k := range x.job.Weather {
			w := &x.job.Weather[k]
			if w.Mode != mode || w.Indoor == nil || w.Outdoor == nil {
				continue
			}
			d := float64(*w.Indoor - *w.Outdoor)
			if mode == network.Cooling {
				d = -d
			}
			if d > most {
				best, most = w, d
			}
		}
		if best == nil {
			return nil
		}
		inside := x.file(best.Name+" indoor", "ta", Temperature, float64(*best.Indoor), "weather", best.Name, "indoor")
		outside := x.file(best.Name+" outdoor", "tb", Temperature, float64(*best.Outdoor), "weather", best.Name, "outdoor")
		return derived("greatest difference in "+string(mode), "ΔTd", Span, most, "between indoors and outdoors, of the weathers of this mode", "ΔTd = abs(ta - tb)",
			Input{"ta", inside}, Input{"tb", outside})
	})
}

// perFloor is a figure per floor area times a zone's floor.
func (x *Explainer) perFloor(zone, name, symbol string, q Quantity, perArea float64, why string) *Step {
	floor := 0.0
	for k := range x.job.Zones {
		if x.job.Zones[k].Name == zone {
			floor = float64(x.job.Zones[k].Floor)
		}
	}
	return derived(zone+" zone "+name, symbol, q, perArea*floor, "per floor area", symbol+" = k * A", Input{"k", assumed(name+" per m² of floor", "k", Plain, perArea, why)},
		Input{"A", x.file(zone+" zone floor", "A", Area, floor, "zone", zone, "floor")})
}

// conductance of a zone to outdoors; nil when the job says too little.
func (x *Explainer) conductance(k int) *Step {
	z := &x.job.Zones[k]
	return x.remembered("conductance\x00"+z.Name, func() *Step {
		coldest := x.designDifference(network.Heating)
		switch {
		case z.HeatLoss > 0 && coldest != nil:
			return derived(z.Name+" zone conductance", "U", Conductance, float64(z.HeatLoss)/coldest.Value, "heat loss at the coldest weather over its temperature difference", "U = Hl / ΔTd",
				Input{"Hl", x.file(z.Name+" zone heat loss", "Hl", Heat, float64(z.HeatLoss), "zone", z.Name, "heat-loss")}, Input{"ΔTd", coldest})
		case z.Floor > 0:
			return x.perFloor(z.Name, "conductance", "U", Conductance, heat.ConductancePerArea, "W/K per m²: 0.20 Btu/(h·°F) per ft², within 0.15 to 0.25 (from memory and our choice)")
		}
		return nil
	})
}

// load is the heat that a zone needs in this weather.
func (x *Explainer) load(k int) *Step {
	z, value := &x.job.Zones[k], x.o.Zones[k].Load
	name := z.Name + " zone heat needed"
	return x.remembered("load\x00"+z.Name, func() *Step {
		conductance := x.conductance(k)
		if conductance == nil {
			return model(name, "L", Heat, value, "see the zone's heat-loss and floor in the job file")
		}
		inputs := []Input{{"U", conductance}, {"ti", x.indoor()}, {"to", x.outdoor()}}
		if x.o.State.Mode == network.Heating || z.HeatGain <= 0 {
			return derived(name, "L", Heat, value, "conduction to outdoors; less than nothing where the zone must be cooled", "L = U * (ti - to)", inputs...)
		}
		gain := x.file(z.Name+" zone heat gain", "Hg", Heat, float64(z.HeatGain), "zone", z.Name, "heat-gain")
		gains := named(z.Name+" zone gains", gain)
		gains.Symbol = "G"
		if hottest := x.designDifference(network.Cooling); hottest != nil {
			gains = derived(z.Name+" zone gains", "G", Heat, max(0, float64(z.HeatGain)-conductance.Value*hottest.Value),
				"sun, people, appliances: what its heat gain has beyond conduction at the hottest weather, taken to stay the same in milder weather (our choice)", "G = max(0, Hg - U * ΔTd)",
				Input{"Hg", gain}, Input{"U", conductance}, Input{"ΔTd", hottest})
		}
		return derived(name, "L", Heat, value, "conduction to outdoors less gains; negative where heat must be taken away", "L = U * (ti - to) - G", append(inputs, Input{"G", gains})...)
	})
}

// capacityRate is m cp of the air that a zone is given; nil where it cannot be told (air at the zone's own temperature).
func (x *Explainer) capacityRate(k int) *Step {
	z := &x.o.Zones[k]
	name := x.job.Zones[k].Name
	return x.remembered("capacity rate\x00"+name, func() *Step {
		if z.Airflow <= 0 {
			return constant(name+" zone capacity rate of its air", "g", Conductance, 0, "no air")
		}
		span := z.SupplyTemperature - x.indoor().Value
		if abs(span) < 1e-6 {
			return nil
		}
		return derived(name+" zone capacity rate of its air", "g", Conductance, z.Delivered/span, "heat given over its temperature difference, m cp", "g = H / (ts - ti)",
			Input{"H", x.given(k)}, Input{"ts", x.supplyTemperature(k)}, Input{"ti", x.indoor()})
	})
}

func (x *Explainer) supplyTemperature(k int) *Step {
	name := x.job.Zones[k].Name + " zone supply temperature"
	return x.remembered("supply temperature\x00"+name, func() *Step {
		return solvedLeaf(name, "ts", Temperature, x.o.Zones[k].SupplyTemperature, x.heatProof())
	})
}

// callShare is the share of the time that the call must run for its own zones.
func (x *Explainer) callShare() *Step {
	return x.remembered("call share", func() *Step {
		value := math.NaN()
		for k := range x.o.Zones {
			if d := x.o.Zones[k].CallDuty; !math.IsNaN(d) {
				value = d
			}
		}
		var steps []*Step
		for k := range x.job.Zones {
			z := &x.o.Zones[k]
			if !z.Calling {
				continue
			}
			if math.IsNaN(z.Load) || z.Delivered == 0 || z.Load/z.Delivered <= 0 {
				return constant("call share", "d", Share, value, "all of the time: the need of a calling zone is not known, or this air does not help it")
			}
			steps = append(steps, derived(x.job.Zones[k].Name+" zone need over heat given", "s", Share, z.Load/z.Delivered, "how much of the time it needs what it is given", "s = L / H", Input{"L", x.load(k)}, Input{"H", x.given(k)}))
		}
		if len(steps) == 0 {
			return constant("call share", "d", Share, value, "no zone calls")
		}
		_, inputs := sum("s", steps)
		expression := inputs[0].Symbol
		for _, in := range inputs[1:] {
			expression = "max(" + expression + ", " + in.Symbol + ")"
		}
		return derived("call share", "d", Share, value, "the greatest need among the zones that call, at most all of the time", "d = min(1, "+expression+")", inputs...)
	})
}

// courseOf is the course of a satisfied zone after the call begins (or, cycling, while calls like this go on): where it ends, and the
// rates and share of its two exponentials.
type courseOf struct{ end, fast, slow, share *Step }

// houseCourse explains the two-node model of a zone, which is solved exactly:
//
//	Cf dT/dt = U (to − T) + G + g (ts − T) − K (T − Tm)
//	Cm dTm/dt = K (T − Tm)
func (x *Explainer) houseCourse(k int, cycling bool) (c courseOf, ok bool) {
	z := &x.job.Zones[k]
	u, g := x.conductance(k), x.capacityRate(k)
	if u == nil || g == nil {
		return c, false
	}
	indoor, supply, load := x.indoor(), x.supplyTemperature(k), x.load(k)
	name := z.Name + " zone"
	blow, factor := g, ""
	var share []Input
	if cycling {
		d := x.callShare()
		factor, share = " * d", []Input{{"d", d}}
		blow = &Step{Value: g.Value * d.Value}
		name += ", calls coming and going:"
	}
	loss := u.Value + blow.Value
	if loss <= 0 {
		return c, false
	}
	const memory = "from memory and our choice"
	fast := x.perFloor(z.Name, "heat capacity of air, furniture and skins", "Cf", HeatCapacity, heat.FastCapacityPerArea, "J/K per m²: 1 Btu/°F per ft², "+memory)
	mass := x.perFloor(z.Name, "heat capacity of the mass behind", "Cm", HeatCapacity, heat.WholeCapacityPerArea-heat.FastCapacityPerArea, "J/K per m²: 3.75 Btu/°F per ft² in all, "+memory)
	between := x.perFloor(z.Name, "conductance between the two", "K", Conductance, heat.BetweenPerArea, "W/K per m²: about 4 W/(m²·K) on 2.5 m² of surface, our choice")
	l := Input{"l", calculated(name+" conductance and air", "l", Conductance, "to outdoors and to the air that blows", "l = U + g"+factor, append([]Input{{"U", u}, {"g", g}}, share...)...)}
	c.end = calculated(name+" end of its course", "e", Span, "where heat given and heat needed balance, from its setpoint", "e = (g"+factor+" * (ts - ti) - L) / l",
		append([]Input{{"g", g}, {"ts", supply}, {"ti", indoor}, {"L", load}, l}, share...)...)
	const two = "air and skin with the mass behind, two equations with constant coefficients, solved exactly"
	both, cf, cm := Input{"K", between}, Input{"Cf", fast}, Input{"Cm", mass}
	c.fast = calculated(name+" fast rate", "λ1", Rate, two, "λ1 = ((l + K) / Cf + K / Cm) / 2 + sqrt(((l + K) / Cf - K / Cm)^2 / 4 + K^2 / (Cf * Cm))", l, both, cf, cm)
	c.slow = calculated(name+" slow rate", "λ2", Rate, "the other root, by the product of the two", "λ2 = K * l / (Cm * Cf * λ1)", both, l, cm, cf, Input{"λ1", c.fast})
	c.share = calculated(name+" share of the fast course", "w", Plain, "so that it starts at its setpoint with its mass", "w = (l / Cf - λ2) / (λ1 - λ2)",
		l, cf, Input{"λ1", c.fast}, Input{"λ2", c.slow})
	return c, true
}

const driftCourse = "e * (1 - w * exp(-λ1 * %[1]s) - (1 - w) * exp(-λ2 * %[1]s))"

// drift is the mean drift over the first hour of the call.
func (x *Explainer) drift(k int) *Step {
	name, value := x.job.Zones[k].Name+" zone drift", x.o.Zones[k].DriftRate
	c, ok := x.houseCourse(k, false)
	if !ok {
		return model(name, "D", Drift, value, houseModel+"; mean over the first hour of the call")
	}
	return derived(name, "D", Drift, value, "where its course is after the first hour h of the call, over that hour", "D = "+fmt.Sprintf(driftCourse, "h")+" / h",
		Input{"e", c.end}, Input{"w", c.share}, Input{"λ1", c.fast}, Input{"λ2", c.slow}, Input{"h", constant("an hour", "h", Time, 3600, "over which drift is stated")})
}

const houseModel = "two-node model of the zone (air and skin; mass behind), capacities and coupling per floor area from memory and our choice, solved exactly"

// driftEnd is where calls like this would leave the zone.
func (x *Explainer) driftEnd(k int) *Step {
	name, value := x.job.Zones[k].Name+" zone drift end", x.o.Zones[k].DriftEnd
	c, ok := x.houseCourse(k, true)
	if !ok {
		return model(name, "E", Span, value, houseModel+"; where calls like this, on for the share of the time that its own zones need, would leave it")
	}
	return derived(name, "E", Span, value, "the end of its course while calls like this come and go as their own zones need, if it never called", "E = e", Input{"e", c.end})
}

// offAfter is the time until people notice.
func (x *Explainer) offAfter(k int) *Step {
	name, value := x.job.Zones[k].Name+" zone off after", x.o.Zones[k].TimeToSwing
	c, ok := x.houseCourse(k, false)
	if !ok {
		return model(name, "T", Time, value, houseModel+"; time to 2 °F from its setpoint while the call runs")
	}
	return derived(name, "T", Time, value, "the time at which its course is a swing s from the setpoint", "s = abs("+fmt.Sprintf(driftCourse, "T")+")",
		Input{"s", assumed("swing that people notice", "s", Span, state.Swing, "2 °F (from memory)")}, Input{"e", c.end}, Input{"w", c.share}, Input{"λ1", c.fast}, Input{"λ2", c.slow})
}

// callsAfter is the time until a zone calls by itself while calls like this come and go.
func (x *Explainer) callsAfter(k int) *Step {
	name, value := x.job.Zones[k].Name+" zone calls itself after", x.o.Zones[k].TimeToCall
	c, ok := x.houseCourse(k, true)
	if !ok {
		return model(name, "T", Time, value, houseModel+"; time to 1 °F from its setpoint while calls like this come and go")
	}
	return derived(name, "T", Time, value, "the time at which its course is the thermostat's band b from the setpoint", "b = abs("+fmt.Sprintf(driftCourse, "T")+")",
		Input{"b", assumed("band of a thermostat", "b", Span, state.CallBand, "1 °F, our choice within 0.5 to 1.5 °F of electronic ones (from memory)")},
		Input{"e", c.end}, Input{"w", c.share}, Input{"λ1", c.fast}, Input{"λ2", c.slow})
}

// neutral is the airflow that would just carry a zone's load.
func (x *Explainer) neutral(k int) *Step {
	z := &x.o.Zones[k]
	name := x.job.Zones[k].Name
	if z.Load == 0 {
		return constant(name+" zone neutral bleed", "Q", Airflow, z.NeutralBleed, "it needs nothing")
	}
	return derived(name+" zone neutral bleed", "Q", Airflow, z.NeutralBleed, "the airflow that would just carry its load", "Q = L / (ρs * cp * (ts - ti))", Input{"L", x.load(k)},
		Input{"ρs", x.standardDensity()}, Input{"cp", constant("specific heat of dry air", "cp", SpecificHeat, air.SpecificHeatDry, "ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 30")},
		Input{"ts", x.supplyTemperature(k)}, Input{"ti", x.indoor()})
}
