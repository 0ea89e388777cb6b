package study_test

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/solver/session"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// faultsOf counts what is at fault in a job with settings, solved from its file by the plain way:
// no study, no shared solver, no quick solution.
func faultsOf(t *testing.T, job, alternative string, set ...string) int {
	t.Helper()
	s, _, err := session.Open(job, networktest.Example(t, job),
		session.Options{Alternative: alternative, Set: set, NoStops: true})
	require.NoError(t, err)
	cases, err := s.All(context.Background())
	require.NoError(t, err)
	houses, err := session.Houses(cases)
	require.NoError(t, err)
	n := 0
	count := func(list []verdict.Finding) {
		for i := range list {
			if list[i].Level == verdict.Fault {
				n++
			}
		}
	}
	for _, c := range cases {
		count(c.Findings)
	}
	for i := range houses {
		count(houses[i].Findings)
	}
	return n
}

// What mend calls a cure is one when its settings go into the file, no part of it is, and where it
// has none it never makes the house worse.
func TestMendedSetsAreSmallestCures(t *testing.T) {
	for _, job := range []string{"two-floor", "first-look", "noisy-bedroom"} {
		for _, alternative := range networktest.Alternatives(t, networktest.Example(t, job)) {
			s := study.New(job, networktest.Example(t, job), study.Options{})
			m, err := s.Mend(study.Variant{Alternative: alternative}, 4000)
			require.NoError(t, err)
			require.Equal(t, faultsOf(t, job, alternative), m.Before.Faults, "%s %s", job,
				alternative)
			for _, e := range m.Sets {
				assert.Zero(t, faultsOf(t, job, alternative, e.Set...), "%s %s: %v", job,
					alternative, e.Set)
				for i := range e.Moves {
					var less []string
					for k, move := range e.Moves {
						if k != i {
							less = append(less, move.Set...)
						}
					}
					assert.NotZero(t, faultsOf(t, job, alternative, less...),
						"%s %s: %v does it without %s", job, alternative, less, e.Moves[i].Words)
				}
			}
			if m.Best != nil {
				assert.Empty(t, m.Sets)
				assert.Less(t, m.Best.Faults, m.Before.Faults)
				assert.Equal(t, m.Best.Faults, faultsOf(t, job, alternative, m.Best.Set...))
			}
		}
	}
}

// Brute force over every single change and every pair of first-look, each read from the file, finds
// the same smallest cures.
func TestMendAgreesWithBruteForce(t *testing.T) {
	if testing.Short() {
		t.Skip("hundreds of houses from their files")
	}
	const job = "first-look"
	s := study.New(job, networktest.Example(t, job), study.Options{})
	m, err := s.Mend(study.Variant{}, 0)
	require.NoError(t, err)
	require.GreaterOrEqual(t, m.Proven, 2)
	path := func(set string) string { p, _, _ := strings.Cut(set, "="); return p }
	cures := map[string]bool{}
	single := map[int]bool{}
	for i, a := range m.Moves {
		if faultsOf(t, job, "", a.Set...) == 0 {
			single[i], cures[a.Words] = true, true
		}
	}
	for i, a := range m.Moves {
		for k, b := range m.Moves[:i] {
			clash := slices.ContainsFunc(a.Set, func(x string) bool {
				return slices.ContainsFunc(b.Set, func(y string) bool { return path(x) == path(y) })
			})
			if !clash && !single[i] && !single[k] && faultsOf(t, job, "",
				append(slices.Clone(b.Set), a.Set...)...) == 0 {
				cures[b.Words+"; "+a.Words] = true
			}
		}
	}
	require.NotEmpty(t, m.Sets)
	for _, e := range m.Sets {
		if len(e.Moves) > 2 {
			continue
		}
		words := e.Moves[0].Words
		if len(e.Moves) == 2 {
			words += "; " + e.Moves[1].Words
		}
		assert.True(t, cures[words], "%s is no smallest cure by brute force", words)
	}
	if len(single) == 0 {
		assert.Greater(t, len(m.Sets[0].Moves), 1)
	} else {
		assert.Len(t, m.Sets[0].Moves, 1)
	}
}

// A cause is never said to be helped by a change that brings more into fault than it takes away.
func TestCuresNeverHarm(t *testing.T) {
	for _, job := range []string{"two-floor", "first-look", "noisy-bedroom"} {
		s := study.New(job, networktest.Example(t, job), study.Options{})
		r, err := s.Solve(study.Variant{})
		require.NoError(t, err)
		before, err := s.Try(study.Variant{})
		require.NoError(t, err)
		tried, err := s.TryAll(study.Variant{}, study.Moves(r.Graph, r.Outcomes))
		require.NoError(t, err)
		require.NotEmpty(t, tried)
		helped := 0
		for i := range before.Digest.Causes {
			c := &before.Digest.Causes[i]
			for _, cure := range study.CuresOf(c, before, tried) {
				helped++
				assert.LessOrEqual(t, cure.Faults, before.Faults)
				if cure.Left != nil {
					assert.Less(t, cure.Left.Harm, c.Harm, "%s: %s", cure.Moves[0].Words, c.Title())
				}
			}
		}
		assert.NotZero(t, helped, job)
	}
}

// A house of 74 call states is screened in those at fault, and misses nothing by it: what all moves
// in all states would offer first, or one that clears as much, is offered with the same figures.
func TestScreeningMovesMissesNoCure(t *testing.T) {
	g := networktest.Graph(t, "four-zone", "")
	few, err := study.Cures(g)
	require.NoError(t, err)
	s := study.New("four-zone", networktest.Example(t, "four-zone"), study.Options{})
	r, err := s.Solve(study.Variant{})
	require.NoError(t, err)
	all, err := s.TryAll(study.Variant{}, study.Moves(r.Graph, r.Outcomes))
	require.NoError(t, err)
	require.Less(t, len(few.Each), len(all), "nothing was screened")
	causes := 0
	for i := range few.Before.Digest.Causes {
		c := &few.Before.Digest.Causes[i]
		if c.Level != verdict.Fault {
			continue
		}
		causes++
		got, want := study.CuresOf(c, few.Before, few.Each), study.CuresOf(c, few.Before, all)
		require.NotEmpty(t, want, c.Title())
		require.NotEmpty(t, got, c.Title())
		assert.Equal(t, want[0].Faults, got[0].Faults, c.Title())
		assert.Equal(t, want[0].Cleared, got[0].Cleared, c.Title())
		assert.True(t, slices.ContainsFunc(want, func(w study.Cure) bool {
			return slices.Equal(w.Set, got[0].Set) && math.Abs(w.Static-got[0].Static) < 1e-6
		}), c.Title())
	}
	assert.NotZero(t, causes)
}
