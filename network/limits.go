package network

import (
	"fmt"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// quantity reads one quantity and holds it against the bounds of its key.
func (r *reader) quantity(n *node, kind quantity.Kind, f field) float64 {
	read := func(part *node) float64 { return r.bounded(part, kind, f) }
	about := func(x float64) (float64, float64, bool) { return aboutSpan(kind, f, x) }
	if middle, ok := r.doubtful(n, kind, f, read, about); ok {
		return middle
	}
	return r.bounded(n, kind, f)
}

// bounded reads one quantity without doubt.
func (r *reader) bounded(n *node, kind quantity.Kind, f field) float64 {
	value, ok := r.measure(n, kind, f)
	if !ok {
		return 0
	}
	r.repairNumber(n, kind)
	b, zero := boundsOf(kind, f), value == 0 && !isScale(kind, f.limit)
	between := fmt.Sprintf("%s to %s", kind.Written(b.least, r.system), kind.Written(b.most, r.system))
	switch {
	case zero && f.limit == "positive":
		r.fail(n.value, "leave it out if it is not known", "%q is zero", n.name)
		return 0
	case zero:
		return 0
	case value < 0 && b.least >= 0 && !isScale(kind, f.limit):
		r.fail(n.value, "", "%q is %s, below zero", n.name, r.shown(n, kind))
		return 0
	case value < b.least || value > b.most:
		r.fail(n.value, r.unitQuestion(n, kind, f, b, between), "%q is %s, outside %s", n.name, r.shown(n, kind), between)
		return 0
	case value < b.low:
		r.warn(n.value, r.unitQuestion(n, kind, f, b, between), "%q is %s, unusually small; check the unit", n.name, r.shown(n, kind))
	case value > b.high:
		r.warn(n.value, r.unitQuestion(n, kind, f, b, between), "%q is %s, unusually large; check the unit", n.name, r.shown(n, kind))
	case f.bounds == "run" && inInches(n) && value < 3*quantity.Foot:
		r.warn(n.value, `a length is written like "12 ft"`, "%q is %s; is that the size of the duct?", n.name, r.shown(n, kind))
	}
	return value
}

// inInches reports whether a text gives inches alone.
func inInches(n *node) bool {
	text, _ := n.leaf.(string)
	return (strings.Contains(text, "in") || strings.Contains(text, `"`)) && !strings.ContainsAny(text, "f'")
}

// shown is a value as the file gives it, a bare number with the unit that it is taken in.
func (r *reader) shown(n *node, kind quantity.Kind) string {
	if number, ok := bareNumber(n); ok {
		return strings.TrimSpace(formatShort(number) + " " + kind.Symbol(r.system))
	}
	text, _ := n.leaf.(string)
	return strings.TrimSpace(text)
}

// bareNumber is the number of a leaf that gives no unit.
func bareNumber(n *node) (float64, bool) {
	if text, ok := n.leaf.(string); ok {
		number, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
		return number, err == nil
	}
	return plainNumber(n)
}

// unitQuestion asks for the unit in which a bare number would be a usual value, or names the bounds.
func (r *reader) unitQuestion(n *node, kind quantity.Kind, f field, b bounds, between string) string {
	if number, ok := bareNumber(n); ok {
		if likely := likelyUnit(number, kind, f, b, r.system); likely != "" {
			return fmt.Sprintf("did you mean %q?", likely)
		}
	}
	return fmt.Sprintf(`it lies between %s; %s is written like %q`, strings.Replace(between, " to ", " and ", 1), kind, kind.Example(r.system))
}

// leadNumber is the number that a text begins with.
func leadNumber(text string) (float64, bool) {
	text = strings.TrimSpace(text)
	end := 0
	for end < len(text) && strings.IndexByte("+-.0123456789", text[end]) >= 0 {
		end++
	}
	x, err := strconv.ParseFloat(text[:end], 64)
	return x, err == nil
}

func formatShort(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// measure reads a number with or without a unit.
func (r *reader) measure(n *node, kind quantity.Kind, f field) (float64, bool) {
	var value float64
	var err error
	if text, ok := n.leaf.(string); ok {
		value, err = kind.Parse(text, r.system)
	} else if number, ok := plainNumber(n); ok {
		value, err = kind.FromNumber(number, r.system)
	} else {
		r.fail(n.value, `write "`+kind.Example(r.system)+`"`, "%q is %s, but %s is meant", n.name, n.what(), kind)
		return 0, false
	}
	if err != nil {
		r.unitError(n, kind, f, err)
		return 0, false
	}
	return value, true
}

// unitError reports what is wrong with a text that should be a quantity.
func (r *reader) unitError(n *node, kind quantity.Kind, f field, err error) {
	fix := ""
	if e, ok := err.(*quantity.Error); ok {
		if fix = e.Remedy(); e.Fix == "" {
			if better := r.unitFix(n, kind, f, e.Found); better != "" {
				fix = better
			}
		}
		if e.Text == "" {
			r.fail(n.value, fix, "%q %s", n.name, e.Reason)
			return
		}
	}
	r.fail(n.value, fix, "%s", err)
}

// unitFix says how the number of a text with a wrong or unknown unit would be written, where one unit makes a usual value
// of it: "48 kBtu/h" for "48 k".
//
// A unit of another kind is taken for a slip only where inches stand for inches of water, and k for thousands.
func (r *reader) unitFix(n *node, kind quantity.Kind, f field, found quantity.Kind) string {
	text, _ := n.leaf.(string)
	number, ok := leadNumber(text)
	if !ok || f.bounds == "" {
		return ""
	}
	rest := strings.ToLower(strings.TrimSpace(strings.TrimLeft(strings.TrimSpace(text), "+-.0123456789")))
	if kind == quantity.KindAirflow && (rest == "ton" || rest == "tons") {
		airflow := number * 400
		return fmt.Sprintf(`write "%g cfm" (at 400 cfm per ton)`, airflow)
	}
	if kind == quantity.KindHeat && (rest == "btu" || rest == "btus") {
		return fmt.Sprintf(`write "%s Btu/h"; Btu is an amount of heat, not a heat flow`, formatShort(number))
	}
	inches := kind == quantity.KindPressure && found == quantity.KindLength && inInches(n)
	thousands := kind == quantity.KindHeat && rest == "k"
	if found != quantity.Unknown && !inches && !thousands {
		return ""
	}
	if likely := likelyUnit(number, kind, f, boundsOf(kind, f), r.system); likely != "" {
		return fmt.Sprintf("did you mean %q?", likely)
	}
	return ""
}
