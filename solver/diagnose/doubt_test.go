package diagnose

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
)

// A value in doubt widens what is expected as built of the reading that it moves, and is named with
// its path; readings that cannot know of it keep their spread.
func TestDoubtWidensTheExpected(t *testing.T) {
	const state = "design-cooling: loft"
	blower := networktest.Graph(t, "two-floor", "").Blower
	plan := []Query{{Kind: network.DropReading, State: state,
		Place: network.Spot{Element: blower, Node: -1, Start: -1, Register: -1}}}
	spread := func(set ...string) float64 {
		b, err := sound(networktest.Graph(t, "two-floor", "", set...), plan)
		require.NoError(t, err)
		_, wide := b.Expected()
		return wide[0]
	}
	plain, wide := spread(), spread("supply.trunk.length=6 ft (1 to 200 ft)")
	assert.Greater(t, wide, 1.02*plain)
	assert.InEpsilon(t, plain, spread("supply.trunk.length=6 ft (6 to 6 ft)"), 1e-12)
	list := spreads(networktest.Graph(t, "two-floor", "", "supply.trunk.length=6 ft +- 2 ft"))
	last := list[len(list)-1]
	assert.Equal(t, "supply.trunk.length", last.name)
	assert.InDelta(t, 0.1541506798, last.sigma, 1e-9) // ln(1 + 1/6), closed form
}
