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
	bedroom := sound.Room{Volume: 33, Distance: 1.5}
	room, _, err := bedroom.Loss()
	if err != nil {
		fmt.Println(err)
		return
	}
	heard, err := sound.Judge(sound.Opening{Own: power, Borne: sound.Silence()}, room)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("NC", sound.Shown(heard.NC.Number), "in a band of", sound.ShownBand(heard.Low, heard.High))
	// Output:
	// NC 30 in a band of 22 to 42
}

// A zone damper at 40 Pa, heard through an elbow, a split and three metres of flexible duct. Errors are left out for brevity.
func ExampleSpectrum_Less() {
	damper, _, _ := sound.Damper{Flow: 0.165, Drop: 40, Area: 0.0324, Height: 0.203}.Power()
	elbow, _, _ := sound.Bend{Kind: sound.RoundBend, Width: 0.203}.Loss()
	split, _, _ := sound.Split{Branch: 0.0182, All: 0.0364}.Loss()
	flex, _, _ := sound.FlexDuct{Diameter: 0.152, Length: 3}.Loss()
	room, _, _ := sound.Room{Volume: 33, Distance: 1.5}.Loss()
	heard := damper.Less(elbow).Less(split).Less(flex).Less(room)
	fmt.Printf("%.0f\nunder NC 15: %v\n", heard, sound.RateNC(heard).Below)
	// Output:
	// [27 23 16 1 -5 -10 -8 -16]
	// under NC 15: true
}
