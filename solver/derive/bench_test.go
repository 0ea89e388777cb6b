package derive_test

import (
	"testing"

	"spillway/network/networktest"
	"spillway/solver/derive"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// Every derivation of one call state of a four-zone house.
func BenchmarkEvery(b *testing.B) {
	o := statetest.SolveAll(b, networktest.Graph(b, "four-zone", ""))[0]
	findings := verdict.Judge(o)
	for b.Loop() {
		n := 0
		derive.New(o, findings).Every(func(_ derive.Name, s *derive.Step) { n++ })
	}
}
