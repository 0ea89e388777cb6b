package quantity_test

import (
	"fmt"

	"spillway/network/quantity"
)

// A quantity is read in the units people write it in and kept in SI; a bare number has the unit of the system.
func ExampleKind_Parse() {
	for _, text := range []string{"0.5 inwc", "0.5 in. w.c.", "125 Pa", "0.5"} {
		pascal, err := quantity.KindPressure.Parse(text, quantity.IP)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%-12s %.1f Pa, %s\n", text, pascal, quantity.Pressure(pascal).Text(quantity.IP))
	}
	// Output:
	// 0.5 inwc     124.5 Pa, 0.500 in. w.c.
	// 0.5 in. w.c. 124.5 Pa, 0.500 in. w.c.
	// 125 Pa       125.0 Pa, 0.502 in. w.c.
	// 0.5          124.5 Pa, 0.500 in. w.c.
}
