// Package formula describes closed-form laws: what a law says, its source, its range and its text, next
// to the code that the solver runs.
//
// A Formula is declared beside that code. Its Text is written with the constants that the code uses, and
// Eval calls the code, so that the two cannot part (formulatest.Holds). Derivations are made of it. The
// package knows no law itself, no network and no paper.
package formula

import (
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// Symbol is a quantity of a formula, SI.
type Symbol struct {
	Name string // as Text has it
	Kind quantity.Kind
	// Low and High bound the values for which the law is used; tests draw from them.
	Low, High float64
}

// Formula is one law, Result as a function of In.
type Formula struct {
	Name   string // what it says, in words
	Source string // publication; "" where Name says it, or where it is a definition
	// Text is the law in the symbols of Result and In, by the grammar of Evaluate. It is an expression for
	// Result, or a whole equation where Result stands on both sides.
	Text   string
	Result Symbol
	In     []Symbol
	// Eval returns the result for values of In, by the code that the solver runs.
	Eval func(in []float64) float64
}

// At returns the result for values of In.
func (f *Formula) At(in ...float64) float64 { return f.Eval(in) }

// Words returns what the formula says, with its source.
func (f *Formula) Words() string {
	if f.Source == "" {
		return f.Name
	}
	return f.Name + " (" + f.Source + ")"
}

// Equation returns the formula as an equation.
func (f *Formula) Equation() string {
	if strings.Contains(f.Text, " = ") {
		return f.Text
	}
	return f.Result.Name + " = " + f.Text
}

// As returns the formula with its result under another symbol.
func (f *Formula) As(symbol string) *Formula {
	other := *f
	other.Text = replace(f.Text, func(s string) string {
		if s == f.Result.Name {
			return symbol
		}
		return s
	})
	other.Result.Name = symbol
	return &other
}

// With returns Text with an expression in place of each symbol of In, which the caller puts into
// parentheses where that is needed.
func (f *Formula) With(expressions ...string) string {
	return replace(f.Text, func(s string) string {
		for i := range f.In {
			if s == f.In[i].Name {
				return expressions[i]
			}
		}
		return s
	})
}

// Write fills constants into a text in place of each #, in full.
func Write(text string, constants ...float64) string {
	for _, c := range constants {
		number := strconv.FormatFloat(c, 'f', -1, 64)
		if c < 0 {
			number = "(" + number + ")"
		}
		text = strings.Replace(text, "#", number, 1)
	}
	return text
}
