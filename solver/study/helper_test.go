package study_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/solver/state"
	"spillway/solver/study"
)

// jobFile is an example's bytes.
func jobFile(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "examples", name+".toml"))
	require.NoError(t, err)
	return data
}

// open prepares a study of an example.
func open(t testing.TB, name string, opt study.Options) *study.Study {
	t.Helper()
	return study.New(name+".toml", jobFile(t, name), opt)
}

// only chooses call states by name.
func only(names ...string) func(g *network.Graph) ([]state.CallState, error) {
	return func(g *network.Graph) (chosen []state.CallState, err error) {
		for _, cs := range state.States(g) {
			for _, name := range names {
				if cs.Name == name {
					chosen = append(chosen, cs)
				}
			}
		}
		return chosen, nil
	}
}
