package jet_test

import (
	"fmt"

	"spillway/solver/sound/jet"
)

// A sidewall register cooling a room 4 m deep, at the small flow that a damper's stop lets through.
func ExampleRegister_Assess() {
	sidewall, _ := jet.Lookup("high sidewall")
	a, err := jet.Register{Pattern: sidewall, Flow: 0.014, Area: 0.0465, Drop: 0.2,
		Air: jet.Air{Supply: 13, Room: 24}, Reach: 4, Height: 2.2, Ceiling: 2.4, WantedFlow: 0.057}.Assess()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("throws %.1f m of 4 m, dumps: %v\n", a.Throws.T025, a.Dumping)
	// Output:
	// throws 1.2 m of 4 m, dumps: leaves the ceiling early, dies before half the room
}
