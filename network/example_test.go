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

// What is installed becomes a graph: elements between nodes, with every implied part made explicit.
func ExampleBuild() {
	job, found := network.Read("house.toml", []byte(`
[equipment]
cooling = { capacity = "2 ton", tap = "high" }
blower  = { table = "generic psc 2 ton" }
filter  = { drop = "0.08 inwc", at = "800 cfm" }
coil    = { drop = "0.14 inwc", at = "800 cfm" }
[zone]
all = { wants = "700 cfm", damper = "all" }
[damper]
all = { stop = "0 %" }
[supply]
trunk = { from = "supply plenum", size = "16x8 in", length = "8 ft", damper = "all" }
one   = { from = "trunk", size = "9 in", length = "9 ft", fittings = ["wye 45"], register = "14x8 in" }
two   = { from = "trunk", size = "9 in", length = "9 ft", fittings = ["wye 45"], register = "14x8 in" }
[return]
drop = { to = "return plenum", grille = "20x20 in", size = "16 in", length = "6 ft" }
`), network.Options{})
	if job == nil {
		fmt.Println(found)
		return
	}
	graph, err := network.Build(job)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range graph.Elements {
		fmt.Printf("%-9s %-14s %s → %s\n", e.Kind, e.Name, graph.Nodes[e.From].Name, graph.Nodes[e.To].Name)
	}
	// Output:
	// filter    filter         return plenum → blower inlet
	// blower    blower         blower inlet → blower outlet
	// coil      coil           blower outlet → supply plenum
	// damper    all damper     supply plenum → all damper outlet
	// duct      trunk          all damper outlet → trunk at one
	// duct      trunk after one trunk at one → trunk at two
	// duct      one            trunk at one → one end
	// register  one register   one end → house
	// duct      two            trunk at two → two end
	// register  two register   two end → house
	// grille    drop grille    house → drop start
	// duct      drop           drop start → return plenum
}
