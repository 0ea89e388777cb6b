package state

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/resist"
)

// outcome gathers everything that a solved calculation says.
func (c *calculation) outcome() (*Outcome, error) {
	o := &Outcome{State: c.set.state, Graph: c.solver.graph, NaturalShare: math.NaN()}
	c.elements(o)
	c.nodes(o)
	c.blower(o)
	c.registers(o)
	if err := c.sound(o); err != nil {
		return nil, err
	}
	c.zones(o)
	c.dampers(o)
	c.ports(o)
	c.certify(o)
	ledger(o, c.solver.plan.leaks)
	if err := c.equipment(o); err != nil {
		return nil, err
	}
	c.stretches(o)
	return o, c.climate(o)
}

func standard(massFlow float64) float64 { return massFlow / air.StandardDensity }

func (c *calculation) elements(o *Outcome) {
	p, g := c.solver.plan, c.solver.graph
	var bounds [][2]float64
	if !c.solver.brief {
		bounds = make([][2]float64, len(p.edges))
		for i := range p.edges {
			bounds[i][0], bounds[i][1] = c.flow.Interval(i)
		}
	}
	o.Elements = make([]Element, len(g.Elements))
	for i := range g.Elements {
		edge, sign := p.edgeOf[i], p.signOf[i]
		q := sign * c.solution.Flow[edge]
		drop, _ := c.element[i].Drop(q)
		low, high := math.NaN(), math.NaN()
		if bounds != nil {
			if low, high = sign*bounds[edge][0], sign*bounds[edge][1]; low > high {
				low, high = high, low
			}
		}
		e := &o.Elements[i]
		*e = Element{
			Flow: q, Airflow: standard(q), Drop: drop + c.turn[i], Junction: c.turn[i], Lift: c.lift[i], Velocity: math.NaN(), Friction: math.NaN(),
			Density: c.set.air[i].Density, Temperature: c.airTemperature(i), DensityTemperature: c.set.warm[i], Low: standard(low), High: standard(high),
		}
		if s, ok := network.SectionOf(g.Elements[i].Spec); ok {
			e.Velocity = math.Abs(q) / (e.Density * s.Area())
		}
		if duct, ok := c.element[i].(*resist.Duct); ok {
			if length := g.Elements[i].Spec.(*network.DuctSpec).Length; length > 0 {
				e.Friction = math.Abs(duct.FrictionDrop(q)) / length
			}
		}
	}
}

func (c *calculation) nodes(o *Outcome) {
	p, g := c.solver.plan, c.solver.graph
	o.Nodes = make([]Node, len(g.Nodes))
	for n, at := range p.nodeOf {
		o.Nodes[n].Total = math.NaN()
		if at >= 0 {
			o.Nodes[n].Total = c.solution.Pressure[at]
		}
	}
	c.walk(func(n int, pressure float64) { o.Nodes[n].Total = pressure })
	c.nodeStatics(o)
}

// nodeStatics takes the velocity pressure of the duct or damper that brings the air off the total pressure, and gives each node
// the temperature that the heat side found.
func (c *calculation) nodeStatics(o *Outcome) {
	g := c.solver.graph
	dynamic := make([]float64, len(g.Nodes))
	most := make([]float64, len(g.Nodes)) // flow of the duct that counts
	for i := range g.Elements {
		e, x := &g.Elements[i], &o.Elements[i]
		into := e.To
		if x.Flow < 0 {
			into = e.From
		}
		q := math.Abs(x.Flow)
		if _, opening := e.Spec.(*network.OpeningSpec); opening || g.Nodes[into].Kind != network.Joint || q <= most[into] {
			continue
		}
		if !math.IsNaN(x.Velocity) {
			most[into], dynamic[into] = q, x.Density*x.Velocity*x.Velocity/2
		}
	}
	for n := range o.Nodes {
		o.Nodes[n].Static = o.Nodes[n].Total - dynamic[n]
		o.Nodes[n].Temperature = c.set.indoor
		if at := &c.steady.Nodes[n]; at.Status.Defined() {
			o.Nodes[n].Temperature = at.State.Temperature
		}
	}
}

func (c *calculation) blower(o *Outcome) {
	i := c.solver.graph.Blower
	x := &o.Elements[i]
	o.Blower = Blower{
		Tap: c.set.tap, Airflow: x.Airflow, ActualAirflow: x.Flow / x.Density, ExternalStatic: -x.Drop, Power: math.NaN(),
	}
	if o.Blower.Tap == "" {
		if spec := c.solver.graph.Elements[i].Spec.(*network.BlowerSpec); len(spec.Taps) > 0 {
			o.Blower.Tap = spec.Taps[0].Name
		}
	}
	if watts, known := c.laws.fan.Watts(x.Flow); known {
		o.Blower.Power = watts
	}
	if t, ok := c.laws.fan.(interface{ OffTable(q float64) bool }); ok && t.OffTable(x.Flow) {
		o.Blower.OffTable = true
		o.Notes = append(o.Notes, "the blower runs outside its table, where its curve is only extended in a straight line")
	}
	if len(c.points) > 0 {
		for _, pt := range c.points {
			o.Blower.Points = append(o.Blower.Points, OperatingPoint{Airflow: standard(pt.Flow), Static: pt.Rise, Stable: pt.Stable})
		}
		note := "the blower's curve rises on part of its range (stall)"
		if len(c.points) > 1 {
			note += fmt.Sprintf(" and meets the duct system at %d points; the stable one of the greatest flow is shown", len(c.points))
		}
		o.Notes = append(o.Notes, note)
	}
	c.jumpNotes(o)
}

func (c *calculation) registers(o *Outcome) {
	g := c.solver.graph
	o.Registers = make([]Register, len(g.Registers))
	dewPoint, err := c.set.room.DewPoint(c.set.pressure)
	if err != nil {
		dewPoint = math.NaN()
	}
	for k, r := range g.Registers {
		x := &o.Elements[r.Element]
		o.Registers[k] = Register{
			Airflow: x.Airflow, Wants: r.Wants, Calling: !r.Dump && c.set.calls([]string{r.Zone}), FaceVelocity: x.Velocity,
			Static:      o.Nodes[g.Elements[r.Element].From].Static - o.Nodes[g.Elements[r.Element].To].Total,
			Temperature: math.NaN(), DewPoint: dewPoint,
		}
		if b := &c.steady.Branches[r.Element]; b.Moving && x.Flow > 0 {
			o.Registers[k].Temperature = b.In.Temperature
		}
	}
}

func (c *calculation) zones(o *Outcome) {
	g := c.solver.graph
	o.Zones = make([]Zone, len(g.Job.Zones))
	house := c.solver.plan.house
	for i := range g.Job.Zones {
		name := g.Job.Zones[i].Name
		z := &o.Zones[i]
		z.Calling = c.set.calls([]string{name})
		z.Return = math.NaN()
		for k, r := range g.Registers {
			if g.Elements[r.Element].ZoneID == network.ZoneID(i) {
				z.Airflow += o.Registers[k].Airflow
				if !r.Dump {
					z.Wants += r.Wants
					if z.Calling {
						z.Shortfall += max(0, r.Wants-o.Registers[k].Airflow)
					}
				}
			}
		}
		for e := range g.Elements {
			if g.Elements[e].Kind == network.KindGrille && g.Elements[e].ZoneID == network.ZoneID(i) {
				if math.IsNaN(z.Return) {
					z.Return = 0
				}
				z.Return += o.Elements[e].Airflow
			}
		}
		for n := range g.Nodes {
			if g.Nodes[n].Kind == network.RoomAir && c.solver.plan.zoneOf[n] == network.ZoneID(i) {
				if p := o.Nodes[n].Total - o.Nodes[house].Total; math.Abs(p) > math.Abs(z.Pressure) {
					z.Pressure = p
				}
			}
		}
	}
}

func (c *calculation) dampers(o *Outcome) {
	g := c.solver.graph
	for i := range g.Elements {
		if network.BladeOf(g.Elements[i].Spec) == nil {
			continue
		}
		x := &o.Elements[i]
		d := Damper{Element: i, Name: g.Elements[i].Name, Airflow: x.Airflow, Drop: x.Drop, Moved: true}
		positionOf[g.Elements[i].Kind](c, &d, x.Flow)
		o.Dampers = append(o.Dampers, d)
	}
}

func (c *calculation) certify(o *Outcome) {
	p, g := c.solver.plan, c.solver.graph
	core := c.solution.Certificate
	o.Certificate = Certificate{
		MassResidual: core.MassResidual, PressureResidual: core.EdgeResidual, Gap: core.Gap, Iterations: c.iterations,
		Isolated: core.Isolated, Core: core,
	}
	if core.MassNode >= 0 {
		o.Certificate.MassNode = g.Nodes[p.graphOf[core.MassNode]].Name
	}
	if core.Edge >= 0 {
		o.Certificate.PressureElement = p.edgeName(core.Edge)
	}
	for i := range o.Elements {
		if half := (o.Elements[i].High - o.Elements[i].Low) / 2; half > o.Certificate.FlowBound {
			o.Certificate.FlowBound, o.Certificate.FlowElement = half, g.Elements[i].Name
		}
	}
	recirculated := 0.0
	for i := range g.Elements {
		if g.Elements[i].Side == network.BypassSide && g.Elements[i].Kind == network.KindDuct && g.Elements[i].Spec.(*network.DuctSpec).First {
			recirculated += o.Elements[i].Flow
		}
	}
	if q := o.Elements[g.Blower].Flow; q > 0 {
		o.Bypass = recirculated / q
	}
}
