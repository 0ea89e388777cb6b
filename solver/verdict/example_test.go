package verdict_test

import (
	"fmt"
	"os"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// What is wrong in one call state, worst first, each with the limit it is held against.
func ExampleJudge() {
	text, err := os.ReadFile("../../examples/first-look.toml")
	if err != nil {
		fmt.Println(err)
		return
	}
	job, found := network.Read("first-look.toml", text, network.Options{})
	if job == nil {
		fmt.Println(found)
		return
	}
	graph, err := network.Build(job)
	if err != nil {
		fmt.Println(err)
		return
	}
	solver, err := state.New(graph)
	if err != nil {
		fmt.Println(err)
		return
	}
	outcome, err := solver.Solve(state.CallState{Name: "only the bedrooms", Mode: network.Cooling, Calling: []string{"bed"}, Stage: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range verdict.Judge(outcome) {
		if f.Level == verdict.Fault {
			fmt.Printf("%s: %s %s, %.3g against %s %.3g\n", f.Level, f.Check, f.Where, f.Value, f.Bounds, f.Limit)
		}
	}
	// Output:
	// fault: duct velocity bed-trunk, 6.17 against at most 4.57
	// fault: external static , 152 against at most 125
	// fault: duct velocity bed-1, 5.1 against at most 4.57
	// fault: duct velocity bed-2, 5.1 against at most 4.57
}

// The checks and their limits without a job: the defaults, each with its source and the key of [limits] that overrides it.
func ExampleLimits() {
	for _, l := range verdict.Limits(nil) {
		if l.Check == "external static" || l.Check == "bypass share" {
			fmt.Printf("%s: caution from %.3g, fault from %.3g; limits.%s\n", l.Check, l.Caution, l.Fault, l.Key)
		}
	}
	fmt.Printf("(%.0f Pa are 0.5 in. of water)\n", 0.5*quantity.InchWater)
	// Output:
	// external static: caution from 112, fault from 125; limits.max-static
	// bypass share: caution from 0.2, fault from 0.35; limits.bypass-share
	// (125 Pa are 0.5 in. of water)
}
