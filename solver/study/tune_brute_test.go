package study_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// grave reports whether a fault is of those that tuning never gives up.
func grave(f study.Fault) bool {
	class := verdict.ClassOf(f.Name)
	return class.Hard() || class == verdict.Zoning
}

// lostWorst is the greatest part of a call that does not reach its callers.
func lostWorst(p *study.Report) float64 {
	worst := 0.0
	for i := range p.States {
		worst = math.Max(worst, 1-p.Value(i, "delivered share", ""))
	}
	return worst
}

// points lists every combination of values of settings.
func points(moves []study.Span, upTo func(move int) int) [][]string {
	list := [][]string{nil}
	for k := range moves {
		var next [][]string
		for _, at := range list {
			for i := range upTo(k) {
				next = append(next, append(at[:len(at):len(at)], moves[k].Value(i)))
			}
		}
		list = next
	}
	return list
}

func set(moves []study.Span, at []string) (v study.Variant) {
	for k, m := range moves {
		v = v.With(m.Path, at[k])
	}
	return v
}

// Brute force over the marks of every example agrees with what tune finds for its stops. Where it
// proposes: every position that is nowhere wider and somewhere narrower has a fault of what was
// kept, or loses more. Where it proposes nothing: every position on the grid has a fault of a hard
// limit or of the zoning. Every position is solved without the search: its boxes, bounds and order
// of states have no part.
func TestBruteForceOfEveryExample(t *testing.T) {
	for _, c := range []struct {
		job        string
		infeasible bool
		long       bool
	}{
		{job: "first-look"}, {job: "two-floor"}, {job: "two-floor-si", infeasible: true},
		{job: "noisy-bedroom", infeasible: true}, {job: "three-zone", long: true},
		{job: "four-zone", long: true},
	} {
		t.Run(c.job, func(t *testing.T) {
			if testing.Short() && c.long {
				t.Skip("-short leaves out jobs of many call states")
			}
			s := open(t, c.job, study.Options{})
			g, err := s.Read(study.Variant{})
			require.NoError(t, err)
			moves := study.DefaultMoves(g, 0)
			found, err := s.Tune(study.Variant{}, study.Goal{Moves: moves, Priority: study.Least})
			require.NoError(t, err)
			require.True(t, found.Proved || found.Dropped > study.DropNone)
			require.Equal(t, c.infeasible, found.Infeasible)
			upTo := func(int) int { return 11 }
			tried := slices.Clone(moves)
			if c.infeasible {
				for k := range moves { // every tenth per cent
					tried[k].Steps = 11
				}
			} else {
				upTo = func(k int) int {
					for i := range moves[k].Len() {
						if moves[k].Value(i) == found.Values[k] {
							return i + 1
						}
					}
					t.Fatalf("%s is not on a mark of %s", found.Values[k], moves[k].Path)
					return 0
				}
			}
			counts := func(f study.Fault) bool {
				for _, n := range found.Never {
					if n.Check == f.Check {
						return false
					}
				}
				class := verdict.ClassOf(f.Name)
				return grave(f) || found.Dropped < study.DropComfort && !c.infeasible &&
					(class == verdict.Comfort || found.Dropped == study.DropNone)
			}
			faults := func(p *study.Report) (n int) {
				for _, f := range p.Faults(false) {
					if counts(f) {
						n++
					}
				}
				return n
			}
			smaller := 0
			for _, at := range points(tried, upTo) {
				if !c.infeasible && strings.Join(at, ";") == strings.Join(found.Values, ";") {
					continue
				}
				p, err := s.Report(set(tried, at))
				require.NoError(t, err)
				if c.infeasible || lostWorst(p) <= lostWorst(found.Report)+1e-4 {
					assert.NotZero(t, faults(p), "%v keeps every limit that counts", at)
				}
				smaller++
			}
			if !c.infeasible {
				assert.Zero(t, faults(found.Report))
			}
			t.Logf("%v: %d other positions", found.Values, smaller)
		})
	}
}

// What tune finds for a house with a relief as well, over a coarse grid of all its settings: no
// position that keeps what was kept lets more of the worst call reach its callers.
func TestNothingServesBetterWithReliefs(t *testing.T) {
	if testing.Short() {
		t.Skip("hundreds of houses")
	}
	const job = "two-floor"
	for _, alternative := range networktest.Alternatives(t, networktest.Example(t, job)) {
		if alternative == "" {
			continue
		}
		s := open(t, job, study.Options{})
		base := study.Variant{Alternative: alternative}
		g, err := s.Read(base)
		require.NoError(t, err)
		moves := study.DefaultMoves(g, 0)
		require.Len(t, moves, 3)
		found, err := s.Tune(base, study.Goal{Moves: moves, Priority: study.Least})
		require.NoError(t, err)
		kept := 0
		for a := 0; a < 21; a += 2 {
			for b := 0; b < 21; b += 4 {
				for c := 0; c < moves[2].Len(); c += 4 {
					v := base.With(moves[0].Path, moves[0].Value(a)).
						With(moves[1].Path, moves[1].Value(b)).
						With(moves[2].Path, moves[2].Value(c))
					for _, l := range moves[2].Links {
						v = v.With(l.Path, l.Beside(moves[2].Value(c)))
					}
					p, err := s.Report(v)
					require.NoError(t, err)
					bad := 0
					for _, f := range p.Faults(false) {
						class := verdict.ClassOf(f.Name)
						if grave(f) || found.Dropped < study.DropComfort &&
							(class == verdict.Comfort ||
								found.Dropped == study.DropNone) {
							bad++
						}
					}
					if bad > 0 {
						continue
					}
					kept++
					if found.Proved {
						assert.GreaterOrEqual(t, lostWorst(p), lostWorst(found.Report)-1e-3, "%v",
							v.Set)
					}
				}
			}
		}
		t.Logf("%s: %v; %d positions keep as much", alternative, found.Values, kept)
	}
}
