package verdict

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"spillway/network"
	"spillway/network/units"
	"spillway/solver/state"
)

// Judge holds an outcome against the limits and returns its findings, worst first. A check with many places (registers, ducts)
// gives a finding for every place that is not in order, or one for the place nearest its limit when all are.
func Judge(o *state.Outcome) []Finding {
	j := judge{o: o, l: limitsFor(o.Graph.Job), coldest: -1}
	j.static()
	j.airflowPerTon()
	j.fanPower()
	j.shortfall()
	j.faces()
	j.ducts()
	j.recirculation()
	j.temperatures()
	j.rooms()
	j.returns()
	j.blower()
	slices.SortStableFunc(j.found, func(a, b Finding) int {
		if c := cmp.Compare(rank(b.Level), rank(a.Level)); c != 0 {
			return c
		}
		return cmp.Compare(excess(b), excess(a))
	})
	return j.found
}

// Worst is the worst level among findings.
func Worst(findings []Finding) Level {
	worst := OK
	for _, f := range findings {
		if rank(f.Level) > rank(worst) {
			worst = f.Level
		}
	}
	return worst
}

func rank(l Level) int {
	switch l {
	case Fault:
		return 2
	case Caution:
		return 1
	}
	return 0
}

// excess is how far a value is beyond (or from) its limit, as a share of the limit.
func excess(f Finding) float64 {
	if f.Limit == 0 || math.IsNaN(f.Limit) {
		return 0
	}
	return math.Abs(f.Value-f.Limit) / math.Abs(f.Limit)
}

type judge struct {
	o     *state.Outcome
	l     limits
	found []Finding

	coldest int // register farthest below the dew point of the room, −1: none
}

// most judges a value that must not exceed its band.
func most(f Finding, b band) Finding {
	f.Source = b.source
	switch {
	case f.Value > b.fault:
		f.Level, f.Limit = Fault, b.fault
	case f.Value > b.caution:
		f.Level, f.Limit = Caution, b.caution
	default:
		f.Level, f.Limit, f.Remedy = OK, b.caution, ""
	}
	return f
}

// least judges a value that must not fall short of its band.
func least(f Finding, b band) Finding {
	f.Source = b.source
	switch {
	case f.Value < b.fault:
		f.Level, f.Limit = Fault, b.fault
	case f.Value < b.caution:
		f.Level, f.Limit = Caution, b.caution
	default:
		f.Level, f.Limit, f.Remedy = OK, b.caution, ""
	}
	return f
}

// several keeps the findings that are not in order, or the one nearest its limit.
func (j *judge) several(list []Finding) {
	bad := 0
	best := -1
	for i, f := range list {
		if f.Level != OK {
			j.found = append(j.found, f)
			bad++
		} else if best < 0 || f.Value/f.Limit > list[best].Value/list[best].Limit {
			best = i
		}
	}
	if bad == 0 && best >= 0 {
		j.found = append(j.found, list[best])
	}
}

func (j *judge) static() {
	j.found = append(j.found, most(Finding{
		Check: "external static", Quantity: Pressure, Value: j.o.Blower.ExternalStatic,
		Remedy: "give the surplus an easier way (a larger damper stop, a bypass, a dump), a lower blower tap, or larger ducts, filter and returns",
	}, j.l.static))
}

func (j *judge) airflowPerTon() {
	cooling := j.o.Graph.Job.Equipment.Cooling
	if j.o.State.Mode != network.Cooling || cooling == nil {
		return
	}
	capacity := float64(cooling.Capacity)
	if n := j.o.State.Stage - 1; n < len(cooling.Stages) && cooling.Stages[n].Capacity > 0 {
		capacity = float64(cooling.Stages[n].Capacity)
	}
	if capacity <= 0 {
		return
	}
	j.found = append(j.found, least(Finding{
		Check: "airflow per ton", Quantity: FlowPerHeat, Value: j.o.Blower.Airflow / capacity,
		Remedy: "less static or a higher tap brings more air over the coil; with too little it ices",
	}, j.l.perTon))
}

func (j *judge) fanPower() {
	if math.IsNaN(j.o.Blower.Power) || j.o.Blower.Airflow <= 0 {
		return
	}
	j.found = append(j.found, most(Finding{
		Check: "fan power", Quantity: PowerPerFlow, Value: j.o.Blower.Power / j.o.Blower.Airflow,
		Remedy: "lower the static or choose a blower whose power falls with its airflow",
	}, j.l.watts))
}

func (j *judge) shortfall() {
	var list []Finding
	for i, z := range j.o.Zones {
		if !z.Calling || z.Wants <= 0 {
			continue
		}
		if j.o.State.Mode == network.Heating && z.Load > 0 && z.Delivered >= z.Load {
			continue // wants are airflows for cooling more often than not; a zone that gets the heat it needs is not short
		}
		list = append(list, most(Finding{
			Check: "zone shortfall", Where: j.o.Graph.Job.Zones[i].Name, Quantity: Fraction, Value: z.Shortfall / z.Wants,
			Remedy: "open its dampers and runs, balance its registers, or raise the tap; a bypass or stop elsewhere must not take its air",
		}, j.l.shortfall))
	}
	j.several(list)
}

func (j *judge) faces() {
	g := j.o.Graph
	var list []Finding
	for k, r := range j.o.Registers {
		list = append(list, most(Finding{
			Check: "register face velocity", Where: g.Registers[k].Line, Quantity: Velocity, Value: r.FaceVelocity,
			Remedy: "a larger register, or less surplus into this zone: a larger stop elsewhere, a bypass or a lower tap",
		}, j.l.supplyFace))
	}
	j.several(list)
	list = nil
	for i := range g.Elements {
		if g.Elements[i].Kind != network.KindGrille {
			continue
		}
		b := j.l.returnFace
		if spec := g.Elements[i].Spec.(*network.OpeningSpec); spec.Kind == "filter grille" {
			b = j.l.filterGrille
		}
		list = append(list, most(Finding{
			Check: "return grille velocity", Where: g.Elements[i].Line, Quantity: Velocity, Value: j.o.Elements[i].Velocity,
			Remedy: "a larger return grille or a second one",
		}, b))
	}
	j.several(list)
}

func (j *judge) ducts() {
	g := j.o.Graph
	ends := map[string]bool{} // lines that end in a register
	for _, r := range g.Registers {
		ends[r.Line] = true
	}
	var list []Finding
	seen := map[string]int{} // the fastest piece of a line stands for it
	for i := range g.Elements {
		e := &g.Elements[i]
		spec, ok := e.Spec.(*network.DuctSpec)
		if !ok {
			continue
		}
		b := j.l.trunk
		switch {
		case e.Side == network.ReturnSide:
			b = j.l.returnTrunk
		case ends[e.Line] && isFlexible(spec):
			b = j.l.flexBranch
		case ends[e.Line]:
			b = j.l.branch
		}
		f := most(Finding{
			Check: "duct velocity", Where: e.Line, Quantity: Velocity, Value: j.o.Elements[i].Velocity,
			Remedy: "a larger duct, or less air through it in this call",
		}, b)
		if k, again := seen[e.Line]; again {
			if f.Value > list[k].Value {
				list[k] = f
			}
			continue
		}
		seen[e.Line] = len(list)
		list = append(list, f)
	}
	j.several(list)
}

func isFlexible(spec *network.DuctSpec) bool { return spec.Multiplier > 1 }

func (j *judge) recirculation() {
	if len(j.o.Graph.Job.Bypass) == 0 {
		return
	}
	j.found = append(j.found, most(Finding{
		Check: "bypass share", Quantity: Fraction, Value: j.o.Bypass,
		Remedy: "recirculated air heats the furnace and chills the coil further with every pass: send part of the surplus to a zone instead",
	}, j.l.bypass))
}

func (j *judge) rooms() {
	g := j.o.Graph
	house := g.NodeNamed(network.House)
	var list []Finding
	for n := range g.Nodes {
		if g.Nodes[n].Kind != network.RoomAir {
			continue
		}
		list = append(list, most(Finding{
			Check: "room pressure", Where: g.Nodes[n].Name, Quantity: Pressure, Value: math.Abs(j.o.Nodes[n].Total - j.o.Nodes[house].Total),
			Remedy: "a transfer grille, a jump duct or a larger undercut lets the air back; a room at negative pressure must not hold a natural-draft appliance",
		}, j.l.room))
	}
	j.several(list)
}

// returns looks for zones from which the system takes more air than it gives them: they go under pressure, which can draw
// combustion gas out of a natural-draft appliance.
func (j *judge) returns() {
	if len(j.o.Zones) < 2 {
		return
	}
	for i, z := range j.o.Zones {
		if !(z.Return > z.Airflow*1.1) { // also where the zone has no grille of its own
			continue
		}
		level := Caution
		j.found = append(j.found, Finding{
			Check: "return over supply", Where: j.o.Graph.Job.Zones[i].Name, Level: level, Quantity: Airflow, Value: z.Return, Limit: z.Airflow,
			Source: "return air taken from a room must not exceed the supply to it (IRC 2021 M1602.2); held here per zone in every call state",
			Remedy: "open doors or transfer openings between the zones, or a damper in the zone's return; no natural-draft appliance may stand in the zone",
		})
	}
}

func (j *judge) blower() {
	if j.o.Blower.OffTable {
		j.found = append(j.found, Finding{
			Check: "blower off its table", Level: Caution, Value: j.o.Blower.ExternalStatic, Limit: math.NaN(), Quantity: Pressure,
			Source: "the blower's table", Remedy: "find the maker's figures for this static; the curve is only extended in a straight line here",
		})
	}
	if n := len(j.o.Blower.Points); n > 1 {
		j.found = append(j.found, Finding{
			Check: "blower stall", Level: Fault, Value: j.o.Blower.ExternalStatic, Limit: math.NaN(), Quantity: Pressure,
			Source: fmt.Sprintf("the blower's curve rises on part of its range and meets the ducts at %d points", n),
			Remedy: "lower the static in this call so that the blower works on the falling part of its curve",
		})
	}
}

// Tons of nominal cooling, for printers that speak of airflow per ton.
func Tons(capacity units.Heat) float64 { return float64(capacity) / units.TonOfCooling }
