package study_test

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
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

// number finds the numbers of a printed value.
var number = regexp.MustCompile(`-?\d+(\.\d+)?(e[+-]\d+)?`)

// sameWithin asserts that two printed values say the same in the same words, their numbers within the tolerance that solving from different
// starts leaves.
func sameWithin(t *testing.T, expected, actual string) {
	t.Helper()
	const tolerance = 1e-6
	require.Equal(t, number.ReplaceAllString(expected, "#"), number.ReplaceAllString(actual, "#"))
	one, other := number.FindAllString(expected, -1), number.FindAllString(actual, -1)
	for i := range one {
		x, err := strconv.ParseFloat(one[i], 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(other[i], 64)
		require.NoError(t, err)
		if math.Abs(x-y) > tolerance*max(1, math.Abs(x)) {
			require.Failf(t, "numbers differ", "%d-th: %v and %v", i, x, y)
		}
	}
}
