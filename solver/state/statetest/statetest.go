// Package statetest gives tests solved call states. It is for tests only; the jobs come from network/networktest.
package statetest

import (
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
)

// Solver prepares a graph for solving.
func Solver(t networktest.T, g *network.Graph) *state.Solver {
	t.Helper()
	s, err := state.New(g)
	require.NoError(t, err)
	return s
}

// Solve solves one call state by its name, "cooling: loft".
func Solve(t networktest.T, g *network.Graph, name string) *state.Outcome {
	t.Helper()
	return SolveBy(t, Solver(t, g), name)
}

// Quick is Solve without the certificate's interval of every airflow, as studies solve.
func Quick(t networktest.T, g *network.Graph, name string) *state.Outcome {
	t.Helper()
	return SolveBy(t, Solver(t, g).Quick(), name)
}

// SolveBy is Solve for a solver that is there already.
func SolveBy(t networktest.T, s *state.Solver, name string) *state.Outcome {
	t.Helper()
	for _, cs := range state.States(s.Graph()) {
		if cs.Name == name {
			o, err := s.Solve(cs)
			require.NoError(t, err)
			return o
		}
	}
	require.Failf(t, "no such state", "%q", name)
	return nil
}

// SolveAll solves every call state, in the order of state.States.
func SolveAll(t networktest.T, g *network.Graph) []*state.Outcome {
	t.Helper()
	all, err := Solver(t, g).SolveAll(state.States(g))
	require.NoError(t, err)
	return all
}
