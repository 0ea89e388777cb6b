package session_test

import (
	"context"
	"fmt"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/session"
	"spillway/solver/state"
)

func TestResultsDoNotDependOnWorkers(t *testing.T) {
	data := networktest.Example(t, "two-floor")
	var first []*session.Case
	for _, workers := range []int{1, 8} {
		s, _, err := session.Open("two-floor", data, session.Options{Alternative: "bypass-to-plenum", Workers: workers})
		require.NoError(t, err)
		cases, err := s.All(t.Context())
		require.NoError(t, err)
		if first == nil {
			first = cases
			continue
		}
		for i, c := range cases {
			same := func(a, b any) bool { return fmt.Sprint(a) == fmt.Sprint(b) } // NaN is equal to NaN
			assert.True(t, same(first[i].Findings, c.Findings), c.Outcome.State.Name)
			assert.True(t, same(first[i].Outcome.Elements, c.Outcome.Elements), c.Outcome.State.Name)
		}
	}
}

func TestOpenTellsWhatIsWrong(t *testing.T) {
	data := networktest.Example(t, "two-floor")
	s, found, err := session.Open("house.toml", data, session.Options{Set: []string{"damper.main.stop=purple"}})
	assert.Nil(t, s)
	assert.Error(t, err)
	assert.True(t, found.HasErrors())

	_, _, err = session.Open("house.toml", data, session.Options{Choose: func(*network.Graph) ([]state.CallState, error) { return nil, nil }})
	assert.ErrorIs(t, err, session.ErrNoStates)
}

func TestAllEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	var told atomic.Int32
	s, _, err := session.Open("house.toml", networktest.Example(t, "four-zone"), session.Options{Workers: 1, NoStops: true,
		Progress: func(done, total int) {
			assert.Equal(t, 74, total)
			if told.Add(1); done == 2 {
				cancel()
			}
		}})
	require.NoError(t, err)
	_, err = s.All(ctx)
	assert.ErrorIs(t, err, context.Canceled)
	assert.EqualValues(t, 2, told.Load())

	_, err = s.Solve(ctx, s.States()[0])
	assert.ErrorIs(t, err, context.Canceled)
}
