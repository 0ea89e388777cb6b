package network

import (
	"fmt"
	"strconv"
	"strings"

	"spillway/network/section"
	"spillway/network/units"
)

// The written forms of sizes, positions, fittings and leaks.

// damperLeakage reads "3 %" or "class 1A".
func (r *reader) damperLeakage(n *node) DamperLeakage {
	text, _ := n.leaf.(string)
	if class, ok := cutWord(text, "class"); ok {
		return DamperLeakage{Class: class, Given: true}
	}
	return DamperLeakage{Share: units.Fraction(r.quantity(n, units.KindFraction, field{})), Given: true}
}

// cutWord takes a leading word off, in any letter case, when a blank follows it.
func cutWord(text, word string) (rest string, ok bool) {
	text = strings.TrimSpace(text)
	if len(text) <= len(word) || !strings.EqualFold(text[:len(word)], word) || text[len(word)] != ' ' {
		return text, false
	}
	return strings.TrimSpace(text[len(word):]), true
}

// size reads a section: "14 in", "20x8 in", "250 mm", "6 in flex", "30x8 in oval", or a bare number for a round duct. Words
// behind it that are no shape are the material.
func (r *reader) size(n *node) Size {
	if number, ok := plainNumber(n); ok {
		text := strconv.FormatFloat(number, 'g', -1, 64)
		return r.sizeText(n, text)
	}
	text, ok := n.leaf.(string)
	if !ok {
		r.fail(n.value, r.sizeExample(), "%q is %s, but a size is meant", n.name, n.what())
		return Size{}
	}
	return r.sizeText(n, text)
}

func (r *reader) sizeExample() string {
	if r.system == units.SI {
		return `write "250 mm", "500x200 mm" or "150 mm flex"`
	}
	return `write "14 in", "20x8 in" or "6 in flex"`
}

func (r *reader) sizeText(n *node, text string) Size {
	numbers, unit, words, whole := splitSize(text)
	fail := func(format string, args ...any) Size {
		r.fail(n.value, r.sizeExample(), "%s", fmt.Sprintf(format, args...))
		return Size{}
	}
	switch {
	case len(numbers) == 0 || !whole:
		return fail("%q is no size", text)
	case len(numbers) > 2:
		return fail("%q has more than two sizes", text)
	}
	var lengths [2]float64
	for i, number := range numbers {
		value, err := units.KindSize.Parse(strings.TrimSpace(number+" "+unit), r.system)
		if err != nil {
			if e, ok := err.(*units.Error); ok {
				return fail("%q %s", text, e.Reason)
			}
			return fail("%q is no size", text)
		}
		lengths[i] = value
		const smallest, largest, odd = 0.02, 5.0, 2.0 // m: our choice, wide of any duct in a house
		if value < smallest || value > largest {
			return fail("%q: a duct or opening of %s cannot be", text, units.KindSize.Short(value, r.system))
		}
		if value > odd {
			r.warn(n.value, "is the unit right? "+r.sizeExample(), "%q is unusually large", text)
		}
	}
	size := Size{}
	shape := ""
	for _, word := range words {
		switch word {
		case "round", "rectangular", "oval":
			shape = word
		case "rect":
			shape = "rectangular"
		case "flat":
		case "rigid":
		default:
			size.Material = strings.TrimSpace(size.Material + " " + word)
		}
	}
	switch {
	case len(numbers) == 1 && (shape == "" || shape == "round"):
		size.Section = section.NewRound(lengths[0])
	case len(numbers) == 1:
		return fail("%q gives one size, but %s needs two", text, shape)
	case shape == "oval":
		size.Section = section.NewFlatOval(lengths[0], lengths[1])
	case shape == "round":
		return fail("%q gives two sizes, but round has one", text)
	default:
		size.Section = section.NewRectangular(lengths[0], lengths[1])
	}
	return size
}

// splitSize takes "20x8 in flex" apart into its numbers, the unit, and the words behind. whole is false when a number is
// missing behind an x.
func splitSize(text string) (numbers []string, unit string, words []string, whole bool) {
	rest := strings.ToLower(strings.TrimSpace(text))
	times := false
	for {
		i := 0
		for i < len(rest) && (rest[i] >= '0' && rest[i] <= '9' || rest[i] == '.' || rest[i] == ',' || rest[i] == '/' || i == 0 && rest[i] == '-') {
			i++
		}
		if i == 0 {
			break
		}
		numbers = append(numbers, rest[:i])
		rest = strings.TrimSpace(rest[i:])
		rest = strings.TrimSpace(strings.TrimPrefix(rest, `"`))
		var tail string
		tail, times = strings.CutPrefix(rest, "x")
		if !times {
			tail, times = strings.CutPrefix(rest, "×")
		}
		if !times {
			if tail, times = strings.CutPrefix(rest, "in x"); times {
				unit = "in"
			}
		}
		if !times {
			break
		}
		rest = strings.TrimSpace(tail)
	}
	for i, word := range strings.Fields(rest) {
		if i == 0 && unit == "" && !sizeWord(word) {
			unit = word // or what stands in its place, to be refused with a message
			continue
		}
		_, err := units.KindSize.Parse("1 "+word, units.IP)
		if unit == "" && err == nil {
			unit = word
			continue
		}
		if err == nil && word == unit { // said twice: "20 in x 8 in"
			continue
		}
		words = append(words, word)
	}
	return numbers, unit, words, !times
}

// sizeWord tells whether a word may stand right behind a size without a unit between: "20x8 oval", "6 flex".
func sizeWord(word string) bool {
	switch word {
	case "round", "rect", "rectangular", "oval", "flat", "flex", "rigid":
		return true
	}
	return false
}

// leak reads "4 % of blower at 25 Pa", "40 cfm at 25 Pa" or "class 12", each with " to attic" behind it if need be.
func (r *reader) leak(n *node) Leak {
	text, ok := r.text(n)
	if !ok {
		return Leak{}
	}
	const example = `write "4 % of blower at 25 Pa", "40 cfm at 25 Pa" or "class 12"`
	var leak Leak
	rest := strings.TrimSpace(text)
	if before, to, ok := strings.Cut(rest, " to "); ok {
		rest, leak.To = strings.TrimSpace(before), strings.TrimSpace(to)
	}
	if class, ok := cutWord(rest, "class"); ok {
		number, err := strconv.ParseFloat(class, 64)
		if err != nil || !(number > 0 && number <= 1000) {
			r.fail(n.value, example, "%q: a leakage class is a number such as 12", text)
		}
		leak.Class = number
		return leak
	}
	amount, at, ok := strings.Cut(rest, " at ")
	if !ok {
		r.fail(n.value, example, "%q does not say at what pressure", text)
		return Leak{}
	}
	part := func(text string, kind units.Kind) float64 {
		return r.quantity(&node{name: n.name, key: n.key, value: n.value, leaf: strings.TrimSpace(text)}, kind, field{})
	}
	said := len(r.found)
	leak.At = units.Pressure(part(at, units.KindPressure))
	if leak.At == 0 && len(r.found) == said {
		r.fail(n.value, example, "%q: nothing leaks at no pressure, so nothing can be measured there", text)
	}
	if share, ok := strings.CutSuffix(strings.TrimSpace(amount), "of blower"); ok {
		leak.Share = units.Fraction(part(share, units.KindFraction))
	} else if strings.HasSuffix(strings.TrimSpace(amount), "%") {
		r.fail(n.value, example, "%q does not say of what", text)
	} else {
		leak.Airflow = units.Airflow(part(amount, units.KindAirflow))
	}
	return leak
}
