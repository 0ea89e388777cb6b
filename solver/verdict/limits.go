package verdict

import (
	"math"
	"slices"
	"sync"

	"spillway/network"
	"spillway/network/quantity"
)

// Limit is one row of the table of limits: a check, what it bounds and where the figure comes from.
type Limit struct {
	Check    string
	Of       string // which kind of place or bound, where a check has several
	Quantity Quantity
	Bounds   Direction
	Caution  float64 // beyond it a caution; NaN: no such step
	Fault    float64 // beyond it a fault; NaN: no such step
	Source   string
	Key      string // of [limits] in a job file, which overrides it; "": set elsewhere or not at all
	Given    bool   // by the job or its rating plate
	Hazard   Hazard

	near  float64 // share of a single limit of the job's own at which a caution begins; 0 or 1: none
	since string  // condition under which the check is made at all, for the list
}

// When says under which condition the check is made; "" always.
func (l Limit) When() string { return l.since }

// Limits are all checks with the limits in force for a job, in a fixed order: the job's own where it gives them, else the defaults.
// Without a job they are the defaults. Limits that a job does not have (a rating plate without a rise) are NaN.
func Limits(job *network.Job) []Limit {
	t := inForce(job)
	rows := make([]Limit, 0, len(t.row)+4)
	for i := range t.row {
		rows = append(rows, t.row[i])
		if check(i) == serviceNoise && job != nil {
			rows = append(rows, targets(job)...)
		}
	}
	if job == nil {
		return rows
	}
	return slices.DeleteFunc(rows, func(l Limit) bool { return l.Check == "" })
}

// table is the limits in force, by check.
type table struct{ row [checks]Limit }

// usual is the table of defaults, made once and never changed.
var usual = sync.OnceValue(defaults)

// inForce is the table of defaults with what a job gives put in.
func inForce(job *network.Job) *table {
	copied := *usual()
	t := &copied
	if job == nil {
		return t
	}
	t.plate(job)
	t.own(&job.Limits)
	for c := californiaAirflow; c <= californiaGasFan; c++ {
		if !slices.Contains(job.Limits.Rules, t.row[c].Of) {
			t.row[c] = Limit{} // not asked for
		}
	}
	return t
}

// plate takes over what the rating plate says.
func (t *table) plate(job *network.Job) {
	if p := float64(job.Equipment.MaxStatic); p > 0 {
		l := &t.row[externalStatic]
		l.Caution, l.Fault, l.Source, l.Given = l.near*p, p, "rating given in the job file (equipment.max-static)", true
	}
	h := job.Equipment.Heating
	if h == nil {
		return
	}
	if len(h.Rise) == 2 {
		t.row[leastRise].Fault, t.row[leastRise].Given = float64(h.Rise[0]), true
		t.row[greatestRise].Fault, t.row[greatestRise].Given = float64(h.Rise[1]), true
	}
	if h.LeavingLimit != nil {
		t.row[limitMargin].Source = limitGivenSource
	}
}

// own takes over what [limits] says.
func (t *table) own(o *network.Limits) {
	set(t, externalStatic, o.MaxStatic, 1)
	set(t, airflowPerTon, o.LeastAirflow, 1/quantity.TonOfCooling)
	set(t, fanPower, o.FanPower, 1/quantity.CFM)
	set(t, coolingSize, o.CoolingSize, 1)
	set(t, heatingSize, o.HeatingSize, 1)
	set(t, bypassShare, o.BypassShare, 1)
	set(t, enteringAir, o.EnteringAir, 1)
	set(t, coldEnteringAir, o.LeastEnteringAir, 1)
	set(t, limitMargin, o.LeastLimitMargin, 1)
	set(t, ductAir, o.DuctAir, 1)
	set(t, coilFrost, o.LeastEvaporating, 1)
	set(t, leavingAir, o.LeastLeavingAir, 1)
	set(t, sweating, o.Sweating, 1)
	set(t, zoneDrift, o.ZoneDrift, 1)
	set(t, supplyFace, o.SupplyFace, 1)
	set(t, returnFace, o.ReturnFace, 1)
	set(t, filterGrille, o.FilterGrille, 1)
	set(t, filterFace, o.FilterFace, 1)
	set(t, coilFace, o.CoilFace, 1)
	set(t, trunk, o.Trunk, 1)
	set(t, branch, o.Branch, 1)
	set(t, flexBranch, o.Branch, 1)
	set(t, flexBranch, o.FlexBranch, 1)
	set(t, returnTrunk, o.ReturnTrunk, 1)
	set(t, shortfall, o.Shortfall, 1)
	set(t, excess, o.Excess, 1)
	set(t, returnExcess, o.ReturnExcess, 1)
	set(t, roomPressure, o.RoomPressure, 1)
	set(t, stopInfluence, o.StopInfluence, 1)
	set(t, bedroomNoise, o.BedroomNoise, 1)
	set(t, livingNoise, o.LivingNoise, 1)
	set(t, serviceNoise, o.ServiceNoise, 1)
	set(t, shortThrow, o.LeastThrow, 1)
	set(t, carry, o.LeastCarry, 1)
	set(t, jetDrop, o.JetDrop, 1)
	set(t, draughtChill, o.DraughtChill, 1)
	set(t, draughtCooling, o.DraughtCooling, 1)
	set(t, draughtHeating, o.DraughtHeating, 1)
}

const jobsOwn = "the job's own limit"

// set puts a job's own limit into a row: one value is the fault, with a caution from a share of it on where the row has one; two are
// caution and fault.
func set[T ~float64](t *table, c check, values []T, factor float64) {
	if len(values) == 0 {
		return
	}
	l := &t.row[c]
	l.Fault = float64(values[len(values)-1]) * factor
	switch {
	case len(values) > 1:
		l.Caution = float64(values[0]) * factor
	case l.near > 0:
		l.Caution = l.near * l.Fault
	default:
		l.Caution = math.NaN()
	}
	l.Source, l.Given = jobsOwn, true
}

// noiseTargetStep is how far past a job's own noise target a room is at fault, NC: about what the estimate is uncertain by (our choice).
const noiseTargetStep = 5

// roomNoise is the limit of one room: its target where the job gives one, else that of its use.
func (t *table) roomNoise(h network.Hearing) Limit {
	c := livingNoise
	switch h.Use {
	case network.Bedroom:
		c = bedroomNoise
	case network.Service:
		c = serviceNoise
	}
	l := t.row[c]
	if h.Target > 0 {
		l.Of = h.Name
		l.Caution, l.Fault, l.Given = h.Target, h.Target+noiseTargetStep, true
		l.Source = "the job's noise target; the fault 5 NC above it is a default of ours"
	}
	return l
}

// targets are the rows of rooms and zones that have a noise target of their own.
func targets(job *network.Job) []Limit {
	t := defaults()
	var rows []Limit
	row := func(kind, name string, target float64) {
		if target > 0 {
			l := t.roomNoise(network.Hearing{Name: kind + " " + name, Target: target})
			l.Key = ""
			rows = append(rows, l)
		}
	}
	for i := range job.Zones {
		row("zone", job.Zones[i].Name, job.Zones[i].NoiseTarget)
	}
	for i := range job.Rooms {
		row("room", job.Rooms[i].Name, job.Rooms[i].NoiseTarget)
	}
	return rows
}

// touching is how near, as a share, a value may be to a limit and still be held to be at it: rounding must not make a finding.
const touching = 1e-9

// passes tells whether a value is beyond a limit.
func (l *Limit) passes(value, limit float64) bool {
	if l.Bounds == AtLeast {
		value, limit = -value, -limit
	}
	return value-limit > touching*math.Max(math.Abs(limit), 1e-3) // false when there is no limit
}

// judge holds a value against the row.
func (l *Limit) judge(where string, value float64, remedy string) Finding {
	f := Finding{Check: l.Check, Where: where, Value: value, Level: OK, Quantity: l.Quantity, Bounds: l.Bounds, Source: l.Source}
	switch {
	case l.passes(value, l.Fault):
		f.Level, f.Limit = Fault, l.Fault
	case l.passes(value, l.Caution):
		f.Level, f.Limit = Caution, l.Caution
	default:
		f.Limit = l.Caution
		if math.IsNaN(f.Limit) {
			f.Limit = l.Fault
		}
	}
	f.Margin = f.Limit - value
	if l.Bounds == AtLeast {
		f.Margin = value - f.Limit
	}
	if f.Level != OK {
		f.Remedy, f.Safety = remedy, Safety(l.Hazard)
	}
	return f
}
