package quantity

import (
	"strconv"
	"strings"
)

// Error says why a text is not a quantity of the wanted kind.
type Error struct {
	Text   string // what was written; "" for a bare number
	Want   Kind
	Found  Kind   // the kind that the unit belongs to, or Unknown
	System System // of the example in the fix
	Reason string // completes "TEXT ..."
	Fix    string // what to do; "" = by example
}

// Error is the whole problem in one line.
func (e *Error) Error() string {
	if e.Text == "" {
		return "the number " + e.Reason
	}
	return strconv.Quote(e.Text) + " " + e.Reason
}

// Remedy is the likely fix.
func (e *Error) Remedy() string {
	if e.Fix != "" {
		return e.Fix
	}
	return "write " + e.Want.String() + `, such as "` + e.Want.Example(e.System) + `"`
}

// Parse reads a quantity of this kind, "0.10 inwc" or "6 ft 4 in", into SI. A text without a unit is taken as a bare number
// of the system. Errors are of type *Error.
func (k Kind) Parse(text string, s System) (float64, error) {
	fail := func(found Kind, reason, fix string) (float64, error) {
		return 0, &Error{Text: text, Want: k, Found: found, System: s, Reason: reason, Fix: fix}
	}
	rest := strings.TrimSpace(text)
	if rest == "" {
		return fail(Unknown, "is empty", "")
	}
	if k == KindInsulation {
		if number, factor, ok := insulation(rest); ok {
			return number * factor, nil
		}
	}
	sum, parts := 0.0, 0
	for rest != "" {
		number, after, problem := leadingNumber(rest)
		if problem != "" {
			return fail(Unknown, problem, "")
		}
		word, next := leadingUnit(after, k)
		if word == "" {
			if parts > 0 {
				return fail(Unknown, "has a number without a unit at its end", "")
			}
			value, err := k.FromNumber(number, s)
			if e, ok := err.(*Error); ok {
				e.Text = text
			}
			return value, err
		}
		normal := normalUnit(word)
		u, ok := k.unit(normal)
		if !ok {
			found := kindOfUnit(normal)
			switch {
			case found != Unknown:
				return fail(found, "is "+found.String()+", but "+k.String()+" is meant here", "")
			case normal == "mbtu/h" || normal == "mbtuh":
				return fail(Unknown, "is unclear: M is a thousand to some and a million to others", `write "kBtu/h"`)
			}
			return fail(Unknown, "has a unit that is not known: "+strconv.Quote(strings.TrimSpace(word)), "")
		}
		if parts > 0 && (k != KindLength && k != KindSize) {
			return fail(Unknown, "has more than one number", "")
		}
		sum += number*u.factor + u.offset
		parts++
		rest = strings.TrimSpace(next)
	}
	return sum, nil
}

// unit finds a spelling, as normalUnit gives it, among the units of the kind.
func (k Kind) unit(word string) (unit, bool) {
	for _, u := range k.row().units {
		for _, spelling := range u.spellings {
			if spelling == word {
				return u, true
			}
		}
	}
	return unit{}, false
}

// kindOfUnit tells what kind a unit of the wrong kind is of, so that the message can name it. Where a unit serves two kinds
// the first in the list is named.
func kindOfUnit(word string) Kind {
	for k := KindLength; k <= KindInsulation; k++ {
		if _, ok := k.unit(word); ok {
			return k
		}
	}
	return Unknown
}

// normalUnit brings a unit to the form of the spellings: lower case, without blanks, dots and degree signs.
func normalUnit(word string) string {
	word = strings.ToLower(strings.TrimSpace(word))
	if word == "°" {
		return "deg"
	}
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', '\t', '.', '·', '°':
			return -1
		case '²':
			return '2'
		case '³':
			return '3'
		case '´', '′':
			return '\''
		case '″':
			return '"'
		}
		return r
	}, word)
}

// leadingNumber takes a number off the front: "12", "-0.5", "1,200", "1/2", "1 1/2", "1.5e3". The problem completes
// "TEXT ..." and is "" when there is a number.
func leadingNumber(text string) (number float64, rest, problem string) {
	word, rest := numberWord(text)
	if word == "" {
		first, _, _ := strings.Cut(text, " ")
		switch strings.ToLower(strings.TrimLeft(first, "+-")) {
		case "nan", "inf", "infinity":
			return 0, text, "is not a usable number"
		}
		return 0, text, "does not begin with a number"
	}
	if i := strings.IndexByte(word, ','); i >= 0 {
		if !thousands(word) {
			return 0, text, "has a comma in its number; the decimal sign is a point"
		}
		word = strings.ReplaceAll(word, ",", "")
	}
	number, err := strconv.ParseFloat(word, 64)
	if err != nil || number > maxNumber || number < -maxNumber {
		return 0, text, "is not a usable number"
	}
	// "1/2" and "1 1/2"
	if tail, ok := strings.CutPrefix(rest, "/"); ok {
		if below, after := numberWord(tail); wholeNumber(word) && wholeNumber(below) {
			divisor, err := strconv.ParseFloat(below, 64)
			if err != nil || divisor == 0 {
				return 0, text, "divides by zero"
			}
			return number / divisor, after, ""
		}
	}
	if trimmed := strings.TrimLeft(rest, " "); trimmed != rest && wholeNumber(word) {
		above, tail := numberWord(trimmed)
		if tail, ok := strings.CutPrefix(tail, "/"); ok && wholeNumber(above) {
			below, after := numberWord(tail)
			top, err1 := strconv.ParseFloat(above, 64)
			divisor, err2 := strconv.ParseFloat(below, 64)
			if wholeNumber(below) && err1 == nil && err2 == nil && divisor != 0 {
				return number + top/divisor, after, ""
			}
		}
	}
	return number, rest, ""
}

// numberWord splits off the characters of one number.
func numberWord(text string) (word, rest string) {
	i := 0
	if i < len(text) && (text[i] == '-' || text[i] == '+') {
		i++
	}
	digits := 0
	for i < len(text) && (text[i] >= '0' && text[i] <= '9' || text[i] == '.' || text[i] == ',') {
		if text[i] != '.' && text[i] != ',' {
			digits++
		}
		i++
	}
	if digits == 0 {
		return "", text
	}
	if i < len(text) && (text[i] == 'e' || text[i] == 'E') { // an exponent only when digits follow
		j := i + 1
		if j < len(text) && (text[j] == '-' || text[j] == '+') {
			j++
		}
		start := j
		for j < len(text) && text[j] >= '0' && text[j] <= '9' {
			j++
		}
		if j > start {
			i = j
		}
	}
	return text[:i], text[i:]
}

// thousands tells whether commas stand only between groups of three digits: "1,200" but not "0,5".
func thousands(word string) bool {
	whole, _, _ := strings.Cut(strings.TrimLeft(word, "+-"), ".")
	groups := strings.Split(whole, ",")
	if strings.Contains(strings.TrimPrefix(strings.TrimLeft(word, "+-"), whole), ",") || len(groups[0]) == 0 || len(groups[0]) > 3 || groups[0] == "0" {
		return false
	}
	for _, group := range groups[1:] {
		if len(group) != 3 {
			return false
		}
	}
	return true
}

func wholeNumber(word string) bool {
	if word == "" {
		return false
	}
	for i := 0; i < len(word); i++ {
		if word[i] < '0' || word[i] > '9' {
			return false
		}
	}
	return true
}

// leadingUnit takes the unit off the front. Feet and inches may follow each other ("6 ft 4 in"), so a unit of length ends
// where the next number begins; all other units run to the end of the text ("in. w.c.", "h ft2 F/Btu").
func leadingUnit(text string, k Kind) (word, rest string) {
	if k != KindLength && k != KindSize {
		return text, ""
	}
	for i := 0; i < len(text); i++ {
		c := text[i]
		if (c >= '0' && c <= '9' || c == '-') && i > 0 && (text[i-1] == ' ' || text[i-1] == '\'') {
			return text[:i], text[i:]
		}
	}
	return text, ""
}

// insulation reads "R-8", "r8" and "RSI-1.4".
func insulation(text string) (number, factor float64, ok bool) {
	lower := strings.ToLower(text)
	factor = RValueIP
	switch {
	case strings.HasPrefix(lower, "rsi"):
		lower, factor = lower[3:], 1
	case strings.HasPrefix(lower, "r"):
		lower = lower[1:]
	default:
		return 0, 0, false
	}
	lower = strings.TrimLeft(strings.TrimPrefix(strings.TrimLeft(lower, " "), "-"), " ")
	word, rest := numberWord(lower)
	if word == "" || strings.TrimSpace(rest) != "" {
		return 0, 0, false
	}
	number, err := strconv.ParseFloat(word, 64)
	return number, factor, err == nil && number < maxNumber
}
