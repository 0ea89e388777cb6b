package air_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/solver/air"
	"spillway/solver/internal/formula"
	"spillway/solver/internal/formula/formulatest"
)

// The texts of the formulas are what the solver runs.
func TestFormulasHold(t *testing.T) {
	for _, f := range []*formula.Formula{air.PressureFormula(), air.DensityFormula(), air.ViscosityFormula(), air.MoistDensityFormula(),
		air.EnthalpyFormula(), air.SaturationFormula(), air.SaturationHumidityFormula(), air.WetBulbFormula()} {
		t.Run(f.Name, func(t *testing.T) { formulatest.Holds(t, f) })
	}
}

// The humidity of a density is the one it was made of.
func TestHumidityOfDensity(t *testing.T) {
	for _, w := range []float64{0.001, 0.01, 0.03} {
		m := air.Moist{Temperature: 25, HumidityRatio: w}
		assert.InEpsilon(t, w, air.HumidityOf(m.Density(95e3), 25, 95e3), 1e-9)
	}
}
