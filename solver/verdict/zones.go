package verdict

import (
	"math"

	"spillway/network"
)

// zones judges what calling zones get against what they want, and zones that are drawn on.
func (j *judge) zones() {
	var short, over []Finding
	for i, z := range j.o.Zones {
		if !z.Calling || z.Wants <= 0 {
			continue
		}
		name := j.g.Job.Zones[i].Name
		over = append(over, j.limit(excess).judge(name, z.Airflow/z.Wants, "let part of the surplus go elsewhere: a larger stop in the other zones, a bypass, a dump or a lower tap"))
		if j.o.State.Mode == network.Heating && z.Load > 0 && z.Delivered >= z.Load {
			continue // wants are airflows for cooling more often than not; a zone that gets the heat it needs is not short
		}
		if j.o.State.More {
			continue // a zone that is short now gets the higher stage
		}
		short = append(short, j.limit(shortfall).judge(name, z.Shortfall/z.Wants,
			"open its dampers and runs, balance its registers, or raise the tap; a bypass or stop elsewhere must not take its air"))
	}
	j.several(short)
	j.several(over)
	j.returns()
}

// returns looks for zones from which the system takes more air than it gives them: they go under pressure, which can draw
// combustion gas out of a natural-draft appliance.
func (j *judge) returns() {
	if len(j.o.Zones) < 2 {
		return
	}
	list := j.list()
	for i, z := range j.o.Zones {
		if math.IsNaN(z.Return) {
			continue // no grille of its own
		}
		l := *j.limit(returnExcess)
		l.Quantity = Airflow
		l.Caution, l.Fault = z.Airflow*(1+l.Caution), z.Airflow*(1+l.Fault)
		list = append(list, l.judge(j.g.Job.Zones[i].Name, z.Return,
			"open doors or transfer openings between the zones, or a damper in the zone's return; no natural-draft appliance may stand in the zone"))
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
		list = append(list, j.limit(roomPressure).judge(j.g.Nodes[n].Name, math.Abs(j.o.Nodes[n].Total-j.o.Nodes[house].Total),
			"a transfer grille, a jump duct or a larger undercut lets the air back; a room at negative pressure must not hold a natural-draft appliance"))
	}
	j.several(list)
}
