package verdict

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/state"
)

// stopError is how far off a stop may stand that was set by hand, degrees of blade (our choice).
const stopError = 5.0

// StopChecks finds how much hangs on each damper stop of an outcome: the state is solved again with the blade five degrees nearer open
// and nearer shut, and the finding has the greater change of the damper's airflow, as a share. A second finding, "damper stop slip", has
// the number of checks that come into fault within those five degrees, if any, and its remedy names them. A damper that is open for a
// call, shut, or moved by the air has no stop to be wrong.
//
// The solver is that which the outcome came from. It costs two quick solutions per stop, which set out from the outcome, and is kept out of Judge
// for that.
func StopChecks(s *state.Solver, o *state.Outcome) ([]Finding, error) {
	near := s.Quick().Near([]*state.Outcome{o})
	limits := inForce(o.Graph.Job)
	var before []Finding
	var found []Finding
	for k, d := range o.Dampers {
		spec, ok := o.Graph.Elements[d.Element].Spec.(*network.DamperSpec)
		if !ok || len(spec.Zones) == 0 || d.Calling || d.Position <= 0 || d.Position >= 1 || d.Airflow == 0 {
			continue
		}
		if before == nil {
			before = Judge(o)
		}
		most := 0.0
		var tips []string
		tipped := map[string]bool{}
		for _, side := range []struct {
			degrees float64
			words   string
		}{{-stopError, "5° nearer open"}, {stopError, "5° nearer shut"}} {
			blade := min(max(d.Blade+side.degrees, 0), 90)
			moved, err := withStop(near, o, spec.Damper, catalog.PercentOpen(blade)/100)
			if err != nil {
				return nil, fmt.Errorf("%s %s: %w", d.Name, side.words, err)
			}
			most = max(most, math.Abs(moved.Elements[d.Element].Airflow-d.Airflow)/math.Abs(d.Airflow))
			moved.NaturalShare = o.NaturalShare // which hangs on no stop
			if worse := newFaults(before, Judge(moved)); len(worse) > 0 {
				tips = append(tips, side.words+" brings "+strings.Join(worse, " and ")+" into fault")
				for _, name := range worse {
					tipped[name] = true
				}
			}
		}
		const remedy = "set it by a reading (static or a face velocity) rather than by eye, and lock and mark it"
		found = append(found, limits.row[StopInfluence].judge(d.Name, most, remedy).of(state.DamperAirflow, k, state.NoField))
		if len(tips) > 0 {
			slip := limits.row[StopSlip].judge(d.Name, float64(len(tipped)), strings.Join(tips, "; ")+": "+remedy).of(state.DamperAirflow, k, state.NoField)
			slip.What = "checks brought into fault"
			found = append(found, slip)
		}
	}
	return found, nil
}

// withStop solves the state again with one damper standing elsewhere.
func withStop(near *state.Solver, o *state.Outcome, damper string, position float64) (*state.Outcome, error) {
	job, g := *o.Graph.Job, *o.Graph
	g.Job, g.Elements = &job, slices.Clone(g.Elements)
	job.Dampers = slices.Clone(job.Dampers)
	for i := range job.Dampers {
		if job.Dampers[i].Name == damper {
			job.Dampers[i].Stop = network.Position(position)
		}
	}
	job.Panel.Calls = slices.Clone(job.Panel.Calls)
	for i := range job.Panel.Calls {
		call := &job.Panel.Calls[i]
		call.Damper = slices.Clone(call.Damper)
		for k := range call.Damper {
			if call.Damper[k].Name == damper {
				call.Damper[k].Position = network.Position(position)
			}
		}
	}
	for i := range g.Elements {
		if spec, ok := g.Elements[i].Spec.(*network.DamperSpec); ok && spec.Damper == damper {
			moved := *spec
			moved.Stop = network.Position(position)
			g.Elements[i].Spec = &moved
		}
	}
	s, err := near.With(&g)
	if err != nil {
		return nil, err
	}
	return s.Solve(o.State)
}

// newFaults are the checks that are at fault in one list and were not, at the same place, in another.
func newFaults(before, after []Finding) []string {
	var names []string
	for _, f := range after {
		if f.Level != Fault {
			continue
		}
		was := slices.ContainsFunc(before, func(b Finding) bool { return b.Check == f.Check && b.Where == f.Where && b.Level == Fault })
		name := f.Check
		if f.Where != "" {
			name += " (" + f.Where + ")"
		}
		if !was && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}
