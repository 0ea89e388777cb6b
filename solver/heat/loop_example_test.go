package heat_test

import (
	"fmt"
	"math"

	"spillway/solver/air"
	"spillway/solver/heat"
)

// A bypass sends a fifth of the blower's air round again. The rise across the furnace stays; what rises is its level. A rise of 28 K
// (50 °F) above a return of 21 °C (70 °F) then enters at 28 °C and leaves at 56 °C.
func ExampleRecirculation() {
	loop := heat.Recirculation{Return: 21, Rise: 28}
	fmt.Printf("enters at %.0f °C, leaves at %.0f °C\n", loop.Leaving(0.2)-loop.Rise, loop.Leaving(0.2))
	// Output:
	// enters at 28 °C, leaves at 56 °C
}

// How long a furnace on a third of recirculation runs until its limit opens.
func ExampleLoop_TimeTo() {
	loop := heat.Loop{
		MassFlow: 0.45, SpecificHeat: air.SpecificHeatDry, Share: 0.35, Output: 18e3,
		Exchanger: heat.TypicalExchanger(18e3), Return: 21,
	}
	for _, limit := range []float64{65, 76.7, 90} {
		t, err := loop.TimeTo(limit, math.Inf(1))
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.1f °C after %.0f s\n", limit, t)
	}
	// Output:
	// 65.0 °C after 188 s
	// 76.7 °C after 357 s
	// 90.0 °C after +Inf s
}
