package digest_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/solver/digest"
	"spillway/solver/session"
	"spillway/solver/verdict"
)

// digested is a job's digest and what went into it.
func digested(t *testing.T, job, alternative string, set ...string) (*digest.Digest,
	[]*session.Case) {
	t.Helper()
	s, _, err := session.Open(job, networktest.Example(t, job),
		session.Options{Alternative: alternative, Set: set, Quick: true})
	require.NoError(t, err)
	cases, err := s.All(context.Background())
	require.NoError(t, err)
	houses, err := session.Houses(cases)
	require.NoError(t, err)
	reports := make([]digest.Report, len(cases))
	for i, c := range cases {
		reports[i] = digest.Report{Outcome: c.Outcome, Findings: c.Findings}
	}
	return digest.Of(reports, houses), cases
}

// Every finding that is not in order is behind exactly one cause, and none stands above a graver
// one.
func TestEveryFindingHasOneCause(t *testing.T) {
	for _, job := range networktest.Examples(t) {
		for _, alternative := range networktest.Alternatives(t, networktest.Example(t, job)) {
			d, cases := digested(t, job, alternative)
			behind := map[*verdict.Finding]int{}
			faulty := 0
			for _, list := range [][]digest.Cause{d.Causes, d.Notes} {
				for i := range list {
					c := &list[i]
					assert.Equal(t, len(c.Members), c.Faults+c.Cautions)
					for k, m := range c.Members {
						behind[m.Finding]++
						assert.False(t, k > 0 && m.Finding.Level == verdict.Fault &&
							c.Worst().Finding.Level != verdict.Fault)
					}
					assert.False(t, i > 0 && c.Level == verdict.Fault &&
						list[i-1].Level != verdict.Fault, "%s: a fault below a caution", job)
				}
			}
			for _, c := range cases {
				fault := false
				for k := range c.Findings {
					f := &c.Findings[k]
					want := 1
					if f.Level == verdict.OK {
						want = 0
					}
					assert.Equal(t, want, behind[f], "%s %s: %s %s", job, c.Outcome.State.Name,
						f.Check, f.Where)
					fault = fault || f.Level == verdict.Fault
				}
				if fault {
					faulty++
				}
			}
			assert.Equal(t, faulty, d.Faulty)
		}
	}
}

// What a designer acts on is few: the counts that the review of advice asks for, with room.
func TestCausesAreFew(t *testing.T) {
	for job, most := range map[string]int{"two-floor": 7, "three-zone": 9, "four-zone": 12,
		"first-look": 6, "noisy-bedroom": 15} {
		d, cases := digested(t, job, "")
		raw := 0
		for _, c := range cases {
			for _, f := range c.Findings {
				if f.Level != verdict.OK {
					raw++
				}
			}
		}
		assert.LessOrEqual(t, len(d.Causes), most, job)
		assert.Greater(t, raw, 3*len(d.Causes), job)
	}
}

// The surplus into a zone is told from runs that are too small at the air that the zone wants: when
// the trunk of the only calling zone roars at 1.8 times its want, the cause is the surplus; with
// all zones calling and no surplus, it is the run.
func TestSurplusIsNoSmallRun(t *testing.T) {
	d, _ := digested(t, "first-look", "")
	require.Equal(t, digest.Machine, d.Causes[0].Kind,
		"static passes its rating: equipment before guidelines")
	require.Equal(t, digest.Surplus, d.Causes[1].Kind)
	assert.Equal(t, "bed", d.Causes[1].Part)
	assert.Greater(t, d.Causes[1].Most, 1.5)
	assert.Equal(t, "too much air into bed", d.Causes[1].Title())

	d, cases := digested(t, "first-look", "", "supply.bed-1.size=4 in", "supply.bed-2.size=4 in")
	for i := range d.Causes {
		c := &d.Causes[i]
		if c.Kind != digest.Runs || c.Part != "bed" {
			continue
		}
		assert.True(t, math.IsNaN(c.Most))
		for _, at := range c.States {
			z := cases[at].Outcome.Zones[1]
			assert.LessOrEqual(t, z.Airflow, 1.15*z.Wants, cases[at].Outcome.State.Name)
		}
		return
	}
	t.Error("runs of 4 in. are too small for what the zone wants, and no cause says so")
}

// Safety stands before velocities, however far those are past their limits.
func TestClassesRankBeforeHarm(t *testing.T) {
	d, _ := digested(t, "noisy-bedroom", "", "limits.branch-velocity=100 fpm")
	last := -1
	order := map[verdict.Class]int{verdict.SafetyClass: 0, verdict.Equipment: 1, verdict.Code: 2,
		verdict.Zoning: 3, verdict.Comfort: 4, verdict.Guideline: 5, verdict.Rule: 6}
	for i := range d.Causes {
		if d.Causes[i].Level != verdict.Fault {
			break
		}
		rank := order[d.Causes[i].Class]
		assert.GreaterOrEqual(t, rank, last)
		last = rank
	}
	assert.Equal(t, verdict.Equipment, d.Causes[0].Class)
}
