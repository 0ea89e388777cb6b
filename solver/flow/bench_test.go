package flow

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
)

var houseKinds = []struct {
	name string
	kind houseKind
}{{"quadratic", houseQuadratic}, {"friction", houseFriction}, {"power", housePower}}

// lawSweep evaluates all laws once, as the solver does, and nothing else.
func lawSweep(laws []Law, flow, drop, slope []float64) {
	for e, q := range flow {
		drop[e], slope[e] = laws[e].Drop(q)
	}
}

// inSweeps is the time of a solve over that of one evaluation of all laws. The two are timed by turns, in batches of about the same
// length, and the median of the quotients is taken: a machine that changes its pace in between does not spoil it.
func inSweeps(laws []Law, flow []float64, solve func()) float64 {
	const batches, calls, sweeps = 301, 10, 150
	drop, slope := make([]float64, len(laws)), make([]float64, len(laws))
	quotients := make([]float64, batches)
	for i := range quotients {
		start := time.Now()
		for range sweeps {
			lawSweep(laws, flow, drop, slope)
		}
		middle := time.Now()
		for range calls {
			solve()
		}
		quotients[i] = float64(time.Since(middle)) / calls / (float64(middle.Sub(start)) / sweeps)
	}
	slices.Sort(quotients)
	return quotients[batches/2]
}

func houseSolver(tb testing.TB, kind houseKind) (*house, *Solver) {
	h := newHouse(kind)
	top, err := New(39, h.edges, []int{0})
	require.NoError(tb, err)
	return h, top.NewSolver()
}

func BenchmarkLawSweep(b *testing.B) {
	for _, k := range houseKinds {
		b.Run(k.name, func(b *testing.B) {
			h, s := houseSolver(b, k.kind)
			solution, err := s.Solve(h.problem(), nil)
			require.NoError(b, err)
			drop, slope := make([]float64, 60), make([]float64, 60)
			for b.Loop() {
				lawSweep(h.laws, solution.Flow, drop, slope)
			}
		})
	}
}

func BenchmarkColdSolve(b *testing.B) {
	for _, k := range houseKinds {
		b.Run(k.name, func(b *testing.B) {
			h, s := houseSolver(b, k.kind)
			p := h.problem()
			solution, err := s.Solve(p, nil)
			require.NoError(b, err)
			of := inSweeps(h.laws, solution.Clone().Flow, func() { _, _ = s.Solve(p, nil) })
			b.ReportAllocs()
			for b.Loop() {
				solution, err = s.Solve(p, nil)
			}
			require.NoError(b, err)
			b.ReportMetric(float64(solution.Iterations), "iterations")
			b.ReportMetric(of, "solve/sweep")
			b.ReportMetric(of/float64(solution.Iterations), "solve/(it×sweep)")
		})
	}
}

// BenchmarkWarmSolve moves a damper through thirty positions, each solve from the last one's flows.
func BenchmarkWarmSolve(b *testing.B) {
	for _, k := range houseKinds {
		b.Run(k.name, func(b *testing.B) {
			h, s := houseSolver(b, k.kind)
			p := h.problem()
			const steps = 30
			var dampers [steps]Law
			for i := range dampers {
				h.setDamper(0, 1-.95*float64(i)/(steps-1))
				dampers[i] = h.laws[h.dampers[0]]
			}
			solution, err := s.Solve(p, nil)
			require.NoError(b, err)
			flow := solution.Clone().Flow
			i, up, iterations, solves := 0, 1, 0, 0
			move := func() {
				h.laws[h.dampers[0]] = dampers[i]
				if i+up < 0 || i+up == steps {
					up = -up
				}
				i += up
				solution, err = s.Solve(p, flow)
				iterations += solution.Iterations
				solves++
				copy(flow, solution.Flow)
			}
			for range 2 * steps {
				move()
			}
			of := inSweeps(h.laws, solution.Clone().Flow, move)
			b.ReportAllocs()
			for b.Loop() {
				move()
			}
			require.NoError(b, err)
			b.ReportMetric(float64(iterations)/float64(solves), "iterations")
			b.ReportMetric(of, "solve/sweep")
			b.ReportMetric(of*float64(solves)/float64(iterations), "solve/(it×sweep)")
		})
	}
}

func TestSolveDoesNotAllocate(t *testing.T) {
	h, s := houseSolver(t, houseFriction)
	p := h.problem()
	p.Couplings = nil
	first, err := s.Solve(p, nil)
	require.NoError(t, err)
	warm := first.Clone().Flow
	assert.Zero(t, testing.AllocsPerRun(20, func() { _, _ = s.Solve(p, nil) }), "cold")
	assert.Zero(t, testing.AllocsPerRun(20, func() { _, _ = s.Solve(p, warm) }), "warm")
	assert.Zero(t, testing.AllocsPerRun(20, func() { s.Interval(7) }), "interval")

	edges, coupled := teeToy(300, 600)
	top, err := New(3, edges, []int{0})
	require.NoError(t, err)
	s = top.NewSolver()
	coupled.Couplings = []Coupling{keptEdges{coupled.Couplings[0].(tee), []int{1, 2, 3}}}
	_, err = s.Solve(coupled, nil)
	require.NoError(t, err)
	assert.Zero(t, testing.AllocsPerRun(20, func() { _, _ = s.Solve(coupled, nil) }), "coupled")
}

// keptEdges is a tee that does not make its list of edges anew each time.
type keptEdges struct {
	tee
	edges []int
}

func (k keptEdges) Edges() []int { return k.edges }

// BenchmarkLinearSystem is one assembly, factorisation and solution of the house's 38 unknowns: ours, and the same matrix dense.
func BenchmarkLinearSystem(b *testing.B) {
	h, s := houseSolver(b, houseQuadratic)
	_, err := s.Solve(h.problem(), nil)
	require.NoError(b, err)
	b.Run("sparse", func(b *testing.B) {
		for b.Loop() {
			clear(s.values)
			copy(s.right, s.injection)
			for e, w := range s.conductance {
				s.values[s.t.target[e]] += w
				x := s.flow[e] + w*(s.push[e]-s.drop[e])
				s.right[s.t.tail[e]] -= x
				s.right[s.t.head[e]] += x
			}
			s.t.factor(s.values, s.inverse, s.right, s.work, 0)
			s.t.backward(s.values, s.inverse, s.right, 0)
		}
	})
	b.Run("gonum dense Cholesky", func(b *testing.B) {
		n := s.t.free
		m := mat.NewSymDense(n, nil)
		right, x := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
		var cholesky mat.Cholesky
		for b.Loop() {
			m.Zero()
			right.Zero()
			for e, w := range s.conductance {
				i, j := int(s.t.tail[e]), int(s.t.head[e])
				y := s.flow[e] + w*(s.push[e]-s.drop[e])
				if i < n {
					m.SetSym(i, i, m.At(i, i)+w)
					right.SetVec(i, right.AtVec(i)-y)
				}
				if j < n {
					m.SetSym(j, j, m.At(j, j)+w)
					right.SetVec(j, right.AtVec(j)+y)
				}
				if i < n && j < n {
					m.SetSym(i, j, m.At(i, j)-w)
				}
			}
			if !cholesky.Factorize(m) {
				b.Fatal("not positive definite")
			}
			if err := cholesky.SolveVecTo(x, right); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// houseContent is the content of the quadratic house as a function of its loop flows, for general-purpose optimisers. Loops
// come from the solver's spanning tree, so the flows are balanced whatever the loop flows are.
type houseContent struct {
	h     *house
	loops [][]loopEdge
	flow  []float64
}

func newHouseContent() *houseContent {
	h := newHouse(houseQuadratic)
	loops, flow := loopsOf(&randomNetwork{nodes: 39, edges: h.edges, known: []int{0}, p: &Problem{Injection: make([]float64, 39)}})
	return &houseContent{h, loops, flow}
}

func (c *houseContent) set(x []float64) {
	clear(c.flow)
	for k, loop := range c.loops {
		for _, l := range loop {
			c.flow[l.edge] += l.sign * x[k]
		}
	}
}

func (c *houseContent) value(x []float64) float64 {
	c.set(x)
	sum := 0.0
	for e, q := range c.flow {
		switch l := c.h.laws[e].(type) {
		case Power: // n = 2
			sum += l.R / 3 * (math.Pow(q*q+l.Eps*l.Eps, 1.5) - l.Eps*l.Eps*l.Eps)
		case quadraticMachine:
			sum -= l.c0*q + l.c1*q*q/2
			if q > 0 {
				sum -= l.c2 * q * q * q / 3
			}
		}
	}
	return sum
}

func (c *houseContent) gradient(grad, x []float64) {
	c.set(x)
	for k, loop := range c.loops {
		grad[k] = 0
		for _, l := range loop {
			f, _ := c.h.laws[l.edge].Drop(c.flow[l.edge])
			grad[k] += l.sign * f
		}
	}
}

func (c *houseContent) hessian(hess *mat.SymDense, x []float64) {
	c.set(x)
	hess.Zero()
	slope := make([]float64, len(c.flow))
	for e, q := range c.flow {
		_, slope[e] = c.h.laws[e].Drop(q)
	}
	at := make([]float64, len(c.flow))
	for i, a := range c.loops {
		clear(at)
		for _, l := range a {
			at[l.edge] += l.sign
		}
		for j := i; j < len(c.loops); j++ {
			sum := 0.0
			for _, l := range c.loops[j] {
				sum += at[l.edge] * l.sign * slope[l.edge]
			}
			hess.SetSym(i, j, sum)
		}
	}
}

func (c *houseContent) minimise(method optimize.Method) (*optimize.Result, error) {
	x := make([]float64, len(c.loops))
	for i := range x {
		x[i] = .01
	}
	problem := optimize.Problem{Func: c.value, Grad: c.gradient, Hess: func(h *mat.SymDense, x []float64) { c.hessian(h, x) }}
	return optimize.Minimize(problem, x, &optimize.Settings{GradientThreshold: 1e-7, MajorIterations: 3000,
		Converger: optimize.NeverTerminate{}}, method)
}

// TestHouseAgainstGonumOptimise: a general-purpose minimiser, over content and loops instead of drops and pressures, finds the
// same flows.
func TestHouseAgainstGonumOptimise(t *testing.T) {
	h, s := houseSolver(t, houseQuadratic)
	ours, err := s.Solve(h.problem(), nil)
	require.NoError(t, err)
	c := newHouseContent()
	result, err := c.minimise(&optimize.Newton{})
	require.NoError(t, err)
	c.set(result.X)
	for e, q := range c.flow {
		lo, hi := s.Interval(e)
		assert.InDelta(t, q, ours.Flow[e], hi-lo+1e-6, "edge %d", e)
	}
}

func BenchmarkGonumOptimise(b *testing.B) {
	for _, k := range []struct {
		name   string
		method func() optimize.Method
	}{{"Newton", func() optimize.Method { return &optimize.Newton{} }}, {"BFGS", func() optimize.Method { return &optimize.BFGS{} }},
		{"LBFGS", func() optimize.Method { return &optimize.LBFGS{} }}} {
		b.Run(k.name, func(b *testing.B) {
			c := newHouseContent()
			var result *optimize.Result
			var err error
			for b.Loop() {
				result, err = c.minimise(k.method())
			}
			if err != nil {
				b.Log(err)
			}
			b.ReportMetric(float64(result.MajorIterations), "iterations")
			b.ReportMetric(float64(result.FuncEvaluations+result.GradEvaluations), "evaluations")
		})
	}
}

// district is a branching network of m edges or so with a local loop for one edge in ten.
func district(m int) *randomNetwork {
	r := rand.New(rand.NewPCG(uint64(m), 11))
	n := &randomNetwork{p: &Problem{Known: []float64{500}, Scale: .1}, known: []int{0}, nodes: m * 9 / 10}
	for v := 1; v < n.nodes; v++ {
		n.edges = append(n.edges, Edge{max(0, v-1-r.IntN(1+v/2)%64), v})
	}
	for len(n.edges) < m {
		a := 1 + r.IntN(n.nodes-12)
		n.edges = append(n.edges, Edge{a, a + 1 + r.IntN(10)})
	}
	n.p.Injection = make([]float64, n.nodes)
	for range n.edges {
		n.p.Laws = append(n.p.Laws, Power{math.Pow(10, 3*r.Float64()-1), 2, 1e-6})
	}
	for v := 1; v < n.nodes; v++ {
		n.p.Injection[v] = -r.Float64() / float64(m)
	}
	return n
}

// layOut puts the laws side by side in the order of Topology.Order, as a loader of large networks would.
func (n *randomNetwork) layOut(top *Topology) {
	laws := make([]Power, len(n.edges))
	for i, e := range top.Order() {
		laws[i] = n.p.Laws[e].(Power)
		n.p.Laws[e] = &laws[i]
	}
}

// BenchmarkGrowth solves districts of a thousand to a million edges, cold (with -short to a hundred thousand). bytes/edge is what
// topology and solver hold, without the laws and the network as the caller has them.
func BenchmarkGrowth(b *testing.B) {
	for _, m := range []int{1000, 10_000, 100_000, 1_000_000} {
		if m > 100_000 && testing.Short() {
			break
		}
		b.Run(fmt.Sprint(m), func(b *testing.B) {
			n := district(m)
			before := heap()
			start := time.Now()
			top, err := New(n.nodes, n.edges, n.known)
			require.NoError(b, err)
			compile := time.Since(start)
			n.layOut(top)
			s := top.NewSolver()
			solution, err := s.Solve(n.p, nil)
			require.NoError(b, err)
			held := heap() - before
			b.ReportAllocs()
			for b.Loop() {
				solution, err = s.Solve(n.p, nil)
			}
			require.NoError(b, err)
			b.ReportMetric(float64(held)/float64(m), "bytes/edge")
			b.ReportMetric(float64(compile)/float64(m), "compile-ns/edge")
			b.ReportMetric(float64(b.Elapsed())/float64(b.N*m), "ns/edge")
			b.ReportMetric(float64(b.Elapsed())/float64(b.N*m*solution.Iterations), "ns/edge/iteration")
			b.ReportMetric(float64(solution.Iterations), "iterations")
			b.ReportMetric(float64(len(top.rows))/float64(top.free), "entries/node")
		})
	}
}

// heap is what lives on the heap after a collection, bytes.
func heap() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

func TestLargeNetworkIsSolved(t *testing.T) {
	n := district(20000)
	solver, s := n.solve(t)
	sound(t, solver, s)
	assert.LessOrEqual(t, s.Iterations, 25)
}
