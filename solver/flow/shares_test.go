package flow

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// BenchmarkColdShares says where the time of a cold solve of the house goes, each share in evaluations of all laws and for the
// whole solve: what is done once (set-up, first flows, certificate, output), the sweeps, and the linear systems. Shares and law sweeps are
// timed by turns; medians of the quotients.
func BenchmarkColdShares(b *testing.B) {
	for _, k := range houseKinds {
		b.Run(k.name, func(b *testing.B) {
			h, s := houseSolver(b, k.kind)
			p := h.problem()
			solution, err := s.Solve(p, nil)
			require.NoError(b, err)
			solution = solution.Clone()
			flow, drop, slope := slices.Clone(s.flow), make([]float64, 60), make([]float64, 60)
			unit := func() { lawSweep(s.laws, flow, drop, slope) }
			for b.Loop() {
				for _, share := range []struct {
					name  string
					times int
					do    func()
				}{
					{"solve", 1, func() { _, _ = s.Solve(p, nil) }},
					{"sweeps", solution.Sweeps, func() { _ = s.evaluateAt(1e-9) }},
					{"systems", solution.Iterations, s.newtonStep},
					{"certificate", 1, func() { _ = s.certify() }},
					{"set-up+output", 1, func() { _ = s.setUp(p, -1, 0); s.output() }},
					{"start", 1, s.likenDrops},
				} {
					_, err := s.Solve(p, nil)
					require.NoError(b, err)
					b.ReportMetric(float64(share.times)*inUnits(unit, share.do), share.name)
				}
			}
		})
	}
}

// inUnits is the time of do over that of unit, timed in batches of about the same length: a longer batch would be interrupted more often.
func inUnits(unit, do func()) float64 {
	const batches = 301
	units, calls := 50, 50
	quotients := make([]float64, batches)
	for round := range 2 {
		for i := range quotients {
			start := time.Now()
			for range units {
				unit()
			}
			middle := time.Now()
			for range calls {
				do()
			}
			quotients[i] = float64(time.Since(middle)) / float64(calls) / (float64(middle.Sub(start)) / float64(units))
		}
		slices.Sort(quotients)
		if about := quotients[batches/2]; round == 0 {
			units, calls = max(1, int(50*about)), 50
			if about < 1 {
				units, calls = 50, int(50/about)
			}
		}
	}
	return quotients[batches/2]
}
