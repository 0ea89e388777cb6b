package sound_test

import (
	"fmt"

	"spillway/solver/sound"
)

// A 4 × 10 in. floor register at 150 cfm (0.0708 m³/s), 28 Pa behind it, and no noise from the duct.
func ExampleJudge() {
	outlet := sound.Outlet{Flow: 0.0708, FaceArea: 0.0258, Drop: 28}
	power, _, err := outlet.Power()
	if err != nil {
		fmt.Println(err)
		return
	}
	room, _, err := sound.DefaultRoom().Loss()
	if err != nil {
		fmt.Println(err)
		return
	}
	heard, err := sound.Judge(sound.Opening{Own: power, Borne: sound.Silence()}, room)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(heard)
	// Output:
	// NC 30 (22 to 42)
}

// A zone damper at 40 Pa, heard through an elbow, a split and three metres of flexible duct. Errors are left out for brevity.
func ExampleWay() {
	damper, _, _ := sound.Damper{Flow: 0.165, Drop: 40, Area: 0.0324, Height: 0.203}.Power()
	elbow, _, _ := sound.Bend{Kind: sound.RoundBend, Width: 0.203}.Loss()
	split, _, _ := sound.Split{Branch: 0.0182, All: 0.0364}.Loss()
	flex, _, _ := sound.FlexDuct{Diameter: 0.152, Length: 3}.Loss()
	room, _, _ := sound.DefaultRoom().Loss()
	heard := sound.Way(damper, sound.Quiet(elbow), sound.Quiet(split), sound.Quiet(flex), sound.Quiet(room))
	fmt.Printf("%.0f\n%v\n", heard, sound.RateNC(heard, sound.Classic))
	// Output:
	// [27 23 16 1 -5 -10 -8 -16]
	// NC <15
}
