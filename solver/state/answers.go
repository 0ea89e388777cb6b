package state

import (
	"math"
	"slices"

	"spillway/network"
)

// Fate is the outcome of an event that time would bring. Its words belong to the machine interface.
type Fate string

// The fates.
const (
	NotAsked Fate = ""        // the question does not arise in this call
	Never    Fate = "never"   // the state at rest is clear of it
	Reached  Fate = "reached" // after the time that goes with it
	Later    Fate = "later"   // the state at rest is past it, but the time course ends before that
	Depends  Fate = "depends" // on how well recirculated air mixes
	Unknown  Fate = "unknown" // nothing was computed that could tell
)

// fateIn is the fate of an event that comes after so many seconds: +Inf never, NaN not asked.
func fateIn(seconds float64) Fate {
	switch {
	case math.IsNaN(seconds):
		return NotAsked
	case math.IsInf(seconds, 1):
		return Never
	}
	return Reached
}

// LimitFate reports whether the furnace's high-limit switch opens.
func (o *Outcome) LimitFate() Fate {
	switch e := &o.Equipment; {
	case o.State.Mode != network.Heating:
		return NotAsked
	case !e.Computed || math.IsNaN(e.TimeToLimit):
		return Unknown
	default:
		return fateIn(e.TimeToLimit)
	}
}

// LimitBand is LimitFate over the whole band of how well recirculated air mixes.
func (o *Outcome) LimitBand() Fate {
	e, f := &o.Equipment, o.LimitFate()
	switch {
	case f != Never && f != Reached:
		return f
	case e.SensorHigh <= e.Limit:
		return Never
	case e.SensorLow <= e.Limit:
		return Depends
	}
	return f
}

// FrostFate reports whether the coil comes down to freezing. The margin is that of the colder of two
// estimates at rest; the time comes from a course of limited length by one of them, so that the two
// need not agree.
func (o *Outcome) FrostFate() Fate {
	switch e := &o.Equipment; {
	case o.State.Mode != network.Cooling:
		return NotAsked
	case !e.Computed || math.IsNaN(e.TimeToFrost) || math.IsNaN(e.FrostMargin):
		return Unknown
	case !math.IsInf(e.TimeToFrost, 1):
		return Reached
	case e.FrostMargin > 0:
		return Never
	}
	return Later
}

// SwingFate reports whether a satisfied zone drifts by Swing while the call runs.
func (z *Zone) SwingFate() Fate { return fateIn(z.satisfied(z.TimeToSwing)) }

// CallFate reports whether a satisfied zone drifts until it calls for the machine itself.
func (z *Zone) CallFate() Fate { return fateIn(z.satisfied(z.TimeToCall)) }

// satisfied is a number that only a satisfied zone has; NaN of one that calls, since it is held.
func (z *Zone) satisfied(v float64) float64 {
	if z.Calling {
		return math.NaN()
	}
	return v
}

// machine is the stage that runs; the zero Stage in a fan call.
func (o *Outcome) machine() network.Stage {
	switch e := &o.Graph.Job.Equipment; o.State.Mode {
	case network.Cooling:
		return e.Cooling.At(o.State.Stage)
	case network.Heating:
		return e.Heating.At(o.State.Stage)
	}
	return network.Stage{}
}

// NominalCooling is the rated total cooling of the stage that runs, W; NaN when the state does not
// cool or the job gives no capacity.
func (o *Outcome) NominalCooling() float64 {
	if o.State.Mode != network.Cooling {
		return math.NaN()
	}
	return given(float64(o.machine().Capacity))
}

// RatedHeat is the rated total cooling or heating of the stage that runs, W; NaN when the job gives
// none.
func (o *Outcome) RatedHeat() float64 {
	if o.State.Mode == network.Heating {
		return given(float64(o.machine().Output))
	}
	return o.NominalCooling()
}

// given is a figure of the job file, NaN where it is not given.
func given(v float64) float64 {
	if v <= 0 {
		return math.NaN()
	}
	return v
}

// PerTon is the blower's airflow over the nominal cooling of the stage that runs, m³/s per W; NaN
// where there is no nominal cooling.
func (o *Outcome) PerTon() float64 { return o.Blower.Airflow / o.NominalCooling() }

// PowerPerFlow is the blower's electric power over its airflow, W per m³/s; NaN where either is not
// known.
func (o *Outcome) PowerPerFlow() float64 { return o.Blower.Power / given(o.Blower.Airflow) }

// SensibleShare is the sensible part of the cooling at work; NaN where none is computed.
func (o *Outcome) SensibleShare() float64 {
	e := &o.Equipment
	if o.State.Mode != network.Cooling || !e.Computed {
		return math.NaN()
	}
	return e.Sensible / given(e.Output)
}

// FanHeat is the heat of the blower's power in the air, W; NaN where its table has no watts.
func (o *Outcome) FanHeat() float64 {
	if math.IsNaN(o.Blower.Power) {
		return math.NaN()
	}
	return o.Equipment.FanHeat
}

// Static is the static pressure that a gauge would show at a place, Pa; ok is false of a place that
// was not found. At the end of a line it is the node's static. At its start it is the node's total
// pressure less the velocity pressure in the line's own first duct,
//
//	p_s = p_t − ρV²/2
//
// without the loss of what the air passes on entering, which a gauge close after a fitting would not
// show steadily either.
func (o *Outcome) Static(s network.Spot) (pa float64, ok bool) {
	switch {
	case s.Node < 0 || s.Node >= len(o.Nodes):
		return math.NaN(), false
	case s.Start >= 0:
		in := &o.Elements[s.Start]
		return o.Nodes[s.Node].Total - in.Density*in.Velocity*in.Velocity/2, true
	}
	return o.Nodes[s.Node].Static, true
}

// Port is a test port of the equipment or of the job.
type Port struct {
	Name   string
	At     string // its place as the job file names it; "" of the equipment's own
	Spot   network.Spot
	Static float64 // Pa
}

// Ports lists the test ports of a graph, the equipment's own first, without their statics. A port of
// the job whose place is not found is left out.
func Ports(g *network.Graph) (list []Port) {
	for _, role := range []network.Role{network.AtReturnPlenum, network.AtBlowerInlet,
		network.AtBlowerOutlet, network.AtSupplyPlenum} {
		if n := g.NodeAt(role); n >= 0 {
			spot := network.Spot{Node: n, Start: network.None}
			list = append(list, Port{Name: g.Nodes[n].Name, Spot: spot})
		}
	}
	for i, s := range g.Ports() {
		if s.Node >= 0 {
			list = append(list, Port{Name: g.Job.Ports[i].Name, At: g.Job.Ports[i].At, Spot: s})
		}
	}
	return list
}

// ports reads the statics at the test ports.
func (c *calculation) ports(o *Outcome) {
	o.Ports = slices.Clone(c.solver.plan.ports)
	for i := range o.Ports {
		o.Ports[i].Static, _ = o.Static(o.Ports[i].Spot)
	}
}

// Sweats reports whether the register's air is below the dew point of its room, so that room air can
// condense on it; known is false when either temperature is not known.
func (r *Register) Sweats() (wet, known bool) {
	if math.IsNaN(r.Temperature) || math.IsNaN(r.DewPoint) {
		return false, false
	}
	return r.Temperature < r.DewPoint, true
}
