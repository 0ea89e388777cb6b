package network

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/network/section"
)

// The written forms of sizes, positions, fittings and leaks.

// damperLeakage reads "3 %" or "class 1A".
func (r *reader) damperLeakage(n *node) DamperLeakage {
	text, _ := n.leaf.(string)
	if class, ok := cutWord(text, "class"); ok {
		return DamperLeakage{Class: class, Given: true}
	}
	return DamperLeakage{Share: quantity.Fraction(r.quantity(n, quantity.KindFraction,
		field{key: "leakage"})), Given: true}
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
	if size, ok := r.doubtfulSize(n); ok {
		return size
	}
	text, ok := n.leaf.(string)
	if !ok {
		r.fail(n.value, r.sizeExample(), "%q is %s, but a size is meant", n.name, n.what())
		return Size{}
	}
	return r.sizeText(n, text)
}

func (r *reader) sizeExample() string {
	if r.system == quantity.SI {
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
		if fix := reversedSize(text); fix != "" {
			r.fail(n.value, fix, "%q is not a size: the number goes first", text)
			return Size{}
		}
		return fail("%q is not a size", text)
	case len(numbers) == 3:
		r.fail(n.value, fmt.Sprintf("write %q; the third size of a filter is its depth, which the face does not have",
			strings.TrimSpace(numbers[0]+"x"+numbers[1]+" "+unit)), "%q has more than two sizes", text)
		return Size{}
	case len(numbers) > 2:
		return fail("%q has more than two sizes", text)
	}
	var lengths [2]float64
	for i, number := range numbers {
		value, err := quantity.KindSize.Parse(strings.TrimSpace(number+" "+unit), r.system)
		if err != nil {
			if e, ok := err.(*quantity.Error); ok {
				return fail("%q %s", text, e.Reason)
			}
			return fail("%q is not a size", text)
		}
		lengths[i] = value
	}
	if !r.sizeIsPlausible(n, text, numbers, unit, lengths) {
		return Size{}
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

// Bounds of a size, m (our choice). The narrow side of a slot may be narrower than any duct.
const (
	leastSide    = 0.018 // 3/4 in, a slot
	leastSize    = 0.040 // of the larger side: the smallest duct is 2 in
	lowSize      = 0.075 // of the larger side: under 3 in the number is more likely in feet, or in inches in an SI file
	highSize     = 2.0
	greatestSize = 5.0
)

// sizeIsPlausible refuses sizes that no duct or opening has, and cautions of unusual ones.
func (r *reader) sizeIsPlausible(n *node, text string, numbers []string, unit string, lengths [2]float64) bool {
	larger, smaller := max(lengths[0], lengths[1]), lengths[0]
	if len(numbers) == 2 {
		smaller = min(lengths[0], lengths[1])
	}
	fix := r.sizeExample()
	if unit == "" {
		for _, likely := range []string{"in", "mm", "ft", "m"} {
			one, _ := quantity.KindSize.Parse("1 "+likely, quantity.IP)
			bare, _ := quantity.KindSize.FromNumber(1, r.system)
			if a, b := smaller/bare*one, larger/bare*one; a >= 0.05 && b <= highSize && b >= lowSize {
				fix = fmt.Sprintf("did you mean %q?", strings.TrimSpace(text)+" "+likely)
				break
			}
		}
	}
	switch {
	case smaller < leastSide || larger < leastSize || larger > greatestSize:
		worst := larger
		if smaller < leastSide {
			worst = smaller
		}
		r.fail(n.value, fix, "%q: a duct or opening of %s cannot be", text, quantity.KindSize.Short(worst, r.system))
		return false
	case larger < lowSize:
		r.warn(n.value, fix, "%q is unusually small; check the unit", text)
	case larger > highSize:
		r.warn(n.value, fix, "%q is unusually large; check the unit", text)
	}
	return true
}

// splitSize takes "20x8 in flex" apart into its numbers, the unit, and the words behind. whole is false when a number is
// missing behind an x.
func splitSize(text string) (numbers []string, unit string, words []string, whole bool) {
	rest := mixedNumber.ReplaceAllString(strings.ToLower(strings.TrimSpace(text)), "${1}_$2") // "3-1/4", one number
	times := false
	for {
		i := 0
		for i < len(rest) && (rest[i] >= '0' && rest[i] <= '9' || rest[i] == '.' || rest[i] == ',' || rest[i] == '/' || rest[i] == '_' || i == 0 && rest[i] == '-') {
			i++
		}
		if i == 0 {
			break
		}
		numbers = append(numbers, strings.ReplaceAll(rest[:i], "_", " "))
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
		_, err := quantity.KindSize.Parse("1 "+word, quantity.IP)
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

// mixedNumber is a whole number with a fraction behind it, "3-1/4" or "3 1/4".
var mixedNumber = regexp.MustCompile(`(\d)[- ](\d+/\d+)`)

// reversedSize says how a size with the material in front of the number is written: "6 in flex" for "flex 6".
func reversedSize(text string) string {
	word, number, found := strings.Cut(strings.ToLower(strings.TrimSpace(text)), " ")
	_, isNumber := leadNumber(number)
	_, known := catalog.LookupMaterial(word)
	if !found || !isNumber || !known && !sizeWord(word) {
		return ""
	}
	if _, err := strconv.ParseFloat(number, 64); err == nil {
		number += " in"
	}
	return fmt.Sprintf("write %q", number+" "+word)
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
	amountOf, after := cutAmount(rest)
	if before, to, ok := strings.Cut(after, " to "); ok {
		rest, leak.To = strings.TrimSpace(amountOf+before), strings.TrimSpace(to)
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
	part := func(text string, kind quantity.Kind, bounds string) float64 {
		return r.bounded(&node{name: n.name, key: n.key, value: n.value,
			leaf: strings.TrimSpace(text)}, kind, field{bounds: bounds})
	}
	said := len(r.found)
	leak.At = quantity.Pressure(part(at, quantity.KindPressure, "test-pressure"))
	if leak.At == 0 && len(r.found) == said {
		r.fail(n.value, example, "%q: nothing leaks at no pressure, so nothing can be measured there", text)
	}
	if share, ok := strings.CutSuffix(strings.TrimSpace(amount), "of blower"); ok {
		leak.Share = quantity.Fraction(r.leakAmount(n, text, share, quantity.KindFraction))
	} else if strings.HasSuffix(strings.TrimSpace(amount), "%") {
		r.fail(n.value, example, "%q does not say of what", text)
	} else {
		leak.Airflow = quantity.Airflow(r.leakAmount(n, text, amount, quantity.KindAirflow))
	}
	return leak
}

// cutAmount cuts a leak behind its amount, which may hold a range of its own.
func cutAmount(text string) (amount, rest string) {
	i := strings.Index(text, " of blower")
	if i < 0 {
		i = strings.Index(text, " at ")
	}
	if i < 0 {
		return "", text
	}
	if w, err := quantity.ParseDoubt(text[:i]); err == nil && w.Form == quantity.Certain {
		return "", text
	}
	return text[:i], text[i:]
}

// leakAmount reads how much leaks, with its doubt; whole is the text of the leak.
func (r *reader) leakAmount(n *node, whole, amount string, kind quantity.Kind) float64 {
	f := field{key: "leakage"}
	if kind == quantity.KindAirflow {
		f.bounds = "leak-airflow"
	}
	part := &node{name: n.name, key: n.key, value: n.value, leaf: strings.TrimSpace(amount)}
	read := func(part *node) float64 { return r.bounded(part, kind, f) }
	about := func(x float64) (float64, float64, bool) {
		return x / aboutLeakage, x * aboutLeakage,
			true
	}
	middle, doubted := r.doubtful(part, kind, f, read, about)
	if !doubted {
		return r.bounded(part, kind, f)
	}
	if last := len(r.doubts) - 1; last >= 0 && r.doubts[last].Path == PathText(r.path...) {
		_, after, _ := strings.Cut(whole, strings.TrimSpace(amount))
		r.doubts[last].Text = whole
		r.doubts[last].after += " " + strings.TrimSpace(after)
	}
	return middle
}
