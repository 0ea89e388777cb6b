package study

import (
	"math"
	"strconv"
	"strings"
)

// Span is a setting with the values it takes in a study: so many steps between two ends, or a list.
type Span struct {
	Path     string
	From, To string   // values as the job file writes them, with the same unit: "0 %", "0.18 inwc"
	Steps    int      // how many values, both ends among them; at least 2
	List     []string // instead of From, To and Steps
	// Links are further settings that move along: PATH = value × Factor, in the same unit.
	Links []Link
}

// Link is a setting that follows another.
type Link struct {
	Path   string
	Factor float64
}

// set puts a value of the span, as the job file writes it, into a variant.
func (s Span) set(v Variant, value string) Variant {
	v = v.With(s.Path, value)
	for _, l := range s.Links {
		if beside := l.Beside(value); beside != "" {
			v = v.With(l.Path, beside)
		}
	}
	return v
}

// Beside is the setting of a link beside a value of what it follows, as the job file writes it; ""
// beside what is no number.
func (l Link) Beside(value string) string {
	x, unit, err := number(value)
	if err != nil {
		return ""
	}
	return write(l.value(x, unit), unit)
}

// value is the setting of a link beside a value of what it follows: on a mark, and at least one
// mark farther.
func (l Link) value(x float64, unit string) float64 {
	step := markOf(unit)
	if step == 0 {
		return rounded(x * l.Factor)
	}
	y := rounded(step * math.Round(x*l.Factor/step))
	if l.Factor > 1 {
		y = max(y, rounded(step*math.Ceil(x/step+0.5)))
	}
	return y
}

// markOf is what a setting can be set to by hand, in its unit: 5 % or 5 degrees of a damper, what a
// weight or a manometer tells apart of a pressure; 0 where there is no such step (our choice).
func markOf(unit string) float64 {
	switch unit {
	case "%", degreesFromOpen, degreesFromShut, "deg":
		return 5
	case "inwc":
		return 0.01
	case "Pa":
		return 2
	}
	return 0
}

// marks is how many values a range has that goes by the marks of its unit.
func marks(from, to string) int {
	a, unit, err := number(from)
	b, _, other := number(to)
	step := markOf(unit)
	if err != nil || other != nil || step == 0 {
		return UsualSteps
	}
	n := math.Round(math.Abs(b-a)/step) + 1
	return int(min(max(n, 2), mostSteps))
}

// at puts a number of the span's unit into a variant.
func (s Span) at(v Variant, x float64) Variant { return s.set(v, s.At(x)) }

// ParseSpan reads "PATH=FROM..TO" or "PATH=A, B, C". Steps is for the first form; 0 goes by the
// marks of the unit: 5 % or 5 degrees, 0.01 in. w.c., 2 Pa.
func ParseSpan(text string, steps int) (Span, error) {
	path, values, ok := strings.Cut(text, "=")
	path, values = strings.TrimSpace(path), strings.TrimSpace(values)
	if !ok || path == "" || values == "" {
		return Span{}, question("%q is no range: write PATH=FROM..TO or PATH=A, B, C", text)
	}
	s := Span{Path: path, Steps: steps}
	if from, to, ok := strings.Cut(values, ".."); ok {
		s.From, s.To = strings.TrimSpace(from), strings.TrimSpace(to)
		if number, unit, err := number(s.To); err == nil {
			// "0..100 %": the unit of the second end serves both
			if first, own, err := splitNumber(s.From); err == nil && own == "" {
				s.From = write(first, unit)
			}
			s.To = write(number, unit)
		}
		if steps == 0 {
			s.Steps = marks(s.From, s.To)
		}
		return s, s.Check()
	}
	for item := range strings.SplitSeq(values, ",") {
		s.List = append(s.List, strings.TrimSpace(item))
	}
	return s, s.Check()
}

// Check says what is wrong with a span.
func (s Span) Check() error {
	if len(s.List) > 0 {
		for _, item := range s.List {
			if item == "" {
				return question("%s: a value of its list is empty", s.Path)
			}
		}
		return nil
	}
	from, unit, err := number(s.From)
	if err != nil {
		return question("%s: %v", s.Path, err)
	}
	to, other, err := number(s.To)
	if err != nil {
		return question("%s: %v", s.Path, err)
	}
	switch {
	case unit != other:
		return question("%s: %q and %q have different units", s.Path, s.From, s.To)
	case from == to:
		return question("%s: the range begins and ends at %q", s.Path, s.From)
	case s.Steps < 2 || s.Steps > mostSteps:
		return question("%s: a range has from 2 to %d steps, not %d", s.Path, mostSteps, s.Steps)
	}
	return nil
}

const mostSteps = 100_000

// Len is how many values the span has.
func (s Span) Len() int {
	if len(s.List) > 0 {
		return len(s.List)
	}
	return s.Steps
}

// X is the i-th value as a number in its unit; of a list of other texts, its place.
func (s Span) X(i int) float64 {
	if len(s.List) > 0 {
		if s.numeric() {
			x, _, _ := number(s.List[i])
			return x
		}
		return float64(i)
	}
	from, _, _ := number(s.From)
	to, _, _ := number(s.To)
	if i == s.Steps-1 {
		return to
	}
	return from + (to-from)*float64(i)/float64(s.Steps-1)
}

// Value is the i-th value as the job file writes it.
func (s Span) Value(i int) string {
	if len(s.List) > 0 {
		return s.List[i]
	}
	return s.At(s.X(i))
}

// At writes a number of the span's unit as the job file does.
func (s Span) At(x float64) string { return write(x, s.Unit()) }

// Unit is the unit of the span's values; "" when they have none or differ.
func (s Span) Unit() string {
	if len(s.List) > 0 {
		if !s.numeric() {
			return ""
		}
		_, unit, _ := number(s.List[0])
		return unit
	}
	_, unit, _ := number(s.From)
	return unit
}

// numeric tells whether a list is of rising or falling numbers in one unit, so that there is something between two of them.
func (s Span) numeric() bool {
	_, unit, err := number(s.List[0])
	if err != nil {
		return false
	}
	for _, item := range s.List {
		if _, other, err := number(item); err != nil || other != unit {
			return false
		}
	}
	return true
}

// Continuous tells whether values between those of the span mean something.
func (s Span) Continuous() bool { return len(s.List) == 0 }

// number reads "0.18 inwc" as 0.18 and "inwc". Sizes of two numbers are none.
func number(text string) (x float64, unit string, err error) {
	x, unit, err = splitNumber(text)
	if err == nil && strings.ContainsAny(unit, "0123456789") && strings.HasPrefix(unit, "x") {
		err = question("%q is no single number", text)
	}
	return x, unit, err
}

func splitNumber(text string) (x float64, unit string, err error) {
	text = strings.TrimSpace(text)
	end := 0
	for end < len(text) && strings.IndexByte("+-.0123456789", text[end]) >= 0 {
		end++
	}
	x, err = strconv.ParseFloat(text[:end], 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, "", question("%q does not begin with a number", text)
	}
	return x, strings.TrimSpace(text[end:]), nil
}

// rounded keeps five digits, which is more than any scale shows.
func rounded(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 5, 64), 64)
	return y
}

// write prints a number with its unit, at most ten digits.
func write(x float64, unit string) string {
	ten, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 10, 64), 64)
	text := strconv.FormatFloat(ten, 'f', -1, 64)
	if unit == "" {
		return text
	}
	return text + " " + unit
}
