// Package session is the one way from the bytes of a job file to judged outcomes: it reads, builds,
// prepares the solver, chooses call states, solves and judges them, and tries the damper stops.
//
//	Open    a job file, with one of its alternatives and settings
//	New     a graph that is built already
//	Solve   one call state
//	All     every chosen call state, side by side
//
// The package must not know files, flags or paper.
package session

import (
	"context"
	"errors"
	"sync"

	"spillway/network"
	"spillway/network/diag"
	"spillway/solver/pool"
	"spillway/solver/state"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// Options of a session. The zero value solves every call state of the job as written, on all cores.
type Options struct {
	Alternative string   // "": the job as written
	Set         []string // PATH=VALUE
	// Choose picks the call states; nil takes all of them.
	Choose func(g *network.Graph) ([]state.CallState, error)
	// Quick leaves out time courses and intervals, see state.Solver.Quick.
	Quick bool
	// NoStops leaves out the checks of damper stops, which take two solutions for every damper that
	// is at one.
	NoStops bool
	// Workers is how many call states are solved at once; 0 takes one per core. It never alters
	// results.
	Workers int
	// Progress is told how many of All's call states are solved, one call at a time; may be nil.
	Progress func(done, total int)
}

// ErrNoStates is returned for a job that has no call state.
var ErrNoStates = errors.New("the job has no call state: give it at least one weather row whose mode the equipment has")

// BuildError says that a job which reads does not fit together.
type BuildError struct{ Err error }

func (e *BuildError) Error() string { return e.Err.Error() }
func (e *BuildError) Unwrap() error { return e.Err }

// Session is an installation ready to be solved in its call states. It is safe for concurrent use.
type Session struct {
	graph  *network.Graph
	solver *state.Solver
	states []state.CallState
	opt    Options
}

// Case is one call state, solved and judged.
type Case struct {
	Outcome  *state.Outcome
	Findings []verdict.Finding // worst first
	Untried  error             // why other positions of its dampers could not be tried; nil when they were
}

// Open reads a job file, given by its bytes and what messages should call it. The list holds the
// file's problems: with errors among them there is no session and the error is the list.
func Open(name string, data []byte, opt Options) (*Session, diag.List, error) {
	job, found := network.Read(name, data, network.Options{Alternative: opt.Alternative, Set: opt.Set})
	if job == nil {
		return nil, found, found
	}
	g, err := network.Build(job)
	if err != nil {
		return nil, found, &BuildError{err}
	}
	s, err := New(g, opt)
	return s, found, err
}

// New prepares the solver of a graph.
func New(g *network.Graph, opt Options) (*Session, error) {
	s := &Session{graph: g, opt: opt}
	err := s.choose()
	if err != nil {
		return nil, err
	}
	if s.solver, err = state.New(g); err != nil {
		return nil, &BuildError{err}
	}
	if opt.Quick {
		s.solver = s.solver.Quick()
	}
	return s, nil
}

// choose picks the call states.
func (s *Session) choose() (err error) {
	if s.opt.Choose != nil {
		s.states, err = s.opt.Choose(s.graph)
	} else {
		s.states, err = state.All(s.graph)
	}
	if err == nil && len(s.states) == 0 {
		err = ErrNoStates
	}
	return err
}

// Graph is the installation.
func (s *Session) Graph() *network.Graph { return s.graph }

// Solver solves the installation's call states.
func (s *Session) Solver() *state.Solver { return s.solver }

// States are the chosen call states.
func (s *Session) States() []state.CallState { return s.states }

// Solve solves one call state and judges it, its damper stops too. It returns ctx's error soon after
// ctx ends.
func (s *Session) Solve(ctx context.Context, cs state.CallState) (*Case, error) {
	o, err := s.solver.SolveContext(ctx, cs)
	if err != nil {
		return nil, err
	}
	c := &Case{Outcome: o}
	c.Untried = zoning.Complete(s.solver, o)
	c.Findings = verdict.Judge(o)
	if s.opt.NoStops {
		return c, nil
	}
	stops, err := verdict.StopChecks(s.solver, o)
	if err != nil {
		c.Untried = errors.Join(c.Untried, err)
		return c, nil
	}
	c.Findings = append(c.Findings, stops...)
	verdict.Sort(c.Findings)
	return c, nil
}

// All solves the chosen call states side by side, in their order. Every call state that fails has its
// error among the joined ones.
func (s *Session) All(ctx context.Context) ([]*Case, error) {
	cases, failures := make([]*Case, len(s.states)), make([]error, len(s.states))
	var mu sync.Mutex
	done := 0
	err := pool.Each(ctx, s.opt.Workers, len(s.states), func(ctx context.Context, i int) error {
		cases[i], failures[i] = s.Solve(ctx, s.states[i])
		if s.opt.Progress != nil {
			mu.Lock()
			defer mu.Unlock()
			done++
			s.opt.Progress(done, len(s.states))
		}
		return nil // the others are solved all the same
	})
	if err != nil {
		return nil, err
	}
	return cases, errors.Join(failures...)
}

// Houses measures and judges what the house can do in each weather of which all call states are among
// the cases.
func Houses(cases []*Case) ([]verdict.House, error) {
	outcomes := make([]*state.Outcome, len(cases))
	for i, c := range cases {
		outcomes[i] = c.Outcome
	}
	return verdict.Houses(outcomes)
}

// With returns the session of the installation with settings changed, each PATH=VALUE, see
// network.Graph.With. What the two have in common is shared; states are solved quickly and set out from
// near, outcomes of s. It returns a diag.List where a setting is refused.
func (s *Session) With(near []*state.Outcome, set ...string) (*Session, error) {
	g, found := s.graph.With(set...)
	if g == nil {
		return nil, found
	}
	solver, err := s.solver.Quick().With(g)
	if err != nil {
		return nil, &BuildError{err}
	}
	next := &Session{graph: g, solver: solver.Near(near), opt: s.opt}
	next.opt.Quick = true
	return next, next.choose()
}
