package formula

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Value returns the value of a symbol, and whether there is one.
type Value func(symbol string) (float64, bool)

// Evaluate works out an expression of + - * / ^, parentheses, numbers, π, symbols, sqrt, ln, log10, exp,
// abs, sin, cos, tan (of radians), min and max. size is the greatest term of its outermost sum. It
// returns an error if the text is not such an expression or has a symbol without a value.
func Evaluate(text string, value Value) (result, size float64, err error) {
	e := evaluator{text: text, value: value}
	result = e.sum(&size)
	if e.blank(); e.err == nil && e.text != "" {
		e.fail("cannot read")
	}
	return result, size, e.err
}

// Sides works out both sides of an equation.
func Sides(equation string, value Value) (left, right, size float64, err error) {
	l, r, ok := strings.Cut(equation, " = ")
	if !ok {
		return 0, 0, 0, fmt.Errorf("%q is not an equation", equation)
	}
	left, a, err := Evaluate(l, value)
	if err != nil {
		return 0, 0, 0, err
	}
	right, b, err := Evaluate(r, value)
	return left, right, max(a, b), err
}

type evaluator struct {
	text  string // what is left to read
	value Value
	err   error
}

func (e *evaluator) fail(what string) {
	if e.err == nil {
		e.err = fmt.Errorf("%s at %q", what, e.text)
	}
}

func (e *evaluator) blank() { e.text = strings.TrimLeft(e.text, " ") }

func (e *evaluator) take(c byte) bool {
	e.blank()
	if e.text == "" || e.text[0] != c {
		return false
	}
	e.text = e.text[1:]
	return true
}

func (e *evaluator) sum(size *float64) float64 {
	term := e.product()
	v := term
	for {
		*size = max(*size, math.Abs(term))
		switch {
		case e.take('+'):
			term = e.product()
		case e.take('-'):
			term = -e.product()
		default:
			return v
		}
		v += term
	}
}

func (e *evaluator) product() float64 {
	v := e.power()
	for {
		switch {
		case e.take('*'):
			v *= e.power()
		case e.take('/'):
			v /= e.power()
		default:
			return v
		}
	}
}

func (e *evaluator) power() float64 {
	if e.take('-') {
		return -e.power()
	}
	v := e.atom()
	if e.take('^') {
		return math.Pow(v, e.power())
	}
	return v
}

func (e *evaluator) atom() float64 {
	var inner float64
	if e.take('(') {
		v := e.sum(&inner)
		if !e.take(')') {
			e.fail("a closing parenthesis is missing")
		}
		return v
	}
	word := e.word()
	switch {
	case word == "":
		e.fail("a value is missing")
		return math.NaN()
	case word[0] >= '0' && word[0] <= '9':
		v, err := strconv.ParseFloat(word, 64)
		if err != nil {
			e.fail(err.Error())
		}
		return v
	case word == "π":
		return math.Pi
	case e.take('('):
		v := e.sum(&inner)
		if two, ok := functions2[word]; ok && e.take(',') {
			v = two(v, e.sum(&inner))
		} else if one, ok := functions[word]; ok {
			v = one(v)
		} else {
			e.fail("unknown function " + word)
		}
		if !e.take(')') {
			e.fail("a closing parenthesis is missing")
		}
		return v
	}
	v, ok := e.value(word)
	if !ok {
		e.fail("unknown symbol " + word)
	}
	return v
}

// word takes a number or a name.
func (e *evaluator) word() string {
	e.blank()
	n := wordLength(e.text)
	word := e.text[:n]
	e.text = e.text[n:]
	return word
}

func wordLength(text string) int {
	for i, r := range text {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '.' {
			return i
		}
	}
	return len(text)
}

var functions = map[string]func(float64) float64{"sqrt": math.Sqrt, "ln": math.Log, "log10": math.Log10,
	"exp": math.Exp, "abs": math.Abs, "sin": math.Sin, "cos": math.Cos, "tan": math.Tan}

var functions2 = map[string]func(a, b float64) float64{"min": math.Min, "max": math.Max}

// replace puts something in place of each name and number of a text.
func replace(text string, by func(word string) string) string {
	var b strings.Builder
	for text != "" {
		if n := wordLength(text); n > 0 {
			b.WriteString(by(text[:n]))
			text = text[n:]
			continue
		}
		_, n := utf8.DecodeRuneInString(text)
		b.WriteString(text[:n])
		text = text[n:]
	}
	return b.String()
}
