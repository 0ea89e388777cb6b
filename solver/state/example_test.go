package state_test

import (
	"fmt"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/state"
)

// exampleJob is a job file: one trunk, two zones.
const exampleJob = `
[equipment]
cooling = { capacity = "2 ton", tap = "high" }
blower  = { table = "generic psc 2 ton" }
filter  = { drop = "0.08 inwc", at = "800 cfm" }
coil    = { drop = "0.14 inwc", at = "800 cfm" }
[zone]
day = { wants = "500 cfm", damper = "day" }
bed = { wants = "300 cfm", damper = "bed" }
[damper]
day = { stop = "25 %" }
bed = { stop = "0 %" }
[supply]
trunk     = { from = "supply plenum", size = "16x8 in", length = "8 ft" }
day-trunk = { from = "trunk", size = "12 in", length = "16 ft", fittings = ["straight on"], damper = "day" }
bed-trunk = { from = "trunk", size = "9 in", length = "18 ft", fittings = ["wye 45"], damper = "bed" }
living    = { from = "day-trunk", size = "8 in", length = "14 ft", fittings = ["wye 45", "boot"], register = "12x6 in" }
dining    = { from = "day-trunk", size = "8 in", length = "18 ft", fittings = ["wye 45", "boot"], register = "12x6 in" }
bed-1     = { from = "bed-trunk", size = "7 in", length = "12 ft", fittings = ["wye 45", "boot"], register = "10x6 in" }
bed-2     = { from = "bed-trunk", size = "7 in", length = "16 ft", fittings = ["wye 45", "boot"], register = "10x6 in" }
[return]
grille = { to = "return plenum", grille = "20x16 in", size = "16 in", length = "12 ft" }
`

// From a job file to where the surplus goes: read, build, solve, and walk the ledger. The package opens no files; the bytes come from
// the caller.
func Example() {
	job, found := network.Read("house.toml", []byte(exampleJob), network.Options{})
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
	for _, cs := range state.States(graph) {
		outcome, err := solver.Solve(cs)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %.0f cfm\n", cs.Name, outcome.Blower.Airflow/quantity.CFM)
		for _, path := range outcome.Ledger.Paths {
			fmt.Printf("  %-7s %-4s %3.0f cfm\n", path.Kind, path.To, path.Airflow/quantity.CFM)
		}
	}
	// Output:
	// cooling: day: 700 cfm
	//   wanted  day  500 cfm
	//   calling day  191 cfm
	//   bleed   bed    9 cfm
	// cooling: bed: 668 cfm
	//   wanted  bed  300 cfm
	//   calling bed  253 cfm
	//   bleed   day  115 cfm
	// cooling: all zones: 768 cfm
	//   wanted  day  453 cfm
	//   wanted  bed  300 cfm
	//   calling day    0 cfm
	//   calling bed   16 cfm
}

// A setting is changed by an override of the file, as the flag --set does.
func ExampleSolver_Solve() {
	for _, stop := range []string{"0 %", "25 %", "50 %"} {
		job, _ := network.Read("house.toml", []byte(exampleJob), network.Options{Set: []string{"damper.day.stop=" + stop}})
		graph, _ := network.Build(job)
		solver, _ := state.New(graph)
		for _, cs := range state.States(graph) {
			if cs.Name != "cooling: bed" {
				continue
			}
			outcome, err := solver.Solve(cs)
			if err != nil {
				fmt.Println(err)
				return
			}
			fmt.Printf("stop %-4s  %3.0f cfm of surplus\n", stop, outcome.Ledger.Surplus/quantity.CFM)
		}
	}
	// Output:
	// stop 0 %   330 cfm of surplus
	// stop 25 %  368 cfm of surplus
	// stop 50 %  433 cfm of surplus
}
