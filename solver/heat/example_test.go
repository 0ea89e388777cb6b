package heat_test

import (
	"fmt"

	"spillway/solver/air"
	"spillway/solver/heat"
)

// A furnace with a bypass: room → return → furnace → plenum → room, and a third of the plenum's air back to the return.
func ExampleSolver_Solve() {
	const blower, bypass, output = 0.6, 0.2, 18000.0 // kg/s, kg/s, W
	room := air.Moist{Temperature: 20, HumidityRatio: 0.006}
	network := &heat.Network{
		Pressure: air.StandardPressure,
		Nodes:    []heat.Node{{Reservoir: true, State: room}, {}, {}},
		Branches: []heat.Branch{
			{From: 0, To: 1, MassFlow: blower - bypass},
			{From: 1, To: 2, MassFlow: blower, Heat: output},
			{From: 2, To: 0, MassFlow: blower - bypass, Conductance: 10, Ambient: -5},
			{From: 2, To: 1, MassFlow: bypass},
		},
	}
	var solver heat.Solver
	solution, err := solver.Solve(network)
	if err != nil {
		fmt.Println(err)
		return
	}
	furnace, duct := solution.Branches[1], solution.Branches[2]
	fmt.Printf("recirculated %.3f of the blower's air\n", solver.Recirculated(network, 1))
	fmt.Printf("enters at %.1f °C, leaves at %.1f °C, arrives at %.1f °C\n", furnace.In.Temperature, furnace.Out.Temperature, duct.Out.Temperature)
	fmt.Printf("duct %.0f W of %.0f W\n", duct.DuctHeat, furnace.DeviceHeat)
	// Output:
	// recirculated 0.333 of the blower's air
	// enters at 34.7 °C, leaves at 64.2 °C, arrives at 62.6 °C
	// duct -684 W of 18000 W
}
