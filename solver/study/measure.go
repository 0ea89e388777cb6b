package study

import (
	"math"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// Short names for the kinds of measures beyond those of findings.
const (
	Power    = quantity.KindElectricity
	Rate     = quantity.KindDrift
	Duration = quantity.KindTime
	Loudness = quantity.KindNoise
)

// Measure is one number that is read off every outcome of an installation. A measure that does not apply to a call state (the frost
// margin while heating) reads NaN there.
type Measure struct {
	Name     string // short and stable: "external static", "bleed"
	Where    string // zone, line or "" for the whole system
	Quantity verdict.Quantity
	// Less says that less is better, More that more is; neither where that depends.
	Less, More bool
	read       func(o *state.Outcome) float64
}

// Read reads the measure off an outcome, SI. The outcome must be of an installation with the same zones and lines as the one the
// measure was made for.
func (m *Measure) Read(o *state.Outcome) float64 { return m.read(o) }

// Measures lists what is read off the outcomes of an installation, in a fixed order: the system first, then zones, then the ways out
// of the surplus, then registers.
func Measures(g *network.Graph) []Measure {
	whole := func(name string, q verdict.Quantity, read func(o *state.Outcome) float64) Measure {
		return Measure{Name: name, Quantity: q, read: read}
	}
	less := func(m Measure) Measure { m.Less = true; return m }
	more := func(m Measure) Measure { m.More = true; return m }
	list := []Measure{
		whole("blower airflow", verdict.Airflow, func(o *state.Outcome) float64 { return o.Blower.Airflow }),
		less(whole("external static", verdict.Pressure, func(o *state.Outcome) float64 { return o.Blower.ExternalStatic })),
		less(whole("blower power", Power, func(o *state.Outcome) float64 { return o.Blower.Power })),
		less(whole("surplus", verdict.Airflow, func(o *state.Outcome) float64 { return o.Ledger.Surplus })),
		less(whole("recirculated", verdict.Fraction, func(o *state.Outcome) float64 { return o.Equipment.Recirculated })),
		whole("entering air", verdict.Temperature, func(o *state.Outcome) float64 { return o.Equipment.Entering }),
		whole("leaving air", verdict.Temperature, func(o *state.Outcome) float64 { return o.Equipment.Leaving }),
		more(whole("below limit", verdict.Span, func(o *state.Outcome) float64 { return o.Equipment.Limit - o.Equipment.Sensor })),
		more(whole("time to limit", Duration, func(o *state.Outcome) float64 { return o.Equipment.TimeToLimit })),
		more(whole("frost margin", verdict.Span, func(o *state.Outcome) float64 { return o.Equipment.FrostMargin })),
		less(whole("worst drift", Rate, worstDrift)),
		more(whole("delivered share", verdict.Fraction, zoning.CallerShare)),
		more(whole("zoning kept", verdict.Fraction, keptZoning)),
		less(whole("fastest register", verdict.Velocity, fastestRegister)),
		less(whole("loudest register", Loudness, loudestRegister)),
	}
	for i := range g.Job.Zones {
		list = append(list,
			Measure{Name: "zone airflow", Where: g.Job.Zones[i].Name, Quantity: verdict.Airflow, read: func(o *state.Outcome) float64 { return o.Zones[i].Airflow }},
			Measure{Name: "zone drift", Where: g.Job.Zones[i].Name, Quantity: Rate, Less: true, read: func(o *state.Outcome) float64 { return o.Zones[i].DriftRate }},
		)
	}
	list = append(list, less(whole("extra into calling zones", verdict.Airflow, pathSum(state.PathCalling, ""))))
	for i := range g.Job.Zones {
		list = append(list, Measure{Name: "bleed", Where: g.Job.Zones[i].Name, Quantity: verdict.Airflow, read: pathSum(state.PathBleed, g.Job.Zones[i].Name)})
	}
	for i := range g.Job.Bypass {
		list = append(list, Measure{Name: "bypass", Where: g.Job.Bypass[i].Name, Quantity: verdict.Airflow, read: pathSum(state.PathBypass, g.Job.Bypass[i].Name)})
	}
	for k := range g.Registers {
		if g.Registers[k].Dump {
			list = append(list, Measure{Name: "dump", Where: g.Registers[k].Line, Quantity: verdict.Airflow, read: pathSum(state.PathDump, g.Registers[k].Line)})
		}
	}
	list = append(list, less(whole("leakage", verdict.Airflow, pathSum(state.PathLeakage, ""))))
	for k := range g.Registers {
		list = append(list, Measure{Name: "register airflow", Where: g.Registers[k].Line, Quantity: verdict.Airflow,
			read: func(o *state.Outcome) float64 { return o.Registers[k].Airflow }},
			Measure{Name: "register noise", Where: g.Registers[k].Line, Quantity: Loudness, Less: true,
				read: func(o *state.Outcome) float64 { return o.Registers[k].NC }},
			Measure{Name: "register velocity", Where: g.Registers[k].Line, Quantity: verdict.Velocity, Less: true,
				read: func(o *state.Outcome) float64 { return o.Registers[k].FaceVelocity }})
	}
	return list
}

// pathSum adds up the ways of one kind in the ledger, to one place or to any; NaN when there is none.
func pathSum(kind state.PathKind, to string) func(o *state.Outcome) float64 {
	return func(o *state.Outcome) float64 {
		sum, found := 0.0, false
		for _, p := range o.Ledger.Paths {
			if p.Kind == kind && (to == "" || p.To == to) {
				sum, found = sum+p.Airflow, true
			}
		}
		if !found {
			return math.NaN()
		}
		return sum
	}
}

// worstDrift is the drift of the satisfied zone that is driven fastest past its set point, K/s.
func worstDrift(o *state.Outcome) float64 {
	_, rate := zoning.WorstDrift(o)
	return rate
}

// keptZoning is the part of the possible zoning that a call keeps.
func keptZoning(o *state.Outcome) float64 { return zoning.Kept(zoning.CallerShare(o), o.NaturalShare) }

// fastestRegister is the greatest face velocity.
func fastestRegister(o *state.Outcome) float64 {
	most := math.NaN()
	for i := range o.Registers {
		if v := o.Registers[i].FaceVelocity; !(v <= most) && !math.IsNaN(v) {
			most = v
		}
	}
	return most
}

// loudestRegister is the greatest noise at a listener, NC.
func loudestRegister(o *state.Outcome) float64 {
	most := math.NaN()
	for i := range o.Registers {
		if nc := o.Registers[i].NC; !(nc <= most) && !math.IsNaN(nc) {
			most = nc
		}
	}
	return most
}
