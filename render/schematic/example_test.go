package schematic_test

import (
	"bytes"
	"fmt"
	"os"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/schematic"
	"spillway/solver/state"
)

// outcomesOf solves the smallest example in all its call states.
func outcomesOf(file string) ([]*state.Outcome, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	job, found := network.Read(file, text, network.Options{})
	if job == nil {
		return nil, found
	}
	graph, err := network.Build(job)
	if err != nil {
		return nil, err
	}
	solver, err := state.New(graph)
	if err != nil {
		return nil, err
	}
	return solver.SolveAll(state.States(graph))
}

// One call state as a picture. The bytes are the same for the same outcome and options.
func ExampleDraw() {
	outcomes, err := outcomesOf("../../examples/first-look.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	var svg bytes.Buffer
	if err := schematic.Draw(&svg, outcomes[1], schematic.Options{Units: quantity.IP}); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(outcomes[1].State.Name, bytes.HasPrefix(svg.Bytes(), []byte("<svg ")) || bytes.HasPrefix(svg.Bytes(), []byte("<?xml ")))
	// Output:
	// cooling: bed true
}

// The scene behind the picture: every duct as a ribbon with its share of surplus. A layout serves all call states of a graph.
func ExamplePlan_Scene() {
	outcomes, err := outcomesOf("../../examples/first-look.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	plan := schematic.Lay(outcomes[0].Graph)
	for _, o := range outcomes {
		scene, err := plan.Scene(o, schematic.Options{Units: quantity.IP})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %d ribbons\n", o.State.Name, len(scene.Ribbons))
	}
	// Output:
	// cooling: day: 17 ribbons
	// cooling: bed: 17 ribbons
	// cooling: all zones: 17 ribbons
}
