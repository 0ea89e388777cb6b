package derive_test

import (
	"testing"

	"spillway/solver/derive"
	"spillway/solver/verdict"
)

// Every derivation of one call state of a four-zone house.
func BenchmarkEvery(b *testing.B) {
	o := outcomes(b, "../../examples/four-zone.toml", "")[0]
	findings := verdict.Judge(o)
	for b.Loop() {
		n := 0
		derive.New(o, findings).Every(func(_ derive.Name, s *derive.Step) { n++ })
	}
}
