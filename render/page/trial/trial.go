// Package trial solves what a page shows: a job file with one of its alternatives and a few settings changed, in a call state, judged,
// with the curve of its ducts. It lists the settings that a page offers to move.
//
// It adds pictures and curves to a session; it must not know HTML, requests or files, and it keeps nothing between two calls.
package trial

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"spillway/network"
	"spillway/network/diag"
	"spillway/render/chart"
	"spillway/render/schematic"
	"spillway/solver/pool"
	"spillway/solver/session"
	"spillway/solver/state"
)

// Installation is a session with the layout of its pictures. It may be used by several goroutines at once.
type Installation struct {
	*session.Session
	Plan *schematic.Plan
}

// Open reads a job file with an alternative ("" none) and settings, each PATH=VALUE. Problems of the file or of a setting come as a
// diag.List.
func Open(name string, data []byte, alternative string, set []string) (*Installation, error) {
	s, _, err := session.Open(name, data, session.Options{Alternative: alternative, Set: set})
	if err != nil {
		return nil, err
	}
	return &Installation{Session: s, Plan: schematic.Lay(s.Graph())}, nil
}

// New makes a graph ready.
func New(g *network.Graph) (*Installation, error) {
	s, err := session.New(g, session.Options{})
	if err != nil {
		return nil, err
	}
	return &Installation{Session: s, Plan: schematic.Lay(g)}, nil
}

// Case is one call state, solved and judged.
type Case struct {
	*session.Case
	System chart.System // of the ducts in this state; empty when it was not asked for
}

// Solve solves one call state and judges it, its damper stops too. It returns ctx's error soon after
// ctx ends.
func (in *Installation) Solve(ctx context.Context, s state.CallState) (*Case, error) {
	c, err := in.Session.Solve(ctx, s)
	if err != nil {
		return nil, err
	}
	return &Case{Case: c}, nil
}

// Moved is the installation with settings changed, PATH=VALUE, for the time that a hand moves them: what the two have in common is shared,
// and states are solved quickly (state.Solver.Quick), setting out from the outcomes of the installation as it stands.
func (in *Installation) Moved(set []string, stands ...*state.Outcome) (*Installation, error) {
	moved, err := in.Session.With(stands, set...)
	if err != nil {
		return nil, err
	}
	plan := in.Plan
	if &moved.Graph().Nodes[0] != &in.Graph().Nodes[0] { // read again: there may be other parts
		plan = schematic.Lay(moved.Graph())
	}
	return &Installation{Session: moved, Plan: plan}, nil
}

// Sliders are the positions of dampers that a page moves in a call state: stops and openings, and balances in a bypass or dump. Those in a
// run to a register or from a grille are left to balancing.
func Sliders(g *network.Graph) []network.Setting {
	var list []network.Setting
	for _, s := range g.Settings("") {
		if s.Blade && !Balances(g, &s) && s.High-s.Low >= s.Step {
			list = append(list, s)
		}
	}
	return list
}

// Balances reports whether a setting is that of a hand balancing damper in a run to a register or from a grille.
func Balances(g *network.Graph, s *network.Setting) bool {
	return s.Key() == "balance" && (g.Elements[s.Element].Side == network.SupplySide || g.Elements[s.Element].Side == network.ReturnSide)
}

// Moves reports whether the position of a damper is the one that it has in a call state: the stop while its zone is satisfied, the opening
// while it calls, neither where the panel fixes it.
func Moves(s *network.Setting, o *state.Outcome) bool {
	for i := range o.Dampers {
		d := &o.Dampers[i]
		spec, ok := o.Graph.Elements[d.Element].Spec.(*network.DamperSpec)
		if !ok || d.Element != s.Element {
			continue
		}
		if s.Key() == "stop" {
			return !d.Calling && !d.Moved && math.Abs(d.Position-float64(spec.Stop)) < 1e-9
		}
		return (d.Calling || spec.Hand || len(spec.Zones) == 0) && math.Abs(d.Position-float64(spec.Open)) < 1e-9
	}
	return false
}

// speeds are the shares of the blower's speed at which the curve of the ducts is solved.
var speeds = [...]float64{0.4, 0.6, 0.8, 1, 1.15}

// System solves the ducts of a call state against the blower at other speeds, by the fan laws (airflow with speed, static with its
// square; common practice), which gives the static that they ask for at each airflow. It is a true solution at each speed: with a weighted
// damper in the ducts the curve is no parabola. Speeds that cannot be solved are left out. The call state is that of an outcome of this
// installation, which is the point at full speed of a blower that runs by its table, and where the others set out from.
func (in *Installation) System(ctx context.Context, solved *state.Outcome) chart.System {
	var out chart.System
	near := in.Solver().Quick().Near([]*state.Outcome{solved})
	spec, ok := in.Graph().Elements[in.Graph().Blower].Spec.(*network.BlowerSpec)
	if !ok {
		return out
	}
	for _, speed := range speeds {
		if speed == 1 && spec.Kind != network.ConstantAirflow {
			out.Airflow = append(out.Airflow, solved.Blower.Airflow)
			out.Static = append(out.Static, solved.Blower.ExternalStatic)
			continue
		}
		g := *in.Graph()
		g.Elements = slices.Clone(g.Elements)
		g.Elements[g.Blower].Spec = atSpeed(spec, speed)
		solver, err := near.With(&g)
		if err != nil {
			continue
		}
		o, err := solver.SolveContext(ctx, solved.State)
		if err != nil || !finite(o.Blower.Airflow) || !finite(o.Blower.ExternalStatic) {
			continue
		}
		out.Airflow = append(out.Airflow, o.Blower.Airflow)
		out.Static = append(out.Static, o.Blower.ExternalStatic)
	}
	return out
}

// atSpeed is the blower at a share of its speed. One that holds an airflow runs by its table.
func atSpeed(spec *network.BlowerSpec, speed float64) *network.BlowerSpec {
	b := &network.BlowerSpec{Name: spec.Name, Kind: network.MultiTap}
	for _, t := range spec.Taps {
		c := network.TapCurve{Name: t.Name}
		for i := range t.Static {
			c.Static = append(c.Static, t.Static[i]*speed*speed)
			c.Airflow = append(c.Airflow, t.Airflow[i]*speed)
		}
		for i := range t.Watts {
			c.Watts = append(c.Watts, t.Watts[i]*speed*speed*speed)
		}
		b.Taps = append(b.Taps, c)
	}
	return b
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// All solves call states side by side, with the curves of their ducts. Of several errors the first state's comes first. done, if not nil,
// is told after each state how many are solved, one call at a time.
func (in *Installation) All(
	ctx context.Context, states []state.CallState, done func(solved int),
) ([]*Case, error) {
	cases, errs := make([]*Case, len(states)), make([]error, len(states))
	count := Count(done)
	err := pool.Each(ctx, 0, len(states), func(ctx context.Context, i int) error {
		defer count(1)
		if cases[i], errs[i] = in.Solve(ctx, states[i]); errs[i] == nil {
			cases[i].System = in.System(ctx, cases[i].Outcome)
		} else {
			errs[i] = fmt.Errorf("%s: %w", states[i].Name, errs[i])
		}
		return nil // the others are solved all the same
	})
	if err != nil {
		return nil, err
	}
	return cases, errors.Join(errs...)
}

// Count makes a counter that several goroutines may use at once: it tells done the sum of what was added, one call at a time. A nil done
// is told nothing.
func Count(done func(sum int)) (add func(n int)) {
	if done == nil {
		return func(int) {}
	}
	var mu sync.Mutex
	sum := 0
	return func(n int) {
		mu.Lock()
		defer mu.Unlock()
		sum += n
		done(sum)
	}
}

// Each calls f for 0 to n−1 on all cores.
func Each(n int, f func(i int)) {
	_ = pool.Each(context.Background(), 0, n, func(_ context.Context, i int) error { f(i); return nil })
}

// Problems turns an error of Open into what is wrong with the file, for showing; other errors become one diagnostic without a place.
func Problems(name string, err error) diag.List {
	if list, ok := diag.As(err); ok {
		return list
	}
	return diag.List{{Severity: diag.Error, Summary: err.Error(), File: name}}
}
