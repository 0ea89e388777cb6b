package resist_test

import (
	"fmt"
	"math"

	"spillway/network/catalog"
	"spillway/solver/air"
	"spillway/solver/resist"
)

// A run of duct with an elbow in it: 240 L/s through 270 mm of galvanised duct lose 0.8 Pa/m (Handbook of Fundamentals 2021 (SI),
// chapter 21, Table 13).
func ExampleNewDuct() {
	run, err := resist.NewDuct(resist.DuctData{
		Area: math.Pi * 0.270 * 0.270 / 4, Length: 10, Roughness: 0.09e-3, Local: 0.15, Air: air.Standard(),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	q := 0.240 * air.StandardDensity
	drop, slope := run.Drop(q)
	fmt.Printf("%.1f Pa, of which %.1f by friction; %.0f Pa more per kg/s\n", drop, run.FrictionDrop(q), slope)
	// Output:
	// 9.6 Pa, of which 8.0 by friction; 62 Pa more per kg/s
}

// A zone damper half open and shut. What passes when shut is decided by its leak alone.
func ExampleNewLocal_damper() {
	area := math.Pi * 0.250 * 0.250 / 4
	leak := catalog.LeakZeta(catalog.DefaultDamperLeakage)
	for _, open := range []float64{100, 50, 0} {
		zeta := catalog.Zeta(catalog.RoundBlade, catalog.BladeAngle(open), catalog.Setting{ClosedZeta: leak})
		law, err := resist.NewLocal(zeta, area, air.Standard())
		if err != nil {
			fmt.Println(err)
			return
		}
		drop, _ := law.Drop(0.05 * air.StandardDensity) // 50 L/s
		fmt.Printf("%3.0f %% open: ζ %.4g, %.3g Pa\n", open, law.Coefficient(), drop)
	}
	// Output:
	// 100 % open: ζ 0.1883, 0.117 Pa
	//  50 % open: ζ 17, 10.6 Pa
	//   0 % open: ζ 9093, 5.67e+03 Pa
}

// A weighted bypass damper opens by itself: shut up to 75 Pa, and then pressure and flow find each other.
func ExampleNewRelief() {
	damper, err := resist.NewRelief(resist.ReliefData{SetPressure: 75, ArmAngle: 30, Area: 0.05, LeakFraction: 0.02, Air: air.Standard()})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, pressure := range []float64{70, 80, 100, 130} {
		fmt.Printf("%3.0f Pa: %2.0f°, %3.0f L/s\n", pressure, damper.OpeningAt(pressure), 1000*damper.Flow(pressure)/air.StandardDensity)
	}
	// Output:
	//  70 Pa:  0°,   6 L/s
	//  80 Pa:  7°,   9 L/s
	// 100 Pa: 30°,  65 L/s
	// 130 Pa: 52°, 248 L/s
}
