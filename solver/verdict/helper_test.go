package verdict_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// read reads a job from bytes and prepares it for solving.
func read(t testing.TB, name string, data []byte, opt network.Options) *network.Graph {
	t.Helper()
	job, problems := network.Read(name, data, opt)
	require.NotNil(t, job, "%v", problems)
	g, err := network.Build(job)
	require.NoError(t, err)
	return g
}

// text is the text of an example.
func text(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "examples", name+".toml"))
	require.NoError(t, err)
	return data
}

// example builds one of the example jobs with overrides.
func example(t testing.TB, name, alternative string, set ...string) *network.Graph {
	t.Helper()
	return read(t, name+".toml", text(t, name), network.Options{Alternative: alternative, Set: set})
}

// solve solves one call state by name.
func solve(t testing.TB, g *network.Graph, name string) *state.Outcome {
	t.Helper()
	return solveBy(t, solverOf(t, g).Quick(), name)
}

func solverOf(t testing.TB, g *network.Graph) *state.Solver {
	t.Helper()
	s, err := state.New(g)
	require.NoError(t, err)
	return s
}

// solveBy solves one call state by name.
func solveBy(t testing.TB, s *state.Solver, name string) *state.Outcome {
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

// finding is the finding of a check at a place; it must be there.
func finding(t testing.TB, list []verdict.Finding, check, where string) verdict.Finding {
	t.Helper()
	for _, f := range list {
		if f.Check == check && f.Where == where {
			return f
		}
	}
	require.Failf(t, "no such finding", "%s at %q", check, where)
	return verdict.Finding{}
}

// register is a register of an outcome by its line.
func register(t testing.TB, o *state.Outcome, line string) *state.Register {
	t.Helper()
	for k := range o.Registers {
		if o.Graph.Registers[k].Line == line {
			return &o.Registers[k]
		}
	}
	require.Failf(t, "no such register", "%q", line)
	return nil
}
