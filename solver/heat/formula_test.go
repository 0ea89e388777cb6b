package heat

import (
	"testing"

	"spillway/solver/internal/formula"
	"spillway/solver/internal/formula/formulatest"
)

// The texts of the formulas are what the solver runs.
func TestFormulasHold(t *testing.T) {
	for _, f := range []*formula.Formula{SensorFormula(), CoilFormula(), ExchangerConductance(), ExchangerCapacity()} {
		t.Run(f.Name, func(t *testing.T) { formulatest.Holds(t, f) })
	}
}
