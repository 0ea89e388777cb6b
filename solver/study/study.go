package study

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"spillway/network"
	"spillway/network/diag"
	"spillway/solver/pool"
	"spillway/solver/state"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// Variant is an installation as its job file describes it, with one of its alternatives and further overrides, each PATH=VALUE as
// network.Options takes them. The last of several overrides of one path holds.
type Variant struct {
	Alternative string
	Set         []string
}

// With returns the variant with one more override.
func (v Variant) With(path, value string) Variant {
	v.Set = append(slices.Clone(v.Set), path+"="+value)
	return v
}

// key names a variant in caches.
func (v Variant) key() string { return v.Alternative + "\x00" + strings.Join(v.Set, "\x00") }

// Result is a variant solved and judged in every call state that the study asks for.
type Result struct {
	Variant  Variant
	Graph    *network.Graph
	Outcomes []*state.Outcome
	Findings [][]verdict.Finding // parallel to Outcomes
	Untried  []error             // of Options.Stops: stop checks that could not be made, and why
}

// Options of a study.
type Options struct {
	// Choose picks the call states; nil takes all of them.
	Choose func(g *network.Graph) ([]state.CallState, error)
	// Workers is how many variants are solved at once; 0 takes one per core. It does not alter results.
	Workers int
	// Reread makes every variant go through the job file, also where a setting can be changed in the graph. It is there for
	// tests and timings: results are the same within the tolerances of solving.
	Reread bool
	// Courses asks for the time courses too (times to frost, duty while cycling), which take several times as long.
	Courses bool
	// Stops asks for the checks of damper stops too, which take two solutions for every damper that stands at one.
	Stops bool
	// Progress is told how many variants are solved, never by two goroutines at once; may be nil.
	Progress func(solved int)
}

// Study is a job file about which questions are asked. It may be used by several goroutines at once.
type Study struct {
	name string
	data []byte
	from *network.Graph // instead of data: what variants set out from
	opt  Options

	mu      sync.Mutex
	bases   map[string]*base
	reports map[string]*Report
	natural map[string]float64 // natural shares of states, by variant without its stops
	solved  int
}

// base is a variant that was read from the file and stands ready for changes in its graph.
type base struct {
	once   sync.Once
	graph  *network.Graph
	states []state.CallState
	err    error

	prepared sync.Once
	solver   *state.Solver // whose variants set out from the base as solved, state by state
	unready  error
}

// New prepares a study of a job file, given by its bytes and what messages should call it.
func New(name string, data []byte, opt Options) *Study {
	return &Study{name: name, data: data, opt: opt, bases: map[string]*base{}, reports: map[string]*Report{}, natural: map[string]float64{}}
}

// Of prepares a study of an installation that is built already, as a session has it. Its variants
// have no alternative: their settings come after those that the installation was read with.
func Of(g *network.Graph, opt Options) *Study {
	s := New("", nil, opt)
	s.from = g
	return s
}

// Read reads and builds a variant; problems of the job come as a diag.List.
func (s *Study) Read(v Variant) (*network.Graph, error) {
	b := s.base(v)
	return b.graph, b.err
}

// States lists the call states of a variant that the study asks for.
func (s *Study) States(v Variant) ([]state.CallState, error) {
	b := s.base(v)
	return b.states, b.err
}

// base reads a variant once.
func (s *Study) base(v Variant) *base {
	s.mu.Lock()
	b, ok := s.bases[v.key()]
	if !ok {
		b = new(base)
		if len(s.bases) < mostBases {
			s.bases[v.key()] = b
		}
	}
	s.mu.Unlock()
	b.once.Do(func() { b.graph, b.states, b.err = s.read(v) })
	return b
}

// mostBases bounds how many variants are kept as read, mostReports how many as solved; beyond, they are found anew.
const (
	mostBases   = 64
	mostReports = 1 << 14
)

func (s *Study) read(v Variant) (*network.Graph, []state.CallState, error) {
	if s.from != nil {
		g, found := s.from.With(v.Set...)
		if g == nil {
			return nil, nil, found
		}
		return s.chosen(g)
	}
	job, found := network.Read(s.name, s.data, network.Options{Alternative: v.Alternative, Set: v.Set})
	if job == nil {
		return nil, nil, found
	}
	g, err := network.Build(job)
	if err != nil {
		return nil, nil, err
	}
	return s.chosen(g)
}

// chosen goes with the call states that the study asks for.
func (s *Study) chosen(g *network.Graph) (*network.Graph, []state.CallState, error) {
	choose := s.opt.Choose
	if choose == nil {
		choose = state.All
	}
	states, err := choose(g)
	return g, states, err
}

// graph gives the graph of a variant: that of the variant without its last overrides, changed, where these are local. The base is nil when
// the variant has none to set out from.
func (s *Study) graph(v Variant) (*network.Graph, []state.CallState, *base, error) {
	if s.opt.Reread {
		g, states, err := s.read(v)
		return g, states, nil, err
	}
	local := len(v.Set)
	for local > 0 && network.Local(v.Set[local-1]) {
		local--
	}
	b := s.base(Variant{Alternative: v.Alternative, Set: v.Set[:local:local]})
	switch {
	case local == len(v.Set):
		return b.graph, b.states, nil, b.err
	case b.err != nil: // the rest may mend it
		b = s.base(v)
		return b.graph, b.states, nil, b.err
	}
	g, found := b.graph.With(v.Set[local:]...)
	if g == nil {
		return nil, nil, nil, found
	}
	return g, b.states, b, nil
}

// solver prepares the solver of a graph, out of that of its base where there is one.
func (s *Study) solver(g *network.Graph, b *base) (*state.Solver, error) {
	if b == nil {
		solver, err := state.New(g)
		if err == nil && !s.opt.Courses {
			solver = solver.Quick()
		}
		return solver, err
	}
	b.prepared.Do(func() {
		if b.solver, b.unready = s.solver(b.graph, nil); b.unready != nil {
			return
		}
		var near []*state.Outcome
		for _, cs := range b.states {
			if o, err := b.solver.Solve(cs); err == nil { // a state that has no solution as it is has none to set out from
				near = append(near, o)
			}
		}
		b.solver = b.solver.Near(near)
	})
	if b.unready != nil {
		return nil, b.unready
	}
	return b.solver.With(g)
}

// Solve solves and judges a variant, outcomes and all. Results are not kept.
func (s *Study) Solve(v Variant) (*Result, error) {
	g, states, b, err := s.graph(v)
	if err != nil {
		return nil, err
	}
	return s.solveGraph(v, g, states, b)
}

func (s *Study) solveGraph(v Variant, g *network.Graph, states []state.CallState, b *base) (*Result, error) {
	solver, err := s.solver(g, b)
	if err != nil {
		return nil, err
	}
	r := &Result{Variant: v, Graph: g, Outcomes: make([]*state.Outcome, len(states)), Findings: make([][]verdict.Finding, len(states))}
	for i, cs := range states {
		if r.Outcomes[i], err = solver.Solve(cs); err != nil {
			return nil, s.named(v, err)
		}
		if err = s.zoned(v, solver, r.Outcomes[i]); err != nil {
			return nil, s.named(v, err)
		}
	}
	r.Findings = verdict.JudgeAll(r.Outcomes)
	for i, cs := range states {
		if !s.opt.Stops {
			break
		}
		stops, err := verdict.StopChecks(solver, r.Outcomes[i])
		if err != nil {
			r.Untried = append(r.Untried, s.named(v, fmt.Errorf("the damper stops are not tried in %q: %w", diag.Visible(cs.Name), err)))
			continue
		}
		r.Findings[i] = append(r.Findings[i], stops...)
		verdict.Sort(r.Findings[i])
	}
	if s.opt.Progress != nil {
		s.mu.Lock()
		s.solved++
		s.opt.Progress(s.solved)
		s.mu.Unlock()
	}
	return r, nil
}

// zoned fills in the natural share of an outcome. It hangs on no stop, so that variants which differ only in stops share it.
func (s *Study) zoned(v Variant, solver *state.Solver, o *state.Outcome) error {
	v.Set = slices.DeleteFunc(slices.Clone(v.Set), isStop)
	key := v.key() + "\x00" + o.State.Name
	s.mu.Lock()
	share, known := s.natural[key]
	s.mu.Unlock()
	if known {
		o.NaturalShare = share
		return nil
	}
	if err := zoning.Complete(solver, o); err != nil {
		return err
	}
	o.NaturalShare = sixDigits(o.NaturalShare) // whatever stops it was first found with
	s.mu.Lock()
	if len(s.natural) < mostReports {
		s.natural[key] = o.NaturalShare
	}
	s.mu.Unlock()
	return nil
}

// isStop reports whether an override sets the stop of a damper.
func isStop(assignment string) bool {
	path, _, _ := strings.Cut(assignment, "=")
	parts, ok := network.SplitPath(path)
	return ok && len(parts) == 3 && parts[0] == "damper" && parts[2] == "stop"
}

// named says which variant an error is about.
func (s *Study) named(v Variant, err error) error {
	var parts []string
	if v.Alternative != "" {
		parts = append(parts, fmt.Sprintf("alternative %q", diag.Visible(v.Alternative)))
	}
	for _, assignment := range v.Set {
		parts = append(parts, diag.Visible(assignment))
	}
	if len(parts) == 0 {
		return err
	}
	return fmt.Errorf("with %s: %w", strings.Join(parts, ", "), err)
}

// SolveAll solves variants side by side; results stand in the order of the variants. Of several errors the first variant's is
// returned.
func (s *Study) SolveAll(variants []Variant) ([]*Result, error) {
	results := make([]*Result, len(variants))
	err := s.each(len(variants), func(i int) (err error) {
		results[i], err = s.Solve(variants[i])
		return err
	})
	return results, err
}

// each calls f for 0..n-1 on the study's workers and returns the error of the lowest index.
func (s *Study) each(n int, f func(i int) error) error {
	return pool.Each(context.Background(), s.opt.Workers, n, func(_ context.Context, i int) error { return f(i) })
}
