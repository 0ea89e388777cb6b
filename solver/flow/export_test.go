package flow

import (
	"encoding/json"
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

var exportHouse = flag.String("export-house", "", "write the equations of the house to this file, for .ci/scipy/compare.py")

// TestHouseEquations solves the house and, when asked, writes its equations and the solution as JSON: what another solver needs to do the
// same.
func TestHouseEquations(t *testing.T) {
	h := newHouse(houseQuadratic)
	top, err := New(39, h.edges, []int{0})
	require.NoError(t, err)
	solution, err := top.NewSolver().Solve(h.problem(), nil)
	require.NoError(t, err)
	type edge struct {
		Tail, Head int
		Resistance float64 // drop = Resistance q √(q² + Knee²)
		Knee       float64
	}
	var edges []edge
	for i, e := range h.edges {
		law, ok := h.laws[i].(Power)
		require.Equal(t, i != h.machine, ok, "all but the machine are quadratic")
		edges = append(edges, edge{Tail: e.Tail, Head: e.Head, Resistance: law.R, Knee: law.Eps})
	}
	if *exportHouse == "" {
		return
	}
	data, err := json.Marshal(map[string]any{
		"nodes": 39, "edges": edges, "machine": h.machine, "curve": h.laws[h.machine].(quadraticMachine).coefficients(), "flow": solution.Flow, "pressure": solution.Pressure,
	})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(*exportHouse, data, 0o644))
}

func (m quadraticMachine) coefficients() []float64 { return []float64{m.c0, m.c1, m.c2} }
