package network

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// What an override says of a value that is there already, instead of a value of its own:
//
//	x 1.2          times a factor
//	x 0.8 to 1.3   times a factor that is not known better: the value as it is, and its span
//	+ 1 in         more, or less with "-", by an amount in the unit of the value
//
// The sign and the amount have a blank between them: "-9 ft" is a value, "- 9 ft" a change.
var (
	factorText = regexp.MustCompile(`^[x×*] *([0-9.]+)(?: *(?:to|\.\.) *([0-9.]+))?$`)
	moreText   = regexp.MustCompile(`^([+-]) +([0-9.]+) *(.*)$`)
	stepText   = regexp.MustCompile(`^\S.* (?:to|or) .* step \S+.*$`)
	oneValue   = regexp.MustCompile(`^([-+]?[0-9]*\.?[0-9]+) *([^0-9]*2?[^0-9]*)$`)
	anyNumber  = regexp.MustCompile(`(^|[^A-Za-z0-9.])([0-9]*\.?[0-9]+)`)
)

// relative turns an override that is relative to the value there into a value, and reports whether
// it was one. old is nil where the file gives none.
func (r *reader) relative(old, over *node, path []string) bool {
	text, ok := over.leaf.(string)
	if !ok {
		return false
	}
	text = strings.TrimSpace(text)
	factor, more := factorText.FindStringSubmatch(text), moreText.FindStringSubmatch(text)
	common := factor != nil && (path[0] == spreadTable || path[0] == doubtTable) // the value itself
	if common || factor == nil && more == nil {
		if stepText.MatchString(text) && path[0] != "choose" &&
			path[0] != spreadTable && path[0] != doubtTable {
			r.fail(over.value, "write a value; a range with a step is for [choose] and tune --move",
				"%q is a range to choose from, but a value is meant", text)
		}
		return false
	}
	value, fix := "", fmt.Sprintf("write the value of %s", PathText(path...))
	switch {
	case old == nil:
	case old.leaf == nil:
		fix += ", each of its parts by its own path"
	default:
		var problem string
		value = strings.TrimSpace(fmt.Sprint(old.leaf))
		if factor != nil {
			over.leaf, problem = scaled(value, factor[1], factor[2])
		} else {
			over.leaf, problem = shifted(value, more[1]+more[2], strings.TrimSpace(more[3]))
		}
		if problem != "" {
			over.leaf = old.leaf // told here, once
			r.fail(over.value, fix, "%q of %q: %s", text, value, problem)
		}
		return true
	}
	r.fail(over.value, fix, "%q: the file does not give what this is to change", text)
	return true
}

// scaled multiplies a value as a file has it, with its doubt. high is "" for one factor; else the
// value stays and its span is from low to high times it.
func scaled(value, low, high string) (text, problem string) {
	a, errA := strconv.ParseFloat(low, 64)
	b := a
	if high != "" {
		var errB error
		if b, errB = strconv.ParseFloat(high, 64); errB != nil {
			return value, "a factor is a number"
		}
	}
	one := oneValue.FindStringSubmatch(value)
	d, err := quantity.ParseDoubt(value)
	switch {
	case errA != nil || !(a > 0) || b < a:
		return value, "a factor is above zero, and the smaller of two comes first"
	case strings.ContainsAny(value, "x×"):
		return value, "a section has two sides"
	case one != nil && isDegree(one[2]):
		return value, "a temperature has no factor"
	case high != "" && one == nil, err != nil:
		return value, "only a number with its unit has a span by a factor"
	case high != "":
		x, _ := strconv.ParseFloat(one[1], 64)
		unit := strings.TrimSpace(one[2])
		return fmt.Sprintf("%s (%s to %s)", value, withUnit(x*a, unit), withUnit(x*b, unit)), ""
	case one == nil && d.Form == quantity.Certain:
		return value, "that is not one number with its unit"
	}
	return anyNumber.ReplaceAllStringFunc(value, func(found string) string {
		m := anyNumber.FindStringSubmatch(found)
		x, _ := strconv.ParseFloat(m[2], 64)
		return m[1] + shortNumber(x*a)
	}), ""
}

// shifted adds an amount to a value of the same unit.
func shifted(value, by, unit string) (text, problem string) {
	one := oneValue.FindStringSubmatch(value)
	amount, err := strconv.ParseFloat(by, 64)
	if one == nil || err != nil {
		return value, "that is not one number with its unit"
	}
	own := strings.TrimSpace(one[2])
	if !strings.EqualFold(firstWord(own), unit) {
		return value, fmt.Sprintf("the amount is to be in the unit of the value, %q",
			firstWord(own))
	}
	x, _ := strconv.ParseFloat(one[1], 64)
	return withUnit(x+amount, own), ""
}

func isDegree(unit string) bool {
	switch strings.TrimSpace(unit) {
	case "F", "C", "°F", "°C", "degF", "degC", "deg F", "deg C":
		return true
	}
	return false
}

func withUnit(x float64, unit string) string {
	return strings.TrimSpace(shortNumber(x) + " " + unit)
}

// shortNumber writes a number with at most nine digits: what binary arithmetic adds is not shown.
func shortNumber(x float64) string {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 9, 64), 64)
	return strconv.FormatFloat(x, 'f', -1, 64)
}
