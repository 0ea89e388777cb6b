package diagnose_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/diagnose"
)

func BenchmarkNewBench(b *testing.B) {
	g := networktest.Graph(b, "noisy-bedroom", "bypass")
	plan := diagnose.Kit(g, network.Cooling)
	for b.Loop() {
		_, err := diagnose.NewBench(g, plan)
		require.NoError(b, err)
	}
}

func BenchmarkFit(b *testing.B) {
	g := networktest.Graph(b, "noisy-bedroom", "bypass")
	plan := diagnose.Kit(g, network.Cooling)
	bench, err := diagnose.NewBench(g, plan)
	require.NoError(b, err)
	values := exact(b, bench.Causes()[causeOf(b, bench, diagnose.FouledCoil)].Apply(g, 2.5), plan)
	for b.Loop() {
		_, err := bench.Fit(values)
		require.NoError(b, err)
	}
}
