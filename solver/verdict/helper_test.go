package verdict_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/solver/state"
	"spillway/solver/verdict"
)

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
