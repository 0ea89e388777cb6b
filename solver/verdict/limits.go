package verdict

import (
	"math"
	"reflect"
	"slices"
	"strings"
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
	Class    Class
	// Slack is the share of a limit that a value may be past it without a finding, because nobody can
	// predict or read it better; 0 of a limit that the job gives.
	Slack float64

	row   Check
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
		if Check(i) == ServiceNoise && job != nil {
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
	for c := CaliforniaAirflow; c <= CaliforniaGasFan; c++ {
		if !slices.Contains(job.Limits.Rules, t.row[c].Of) {
			t.row[c] = Limit{} // not asked for
		}
	}
	return t
}

// plate takes over what the rating plate says.
func (t *table) plate(job *network.Job) {
	if p := float64(job.Equipment.MaxStatic); p > 0 {
		l := &t.row[ExternalStatic]
		l.Caution, l.Fault, l.Source, l.Given = l.near*p, p, "rating given in the job file (equipment.max-static)", true
	}
	h := job.Equipment.Heating
	if h == nil {
		return
	}
	if len(h.Rise) == 2 {
		t.row[LeastRise].Fault, t.row[LeastRise].Given = float64(h.Rise[0]), true
		t.row[GreatestRise].Fault, t.row[GreatestRise].Given = float64(h.Rise[1]), true
	}
	if h.LeavingLimit != nil {
		t.row[LimitMargin].Source = limitGivenSource
	}
}

// own takes over what [limits] says: each of its keys goes to the rows of that Key. A flexible run
// without a limit of its own has that of other runs.
func (t *table) own(o *network.Limits) {
	limits := reflect.ValueOf(o).Elem()
	for i := range limits.NumField() {
		key, _, _ := strings.Cut(limits.Type().Field(i).Tag.Get("toml"), ",")
		values := limits.Field(i)
		if values.Kind() != reflect.Slice || values.Len() == 0 {
			continue
		}
		for c := range t.row {
			shared := Check(c) == FlexBranch && len(o.FlexBranch) == 0 && key == t.row[Branch].Key
			if t.row[c].Key == key || shared {
				t.row[c].set(values)
			}
		}
	}
}

const jobsOwn = "the job's own limit"

// set puts a job's own limit into a row: one value is the fault, with a caution from a share of it on where the row has one; two are
// caution and fault.
func (l *Limit) set(values reflect.Value) {
	factor := 1.0
	switch l.Quantity {
	case FlowPerHeat: // the file writes an airflow per ton
		factor = 1 / quantity.TonOfCooling
	case PowerPerFlow: // and a power per cfm
		factor = 1 / quantity.CFM
	}
	l.Fault = values.Index(values.Len()-1).Float() * factor
	switch {
	case values.Len() > 1:
		l.Caution = values.Index(0).Float() * factor
	case l.near > 0:
		l.Caution = l.near * l.Fault
	default:
		l.Caution = math.NaN()
	}
	l.Source, l.Given, l.Slack = jobsOwn, true, 0
}

// noiseTargetStep is how far past a job's own noise target a room is at fault, NC: about what the estimate is uncertain by (our choice).
const noiseTargetStep = 5

// roomNoise is the limit of one room: its target where the job gives one, else that of its use.
func (t *table) roomNoise(h network.Hearing) Limit {
	c := LivingNoise
	switch h.Use {
	case network.Bedroom:
		c = BedroomNoise
	case network.Service:
		c = ServiceNoise
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
	f := Finding{Row: l.row, Check: l.Check, Where: where, Class: l.Class, Value: value, Level: OK, Quantity: l.Quantity, Bounds: l.Bounds, Source: l.Source}
	switch {
	case l.passes(value, l.Fault*(1+l.Slack)):
		f.Level, f.Limit = Fault, l.Fault
	case l.passes(value, l.Caution*(1+l.Slack)):
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
		f.Remedy, f.Safety, f.Harm = remedy, Safety(l.Hazard), l.harm(value)
	}
	return f
}
