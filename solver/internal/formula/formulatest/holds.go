// Package formulatest holds formulas to their texts, for tests.
package formulatest

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"spillway/solver/internal/formula"
)

// Holds draws 2,000 points from the ranges of a formula and asserts that its text, worked out by an
// evaluator of its own, gives what the code of the solver gives, to 1e-9.
func Holds(t *testing.T, f *formula.Formula) {
	t.Helper()
	if f.Name == "" || f.Result.Name == "" || len(f.In) == 0 {
		t.Errorf("%q: a formula has a name, a result and inputs", f.Name)
	}
	r := rand.New(rand.NewPCG(7, uint64(len(f.Text))))
	in, values := make([]float64, len(f.In)), map[string]float64{}
	for range 2000 {
		for i, s := range f.In {
			in[i] = draw(r, s)
			values[s.Name] = in[i]
		}
		got := f.Eval(in)
		values[f.Result.Name] = got
		if math.IsNaN(got) || math.IsInf(got, 0) {
			t.Fatalf("%s: %g at %v", f.Name, got, values)
		}
		left, size, err := Residual(f.Equation(), values)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(f.Text, " = ") {
			size = max(size, largestTerm(f.Text, values))
		}
		if !(math.Abs(left) <= 1e-9*size) {
			t.Fatalf("%s: %s leaves %g at %v", f.Name, f.Equation(), left, values)
		}
	}
}

// draw draws in logarithm where a range spans a decade.
func draw(r *rand.Rand, s formula.Symbol) float64 {
	if s.High == s.Low {
		return s.Low
	}
	if !(s.High > s.Low) {
		panic("formula: " + s.Name + " has no range")
	}
	if s.Low > 0 && s.High > 10*s.Low {
		return s.Low * math.Pow(s.High/s.Low, r.Float64())
	}
	return s.Low + (s.High-s.Low)*r.Float64()
}

// largestTerm is the greatest size of a term of the outermost sum: what rounding is measured by.
func largestTerm(text string, values map[string]float64) float64 {
	most, depth, start := 0.0, 0, 0
	end := func(i int) {
		v, _ := Evaluate(text[start:i], values)
		most, start = max(most, math.Abs(v)), i+1
	}
	for i, c := range text {
		switch {
		case c == '(':
			depth++
		case c == ')':
			depth--
		case depth == 0 && i > 0 && (strings.HasPrefix(text[i:], "+ ") || strings.HasPrefix(text[i:], "- ")):
			end(i)
		}
	}
	end(len(text))
	return most
}
