package state_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
)

// soakStates solves the call states of a job of the soak; a refused one has an error instead.
func soakStates(t *testing.T, seed, number uint64, each func(cs state.CallState, o *state.Outcome, err error)) {
	t.Helper()
	g := networktest.Build(t, "soak.toml", []byte(randomJob(rand.New(rand.NewPCG(seed, number)))), network.Options{})
	s, err := state.New(g)
	require.NoError(t, err)
	for _, cs := range state.States(g) {
		o, err := s.Solve(cs)
		each(cs, o, err)
	}
}

// Where only the second estimate of the coil is colder than its model reaches, the outcome stands, says so, and has it at that end: a coil
// surface of −40 °C, colder still by what the heat needs to pass.
func TestSecondEstimateBeyondItsModel(t *testing.T) {
	held := 0
	soakStates(t, 1, 7, func(cs state.CallState, o *state.Outcome, err error) {
		if err != nil || cs.Mode != network.Cooling || o.Equipment.CoilSecond != nil {
			return
		}
		held++
		e := &o.Equipment
		require.NotNil(t, e.Coil, cs.Name)
		assert.Less(t, e.EvaporatingSecond, -40.0, cs.Name)
		assert.Less(t, e.FrostMargin, -40.0, cs.Name)
		assert.False(t, math.IsInf(e.TimeToFrost, 1), "%s: it frosts", cs.Name)
		assert.Contains(t, strings.Join(o.Notes, "\n"), "colder than its model reaches", cs.Name)
	})
	assert.Positive(t, held)
}
