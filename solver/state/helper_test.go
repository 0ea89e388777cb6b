package state_test

import (
	"strings"
	"testing"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
)

// examples builds every example job with each of its alternatives.
func examples(t testing.TB) map[string]*network.Graph {
	t.Helper()
	all := map[string]*network.Graph{}
	for _, name := range networktest.Examples(t) {
		for _, alternative := range networktest.Alternatives(t, networktest.Example(t, name)) {
			all[strings.TrimSpace(name+" "+alternative)] = networktest.Graph(t, name, alternative)
		}
	}
	return all
}

// path returns the airflow of one line of the ledger in cfm.
func path(o *state.Outcome, kind state.PathKind, to string) float64 {
	for _, p := range o.Ledger.Paths {
		if p.Kind == kind && p.To == to {
			return p.Airflow / quantity.CFM
		}
	}
	return 0
}
