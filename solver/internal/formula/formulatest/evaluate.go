package formulatest

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// evaluator works out the equations of steps from their text alone: an expression by recursive descent over
// + - * / ^, parentheses, names and the functions that formula.Evaluate lists. It shares no code with the program.
type evaluator struct {
	text   []rune
	at     int
	values map[string]float64
	err    error
}

// Evaluate works out an expression.
func Evaluate(text string, values map[string]float64) (float64, error) {
	e := &evaluator{text: []rune(text), values: values}
	v := e.sum()
	e.blank()
	if e.err == nil && e.at < len(e.text) {
		e.err = fmt.Errorf("%q: cannot read %q", text, string(e.text[e.at:]))
	}
	return v, e.err
}

func (e *evaluator) blank() {
	for e.at < len(e.text) && unicode.IsSpace(e.text[e.at]) {
		e.at++
	}
}

func (e *evaluator) take(r rune) bool {
	e.blank()
	if e.at < len(e.text) && e.text[e.at] == r {
		e.at++
		return true
	}
	return false
}

func (e *evaluator) sum() float64 {
	v := e.product()
	for e.err == nil {
		switch {
		case e.take('+'):
			v += e.product()
		case e.take('-'):
			v -= e.product()
		default:
			return v
		}
	}
	return v
}

func (e *evaluator) product() float64 {
	v := e.signed()
	for e.err == nil {
		switch {
		case e.take('*'):
			v *= e.signed()
		case e.take('/'):
			v /= e.signed()
		default:
			return v
		}
	}
	return v
}

func (e *evaluator) signed() float64 {
	if e.take('-') {
		return -e.signed()
	}
	v := e.atom()
	if e.take('^') {
		return math.Pow(v, e.signed())
	}
	return v
}

func (e *evaluator) atom() float64 {
	if e.take('(') {
		v := e.sum()
		if !e.take(')') {
			e.fail("a closing parenthesis is missing")
		}
		return v
	}
	e.blank()
	start := e.at
	for e.at < len(e.text) && (unicode.IsDigit(e.text[e.at]) || e.text[e.at] == '.') {
		e.at++
	}
	if e.at > start {
		v, err := strconv.ParseFloat(string(e.text[start:e.at]), 64)
		if err != nil {
			e.fail(err.Error())
		}
		return v
	}
	for e.at < len(e.text) && (unicode.IsLetter(e.text[e.at]) || unicode.IsDigit(e.text[e.at])) {
		e.at++
	}
	name := string(e.text[start:e.at])
	if name == "" {
		e.fail("a value is missing")
		return 0
	}
	if e.take('(') {
		args := []float64{e.sum()}
		for e.take(',') {
			args = append(args, e.sum())
		}
		if !e.take(')') {
			e.fail("a closing parenthesis is missing")
		}
		return e.call(name, args)
	}
	if name == "π" {
		return math.Pi
	}
	v, ok := e.values[name]
	if !ok {
		e.fail("unknown symbol " + name)
	}
	return v
}

func (e *evaluator) call(name string, args []float64) float64 {
	one := map[string]func(float64) float64{"sqrt": math.Sqrt, "ln": math.Log, "log10": math.Log10, "exp": math.Exp, "abs": math.Abs,
		"sin": math.Sin, "cos": math.Cos, "tan": math.Tan}
	if f, ok := one[name]; ok && len(args) == 1 {
		return f(args[0])
	}
	if len(args) == 2 {
		switch name {
		case "min":
			return math.Min(args[0], args[1])
		case "max":
			return math.Max(args[0], args[1])
		}
	}
	e.fail("unknown function " + name)
	return 0
}

func (e *evaluator) fail(text string) {
	if e.err == nil {
		e.err = fmt.Errorf("%q at %d: %s", string(e.text), e.at, text)
	}
}

// Residual is left side less right side of an equation, and the greater of their sizes.
func Residual(equation string, values map[string]float64) (difference, size float64, err error) {
	left, right, ok := strings.Cut(equation, " = ")
	if !ok {
		return 0, 0, fmt.Errorf("%q is no equation", equation)
	}
	l, err := Evaluate(left, values)
	if err != nil {
		return 0, 0, err
	}
	r, err := Evaluate(right, values)
	return l - r, math.Max(math.Abs(l), math.Abs(r)), err
}
