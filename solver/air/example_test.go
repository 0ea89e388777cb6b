package air_test

import (
	"fmt"

	"spillway/solver/air"
)

// Room air and outdoor air meet before a coil: enthalpy and water mix by the masses of dry air.
func ExampleFromEnthalpy() {
	const pressure = air.StandardPressure
	room, err := air.FromRelativeHumidity(24, 0.50, pressure)
	if err != nil {
		fmt.Println(err)
		return
	}
	outdoors, err := air.FromWetBulb(35, 24, pressure)
	if err != nil {
		fmt.Println(err)
		return
	}
	mixed := air.FromEnthalpy(0.9*room.Enthalpy()+0.1*outdoors.Enthalpy(), 0.9*room.HumidityRatio+0.1*outdoors.HumidityRatio)
	wet, err := mixed.WetBulb(pressure)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f °C, wet bulb %.1f °C, %.3f kg/m³\n", mixed.Temperature, wet, mixed.Density(pressure))
	// Output:
	// 25.1 °C, wet bulb 17.9 °C, 1.177 kg/m³
}

// Air at a mile of elevation is a sixth thinner, so a register that is to carry the same heat must pass more of it.
func ExamplePressure() {
	for _, elevation := range []float64{0, 1609} {
		fmt.Printf("%4.0f m: %.3f kg/m³\n", elevation, air.Density(20, air.Pressure(elevation)))
	}
	// Output:
	//    0 m: 1.204 kg/m³
	// 1609 m: 0.991 kg/m³
}
