package verdict

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/solver/state"
)

// zones judges what calling zones get against what they want, and zones that are drawn on.
func (j *judge) zones() {
	var short, over []Finding
	for i, z := range j.o.Zones {
		if !z.Calling || z.Wants <= 0 || j.g.Job.Zones[i].WantsUnknown {
			continue
		}
		name := j.g.Job.Zones[i].Name
		over = append(over, j.limit(Excess).judge(name, z.Airflow/z.Wants, "let part of the surplus go elsewhere: a larger stop in the other zones, a bypass, a dump or a lower tap").
			of(state.ZoneAirflow, i, state.ZoneWanted))
		if j.o.State.More {
			continue // a zone that is short now gets the higher stage
		}
		f := j.limit(Shortfall).judge(name, z.Shortfall/z.Wants,
			"open its dampers and runs, balance its registers, or raise the tap; a bypass or stop elsewhere must not take its air").
			of(state.ZoneShortfall, i, state.ZoneWanted)
		if heat := HeatDecides(j.o, i); heat && f.Level != OK {
			j.found = append(j.found, j.heatInstead(f, z.Delivered/z.Load).of(state.ZoneDelivered, i, state.ZoneLoad))
		} else if !heat {
			short = append(short, f)
		}
	}
	j.several(short)
	j.several(over)
	j.returns()
}

// HeatDecides reports whether a calling zone is judged by its heat: one that gets the heat it needs is not short, whatever air it
// misses, since the airflows that zones want are for cooling more often than not (our choice).
func HeatDecides(o *state.Outcome, zone int) bool {
	z := &o.Zones[zone]
	return z.Calling && o.State.Mode == network.Heating && z.Load > 0 && z.Delivered >= z.Load
}

// heatInstead states a shortfall of air by the heat given over the load, which decides.
func (j *judge) heatInstead(air Finding, share float64) Finding {
	l := *j.limit(Shortfall)
	l.Bounds, l.Caution, l.Fault = AtLeast, 1, math.NaN()
	f := l.judge(air.Where, share, "")
	f.What = fmt.Sprintf("air %.0f %% short, heat over load", 100*air.Value)
	return f
}

// returns looks for zones from which the system takes more air than it gives them: they go under pressure, which can draw
// combustion gas out of a natural-draft appliance. Zones that are open to one another share a central return: in a call of some of them
// the air of those goes back through the grilles of all, by the open house, and so they are judged with all zones calling. A zone
// whose grille is behind a door has a return of its own and is judged in every call.
func (j *judge) returns() {
	if len(j.o.Zones) < 2 {
		return
	}
	list := j.list()
	for i, z := range j.o.Zones {
		if math.IsNaN(z.Return) || len(j.o.State.Calling) < len(j.o.Zones) && !j.ownReturn(i) {
			continue
		}
		l := *j.limit(ReturnExcess)
		l.Quantity = Airflow
		l.Caution, l.Fault = z.Airflow*(1+l.Caution), z.Airflow*(1+l.Fault)
		list = append(list, l.judge(j.g.Job.Zones[i].Name, z.Return,
			"open doors or transfer openings between the zones, or a damper in the zone's return; no natural-draft appliance may stand in the zone").
			of(state.ZoneReturn, i, state.NoField))
	}
	j.several(list)
}

// ownReturn reports whether a zone has a grille in a room behind a door.
func (j *judge) ownReturn(zone int) bool {
	for i := range j.g.Elements {
		e := &j.g.Elements[i]
		if e.Kind == network.KindGrille && e.ZoneID == network.ZoneID(zone) && j.g.Nodes[e.From].Kind == network.RoomAir {
			return true
		}
	}
	return false
}

// dumps judges what a room with a dump is given, over its part of its zone's load: by what the
// registers in it want, of what those of the zone want.
func (j *judge) dumps() {
	if len(j.g.Job.Dump) == 0 {
		return
	}
	list := j.list()
	for k := range j.g.Registers {
		dump := &j.g.Registers[k]
		zone := j.g.Elements[dump.Element].ZoneID
		if !dump.Dump || zone == network.None || !(math.Abs(j.o.Zones[zone].Load) > 0) ||
			!(j.o.Zones[zone].Wants > 0) {
			continue
		}
		wants, room, all := 0.0, 0.0, 0.0
		for i := range j.g.Registers {
			r := &j.g.Registers[i]
			if j.g.Elements[r.Element].ZoneID != zone {
				continue
			}
			all += j.o.Registers[i].Airflow
			if r.Room == dump.Room {
				wants, room = wants+j.o.Registers[i].Wants, room+j.o.Registers[i].Airflow
			}
		}
		if z := &j.o.Zones[zone]; wants > 0 && all > 0 {
			list = append(list, j.limit(DumpRoom).judge(dump.Room,
				z.Delivered*room/all/(z.Load*wants/z.Wants),
				"a larger room, or one that nobody sits in, a smaller dump, or a bypass: so much "+
					"heat or cold is felt there").
				of(state.ZoneDelivered, int(zone), state.NoField))
		}
	}
	j.several(list)
}

// rooms judges the pressure behind shut doors.
func (j *judge) rooms() {
	house := j.g.NodeAt(network.InHouse)
	list := j.list()
	for n := range j.g.Nodes {
		if j.g.Nodes[n].Kind != network.RoomAir {
			continue
		}
		list = append(list, j.limit(RoomPressure).judge(j.g.Nodes[n].Name, math.Abs(j.o.Nodes[n].Total-j.o.Nodes[house].Total),
			"a transfer grille, a jump duct or a larger undercut lets the air back; a room at negative pressure must not hold a natural-draft appliance").
			of(state.NodeTotal, n, state.NoField))
	}
	j.several(list)
}
