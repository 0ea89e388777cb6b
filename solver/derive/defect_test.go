package derive

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A step whose equation does not give its value by a millionth says so, in its words too; one that does, does not.
func TestAStepThatMissesItsValueIsADefect(t *testing.T) {
	share := func(value float64, equation string, x float64) *Step {
		return newInterner().share(derived("z", "z", Plain, value, "words", equation, Input{"x", constant("x", "x", Plain, x, "given")}))
	}
	assert.Empty(t, share(6, "z = 2 * x", 3).Defect)
	assert.Empty(t, share(6*(1+9e-7), "z = 2 * x", 3).Defect)
	wrong := share(6*(1+3e-6), "z = 2 * x", 3)
	assert.Equal(t, "this derivation gives 6, the solver 6.000018: a defect of Spillway", wrong.Defect)
	assert.Equal(t, "words; "+wrong.Defect, wrong.Words)
	assert.Empty(t, share(1e-9, "z = x - 3", 3).Defect, "as near as rounding of what is subtracted")
	// Both sides have the value: z = √x by Heron's equation.
	assert.Empty(t, share(3*(1+5e-7), "2 * z = z + x / z", 9).Defect)
	assert.Contains(t, share(3.0001, "2 * z = z + x / z", 9).Defect, "a defect of Spillway")
	assert.Contains(t, share(1, "z = y", 3).Defect, "unknown symbol y")
}
