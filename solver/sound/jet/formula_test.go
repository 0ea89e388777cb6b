package jet_test

import (
	"testing"

	"spillway/solver/internal/formula/formulatest"
	"spillway/solver/sound/jet"
)

// The texts of the formulas are what the solver runs.
func TestFormulasHold(t *testing.T) {
	formulatest.Holds(t, jet.VerticalFormula(jet.Up))
	formulatest.Holds(t, jet.VerticalFormula(jet.Down))
}
