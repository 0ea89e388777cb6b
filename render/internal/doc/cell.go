package doc

import (
	"fmt"
	"math"
	"strings"

	"spillway/network/quantity"
	"spillway/solver/sound"
)

// Tone is why a piece of text may be colored. Every tone goes with a word or a sign that says the
// same.
type Tone uint8

// The tones.
const (
	Plain Tone = iota
	Heading
	Faint
	Caution
	Fault
	Wanted
	Surplus
)

// Cell is one value of a document: words, or a number in SI with all that a writer needs to print it.
// The zero value is an empty text.
type Cell struct {
	Kind   quantity.Kind
	Value  float64 // SI; NaN: does not apply
	Words  string  // of the forms Word and Flag
	Spans  []Span  // in place of Words: a text with numbers in it
	Form   Form
	Places int8    // decimals + 1; 0: those of the kind
	Unit   bool    // printed with its unit
	Tone   Tone    // of the text
	Ask    string  // the name under which its derivation can be asked for; "": none
	Ledger *Ledger // with Paths: rounded as the sum of these lines of the ledger
	Paths  []int
}

// Form is how a cell is printed.
type Form uint8

// The forms.
const (
	Word   Form = iota // Words
	Number             // in the unit of the system, rounded as its kind is
	Signed             // with its sign
	Short              // without trailing zeros, with its unit: "25 %"
	Time               // s, in the unit that a person would choose
	Noise              // a criterion number, in words beyond the curves
	Flag               // true or false in JSON; Words for people
)

// Name is a cell of words, which may come from a job file.
func Name(words string) Cell { return Cell{Words: Clean(words)} }

// Of is a number without its unit, from SI.
func Of(k quantity.Kind, si float64) Cell { return Cell{Kind: k, Value: si, Form: Number} }

// With is a number with its unit, from SI.
func With(k quantity.Kind, si float64) Cell {
	return Cell{Kind: k, Value: si, Form: Number, Unit: true}
}

// Count is a whole number of things.
func Count(n int) Cell {
	return Cell{Kind: quantity.KindNumber, Value: float64(n), Form: Number, Places: 1}
}

// After is a time in s.
func After(seconds float64) Cell {
	return Cell{Kind: quantity.KindTime, Value: seconds, Form: Time}
}

// Open is how far a damper is open.
func Open(share float64) Cell {
	return Cell{Kind: quantity.KindFraction, Value: share, Form: Short}
}

// Truth is a flag of JSON, which people read as words.
func Truth(yes bool, words string) Cell {
	c := Cell{Words: words, Form: Flag}
	if yes {
		c.Value = 1
	}
	return c
}

// None is a number that does not apply.
func None() Cell { return Cell{Form: Number, Value: math.NaN()} }

// To is the cell with that many decimals.
func (c Cell) To(decimals int) Cell { c.Places = int8(decimals + 1); return c }

// As is the cell in another form.
func (c Cell) As(f Form) Cell { c.Form = f; return c }

// Toned is the cell in a tone.
func (c Cell) Toned(t Tone) Cell { c.Tone = t; return c }

// Asked is the cell with the name under which its derivation can be asked for.
func (c Cell) Asked(name string) Cell { c.Ask = name; return c }

// Apart is the cell with as many more decimals, up to six, as it takes to print another value of its
// kind differently: a value that is past its limit by less than the last digit must not look like it.
func (c Cell) Apart(other float64, s quantity.System) Cell {
	places := c.places(s)
	for fewest := places; c.Kind.NumberTo(c.Value, s, places) == c.Kind.NumberTo(other, s, places) &&
		places < fewest+6; {
		places++
	}
	return c.To(places)
}

func (c Cell) places(s quantity.System) int {
	if c.Places > 0 {
		return int(c.Places) - 1
	}
	return c.Kind.Rounded(s)
}

// Text is the cell as people read it. A number that does not apply is a dash.
func (c Cell) Text(s quantity.System) string {
	switch c.Form {
	case Word, Flag:
		return c.Words + Plainly(c.Spans, s)
	case Time:
		return duration(c.Value)
	case Short:
		if math.IsNaN(c.Value) {
			return quantity.Absent
		}
		return c.Kind.Short(c.Value, s)
	case Noise:
		return c.noise(s)
	}
	text := c.number(s)
	if label := c.Kind.Label(s); c.Unit && label != "" && text != quantity.Absent {
		text += " " + label
	}
	return text
}

func (c Cell) number(s quantity.System) string {
	if c.Ledger != nil {
		return c.Ledger.Sum(c.Paths, s)
	}
	text := c.Kind.NumberTo(c.Value, s, c.places(s))
	if c.Form == Signed && c.Kind.In(c.Value, s) > 0 && strings.Trim(text, "-0.,") != "" {
		return "+" + text
	}
	return text
}

func (c Cell) noise(s quantity.System) string {
	switch {
	case math.IsNaN(c.Value) || sound.OnCurves(c.Value):
		return Cell{Kind: c.Kind, Value: c.Value, Form: Number, Places: c.Places, Unit: c.Unit}.Text(s)
	case c.Unit && sound.Shown(c.Value) == "<15":
		return "under NC 15"
	case c.Unit:
		return c.Kind.NumberTo(c.Value, s, c.places(s)) + " " + c.Kind.Label(s)
	}
	return sound.Shown(c.Value)
}

// duration prints a time in s in the unit that a person would choose.
func duration(seconds float64) string {
	switch {
	case math.IsNaN(seconds):
		return quantity.Absent
	case math.IsInf(seconds, 1):
		return "never"
	case seconds < 99.5:
		return fmt.Sprintf("%.0f s", seconds)
	case seconds < 99.95*60:
		return fmt.Sprintf("%.1f min", seconds/60)
	case seconds < 47.95*3600:
		return fmt.Sprintf("%.1f h", seconds/3600)
	}
	return quantity.Grouped(fmt.Sprintf("%.0f", seconds/86400)) + " days"
}

// Plainly is a text as people read it, without markup.
func Plainly(text []Span, s quantity.System) string {
	var b strings.Builder
	for _, p := range text {
		if p.Cell != nil {
			b.WriteString(p.Cell.Text(s))
		} else {
			b.WriteString(p.Words)
		}
	}
	return b.String()
}
