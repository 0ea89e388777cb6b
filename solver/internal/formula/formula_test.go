package formula_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/internal/formula"
	"spillway/solver/internal/formula/formulatest"
)

func values(symbol string) (float64, bool) {
	v, ok := map[string]float64{"a": 3, "Δp2": 0.5, "ρ": 1.2}[symbol]
	return v, ok
}

// Arithmetic by hand, and by the evaluator of the tests, which shares no code with this one.
func TestEvaluate(t *testing.T) {
	for text, want := range map[string]float64{
		"2 + 3 * 4^2": 50, "-2^2": -4, "2^3^2": 512, "2^(-1) / a * 6": 1, "1 - 2 - 3": -4, "8 / 4 / 2": 1,
		"min(a, 2) + max(Δp2, 1)": 3, "sqrt(abs(-9))": 3, "log10(1000) + ln(exp(2))": 5, "cos(π) + sin(0) + tan(0)": -1,
		"(1 + ρ) * 10": 22,
	} {
		got, _, err := formula.Evaluate(text, values)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-12, text)
		other, err := formulatest.Evaluate(text, map[string]float64{"a": 3, "Δp2": 0.5, "ρ": 1.2})
		require.NoError(t, err, text)
		assert.InDelta(t, other, got, 1e-12, text)
	}
	_, size, err := formula.Evaluate("a - 2.99 * 1 + 0 * 1000", values)
	require.NoError(t, err)
	assert.InDelta(t, 3, size, 1e-12, "the greatest term of the sum")
}

func TestEvaluateRefuses(t *testing.T) {
	for _, text := range []string{"", "1 +", "(1", "b", "sine(1)", "min(1)", "1 2", "1.2.3", "sqrt(1", "2 $ 3", "max(1, 2"} {
		_, _, err := formula.Evaluate(text, values)
		assert.Error(t, err, text)
	}
	_, _, _, err := formula.Sides("1 + 1", values)
	assert.EqualError(t, err, `"1 + 1" is not an equation`)
	_, _, _, err = formula.Sides("b = 1", values)
	assert.Error(t, err)
}

func TestTexts(t *testing.T) {
	f := &formula.Formula{Name: "twice", Source: "a book", Text: formula.Write("# * x^# / y", 2, -0.5), Result: formula.Symbol{Name: "z"},
		In: []formula.Symbol{{Name: "x"}, {Name: "y"}}}
	assert.Equal(t, "z = 2 * x^(-0.5) / y", f.Equation())
	assert.Equal(t, "twice (a book)", f.Words())
	assert.Equal(t, "2 * abs(y)^(-0.5) / x", f.With("abs(y)", "x"))
	both := &formula.Formula{Text: "1 / f = log10(f * x)", Result: formula.Symbol{Name: "f"}, In: f.In}
	assert.Equal(t, "1 / f2 = log10(f2 * x)", both.As("f2").Equation())
	assert.Equal(t, "z2 = 2 * x^(-0.5) / y", f.As("z2").Equation())
}
