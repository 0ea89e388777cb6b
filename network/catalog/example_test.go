package catalog_test

import (
	"fmt"

	"spillway/network/catalog"
	"spillway/network/section"
)

// A row comes back with the number and with where it comes from.
func ExampleLookupMaterial() {
	m, ok := catalog.LookupMaterial("flex")
	fmt.Println(ok, m.Roughness, "m")
	fmt.Println(m.Source)
	// Output:
	// true 0.0009 m
	// Handbook of Fundamentals 2021 (SI), chapter 21 Duct Design, Table 1, nonmetallic and wire, fully extended, medium rough
}

// Fittings are read by their name, with any angle and radius.
func ExampleLookupFitting() {
	f, _ := catalog.LookupFitting("elbow 45 smooth r1.0")
	c, _ := f.Coefficient(section.NewRound(0.2), 0)
	fmt.Printf("%s: %.3f\n", f.Name, c)

	f, _ = catalog.LookupFitting("boot")
	c, _ = f.Coefficient(section.NewRound(0.15), 0)
	fmt.Printf("%s: %.1f, %v\n", f.Name, c, f.Source.Mark)

	_, ok := catalog.LookupFitting("elbo 90")
	fmt.Println(ok)
	// Output:
	// elbow 45 smooth r1.0: 0.132
	// boot 90: 1.3, our choice
	// false
}

// Junctions give K on the combined velocity pressure and its slope; the damper's loss runs to its leak.
func ExampleLookupJunction() {
	tee, _ := catalog.LookupJunction("tee")
	k, slope := tee.DivergingBranch(0.5, 1)
	fmt.Printf("%.3f %.1f\n", k, slope)
	fmt.Printf("%.0f\n", catalog.Zeta(catalog.RoundBlade, catalog.BladeAngle(0), catalog.Setting{}))
	// Output:
	// 1.075 0.3
	// 9093
}
