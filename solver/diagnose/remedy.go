package diagnose

import (
	"math"

	"spillway/network"
	"spillway/solver/state"
)

// Remedy is what putting one hypothesis right would give.
type Remedy struct {
	Hypothesis int // index into Result.Hypotheses
	// States of the plan's mode, each with the fault as fitted and with it put right.
	States []Repair
}

// Repair is one call state before and after.
type Repair struct {
	State                  string
	Airflow, AirflowAfter  float64 // of the blower, m³/s
	Static, StaticAfter    float64 // external, Pa
	Surplus, SurplusAfter  float64 // m³/s
	Shortfall, AfterShort  float64 // what calling zones miss, m³/s
	LoudestFace, FaceAfter float64 // greatest face velocity of a register, m/s
}

// Remedy solves the installation with a hypothesis' faults as fitted and without them, in every call state of the plan's mode.
func (b *Bench) Remedy(r *Result, hypothesis int) (*Remedy, error) {
	h := &r.Hypotheses[hypothesis]
	faulty := b.g
	for k, c := range h.Causes {
		faulty = b.causes[c].Apply(faulty, h.Severities[k])
	}
	before, err := b.solver.With(faulty)
	if err != nil {
		return nil, err
	}
	out := &Remedy{Hypothesis: hypothesis}
	for _, cs := range b.every {
		if cs.Mode != b.states[0].Mode {
			continue
		}
		x, errBefore := before.Solve(cs)
		y, errAfter := b.solver.Solve(cs)
		if errBefore != nil || errAfter != nil {
			continue // no state of rest there: nothing to set side by side
		}
		out.States = append(out.States, Repair{State: cs.Name, Airflow: x.Blower.Airflow, AirflowAfter: y.Blower.Airflow, Static: x.Blower.ExternalStatic,
			StaticAfter: y.Blower.ExternalStatic, Surplus: x.Ledger.Surplus, SurplusAfter: y.Ledger.Surplus, Shortfall: short(x), AfterShort: short(y),
			LoudestFace: fastest(x), FaceAfter: fastest(y)})
	}
	return out, nil
}

func short(o *state.Outcome) float64 {
	sum := 0.0
	for i := range o.Zones {
		sum += o.Zones[i].Shortfall
	}
	return sum
}

func fastest(o *state.Outcome) float64 {
	most := 0.0
	for i := range o.Registers {
		if v := o.Registers[i].FaceVelocity; !math.IsNaN(v) {
			most = math.Max(most, v)
		}
	}
	return most
}

// Tolerance is how far an as-left reading may be from what is expected of it before it counts as failed: ±10 % of a terminal's or the
// blower's airflow, as commonly specified for balancing (from memory), ±15 % of a static or drop and ±3 K of a temperature (our
// choice), and never less than twice what instrument and as-built spread leave open.
func Tolerance(kind network.ReadingKind, expected, sigma, asBuilt float64) float64 {
	share, least := 0.15, 0.0
	switch kind {
	case network.AirflowReading:
		share = 0.10
	case network.TemperatureReading, network.RiseReading:
		share, least = 0, 3
	case network.SoundReading:
		share, least = 0, 5
	}
	return math.Max(math.Max(share*math.Abs(expected), least), 2*math.Hypot(sigma, asBuilt))
}

// Settings lists what stands adjustable in an installation and where it should be left: stops and open positions of dampers, weights,
// set points, taps.
type Setting struct {
	Name, What string
	Value      float64 // share open, Pa, or NaN for a word
	Word       string
}

// Settings as the job has them.
func Settings(g *network.Graph) []Setting {
	var list []Setting
	for i := range g.Elements {
		name := g.Elements[i].Name
		switch spec := g.Elements[i].Spec.(type) {
		case *network.DamperSpec:
			if spec.Hand {
				list = append(list, Setting{Name: name, What: "set by hand", Value: float64(spec.Open)})
				continue
			}
			list = append(list, Setting{Name: name, What: "stop, when its zone does not call", Value: float64(spec.Stop)}, Setting{Name: name, What: "when its zone calls", Value: float64(spec.Open)})
		case *network.ReliefSpec:
			list = append(list, Setting{Name: name, What: "begins to open at", Value: spec.OpensAt, Word: "pressure"})
		case *network.RegulatorSpec:
			list = append(list, Setting{Name: name, What: "holds", Value: spec.Holds, Word: "pressure"})
		}
	}
	for _, m := range []struct {
		mode    string
		machine *network.Machine
	}{{"cooling", g.Job.Equipment.Cooling}, {"heating", g.Job.Equipment.Heating}} {
		if m.machine != nil && m.machine.Tap != "" {
			list = append(list, Setting{Name: "blower tap", What: m.mode, Value: math.NaN(), Word: m.machine.Tap})
		}
	}
	return list
}
