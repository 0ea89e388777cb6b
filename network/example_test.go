package network_test

import (
	"fmt"

	"spillway/network"
)

// A mistake is told with its place and the likely fix; all mistakes of a file come in one list.
func ExampleRead() {
	const file = `[zone]
day = { wants = "500 cfm", damper = "dya" }
[damper]
day = { stop = "25 inwc" }
`
	job, found := network.Read("house.toml", []byte(file), network.Options{})
	fmt.Println(job == nil, len(found.Errors()) > 2)
	for _, d := range found.Errors() {
		if d.Line == 2 || d.Line == 4 {
			fmt.Printf("line %d: %s; %s\n", d.Line, d.Summary, d.Fix)
		}
	}
	// Output:
	// true true
	// line 2: there is no damper "dya"; did you mean "day"?
	// line 4: damper "day" sits in no duct; write damper = "day" in the line that it sits in
	// line 4: "25 inwc" is a pressure, but a percentage is meant here; write a percentage, such as "25 %"
}
