package verdict_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// How well recirculated air mixes is known in a wide band only. Over bypasses of every strength, limits and weather: levels never get better as more
// arrives unmixed; a fault is one at every share of the band; a caution that names a share flips there, solved anew on either side
// of it; and a value's level, value and limit agree.
func TestMixingDecidesHonestly(t *testing.T) {
	seen := map[string]int{}
	try := func(alternative, name string, opens, limit, frost float64) {
		sets := []string{
			fmt.Sprintf("bypass.relief.opens-at=%.2f inwc", opens),
			fmt.Sprintf("equipment.heating.leaving-limit=%.0f F", limit),
			fmt.Sprintf("limits.least-evaporating=[\"%.1f F\", \"%.1f F\"]", 38.0, frost),
		}
		judge := func(more ...string) map[string]verdict.Finding {
			o := statetest.Quick(t, networktest.Graph(t, "two-floor", alternative, append(sets[:3:3], more...)...), name)
			found := map[string]verdict.Finding{}
			for _, f := range verdict.Judge(o) {
				if f.Check == "limit" || f.Check == "coil frost" {
					found[f.Check] = f
				}
			}
			return found
		}
		at := func(u float64) map[string]verdict.Finding {
			return judge(fmt.Sprintf("bypass.relief.unmixed=%.9f %%", 100*u))
		}
		for check, f := range judge() {
			require.Less(t, f.Mixed.From, f.Mixed.To, "a band where the file gives no figure")
			if f.Level == verdict.OK {
				assert.GreaterOrEqual(t, f.Margin, 0.0)
			} else {
				assert.Negative(t, f.Margin)
			}
			low, high := at(f.Mixed.From)[check], at(f.Mixed.To)[check]
			assert.InDelta(t, f.Mixed.Low, low.Value, 1e-6)
			assert.InDelta(t, f.Mixed.High, high.Value, 1e-6)
			assert.Equal(t, f.Level == verdict.Fault, low.Level == verdict.Fault, "a fault is one at every share of the band, and only then")
			assert.Equal(t, low.Level != verdict.Fault && high.Level == verdict.Fault, f.Mixed.Flip > f.Mixed.From && f.Mixed.Flip < f.Mixed.To, "it flips within the band")
			if low.Level != verdict.Fault && high.Level == verdict.Fault {
				assert.Equal(t, verdict.Caution, f.Level)
			}
			if flip := f.Mixed.Flip; flip > 1e-4 && flip < 1-1e-4 {
				assert.NotEqual(t, verdict.Fault, at(flip - 1e-5)[check].Level, "just below %.4f", flip)
				assert.Equal(t, verdict.Fault, at(flip + 1e-5)[check].Level, "just above %.4f", flip)
				seen[check+" flips"]++
			}
			rank := map[verdict.Level]int{verdict.OK: 0, verdict.Caution: 1, verdict.Fault: 2}
			was := 0
			for _, u := range []float64{0, 0.05, 0.1, 0.2, 0.4, 0.7, 1} {
				is := rank[at(u)[check].Level]
				assert.GreaterOrEqual(t, is, was, "%s at %g unmixed", check, u)
				was = is
			}
			seen[check+" "+string(f.Level)]++
		}
	}
	for i, alternative := range []string{"bypass-to-plenum", "bypass-to-return-box"} {
		for k, limit := range []float64{135, 148, 160, 195} {
			opens := []float64{0.03, 0.20}[(i+k)%2]
			try(alternative, "heating: loft", opens, limit, 28)
			try(alternative, "mild-cooling: loft", opens, limit, []float64{28, 32, 33.4, 36}[k])
		}
	}
	for _, k := range []string{"limit fault", "limit caution", "limit ok", "limit flips", "coil frost fault", "coil frost caution", "coil frost flips"} {
		assert.Positive(t, seen[k], "%s: %v", k, seen)
	}
}

// What a file states is taken as stated: no band, so a fault is a fault.
func TestStatedMixingHasNoBand(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "bypass-to-plenum", "bypass.relief.unmixed=45 %")
	e := statetest.Quick(t, g, "heating: loft").Equipment
	assert.Equal(t, []float64{0.45, 0.45, 0.45}, []float64{e.Unmixed, e.UnmixedLow, e.UnmixedHigh})
	_, _, ok := state.MixingBand(g.Job, &g.Job.Bypass[0])
	assert.False(t, ok)
}
