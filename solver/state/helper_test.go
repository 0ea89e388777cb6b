package state_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/units"
	"spillway/solver/state"
)

// build reads a job from bytes and prepares it for solving.
func build(t testing.TB, name string, data []byte, opt network.Options) *network.Graph {
	t.Helper()
	job, problems := network.Read(name, data, opt)
	require.NotNil(t, job, "%v", problems)
	g, err := network.Build(job)
	require.NoError(t, err)
	return g
}

// example builds one of the example jobs with overrides.
func example(t testing.TB, name, alternative string, set ...string) *network.Graph {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "examples", name+".toml"))
	require.NoError(t, err)
	return build(t, name+".toml", data, network.Options{Alternative: alternative, Set: set})
}

// examples lists the example jobs with all their alternatives.
func examples(t testing.TB) map[string]*network.Graph {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", "examples", "*.toml"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 5)
	all := map[string]*network.Graph{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		base := filepath.Base(f)
		g := build(t, base, data, network.Options{})
		all[base] = g
		for _, a := range g.Job.Alternatives {
			all[base+" with "+a.Name] = build(t, base, data, network.Options{Alternative: a.Name})
		}
	}
	return all
}

// solve solves one call state by name.
func solve(t testing.TB, g *network.Graph, name string) *state.Outcome {
	t.Helper()
	s, err := state.New(g)
	require.NoError(t, err)
	for _, cs := range state.States(g) {
		if cs.Name == name {
			o, err := s.Solve(cs)
			require.NoError(t, err)
			return o
		}
	}
	require.Failf(t, "no such state", "%q", name)
	return nil
}

// path returns the airflow of one line of the ledger in cfm.
func path(o *state.Outcome, kind state.PathKind, to string) float64 {
	for _, p := range o.Ledger.Paths {
		if p.Kind == kind && p.To == to {
			return p.Airflow / units.CFM
		}
	}
	return 0
}
