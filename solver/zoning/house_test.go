package zoning_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
	"spillway/solver/zoning"
)

func solved(t testing.TB, job string, set ...string) []*state.Outcome {
	t.Helper()
	g := networktest.Graph(t, job, "", set...)
	s, err := state.New(g)
	require.NoError(t, err)
	outcomes, err := s.Quick().SolveAll(state.States(g))
	require.NoError(t, err)
	for _, o := range outcomes {
		require.NoError(t, zoning.Complete(s, o))
	}
	return outcomes
}

func houses(outcomes []*state.Outcome) ([]zoning.House, error) {
	return zoning.Houses(outcomes[0].Graph, zoning.Calls(outcomes))
}

// With all stops open a house is one zone: nothing of the zoning is kept, and the cone is a ray. With
// stops shut tight it keeps all of it.
func TestStopsDecideTheZoning(t *testing.T) {
	for _, o := range solved(t, "two-floor", "damper.main.stop=100 %", "damper.loft.stop=100 %") {
		if s := zoning.Of(o); len(o.State.Calling) == 1 {
			assert.InDelta(t, 0, s.Kept, 1e-6, o.State.Name)
		} else {
			assert.True(t, math.IsNaN(s.Kept), o.State.Name)
			assert.InDelta(t, 1, s.Share, 1e-12)
		}
	}
	last := math.Inf(1)
	for _, stop := range []int{0, 10, 25, 40, 60, 80, 100} {
		for _, o := range solved(t, "two-floor", fmt.Sprintf("damper.main.stop=%d %%", stop)) {
			if o.State.Name == "design-cooling: loft" {
				s := zoning.Of(o)
				assert.Less(t, s.Kept, last, "the more open, the less is kept")
				last = s.Kept
			}
		}
	}
	assert.InDelta(t, 0, last, 1e-6)
}

// The difference that can be held is where the drift of the satisfied zone ends, found by another
// way: from two thermal masses in package heat.
func TestHeldIsTheEndOfTheDrift(t *testing.T) {
	compared := 0
	for _, job := range []string{"two-floor", "three-zone", "noisy-bedroom"} {
		for _, o := range solved(t, job) {
			s := zoning.Of(o)
			for i := range o.Zones {
				if math.IsNaN(o.Zones[i].DriftEnd) {
					assert.True(t, math.IsNaN(s.Zones[i].Held))
					continue
				}
				compared++
				assert.InDelta(t, -zoning.Side(o.State.Mode)*o.Zones[i].DriftEnd, s.Zones[i].Held, 1e-9, "%s: %s", job, o.State.Name)
			}
		}
	}
	assert.Greater(t, compared, 30)
}

// Every zone's share of the design load is in the cone, and opening the stops narrows it.
func TestHouses(t *testing.T) {
	as, err := houses(solved(t, "two-floor"))
	require.NoError(t, err)
	wide, err := houses(solved(t, "two-floor", "damper.main.stop=60 %", "damper.loft.stop=55 %"))
	require.NoError(t, err)
	require.Len(t, as, 3)
	for k := range as {
		assert.Equal(t, as[k].Weather, wide[k].Weather)
		for i := range as[k].Shares {
			assert.Less(t, as[k].Shares[i][0], wide[k].Shares[i][0])
			assert.Greater(t, as[k].Shares[i][1], wide[k].Shares[i][1])
		}
		_, _, before := as[k].Worst()
		_, _, after := wide[k].Worst()
		assert.Greater(t, after, before)
		for _, c := range as[k].Cases {
			all, given := 0.0, 0.0
			for i := range c.Load {
				all, given = all+c.Load[i], given+c.Load[i]+c.Over[i]-c.Lack[i]
			}
			assert.Positive(t, all)
			assert.Positive(t, given)
		}
	}
	// A state that is missing would make the house look worse than it is.
	outcomes := solved(t, "two-floor")
	part, err := houses(outcomes[1:])
	require.NoError(t, err)
	assert.Len(t, part, 2)
}

// The share that would reach the caller with every damper open is the same whatever the stops, also
// where a rule of the panel holds a damper at a position of its own.
func TestNaturalShareKnowsNoStops(t *testing.T) {
	for _, job := range []string{"two-floor", "four-zone"} {
		a := solved(t, job)
		var set []string
		for i := range a[0].Graph.Job.Dampers {
			set = append(set, "damper."+a[0].Graph.Job.Dampers[i].Name+".stop=30 %")
		}
		b := solved(t, job, set...)
		for i := range a {
			if len(a[i].State.Calling) < len(a[i].Zones) {
				assert.InDelta(t, a[i].NaturalShare, b[i].NaturalShare, 1e-6, a[i].State.Name)
			}
		}
	}
	assert.Zero(t, zoning.Side(network.Fan))
}

// In heating a zone that warms is driven past its set point, in cooling one that cools; a calling
// zone and one of which nothing is known do not count.
func TestWorstDriftIsOfASatisfiedZone(t *testing.T) {
	o := &state.Outcome{State: state.CallState{Mode: network.Heating}, Zones: []state.Zone{
		{DriftRate: math.NaN()}, {DriftRate: 1e-3}, {DriftRate: -2e-3},
		{Calling: true, DriftRate: 9}}}
	zone, rate := zoning.WorstDrift(o)
	assert.Equal(t, network.ZoneID(1), zone)
	assert.InDelta(t, 1e-3, rate, 0)
	o.State.Mode = network.Cooling
	zone, rate = zoning.WorstDrift(o)
	assert.Equal(t, network.ZoneID(2), zone)
	assert.InDelta(t, 2e-3, rate, 0)
	o.Zones = o.Zones[3:]
	zone, rate = zoning.WorstDrift(o)
	assert.Equal(t, network.ZoneID(network.None), zone)
	assert.True(t, math.IsNaN(rate), "no zone is satisfied")
}
