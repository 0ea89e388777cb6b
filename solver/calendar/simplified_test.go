package calendar

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/solver/clock"
)

// A run in which zones are taken to return what they are given tells that among the assumptions;
// any other tells nothing.
func TestSimplifiedReturnIsTold(t *testing.T) {
	h := &House{job: &network.Job{}}
	h.tellSimplified(&clock.Ledger{Decompose: 7})
	assert.Empty(t, h.Assumptions)
	h.tellSimplified(&clock.Ledger{Decompose: 7, Simplified: 2})
	require.Len(t, h.Assumptions, 1)
	assert.Equal(t, "return", h.Assumptions[0].Path)
	assert.Contains(t, h.Assumptions[0].Why, "in 2 of 7 sets of airflows")
}
