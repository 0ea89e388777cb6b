package flow

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/evidencetest"
)

// published checks numbers as evidence of the kind that the test declares.
type published struct {
	t      *testing.T
	source string
}

func newPublished(t *testing.T, source string) *published { return &published{t: t, source: source} }

// check compares ours with a value as printed, to so many units of its last printed digit.
func (p *published) check(name, printed string, ours, units float64) {
	p.t.Helper()
	value, err := strconv.ParseFloat(printed, 64)
	require.NoError(p.t, err)
	unit := 1.0
	if i := strings.IndexByte(printed, '.'); i >= 0 {
		unit = math.Pow(10, -float64(len(printed)-i-1))
	}
	evidencetest.Row{Case: name, Source: p.source, Want: value, Ours: ours, Within: units * unit, Printed: printed}.Check(p.t)
}

// network builds a topology, solves it, and insists on a sound certificate.
func network(t *testing.T, nodes int, edges []Edge, known []int, p *Problem) (*Solver, Solution) {
	t.Helper()
	top, err := New(nodes, edges, known)
	require.NoError(t, err)
	s := top.NewSolver()
	solution, err := s.Solve(p, nil)
	require.NoError(t, err)
	sound(t, s, solution)
	return s, solution.Clone()
}

// sound insists on the tolerances that Solve promises, with its floors for networks at rest.
func sound(t require.TestingT, solver *Solver, s Solution) {
	largest := 0.0
	for _, q := range s.Flow {
		largest = math.Max(largest, math.Abs(q))
	}
	require.LessOrEqual(t, s.Certificate.MassResidual, 1e-9*largest+1e-15)
	require.LessOrEqual(t, s.Certificate.Gap-s.Certificate.RoundOff, 1e-10*s.Certificate.Power+1e-24*solver.maxPower)
}

const jeppson = "R. W. Jeppson, Steady Flow Analysis of Pipe Networks: An Instructional Manual, Utah State Univ. 1974 " +
	"(inputs from the manual; outputs second-hand, from a re-implementation of the manual's programs)"

// Nodes A..F of Jeppson's two-loop networks.
const (
	nodeA = iota
	nodeB
	nodeC
	nodeD
	nodeE
	nodeF
)

func twoLoopPipes() ([]Edge, []Law) {
	const c = 95
	in, ft := 1/12.0, 1.0
	edges := []Edge{{nodeA, nodeB}, {nodeB, nodeC}, {nodeD, nodeC}, {nodeA, nodeD}, {nodeB, nodeE}, {nodeE, nodeF}, {nodeC, nodeF}}
	laws := []Law{hazenWilliams(c, 12*in, 2000*ft), hazenWilliams(c, 10*in, 1500*ft), hazenWilliams(c, 6*in, 2000*ft),
		hazenWilliams(c, 8*in, 1500*ft), hazenWilliams(c, 8*in, 2000*ft), hazenWilliams(c, 6*in, 1000*ft), hazenWilliams(c, 10*in, 2000*ft)}
	return edges, laws
}

func TestPublishedTwoLoopsHazenWilliams(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	p := newPublished(t, jeppson+"; two loops, Hazen-Williams C = 95")
	edges, laws := twoLoopPipes()
	_, s := network(t, 6, edges, []int{nodeA}, &Problem{Laws: laws, Known: []float64{0},
		Injection: []float64{10, 0, 0, -2.5, -2.5, -5}})
	for e, q := range []string{"6.8661", "3.8331", "0.63389", "3.1339", "3.0330", "0.53302", "4.4670"} {
		p.check(fmt.Sprintf("flow %d, ft3/s", e+1), q, s.Flow[e], 0.5)
	}
	for e, h := range []string{"72.930", "45.164", "25.878", "92.216", "115.73", "9.3865", "79.949"} {
		drop, _ := laws[e].Drop(s.Flow[e])
		p.check(fmt.Sprintf("head loss %d, ft", e+1), h, drop, 1)
	}
	assert.LessOrEqual(t, s.Iterations, 10)
}

func TestPublishedThreeLoopsHazenWilliams(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	p := newPublished(t, jeppson+"; three loops, Hazen-Williams C = 95")
	edges, laws := twoLoopPipes()
	edges = append(edges, Edge{nodeA, nodeC})
	laws = append(laws, hazenWilliams(95, 10/12.0, 3000))
	_, s := network(t, 6, edges, []int{nodeA}, &Problem{Laws: laws, Known: []float64{0},
		Injection: []float64{12, 0, -2, -2.5, -2.5, -5}})
	for e, q := range []string{"5.7124", "2.8274", "0.25678", "2.7568", "2.8850", "0.38505", "4.6150", "3.5308"} {
		p.check(fmt.Sprintf("flow %d, ft3/s", e+1), q, s.Flow[e], 1)
	}
}

func TestPublishedNodalHeads(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	// The flows printed beside these heads violate continuity at node 1, so only the heads are compared.
	p := newPublished(t, jeppson+"; nodal example, Hazen-Williams C = 130, heads")
	const c = 130
	edges := []Edge{{0, 1}, {0, 3}, {1, 2}, {1, 4}, {2, 4}, {3, 2}}
	laws := []Law{hazenWilliams(c, 4/12., 150), hazenWilliams(c, 3/12., 100), hazenWilliams(c, 3/12., 100),
		hazenWilliams(c, 4/12., 100), hazenWilliams(c, 3/12., 141), hazenWilliams(c, 3/12., 150)}
	_, s := network(t, 5, edges, []int{2}, &Problem{Laws: laws, Known: []float64{100}, Injection: []float64{1, 0, 0, -.25, -.5}})
	for v, h := range []string{"109.75", "102.19", "100", "101.63", "99.576"} {
		p.check(fmt.Sprintf("head %d, ft", v+1), h, s.Pressure[v], 0.5)
	}
	// Computed from the formulas by another program (regression).
	for e, q := range []float64{.622337, .377663, .186052, .436284, .063716, .127663} {
		assert.InDelta(t, q, s.Flow[e], 1e-6)
	}
}

func TestPublishedTwoLoopsDarcyWeisbach(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	p := newPublished(t, jeppson+"; two loops, Darcy-Weisbach with Colebrook (the source fits local powers)")
	pipe := func(inches, feet float64) Law {
		return newColebrookPipe(inches/12, feet, 0.012/12, 1.217e-5, 0, 1/64.4)
	}
	edges := []Edge{{nodeA, nodeB}, {nodeB, nodeC}, {nodeD, nodeC}, {nodeA, nodeD}, {nodeE, nodeB}, {nodeE, nodeF}, {nodeF, nodeC}}
	laws := []Law{pipe(12, 3000), pipe(14, 2000), pipe(10, 3000), pipe(10, 2000), pipe(14, 3000), pipe(10, 2000), pipe(12, 3000)}
	_, s := network(t, 6, edges, []int{nodeC}, &Problem{Laws: laws, Known: []float64{0},
		Injection: []float64{3.34, 0, -5.12, -.67, 3.34, -.89}})
	for e, q := range []string{"1.7474", "3.4873", "0.92260", "1.5926", "1.7399", "1.6001", "0.71006"} {
		p.check(fmt.Sprintf("flow %d, ft3/s", e+1), q, s.Flow[e], 1.5)
	}
}

func TestPublishedThreeReservoirs(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	p := newPublished(t, "textbook of fluid mechanics, Example 9.12, p. 340 (title unknown; second-hand): three reservoirs")
	k := []float64{.7594, 36.33, 8.168}
	laws := []Law{Power{k[0], 2, 1e-6}, Power{k[1], 2, 1e-6}, Power{k[2], 2, 1e-6}}
	_, s := network(t, 4, []Edge{{0, 3}, {3, 1}, {3, 2}}, []int{0, 1, 2}, &Problem{Laws: laws, Known: []float64{135, 120, 112}})
	p.check("junction head, m", "131.6", s.Pressure[3], 0.5)
	// The published flows miss continuity by 1.8e-3: they come from the head rounded to 131.6.
	p.check("flow 1, m3/s", "2.116", s.Flow[0], 2)
	p.check("flow 2, m3/s", "0.5651", s.Flow[1], 1)
	p.check("flow 3, m3/s", "1.549", s.Flow[2], 0.5)
	// Computed from the formula.
	assert.InDelta(t, 131.6048, s.Pressure[3], 5e-5)
}

func TestPublishedNodalNewtonFails(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	p := newPublished(t, jeppson+"; three pipes, C = 120, on which the undamped nodal Newton method swings: its last iterate "+
		"against the solution")
	const c = 120
	edges := []Edge{{0, 1}, {0, 2}, {1, 2}}
	laws := []Law{hazenWilliams(c, 10/12., 1000), hazenWilliams(c, 10/12., 1500), hazenWilliams(c, 1, 1000)}
	out := []float64{1.5, 3}

	// The textbook method, independent of the solver: q = (u/R)^0.54 for the heads, Newton on the two balances.
	heads := [3]float64{100, 95, 85}
	printed := [][2]string{{"90.655", "94.030"}, {"93.566", "89.022"}, {"91.042", "91.777"}}
	for k, want := range printed {
		var f [2]float64
		var j [2][2]float64
		for e, edge := range edges {
			u := heads[edge.Tail] - heads[edge.Head]
			r := laws[e].(Power).R
			q := math.Copysign(math.Pow(math.Abs(u)/r, 0.54), u)
			g := 0.54 * q / u
			for _, at := range [2]struct {
				node int
				sign float64
			}{{edge.Tail, -1}, {edge.Head, 1}} {
				end, sign := at.node, at.sign
				if end == 0 {
					continue
				}
				f[end-1] += sign * q
				if edge.Tail > 0 {
					j[end-1][edge.Tail-1] += sign * g
				}
				if edge.Head > 0 {
					j[end-1][edge.Head-1] -= sign * g
				}
			}
		}
		f[0], f[1] = f[0]-out[0], f[1]-out[1]
		det := j[0][0]*j[1][1] - j[0][1]*j[1][0]
		heads[1] -= (f[0]*j[1][1] - f[1]*j[0][1]) / det
		heads[2] -= (f[1]*j[0][0] - f[0]*j[1][0]) / det
		for node, printed := range want { // this checks the method of the test, not the program: no row of evidence
			head, err := strconv.ParseFloat(printed, 64)
			require.NoError(t, err)
			assert.InDelta(t, head, heads[node+1], 1e-3, "iterate %d", k+1)
		}
	}
	_, s := network(t, 3, edges, []int{0}, &Problem{Laws: laws, Known: []float64{100}, Injection: []float64{0, -1.5, -3}})
	// The last iterate printed before it gave up: it had come this near.
	p.check("head 2, ft (unconverged print)", "91.437", s.Pressure[1], 15)
	p.check("head 3, ft (unconverged print)", "90.850", s.Pressure[2], 15)
	// Computed from the formulas by another program (regression).
	assert.InDelta(t, 91.44753, s.Pressure[1], 1e-5)
	assert.InDelta(t, 90.83591, s.Pressure[2], 1e-5)
	for e, q := range []float64{2.45380, 2.04620, .95380} {
		assert.InDelta(t, q, s.Flow[e], 1e-5)
	}
	assert.LessOrEqual(t, s.Iterations, 6)
}

func TestPublishedDuctAndFan(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	p := newPublished(t, "Cengel & Cimbala, Fluid Mechanics, Example 14-1 (second-hand, edition unknown; the answer was read off a graph)")
	const cfm, inch = 0.3048 * 0.3048 * 0.3048 / 60, 998 * 9.81 * 0.0254
	flow := []float64{0, 250, 500, 750, 1000, 1200}
	rise := []float64{.90, .95, .90, .75, .40, 0}
	for i := range flow {
		flow[i] *= cfm
		rise[i] *= inch
	}
	fan, err := NewCurve(flow, rise)
	require.NoError(t, err)
	duct := newColebrookPipe(.230, 13.4, .15e-3, 1.562e-5, 1.3+5*.21+1.8+1.05, 1.184/2)
	top, err := New(2, []Edge{{0, 1}, {1, 0}}, []int{0})
	require.NoError(t, err)
	s := top.NewSolver()
	problem := &Problem{Laws: []Law{nil, duct}, Known: []float64{0}}
	points, err := s.OperatingPoints(problem, 0, fan)
	require.NoError(t, err)
	require.Len(t, points, 1)
	assert.True(t, points[0].Stable)
	p.check("airflow, cfm (about 650)", "650", points[0].Flow/cfm, 5)
	p.check("rise, in. of water", "0.83", points[0].Rise/inch, 0.5)
	// Computed from the formula by another program, same interpolation (regression).
	assert.InDelta(t, 648.2, points[0].Flow/cfm, 0.05)
	assert.InDelta(t, .8270, points[0].Rise/inch, 5e-5)
	solution, err := s.SolveAt(problem, 0, points[0].Flow, nil)
	require.NoError(t, err)
	assert.InDelta(t, points[0].Rise, solution.Pressure[1]-solution.Pressure[0], 1e-9*points[0].Rise)
}

func TestPublishedPumpAndParallelPipes(t *testing.T) {
	evidencetest.Of(t, evidencetest.Memory)
	p := newPublished(t, "Cengel & Cimbala, Fluid Mechanics, Examples 8-7 and 8-8 (equations second-hand, answers from memory): pump and two parallel pipes")
	const g, density, viscosity = 9.81, 998, 1.002e-3
	pipe := func(d float64) Law { return newColebrookPipe(d, 36, 4.5e-5, viscosity/density, 0, 1/(2*g)) }
	laws := []Law{constantPower{8000 * .70 / (density * g), 1e-3}, pipe(.04), pipe(.08)}
	_, s := network(t, 3, []Edge{{0, 1}, {1, 2}, {1, 2}}, []int{0, 2}, &Problem{Laws: laws, Known: []float64{0, 8}})
	p.check("flow, m3/s", "0.0300", s.Flow[0], 0.5)
	p.check("flow of pipe 1, m3/s", "0.00415", s.Flow[1], 0.5)
	p.check("flow of pipe 2, m3/s", "0.0259", s.Flow[2], 0.5)
	p.check("head loss, m", "11.1", s.Pressure[1]-8, 0.5)
	p.check("pump head, m", "19.1", s.Pressure[1], 0.5)
}

func TestPublishedShowerAndFlush(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	p := newPublished(t, "Cengel & Cimbala, Fluid Mechanics, shower and flushing toilet (second-hand)")
	const g, density, viscosity = 9.81, 998, 1.002e-3
	pipe := func(length, minor float64) Law {
		return newColebrookPipe(.015, length, 1.5e-6, viscosity/density, minor, 1/(2*g))
	}
	edges := []Edge{{0, 1}, {1, 2}, {1, 3}}
	laws := []Law{pipe(5, 0), pipe(6, .9+2*.9+10+12), pipe(1, .9+.9+10+14)}
	known := []float64{200e3 / (density * g), 2, 1}
	_, s := network(t, 4, edges, []int{0, 2, 3}, &Problem{Laws: laws, Known: known})
	p.check("both open: total, m3/s", "0.0009", s.Flow[0], 0.5)
	p.check("both open: shower, m3/s", "0.00042", s.Flow[1], 0.5)
	p.check("both open: tank, m3/s", "0.00048", s.Flow[2], 1) // printed so that the rounded flows add up
	both := s.Flow[1]
	laws[2] = Power{1e14, 2, 1e-12} // tank leg shut
	_, s = network(t, 4, edges, []int{0, 2, 3}, &Problem{Laws: laws, Known: known})
	evidencetest.Of(t, evidencetest.Memory)
	p.source += ", 'shower alone' from memory"
	p.check("shower alone, m3/s", "0.00053", s.Flow[1], 0.5)
	p.check("reduction, %", "21", 100*(1-both/s.Flow[1]), 0.5)
}

func mineNetwork() ([]Edge, []float64) {
	// Branches 2..6 of the note: I→X, I→Y, X→Y, X→O, Y→O.
	return []Edge{{0, 1}, {0, 2}, {1, 2}, {1, 3}, {2, 3}}, []float64{.4, .6, .1, .5, .7}
}

// Our own Hardy Cross (tests only) reproduces the first corrections that a mine-ventilation course note of 2019 prints, and iterated
// to convergence it meets the solver.
func TestMineDiagonal(t *testing.T) {
	edges, r := mineNetwork()
	loops := [][]loopEdge{{{0, 1}, {2, 1}, {1, -1}}, {{3, 1}, {4, -1}, {2, -1}}}
	laws := make([]Law, len(r))
	for e := range r {
		laws[e] = Power{r[e], 2, 1e-7}
	}
	// Simultaneous corrections, from the note's start flows.
	flow := []float64{30, 17, 3, 27, 20}
	first, second := hardyCrossCorrection(laws, flow, loops[0]), hardyCrossCorrection(laws, flow, loops[1])
	assert.InDelta(t, -4.167, first, 5e-4)
	assert.InDelta(t, -1.504, second, 5e-4)
	assert.InDelta(t, 25.833, flow[0]+first, 5e-4)
	assert.InDelta(t, 21.167, flow[1]-first, 5e-4)

	for range 400 {
		for _, loop := range loops {
			d := hardyCrossCorrection(laws, flow, loop)
			for _, l := range loop {
				flow[l.edge] += l.sign * d
			}
		}
	}
	_, s := network(t, 4, edges, []int{3}, &Problem{Laws: laws, Known: []float64{0}, Injection: []float64{47, 0, 0, 0}})
	for e := range flow {
		assert.InDelta(t, flow[e], s.Flow[e], 1e-7, "Hardy Cross iterated to convergence, branch %d", e+2)
	}
	// Computed by another program; the note's own final table is not known to us (regression).
	for e, q := range []float64{25.873633, 21.126368, .401218, 25.472415, 21.527585} {
		assert.InDelta(t, q, s.Flow[e], 1e-6)
	}
	for v, want := range []float64{592.200, 324.4220, 324.4059} {
		assert.InDelta(t, want, s.Pressure[v], 5e-4)
	}
	// Hand proof: both ways round the diagonal lose the same.
	assert.InDelta(t, .4*s.Flow[0]*s.Flow[0]+.5*s.Flow[3]*s.Flow[3], .6*s.Flow[1]*s.Flow[1]+.7*s.Flow[4]*s.Flow[4], 1e-6)
}
