package state

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/resist"
)

// A blower turned down in a system without external resistance moves air against its own cabinet only, so that its power falls with the
// cube of the airflow (affinity laws of fans, any text).
func TestHeldFlowFollowsTheAffinityLaws(t *testing.T) {
	const density, full, watts = 1.2, 0.6, 400.0
	table := resist.FanTable{{Static: 0, Flow: full, Watts: watts}, {Static: 100, Flow: 0.5, Watts: 420}, {Static: 200, Flow: 0.3, Watts: 430}}
	for _, share := range []float64{0.5, 0.8} {
		f, err := newHeldFlow(share*full, table, density)
		require.NoError(t, err)
		got, known := f.Watts(share * full * density)
		require.True(t, known)
		assert.InEpsilon(t, watts*share*share*share*density/1.2014, got, 1e-3, "at %g", share)
	}
}
