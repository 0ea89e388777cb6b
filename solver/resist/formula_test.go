package resist

import (
	"testing"

	"spillway/network/catalog"
	"spillway/solver/internal/formula"
	"spillway/solver/internal/formula/formulatest"
)

// The texts of the formulas are what the solver runs.
func TestFormulasHold(t *testing.T) {
	for _, f := range []*formula.Formula{LaminarFormula(), ChurchillFormula(), ColebrookFormula(), TransitionFormula(), LocalFormula(), KneeFormula(),
		VelocityKneeFormula(), PowerFormula(), GridFormula(catalog.Supply), GridFormula(catalog.Return), GridFormula(catalog.Transfer),
		ShutFormula(), FlexFormula(), ReliefLeakFormula(), ReliefFormula()} {
		t.Run(f.Name, func(t *testing.T) { formulatest.Holds(t, f) })
	}
}
