package state_test

import (
	"testing"

	"spillway/network/networktest"
	"spillway/solver/state"
)

// BenchmarkSolve is one call state of the two-floor house, flow and heat in agreement, time courses and certificate included.
func BenchmarkSolve(b *testing.B) {
	for _, c := range []struct{ name, job, alternative, state string }{
		{"heating with bleed", "two-floor", "", "heating: loft"},
		{"cooling with bleed", "two-floor", "", "design-cooling: loft"},
		{"cooling with bypass", "two-floor", "bypass-to-plenum", "design-cooling: loft"},
		{"constant pressure bypass", "three-zone", "motorised-bypass", "heating stage 1: studio"},
	} {
		b.Run(c.name, func(b *testing.B) {
			g := networktest.Graph(b, c.job, c.alternative)
			s, err := state.New(g)
			if err != nil {
				b.Fatal(err)
			}
			for _, cs := range state.States(g) {
				if cs.Name != c.state {
					continue
				}
				for _, solver := range []struct {
					name string
					*state.Solver
				}{{"whole", s}, {"quick", s.Quick()}} {
					b.Run(solver.name, func(b *testing.B) {
						b.ReportAllocs()
						for b.Loop() {
							if _, err := solver.Solve(cs); err != nil {
								b.Fatal(err)
							}
						}
					})
				}
			}
		})
	}
}

// BenchmarkSolveAll is every call state of a job, side by side on all cores.
func BenchmarkSolveAll(b *testing.B) {
	for _, job := range []string{"first-look", "two-floor", "three-zone", "four-zone"} {
		b.Run(job, func(b *testing.B) {
			s, err := state.New(networktest.Graph(b, job, ""))
			if err != nil {
				b.Fatal(err)
			}
			states := state.States(networktest.Graph(b, job, ""))
			for b.Loop() {
				if _, err := s.SolveAll(states); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(states)), "states")
		})
	}
}
