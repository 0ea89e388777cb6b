package quantity

import (
	"regexp"
	"strings"
)

// Form is how a text says that a value is not exactly known.
type Form int

// The forms. Certain is a text without doubt.
const (
	Certain Form = iota
	About        // "about 20 ft", "~20 ft"
	Within       // "20 ft +- 2 ft"
	Between      // "10 to 30 ft"
	Spanned      // "4 % (2 to 8 %)"
	Nothing      // "unknown"
)

// Doubt is a text with doubt taken apart. The parts are texts of quantities with their units.
type Doubt struct {
	Form      Form
	Value     string // of About, Within and Spanned
	By        string // of Within
	Low, High string // of Between and Spanned
}

// plusMinus are the writings of "+-", the longest first.
var plusMinus = []string{"give or take", "plus or minus", "+/-", "+-", "±"}

var (
	spanned = regexp.MustCompile(`^([^()]*)\(([^()]*)\)$`)
	// hyphened is a range with a hyphen between plain numbers, "10-30 ft".
	hyphened = regexp.MustCompile(`^([0-9.]+)\s*[-–]\s*([0-9.]+)(\s*[^-–/0-9][^-–/]*|)$`)
)

// ParseDoubt takes a text apart that says how well a value is known:
//
//	about V    ~V    V +- W    A to B    V (A to B)    unknown
//
// A part without a unit has that of the part after it, or else of the part before it. A text of
// another form is Certain; its Doubt is the zero Doubt. A text that begins such a form and does not
// end it is an error of type *Error; whether the parts are quantities is the caller's to find.
func ParseDoubt(text string) (Doubt, error) {
	text = strings.TrimSpace(text)
	lower := strings.ToLower(text)
	bad := func(reason, fix string) (Doubt, error) {
		return Doubt{}, &Error{Text: text, Reason: reason, Fix: fix}
	}
	if lower == "unknown" {
		return Doubt{Form: Nothing}, nil
	}
	if rest, ok := cutAbout(text); ok {
		if rest == "" {
			return bad("does not say about what", `write "about 20 ft"`)
		}
		if inner, err := ParseDoubt(rest); err != nil || inner.Form != Certain {
			return bad("states its doubt twice", `write "about 20 ft" or "10 to 30 ft"`)
		}
		return Doubt{Form: About, Value: rest}, nil
	}
	for _, word := range plusMinus {
		i := strings.Index(lower, word)
		if i < 0 || len(lower) != len(text) {
			continue
		}
		value, by := strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+len(word):])
		switch {
		case value == "":
			return bad("has no value before "+word, `write "20 ft +- 2 ft"`)
		case by == "":
			return bad("does not say how far",
				"write "+`"`+value+" +- "+by+`2" with the unit, such as "20 ft +- 2 ft"`)
		}
		value, by = shareUnit(value, by)
		return Doubt{Form: Within, Value: value, By: by}, nil
	}
	if m := spanned.FindStringSubmatch(text); m != nil {
		value := strings.TrimSpace(m[1])
		low, high, ok := between(m[2])
		switch {
		case value == "":
			return bad("has no value before the bracket", `write "4 % (2 to 8 %)"`)
		case !ok:
			return bad("has no range in its bracket", `write "4 % (2 to 8 %)"`)
		}
		low, high = shareUnit(low, high)
		value, _ = shareUnit(value, high)
		_, low = shareUnit(value, low)
		_, high = shareUnit(value, high)
		return Doubt{Form: Spanned, Value: value, Low: low, High: high}, nil
	}
	if strings.ContainsAny(text, "()") && numberFirst(text) {
		return bad("has a bracket that is not closed", `write "4 % (2 to 8 %)"`)
	}
	if low, high, ok := between(text); ok && numberFirst(low) {
		if high == "" {
			return bad("has one end only", `write "10 to 30 ft"`)
		}
		if !numberFirst(high) {
			return Doubt{}, nil // "4 % to attic": not a range
		}
		if _, _, more := between(high); more {
			return bad("has more than two ends", `write "10 to 30 ft"`)
		}
		low, high = shareUnit(low, high)
		return Doubt{Form: Between, Low: low, High: high}, nil
	}
	return Doubt{}, nil
}

// cutAbout takes "about", "approximately", "ca." or "~" off the front.
func cutAbout(text string) (rest string, ok bool) {
	if rest, ok := strings.CutPrefix(text, "~"); ok {
		return strings.TrimSpace(rest), true
	}
	for _, word := range []string{"about", "approximately", "ca.", "roughly"} {
		if len(text) >= len(word) && strings.EqualFold(text[:len(word)], word) {
			rest := text[len(word):]
			if rest == "" || rest[0] == ' ' || rest[0] == '\t' {
				return strings.TrimSpace(rest), true
			}
		}
	}
	return "", false
}

// between cuts a range at "to", "..", or a hyphen between plain numbers.
func between(text string) (low, high string, ok bool) {
	text = strings.TrimSpace(text)
	if low, high, ok = strings.Cut(text+" ", " to "); ok {
		return strings.TrimSpace(low), strings.TrimSpace(high), true
	}
	if low, high, ok = strings.Cut(text, ".."); ok {
		return strings.TrimSpace(low), strings.TrimSpace(high), true
	}
	if m := hyphened.FindStringSubmatch(text); m != nil {
		return m[1], strings.TrimSpace(m[2] + m[3]), true
	}
	return "", "", false
}

func numberFirst(text string) bool {
	word, _ := numberWord(text)
	return word != ""
}

// shareUnit gives the one of two parts that is a bare number the unit of the other.
func shareUnit(a, b string) (string, string) {
	unitA, unitB := unitBehind(a), unitBehind(b)
	switch {
	case unitA == "" && unitB != "":
		a += " " + unitB
	case unitB == "" && unitA != "":
		b += " " + unitA
	}
	return a, b
}

// unitBehind is what follows the last number of a text.
func unitBehind(text string) string {
	return strings.TrimSpace(text[strings.LastIndexAny(text, "0123456789")+1:])
}
