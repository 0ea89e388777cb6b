package state_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// TestStillLegsComeToRest: installations out of the soak in which nearly still legs swung between a warm and a cold state without end.
// Every state has an answer that keeps the laws of nature, or leaves the range of a model and says so.
func TestStillLegsComeToRest(t *testing.T) {
	files, err := filepath.Glob("testdata/*.toml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	solved := 0
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			g := networktest.Build(t, file, text, network.Options{})
			solver := statetest.Solver(t, g)
			for _, cs := range state.States(g) {
				o, err := solver.Solve(cs)
				if declines(err) {
					continue
				}
				require.NoError(t, err)
				assert.Empty(t, lawBroken(o), cs.Name)
				solved++
			}
		})
	}
	assert.Greater(t, solved, 20)
}
