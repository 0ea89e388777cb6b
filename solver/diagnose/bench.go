package diagnose

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/mat"

	"spillway/network"
	"spillway/solver/pool"
	"spillway/solver/state"
)

// Query is something that can be read: a kind of reading, a place and a call state.
type Query struct {
	Kind  network.ReadingKind
	Place network.Spot
	State string
}

// Bench is an installation with a plan of readings: what is expected of each reading when all is in order, how unsure that is as built,
// and what every cause does to them at every severity. Making one takes some hundreds of solutions; after that a fit takes none but
// those that refine it. It may be used by several goroutines at once.
type Bench struct {
	g       *network.Graph
	states  []state.CallState // those of the queries
	queries []Query
	stateOf []int // query → states
	causes  []Cause
	base    []float64  // expected readings, all in order
	jac     *mat.Dense // change of readings per as-built standard deviation: queries × spreads
	names   []string   // of the as-built deviations
	curves  []curve    // parallel to causes
	solver  *state.Solver
	every   []state.CallState

	spreadOnce sync.Once
	spreadOf   []float64 // of readings besides the plan
	spreadErr  error
}

// curve is what a cause does to the readings over its severity.
type curve struct {
	x     []float64 // on the cause's scale
	shift []fitted
	one   []float64 // shifts of a cause with one severity
}

// at returns the shift of every reading at a place on the scale.
func (c *curve) at(x float64, into []float64) {
	if c.one != nil {
		copy(into, c.one)
		return
	}
	x = min(max(x, c.x[0]), c.x[len(c.x)-1])
	for i := range into {
		into[i] = c.shift[i].Predict(x)
	}
}

// NewBench prepares an installation for readings of a plan. All states of the plan must be call states of the installation.
func NewBench(g *network.Graph, plan []Query) (*Bench, error) {
	b, err := sound(g, plan)
	if err != nil {
		return nil, err
	}
	return b, b.tabulate()
}

// sound prepares a bench as far as the sound installation goes: what is expected, and how unsure that is as built.
func sound(g *network.Graph, plan []Query) (*Bench, error) {
	if len(plan) == 0 {
		return nil, errors.New("there are no readings")
	}
	every, err := state.All(g)
	if err != nil {
		return nil, err
	}
	b := &Bench{g: g, queries: plan, every: every}
	for _, q := range plan {
		i := slices.IndexFunc(b.every, func(s state.CallState) bool { return s.Name == q.State })
		if i < 0 {
			return nil, fmt.Errorf("the installation has no call state %q", q.State)
		}
		k := slices.IndexFunc(b.states, func(s state.CallState) bool { return s.Name == q.State })
		if k < 0 {
			k = len(b.states)
			b.states = append(b.states, b.every[i])
		}
		b.stateOf = append(b.stateOf, k)
	}
	b.causes = Causes(g, b.states[0].Mode)
	if b.solver, err = state.New(g); err != nil {
		return nil, err
	}
	b.solver = b.solver.Quick()
	var near []*state.Outcome
	for _, cs := range b.states {
		o, err := b.solver.Solve(cs)
		if err != nil {
			return nil, err
		}
		near = append(near, o)
	}
	b.base = read(near, b.queries, b.stateOf)
	b.solver = b.solver.Near(near) // faulty installations set out from the sound one
	for i, v := range b.base {
		if math.IsNaN(v) {
			return nil, fmt.Errorf("nothing can be expected of a reading of %s at %s in %s", plan[i].Kind, plan[i].Place.Name, plan[i].State)
		}
	}
	return b, b.deviations()
}

// Causes are the causes that a bench thinks of.
func (b *Bench) Causes() []Cause { return b.causes }

// Expected is what each reading of the plan should be when all is in order, and its standard deviation as built, SI.
func (b *Bench) Expected() (value, sigma []float64) {
	sigma = make([]float64, len(b.base))
	for i := range sigma {
		sigma[i] = mat.Norm(b.jac.RowView(i), 2)
	}
	return slices.Clone(b.base), sigma
}

// predict solves the states of the plan in a graph and reads it; NaN where a fault makes a reading impossible.
func (b *Bench) predict(g *network.Graph) ([]float64, error) {
	s, err := b.solver.With(g)
	if err != nil {
		return nil, err
	}
	outcomes := make([]*state.Outcome, len(b.states))
	for k := range b.states {
		if outcomes[k], err = s.Solve(b.states[k]); err != nil {
			return nil, err
		}
	}
	return read(outcomes, b.queries, b.stateOf), nil
}

// predictSome reads other queries in every state of an installation. Some states need not solve (a coil far below freezing has no state of rest): NaN
// is read there.
func (b *Bench) predictSome(g *network.Graph, queries []Query, stateOf []int) ([]float64, error) {
	s, err := b.solver.With(g)
	if err != nil {
		return nil, err
	}
	outcomes := make([]*state.Outcome, len(b.every))
	for k := range b.every {
		outcomes[k], _ = s.Solve(b.every[k])
	}
	return read(outcomes, queries, stateOf), nil
}

func read(outcomes []*state.Outcome, queries []Query, stateOf []int) []float64 {
	out := make([]float64, len(queries))
	for i, q := range queries {
		out[i] = math.NaN()
		if o := outcomes[stateOf[i]]; o != nil {
			out[i] = Predict(o, q.Kind, q.Place)
		}
	}
	return out
}

// deviations finds what a standard deviation of each as-built multiplier does to the readings, by central differences.
func (b *Bench) deviations() error {
	list := spreads(b.g)
	b.jac = mat.NewDense(len(b.queries), max(1, len(list)), nil)
	columns := make([][]float64, len(list))
	err := pool.Each(context.Background(), 0, len(list), func(_ context.Context, k int) error {
		var ends [2][]float64
		for e, sign := range []float64{1, -1} {
			g := clone(b.g)
			list[k].apply(g, math.Exp(sign*list[k].sigma))
			var err error
			if ends[e], err = b.predict(g); err != nil {
				return err
			}
		}
		columns[k] = make([]float64, len(b.queries))
		for i := range columns[k] {
			columns[k][i] = (ends[0][i] - ends[1][i]) / 2
		}
		return nil
	})
	if err != nil {
		return err
	}
	for k := range list {
		b.names = append(b.names, list[k].name)
		b.jac.SetCol(k, columns[k])
	}
	return nil
}

// tabulate solves every cause at its knots. A severity at which nothing solves is left out, a cause with none is dropped.
func (b *Bench) tabulate() error {
	type job struct{ cause, knot int }
	var jobs []job
	found := make([][][]float64, len(b.causes))
	for c := range b.causes {
		found[c] = make([][]float64, len(b.causes[c].Knots))
		for k := range b.causes[c].Knots {
			jobs = append(jobs, job{c, k})
		}
	}
	err := pool.Each(context.Background(), 0, len(jobs), func(_ context.Context, i int) error {
		c := &b.causes[jobs[i].cause]
		v, err := b.predict(c.Apply(b.g, c.Knots[jobs[i].knot]))
		if err == nil && !slices.ContainsFunc(v, math.IsNaN) {
			for n := range v {
				v[n] -= b.base[n]
			}
			found[jobs[i].cause][jobs[i].knot] = v
		}
		return nil
	})
	if err != nil {
		return err
	}
	var kept []Cause
	for c := range b.causes {
		cause := b.causes[c]
		var knots []float64
		var shifts [][]float64
		for k, v := range found[c] {
			if v != nil {
				knots, shifts = append(knots, cause.Knots[k]), append(shifts, v)
			}
		}
		if len(knots) == 0 {
			continue
		}
		cause.Knots = knots
		cv := curve{}
		for _, k := range knots {
			cv.x = append(cv.x, cause.scale(k))
		}
		if len(knots) == 1 {
			cv.one = shifts[0]
		} else {
			cv.shift = make([]fitted, len(b.queries))
			for i := range b.queries {
				y := make([]float64, len(knots))
				for k := range knots {
					y[k] = shifts[k][i]
				}
				x := cv.x
				if len(x) == 2 { // the fit wants three points
					x, y = []float64{x[0], (x[0] + x[1]) / 2, x[1]}, []float64{y[0], (y[0] + y[1]) / 2, y[1]}
				}
				if err := cv.shift[i].Fit(x, y); err != nil {
					return err
				}
			}
		}
		kept, b.curves = append(kept, cause), append(b.curves, cv)
	}
	b.causes = kept
	return nil
}

// fitted is the interpolation of one reading's shift over a cause's severity: monotone, through every solved knot.
type fitted = interp.FritschButland
