package verdict_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/networktest"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// computed are the rows whose value is made of more than the number at Ref.
var computed = map[verdict.Check]bool{
	verdict.CoolingSize: true, verdict.HeatingSize: true, verdict.ZoneDrift: true, verdict.RoomPressure: true,
	verdict.CoolingLeast: true, verdict.HeatingLeast: true,
	verdict.SmallestZone: true, verdict.DumpRoom: true, verdict.LargestZone: true,
	verdict.FloorPerTonLeast: true, verdict.FloorPerTonMost: true, verdict.BudgetFilter: true,
	verdict.BudgetCoil: true, verdict.BudgetSupply: true, verdict.BudgetReturn: true,
	verdict.Carry: true, verdict.JetDrop: true, verdict.DraughtChill: true, verdict.FilterFace: true,
	verdict.CoilFace: true, verdict.CaliforniaAirflow: true, verdict.FormulaRange: true,
}

// A finding's Ref leads to the number that is judged: read there, and taken over Per, it is the value.
func TestFindingsPointAtTheirNumbers(t *testing.T) {
	seen := map[verdict.Check]bool{}
	for _, c := range [][2]string{{"two-floor", "bypass-to-plenum"}, {"three-zone", ""}, {"noisy-bedroom", ""}} {
		for _, o := range statetest.SolveAll(t, networktest.Graph(t, c[0], c[1])) {
			for _, f := range verdict.Judge(o) {
				seen[f.Row] = true
				if computed[f.Row] {
					continue
				}
				want := o.At(f.Ref).Num
				if f.Per != state.NoField {
					want /= o.At(state.Ref{Field: f.Per, At: f.Ref.At}).Num
				}
				assert.InDelta(t, want, f.Value, 1e-12*math.Abs(want), "%s: %s, %s", o.State.Name, f.Check, f.Where)
			}
		}
	}
	assert.Greater(t, len(seen), 20, "too few checks to show anything")
}
