package verdict_test

import (
	"testing"

	"spillway/network/networktest"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// Judging one state, and trying its damper stop, to set beside a solution.
func BenchmarkJudge(b *testing.B) {
	s := statetest.Solver(b, networktest.Graph(b, "two-floor", ""))
	o := statetest.SolveBy(b, s, "design-cooling: loft")
	b.Run("judge", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			verdict.Judge(o)
		}
	})
	b.Run("stops", func(b *testing.B) {
		for b.Loop() {
			if _, err := verdict.StopChecks(s, o); err != nil {
				b.Fatal(err)
			}
		}
	})
}
