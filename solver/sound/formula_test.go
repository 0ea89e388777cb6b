package sound_test

import (
	"testing"

	"spillway/solver/internal/formula"
	"spillway/solver/internal/formula/formulatest"
	"spillway/solver/sound"
)

// The texts of the formulas are what the solver runs.
func TestFormulasHold(t *testing.T) {
	between, _ := sound.NCNumber(40, 4)
	under, _ := sound.NCNumber(-5, 4)
	over, _ := sound.NCNumber(120, 0)
	for _, f := range []*formula.Formula{
		sound.OutletLevel(), sound.OutletPeak(), sound.OutletOctave(0), sound.OutletOctave(7), sound.RoomEffect(), sound.EndReflection(),
		sound.Division(false), sound.Division(true), sound.TakeOffRatio(), sound.TakeOffStrouhal(), sound.TakeOffNoise(),
		sound.DamperCoefficient(), sound.DamperBlockage(sound.MultiBlade, 1), sound.DamperBlockage(sound.SingleBlade, 1),
		sound.DamperBlockage(sound.SingleBlade, 9), sound.DamperBlockage(sound.SingleBlade, 99), sound.DamperNoise(), sound.RatedGrowth(),
		between, under, over,
	} {
		t.Run(f.Name, func(t *testing.T) { formulatest.Holds(t, f) })
	}
}

// An outlet of 0.02 m² at 10 Pa: computed from the formula.
func TestComputedOutletLevel(t *testing.T) {
	published(t, "outlet of 0.02 m² at 10 Pa, overall", fromFormula, 29.6103, sound.OutletLevel().At(0.02, 10), 5e-5)
}
