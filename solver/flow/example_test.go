package flow_test

import (
	"fmt"

	"spillway/solver/flow"
)

// A pump lifts water from a pond (node 0) to a junction (node 1), from which two pipes lead to two basins (nodes 2 and 3).
func Example() {
	edges := []flow.Edge{{Tail: 0, Head: 1}, {Tail: 1, Head: 2}, {Tail: 1, Head: 3}}
	topology, err := flow.New(4, edges, []int{0, 2, 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	// Heads in m, flows in m³/s. The pump gives 40 m at rest and 28 m at 0.02 m³/s.
	pump, err := flow.NewTable([]float64{0, .01, .02}, []float64{-40, -36, -28})
	if err != nil {
		fmt.Println(err)
		return
	}
	solver := topology.NewSolver()
	solution, err := solver.Solve(&flow.Problem{
		Laws:  []flow.Law{pump, flow.Power{R: 90e3, N: 2, Eps: 1e-5}, flow.Power{R: 150e3, N: 2, Eps: 1e-5}},
		Known: []float64{0, 20, 22},
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for e, q := range solution.Flow {
		fmt.Printf("edge %d: %.5f m³/s\n", e, q)
	}
	fmt.Printf("head at the junction: %.3f m\n", solution.Pressure[1])
	lo, hi := solver.Interval(1)
	fmt.Printf("edge 1 is known within %t\n", hi-lo < 1e-7)
	// Output:
	// edge 0: 0.01789 m³/s
	// edge 1: 0.01056 m³/s
	// edge 2: 0.00732 m³/s
	// head at the junction: 30.046 m
	// edge 1 is known within true
}

func ExampleSolver_OperatingPoints() {
	// A machine with a stall dip against a constant lift of 160 and a small resistance: three operating points.
	machine, err := flow.NewCurve([]float64{0, .1, .2, .3, .4, .5, .6}, []float64{200, 160, 150, 175, 180, 120, 0})
	if err != nil {
		fmt.Println(err)
		return
	}
	topology, err := flow.New(2, []flow.Edge{{Tail: 0, Head: 1}, {Tail: 1, Head: 0}}, []int{0})
	if err != nil {
		fmt.Println(err)
		return
	}
	problem := &flow.Problem{Laws: []flow.Law{nil, flow.Power{R: 40, N: 2, Eps: 1e-6}}, Source: []float64{0, -160}, Known: []float64{0}}
	points, err := topology.NewSolver().OperatingPoints(problem, 0, machine)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range points {
		fmt.Printf("flow %.4f rise %.2f stable %t\n", p.Flow, p.Rise, p.Stable)
	}
	// Output:
	// flow 0.0977 rise 160.38 stable true
	// flow 0.2531 rise 162.56 stable false
	// flow 0.4381 rise 167.68 stable true
}
