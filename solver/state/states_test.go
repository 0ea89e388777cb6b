package state_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/diag"
	"spillway/solver/state"
)

// zoned is a graph of so many zones with a cooling machine of so many stages; it has no ducts, and the
// listing of call states needs none.
func zoned(zones, stages int) *network.Graph {
	job := &network.Job{Weather: []network.Weather{{Name: "summer", Mode: network.Cooling}}}
	job.Equipment.Cooling = &network.Machine{}
	if stages > 1 {
		job.Equipment.Cooling.Stages = make([]network.Stage, stages)
	}
	for i := range zones {
		job.Zones = append(job.Zones, network.Zone{Name: fmt.Sprintf("z%d", i)})
	}
	return &network.Graph{Job: job}
}

// byMask lists the names of call states as the definition of a set of zones has it: every bit pattern
// of every size, and of them those that the panel lets happen. Computed from the definition.
func byMask(job *network.Job, stages int) []string {
	rule := func(zones []string) *network.Call {
		for i := range job.Panel.Calls {
			in, of := slices.Sorted(slices.Values(job.Panel.Calls[i].Zones)), slices.Sorted(slices.Values(zones))
			if slices.Equal(in, of) {
				return &job.Panel.Calls[i]
			}
		}
		return nil
	}
	n := len(job.Zones)
	var names []string
	for stage := 1; stage <= stages; stage++ {
		for size := 1; size <= n; size++ {
			for mask := 1; mask < 1<<n; mask++ {
				var zones []string
				for i := range n {
					if mask>>i&1 == 1 {
						zones = append(zones, job.Zones[i].Name)
					}
				}
				may := stage == 1 || len(zones) >= job.Panel.SecondStageNeeds
				if c := rule(zones); c != nil && len(c.Stages) > 0 {
					may = slices.Contains(c.Stages, stage)
				}
				if len(zones) != size || !may {
					continue
				}
				text := strings.Join(zones, " + ")
				if len(zones) == n && n > 1 {
					text = "all zones"
				}
				label := "cooling"
				if stages > 1 {
					label += fmt.Sprintf(" stage %d", stage)
				}
				names = append(names, label+": "+text)
			}
		}
	}
	return names
}

// The lazy walk leaves out nothing, adds nothing and keeps the order of the plain one, whatever the
// panel's rules.
func TestStatesAreThoseOfTheDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(20, 1))
	for range 400 {
		zones, stages := 1+rng.IntN(6), 1+rng.IntN(3)
		g := zoned(zones, stages)
		g.Job.Panel.SecondStageNeeds = rng.IntN(zones + 2)
		for range rng.IntN(4) {
			c := network.Call{}
			for i := range zones {
				if rng.IntN(2) == 0 {
					c.Zones = append(c.Zones, g.Job.Zones[i].Name)
				}
			}
			rng.Shuffle(len(c.Zones), func(i, j int) { c.Zones[i], c.Zones[j] = c.Zones[j], c.Zones[i] })
			for s := 1; s <= stages; s++ {
				if rng.IntN(2) == 0 {
					c.Stages = append(c.Stages, s)
				}
			}
			g.Job.Panel.Calls = append(g.Job.Panel.Calls, c)
		}
		var names []string
		for cs := range state.Each(g) {
			names = append(names, cs.Name)
			again := state.Calling(g, cs.Calling...)
			at := slices.IndexFunc(again, func(o state.CallState) bool { return o.Name == cs.Name })
			require.GreaterOrEqual(t, at, 0, "%s is found by its zones", cs.Name)
			require.Equal(t, cs, again[at])
		}
		require.Equal(t, byMask(g.Job, stages), names)
	}
}

// However many zones there are, also more than a word has bits: the first states come at once, one that
// is named comes at once, and the list of all is refused at the zone that is one too many.
func TestStatesOfManyZonesAreLazy(t *testing.T) {
	for _, zones := range []int{13, 62, 63, 64, 65, 200} {
		t.Run(fmt.Sprint(zones), func(t *testing.T) {
			g := zoned(zones, 2)
			g.Job.Panel.SecondStageNeeds = zones // 2^n - 2 sets that stage 2 must not look at
			begun := time.Now()
			assert.Len(t, state.States(g), state.MostStates)
			_, err := state.All(g)
			found, ok := diag.As(err)
			require.True(t, ok, "%v", err)
			assert.Contains(t, found[0].Summary, fmt.Sprintf("%d zones have more than 4096 call states", zones))
			assert.Contains(t, found[0].Fix, "--state")
			var all []string
			for i := range g.Job.Zones {
				all = append(all, g.Job.Zones[i].Name)
			}
			named := state.Calling(g, all...)
			require.Len(t, named, 2)
			assert.Equal(t, "cooling stage 2: all zones", named[1].Name)
			assert.Len(t, state.Calling(g, "z7", "z3"), 1)
			assert.Empty(t, state.Calling(g, "z7", "nowhere"))
			assert.Empty(t, state.Calling(g))
			assert.Less(t, time.Since(begun), 10*time.Second, "milliseconds; 2^13 states alone would be as fast, 2^62 never end")
		})
	}
	_, err := state.All(zoned(11, 2))
	require.NoError(t, err, "2 x 2,047 states are within the bound")
}
