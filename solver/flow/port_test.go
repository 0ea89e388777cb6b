package flow

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stallMachine is a curve with a dip: monotone cubic through these points.
func stallMachine(t testing.TB) *Curve {
	c, err := NewCurve([]float64{0, .1, .2, .3, .4, .5, .6}, []float64{200, 160, 150, 175, 180, 120, 0})
	require.NoError(t, err)
	return c
}

func TestPortStall(t *testing.T) {
	// Computed from the formulas by another program (regression): system h + R q² against the dipped curve.
	cases := []struct {
		r, h       float64
		flow, rise float64
	}{
		{1000, 0, .41993, 176.344},
		{700, 120, .20864, 150.470},
	}
	top, err := New(2, []Edge{{0, 1}, {1, 0}}, []int{0})
	require.NoError(t, err)
	s := top.NewSolver()
	for _, c := range cases {
		t.Run(fmt.Sprintf("R=%g h=%g", c.r, c.h), func(t *testing.T) {
			p := &Problem{Laws: []Law{nil, Power{c.r, 2, 1e-7}}, Known: []float64{0}, Source: []float64{0, -c.h}}
			points, err := s.OperatingPoints(p, 0, stallMachine(t))
			require.NoError(t, err)
			require.Len(t, points, 1)
			assert.InDelta(t, c.flow, points[0].Flow, 5e-6)
			assert.InDelta(t, c.rise, points[0].Rise, 5e-4)
			assert.InEpsilon(t, 2*c.r*points[0].Flow, points[0].SystemSlope, 1e-9)
			assert.True(t, points[0].Stable)
		})
	}
}

func TestPortFindsAllRoots(t *testing.T) {
	// A flat system (a relief-like lift h and little resistance) crosses the dip three times for h between the dip and the
	// hump. The oracle scans the curve itself at 2·10⁵ points: no solver is involved.
	m := stallMachine(t)
	top, err := New(2, []Edge{{0, 1}, {1, 0}}, []int{0})
	require.NoError(t, err)
	s := top.NewSolver()
	for _, c := range []struct {
		h, r float64
		want int
	}{{140, 100, 0}, {155, 20, 3}, {160, 40, 3}, {165, 60, 3}, {175, 5, 3}, {179.99, 1e-3, 3}, {181, 1e-3, 1}, {149, 1, 1}, {50, 10, 1}, {230, 100, 1}} {
		t.Run(fmt.Sprintf("h=%g R=%g", c.h, c.r), func(t *testing.T) {
			system := Power{c.r, 2, 1e-7}
			excess := func(q float64) float64 {
				rise, _ := m.Rise(q)
				drop, _ := system.Drop(q)
				return rise - drop - c.h
			}
			var roots []float64
			const n = 200000
			for i := range n {
				a, b := -.5+2*float64(i)/n, -.5+2*float64(i+1)/n
				if excess(a) >= 0 != (excess(b) >= 0) {
					roots = append(roots, (a+b)/2)
				}
			}
			if c.want > 0 {
				require.Len(t, roots, c.want, "the oracle")
			}
			p := &Problem{Laws: []Law{nil, system}, Known: []float64{0}, Source: []float64{0, -c.h}}
			points, err := s.OperatingPoints(p, 0, m)
			require.NoError(t, err)
			require.Len(t, points, len(roots))
			for i, q := range roots {
				assert.InDelta(t, q, points[i].Flow, 1.1e-5)
				assert.InDelta(t, 0, excess(points[i].Flow), 1e-6)
				// Stable and unstable points alternate, stable ones outside.
				assert.Equal(t, i%2 == 0, points[i].Stable)
				solution, err := s.SolveAt(p, 0, points[i].Flow, nil)
				require.NoError(t, err)
				sound(t, s, solution)
				assert.InDelta(t, points[i].Rise, solution.Pressure[1]-solution.Pressure[0], 1e-6)
				lo, hi := s.Interval(0)
				assert.Equal(t, [2]float64{points[i].Flow, points[i].Flow}, [2]float64{lo, hi})
			}
		})
	}
}

func TestPortInALargerNetwork(t *testing.T) {
	// A machine with a falling curve gives the same answer as a law and as a machine, in a looped network with injections.
	edges := []Edge{{0, 1}, {1, 2}, {2, 3}, {1, 3}, {3, 0}, {2, 4}}
	laws := []Law{nil, Power{300, 2, 1e-5}, Power{900, 1.8, 1e-5}, Power{500, 2, 1e-5}, Power{80, 2, 1e-5}, Power{4e4, 1.6, 1e-5}}
	m, err := NewCurve([]float64{0, .2, .4, .6}, []float64{250, 210, 130, 0})
	require.NoError(t, err)
	top, err := New(5, edges, []int{0, 4})
	require.NoError(t, err)
	s := top.NewSolver()
	p := &Problem{Laws: laws, Known: []float64{0, 3}, Injection: []float64{0, .01, -.02, .005, 0}, Scale: .1}
	points, err := s.OperatingPoints(p, 0, m)
	require.NoError(t, err)
	require.Len(t, points, 1)
	p.Laws[0] = Falling{m}
	solution, err := s.Solve(p, nil)
	require.NoError(t, err)
	assert.InDelta(t, solution.Flow[0], points[0].Flow, 1e-9)
	// System slope by central difference of whole solves.
	const h = 1e-5
	asked := func(q float64) float64 {
		x, err := s.SolveAt(p, 0, q, nil)
		require.NoError(t, err)
		return x.Pressure[1] - x.Pressure[0]
	}
	assert.InEpsilon(t, (asked(points[0].Flow+h)-asked(points[0].Flow-h))/(2*h), points[0].SystemSlope, 1e-6)
}

func TestPortWhereTheMachineIsTheOnlyWay(t *testing.T) {
	top, err := New(3, []Edge{{0, 1}, {2, 1}}, []int{0})
	require.NoError(t, err)
	p := &Problem{Laws: []Law{Linear{5}, nil}, Known: []float64{0}, Injection: []float64{0, 0, .25}}
	s := top.NewSolver()
	points, err := s.OperatingPoints(p, 1, stallMachine(t))
	require.NoError(t, err)
	require.Len(t, points, 1)
	assert.Equal(t, .25, points[0].Flow)
	assert.True(t, points[0].Stable)
	_, err = s.SolveAt(p, 1, .25, nil)
	var lost *DisconnectedError
	require.ErrorAs(t, err, &lost)
	assert.Equal(t, []int{2}, lost.Nodes)
}

func TestPortRefusesBadMachines(t *testing.T) {
	top, err := New(2, []Edge{{0, 1}, {1, 0}}, []int{0})
	require.NoError(t, err)
	p := &Problem{Laws: []Law{nil, Linear{5}}, Known: []float64{0}}
	s := top.NewSolver()
	for name, m := range map[string]Machine{
		"no breaks":     machineFunc{nil, func(q float64) (float64, float64) { return 1 - q, -1 }},
		"not ascending": machineFunc{[]float64{1, 0}, func(q float64) (float64, float64) { return 1 - q, -1 }},
		"not finite":    machineFunc{[]float64{0, 1}, func(q float64) (float64, float64) { return math.NaN(), -1 }},
		"ever rising":   machineFunc{[]float64{0, 1}, func(q float64) (float64, float64) { return 1 + 9*q, 9 }},
	} {
		points, err := s.OperatingPoints(p, 0, m)
		assert.Error(t, err, name)
		assert.Empty(t, points, name)
	}
}

type machineFunc struct {
	breaks []float64
	rise   func(float64) (float64, float64)
}

func (m machineFunc) Rise(q float64) (float64, float64) { return m.rise(q) }
func (m machineFunc) Breaks() []float64                 { return m.breaks }

func TestReliefAcrossMachine(t *testing.T) {
	// Computed from the formulas by another program (regression): a relief device across a machine 250 − 100q − 500q² as a zone of
	// 400/z² shuts.
	edges := []Edge{{0, 1}, {1, 0}, {1, 0}}
	want := []struct{ z, pressure, flow float64 }{{1, 65.51, .1109}, {.5, 74.25, .2858}, {.2, 80.06, .4020}, {.1, 82.10, .4428}, {.05, 83.13, .4635}}
	for _, w := range want {
		t.Run(fmt.Sprintf("z=%g", w.z), func(t *testing.T) {
			_, s := network(t, 2, edges, []int{0}, &Problem{Laws: []Law{quadraticMachine{250, -100, -500}, Power{400 / (w.z * w.z), 2, 1e-6},
				relief{u0: 60, k: 50, leak: 1e-5, open: 150}}, Known: []float64{0}, Scale: .3})
			assert.InDelta(t, w.pressure, s.Pressure[1], 5e-3)
			assert.InDelta(t, w.flow, s.Flow[2], 5e-5)
			assert.LessOrEqual(t, s.Iterations, 12)
		})
	}
}

func TestReliefAtItsSetPressure(t *testing.T) {
	// The kink exactly at the solution: a constant pressure of 60 across the device leaves it at its opening point.
	_, s := network(t, 2, []Edge{{0, 1}, {1, 0}}, []int{0, 1},
		&Problem{Laws: []Law{relief{60, 50, 1e-5, 150}, relief{60, 50, 1e-5, 150}}, Known: []float64{60, 0}})
	assert.InDelta(t, 6e-4, s.Flow[0], 1e-12)
	assert.InDelta(t, -6e-4, s.Flow[1], 1e-12)
}
