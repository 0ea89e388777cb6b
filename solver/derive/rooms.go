package derive

import (
	"math"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/state"
)

// registers offers what every outlet delivers and sounds like.
func (x *Explainer) registers() {
	for k := range x.g.Registers {
		reg, r := &x.g.Registers[k], &x.o.Registers[k]
		i := reg.Element
		name := x.g.Elements[i].Name
		const group = "Registers"
		x.tell(group, state.RegisterAirflow, k, func() *Step { return x.airflow(i) })
		if r.Wants > 0 {
			x.tell(group, state.RegisterWanted, k, func() *Step { return x.want(k) })
			x.offer(group, name+" share of wanted", r.Airflow/r.Wants, func() *Step {
				return derived(name+" share of wanted", "r", Share, r.Airflow/r.Wants, "delivered over wanted", "r = Q / Qw", Input{"Q", x.airflow(i)}, Input{"Qw", x.want(k)})
			})
		}
		x.tell(group, state.RegisterFaceVelocity, k, func() *Step { return named(name+" face velocity", x.velocity(i)) })
		x.tell(group, state.RegisterStatic, k, func() *Step {
			from, to := x.g.Elements[i].From, x.g.Elements[i].To
			return derived(name+" static", "ps", Pressure, r.Static, "static in the duct behind it, less the pressure of the room", "ps = pd - pr", Input{"pd", x.static(from)}, Input{"pr", x.total(to)})
		})
		x.tell(group, state.RegisterTemperature, k, func() *Step {
			return solvedLeaf(name+" temperature", "t", Temperature, r.Temperature, x.heatProof())
		})
		x.tell(group, state.RegisterDewPoint, k, func() *Step { return x.dewPoint(name+" dew point of the room", r.DewPoint) })
	}
	x.noise()
}

func (x *Explainer) weather() *network.Weather {
	for k := range x.job.Weather {
		if w := &x.job.Weather[k]; w.Name == x.o.State.Weather {
			return w
		}
	}
	return nil
}

// noise offers noise criteria and throws.
func (x *Explainer) noise() {
	const group = "Noise"
	for k := range x.g.Registers {
		x.tell(group, state.RegisterNoise, k, func() *Step { return x.registerNoise(k) })
		x.tell(group, state.RegisterThrow, k, func() *Step { return x.throw(k) })
		x.tell(group, state.RegisterFreeThrow, k, func() *Step { return x.freeThrow(k) })
	}
	for k := range x.o.Rooms {
		r := &x.o.Rooms[k]
		name := r.Name
		x.tell(group, state.RoomNoise, k, func() *Step { return x.roomNoise(k) })
		x.offer(group, name+" room noise lowest", r.NCLow, func() *Step { return x.roomBound(k, name+" room noise lowest", r.NCLow) })
		x.offer(group, name+" room noise highest", r.NCHigh, func() *Step { return x.roomBound(k, name+" room noise highest", r.NCHigh) })
		x.offer(group, name+" room noise level", r.DBA, func() *Step { return x.roomDBA(k, name+" room noise level") })
	}
}

// zones offers what every zone gets and where it drifts.
func (x *Explainer) zones() {
	for k := range x.job.Zones {
		z := &x.o.Zones[k]
		name := x.job.Zones[k].Name
		x.tell("Zones", state.ZoneAirflow, k, func() *Step { return x.zoneAirflow(k) })
		x.tell("Zones", state.ZoneWanted, k, func() *Step { return x.zoneWants(k) })
		if z.Calling {
			x.tell("Zones", state.ZoneShortfall, k, func() *Step { return x.shortfall(k) })
		}
		x.tell("Zones", state.ZoneReturn, k, func() *Step {
			var steps []*Step
			for i := range x.g.Elements {
				if x.g.Elements[i].Kind == network.KindGrille && x.g.Elements[i].Zone == name {
					steps = append(steps, x.airflow(i))
				}
			}
			expression, inputs := sum("Q", steps)
			return derived(name+" zone return", "Q", Airflow, z.Return, "its grilles", "Q = "+expression, inputs...)
		})
		x.tell("Zones", state.ZonePressure, k, func() *Step { return x.zonePressure(k) })
		x.climate(k)
	}
}

func (x *Explainer) zoneAirflow(k int) *Step {
	name := x.job.Zones[k].Name
	var steps []*Step
	for n := range x.g.Registers {
		if x.g.Registers[n].Zone == name {
			steps = append(steps, x.airflow(x.g.Registers[n].Element))
		}
	}
	expression, inputs := sum("Q", steps)
	return derived(name+" zone airflow", "Q", Airflow, x.o.Zones[k].Airflow, "its registers", "Q = "+expression, inputs...)
}

func (x *Explainer) zoneWants(k int) *Step {
	name := x.job.Zones[k].Name
	var steps []*Step
	for n := range x.g.Registers {
		if x.g.Registers[n].Zone == name && !x.g.Registers[n].Dump {
			steps = append(steps, x.want(n))
		}
	}
	expression, inputs := sum("Q", steps)
	return derived(name+" zone wanted", "Q", Airflow, x.o.Zones[k].Wants, "its registers' wants", "Q = "+expression, inputs...)
}

func (x *Explainer) shortfall(k int) *Step {
	name := x.job.Zones[k].Name
	var steps []*Step
	for n := range x.g.Registers {
		if x.g.Registers[n].Zone == name && !x.g.Registers[n].Dump {
			r := &x.o.Registers[n]
			e := x.g.Elements[x.g.Registers[n].Element].Name
			steps = append(steps, derived(e+" missing", "d", Airflow, max(0, r.Wants-r.Airflow), "wanted less delivered", "d = max(0, Qw - Q)", Input{"Qw", x.want(n)}, Input{"Q", x.airflow(x.g.Registers[n].Element)}))
		}
	}
	expression, inputs := sum("d", steps)
	return derived(name+" zone shortfall", "D", Airflow, x.o.Zones[k].Shortfall, "what its registers miss of their wants", "D = "+expression, inputs...)
}

func (x *Explainer) zonePressure(k int) *Step {
	z := &x.o.Zones[k]
	name := x.job.Zones[k].Name + " zone pressure"
	house := x.g.NodeAt(network.InHouse)
	for n := range x.g.Nodes {
		if x.g.Nodes[n].Kind == network.RoomAir && z.Pressure != 0 && x.o.Nodes[n].Total-x.o.Nodes[house].Total == z.Pressure {
			return derived(name, "p", Pressure, z.Pressure, "its room that stands farthest from the open house", "p = pr - ph", Input{"pr", x.total(n)}, Input{"ph", x.total(house)})
		}
	}
	return constant(name, "p", Pressure, z.Pressure, "no room of it has a shut door: its air is that of the open house")
}

// climate offers heat given, load and drift of a zone.
func (x *Explainer) climate(k int) {
	const group = "Zones and heat"
	z := &x.o.Zones[k]
	name := x.job.Zones[k].Name
	x.tell(group, state.ZoneDelivered, k, func() *Step { return x.given(k) })
	x.tell(group, state.ZoneLoad, k, func() *Step { return x.load(k) })
	x.tell(group, state.ZoneSupplyTemperature, k, func() *Step { return x.supplyTemperature(k) })
	if z.Calling {
		return
	}
	x.tell(group, state.ZoneDrift, k, func() *Step { return x.drift(k) })
	x.tell(group, state.ZoneDriftEnd, k, func() *Step { return x.driftEnd(k) })
	x.offer(group, name+" zone call share", z.CallDuty, func() *Step { return named(name+" zone call share", x.callShare()) })
	if !math.IsInf(z.TimeToCall, 0) {
		x.tell(group, state.ZoneTimeToCall, k, func() *Step { return x.callsAfter(k) })
	}
	if !math.IsInf(z.TimeToSwing, 0) {
		x.offer(group, name+" zone off after", z.TimeToSwing, func() *Step { return x.offAfter(k) })
	}
	if !math.IsInf(z.NeutralBleed, 0) {
		x.tell(group, state.ZoneNeutralBleed, k, func() *Step { return x.neutral(k) })
	}
}

func (x *Explainer) indoor() *Step {
	w := x.weather()
	if w == nil || w.Indoor == nil {
		return assumed("indoor temperature", "ti", Temperature, x.o.Nodes[x.g.NodeAt(network.InHouse)].Temperature, "75 °F in cooling and 70 °F in heating (common practice)")
	}
	return x.file("indoor temperature", "ti", Temperature, float64(*w.Indoor), "weather", w.Name, "indoor")
}

// given is the sensible heat that a zone is given, over its setpoint.
func (x *Explainer) given(k int) *Step {
	z := &x.o.Zones[k]
	name := x.job.Zones[k].Name
	indoor := x.indoor()
	span := z.SupplyTemperature - indoor.Value
	if z.Airflow <= 0 || abs(span) < 1e-9 {
		return constant(name+" zone heat given", "H", Heat, z.Delivered, "no air, or air at the zone's own temperature")
	}
	inflow := 0.0
	var steps []*Step
	for n := range x.g.Registers {
		if x.g.Registers[n].Zone == name && x.o.Registers[n].Airflow > 0 {
			steps = append(steps, x.airflow(x.g.Registers[n].Element))
			inflow += x.o.Registers[n].Airflow
		}
	}
	for _, i := range x.g.LeaksInto(network.ZoneID(k)) {
		if x.o.Elements[i].Airflow > 0 {
			steps = append(steps, x.airflow(i))
			inflow += x.o.Elements[i].Airflow
		}
	}
	expression, inputs := sum("Q", steps)
	cp := z.Delivered / (span * inflow * air.StandardDensity)
	inputs = append(inputs, Input{"ρs", x.standardDensity()},
		Input{"cp", solvedLeaf("specific heat of the supply air", "cp", SpecificHeat, cp, air.SpecificHeatText()+", W the humidity ratio that the heat balance gives")},
		Input{"ts", x.supplyTemperature(k)}, Input{"ti", indoor})
	return derived(name+" zone heat given", "H", Heat, z.Delivered, "mass flow times specific heat times temperature over the zone's", "H = ("+expression+") * ρs * cp * (ts - ti)", inputs...)
}
