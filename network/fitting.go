package network

import (
	"fmt"
	"strconv"
	"strings"

	"spillway/network/catalog"
	"spillway/network/diag"
	"spillway/network/quantity"
)

// How the fittings of a line are written: a count, then the name of the catalogue, a coefficient or an equivalent length.
//
// A number in front of a name is a count up to mostBareCount ("2 elbow") and an angle from leastBareAngle ("45 elbow").
// Between the two it is refused, since "12 elbow" could be either.
const (
	mostBareCount  = 9
	leastBareAngle = catalog.LeastBareAngle
	mostCount      = 100
)

// countWords are the counts that people write as words.
var countWords = map[string]int{"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6,
	"seven": 7, "eight": 8, "nine": 9}

// fitting reads "elbow 90 smooth", "2x elbow 90 smooth", "2 elbows", "C = 0.35" or "15 ft equivalent".
func (r *reader) fitting(n *node) FittingUse {
	text, ok := r.text(n)
	if !ok {
		return FittingUse{}
	}
	if use, ok := r.doubtfulElbows(n, text); ok {
		return use
	}
	count, name, ok := r.fittingCount(n, text)
	if !ok {
		return FittingUse{}
	}
	use := FittingUse{Count: count}
	lower := strings.ToLower(name)
	for _, ending := range []string{" equivalent", " equiv", " eq"} {
		if length, ok := strings.CutSuffix(lower, ending); ok {
			value, err := quantity.KindLength.Parse(length, r.system)
			if err != nil || value < 0 || value > 200 {
				r.fail(n.value, `write "15 ft equivalent"`, "%q: a length before %q is meant", text, ending[1:])
				return FittingUse{}
			}
			use.Equivalent = quantity.Length(value)
			return use
		}
	}
	if value, ok := coefficientOf(lower); ok {
		if !(value >= 0 && value <= 1e4) {
			r.fail(n.value, `write "C = 0.35"`, "%q: a loss coefficient from 0 to 10000 is meant", text)
			return FittingUse{}
		}
		use.Coefficient = value
		return use
	}
	if name == "" {
		r.fail(n.value, `write a fitting of the catalogue, "C = 0.35" or "15 ft equivalent"`, "%q names no fitting", text)
	}
	use.Name = name
	return use
}

// coefficientOf reads "c = 0.35" or "c 0.35", in lower case.
func coefficientOf(lower string) (float64, bool) {
	rest, ok := strings.CutPrefix(lower, "c")
	if !ok {
		return 0, false
	}
	rest = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(rest), "="))
	if rest == "" || !strings.ContainsRune("0123456789.-", rune(rest[0])) {
		return 0, false
	}
	value, err := strconv.ParseFloat(rest, 64)
	return value, err == nil
}

// fittingCount takes the count off a fitting, before or behind the name, and makes a plural singular. It reports false
// after it refused the text.
func (r *reader) fittingCount(n *node, text string) (count int, name string, ok bool) {
	name = strings.Join(strings.Fields(text), " ")
	digits := leadingDigits(name)
	rest := strings.TrimLeft(name[digits:], " ")
	times := strings.HasPrefix(rest, "x") || strings.HasPrefix(rest, "×")
	switch {
	case digits > 0 && times && !strings.ContainsAny(rest[1:min(2, len(rest))], "0123456789"):
		count, err := strconv.Atoi(name[:digits])
		_, name, _ = strings.Cut(strings.Replace(rest, "×", "x", 1), "x")
		return r.counted(n, text, count, err, strings.TrimSpace(name))
	case digits > 0 && rest != name[digits:]: // "2 elbow"
		number, err := strconv.Atoi(name[:digits])
		singular, plural := singularFitting(rest)
		if !isFitting(singular) || !plural && knownFitting(name) && number >= leastBareAngle {
			return 1, name, true // "15 ft equivalent", "45 wye", or what the catalogue will refuse by name
		}
		if !plural && number > mostBareCount {
			r.fail(n.value, fmt.Sprintf(`write "%dx %s" for %d of them, or %q for the angle`, number, singular, number,
				strings.TrimSpace(fmt.Sprintf("%s %d deg", singular, number))), "%q: a count or an angle?", text)
			return 0, "", false
		}
		if !plural && number > 1 && takesAngle(singular) {
			r.warn(n.value, fmt.Sprintf(`write "%dx %s"; an angle is written behind, "%s 45"`, number, singular, singular),
				"%q is read as %d of them", text, number)
		}
		return r.counted(n, text, number, err, singular)
	}
	if first, after, found := strings.Cut(name, " "); found {
		if singular, _ := singularFitting(after); isFitting(singular) {
			if count, ok := countWords[strings.ToLower(first)]; ok {
				return count, singular, true
			}
		}
	}
	if at := strings.LastIndexAny(name, " "); at >= 0 { // "elbow x2"
		tail := strings.Replace(name[at+1:], "×", "x", 1)
		if number, found := strings.CutPrefix(tail, "x"); found && number != "" && leadingDigits(number) == len(number) {
			count, err := strconv.Atoi(number)
			singular, _ := singularFitting(name[:at])
			return r.counted(n, text, count, err, singular)
		}
	}
	if !isFitting(name) {
		if singular, plural := singularFitting(name); plural && isFitting(singular) {
			r.fail(n.value, fmt.Sprintf("write %q for two", "2x "+singular), "%q does not say how many", text)
			return 0, "", false
		}
	}
	return 1, name, true
}

// counted checks a count and returns it with the name that it counts.
func (r *reader) counted(n *node, text string, count int, err error, name string) (int, string, bool) {
	if err != nil || count < 1 || count > mostCount {
		r.fail(n.value, `write "2x elbow 90 smooth"`, "%q: a count from 1 to %d is meant", text, mostCount)
		return 0, "", false
	}
	if singular, plural := singularFitting(name); plural && isFitting(singular) {
		name = singular
	}
	return count, name, true
}

func leadingDigits(text string) int {
	i := 0
	for i < len(text) && text[i] >= '0' && text[i] <= '9' {
		i++
	}
	return i
}

// isFitting reports whether a text names a fitting or is a coefficient or an equivalent length.
func isFitting(name string) bool {
	if _, ok := coefficientOf(strings.ToLower(name)); ok {
		return true
	}
	return knownFitting(name)
}

// takesAngle reports whether the name of a fitting may hold an angle that it does not hold yet.
func takesAngle(name string) bool { return knownFitting(name + " 45") }

// singularFitting makes "elbows 90 smooth" or "90s" singular; plural reports whether it was plural.
func singularFitting(name string) (singular string, plural bool) {
	words := strings.Fields(name)
	for i, word := range words {
		one, found := strings.CutSuffix(word, "s")
		if !found || strings.HasSuffix(one, "s") {
			continue
		}
		if one == "90" || one == "45" {
			one = "elbow " + one
		}
		changed := strings.Join(append(append([]string{}, words[:i]...), append([]string{one}, words[i+1:]...)...), " ")
		if knownFitting(changed) && !knownFitting(name) {
			return changed, true
		}
	}
	return name, false
}

// fittingsOf checks the names of a line's fittings and how often those stand there of which a line has one.
func (c *checker) fittingsOf(ref *lineRef) {
	takeoffs, ends := 0, 0
	for i, use := range ref.Fittings {
		at := c.item(i, ref.table, ref.Name, "fittings")
		if use.Name == "" {
			continue
		}
		if !knownFitting(use.Name) {
			c.fail(at, unknownFitting(use), "there is no fitting %q in the catalogue", use.Name)
			continue
		}
		most := 1
		if ref.table == "bypass" {
			most = 2 // where it leaves and where it joins
		}
		switch {
		case isTakeoff(use.Name):
			if takeoffs += max(1, use.Count); takeoffs > most {
				c.warn(at, "keep the one by which it leaves or joins its parent",
					"%q has more than one takeoff; %q is not used", ref.Name, use.Name)
			}
		case isEnd(use.Name):
			if ends += max(1, use.Count); ends > 1 {
				c.warn(at, "a run of duct ends once", "%q has more than one end; the losses of all are added", ref.Name)
			}
		}
	}
}

// isTakeoff reports whether a fitting is the junction by which a line leaves or joins its parent.
func isTakeoff(name string) bool {
	if _, ok := catalog.LookupFitting(name); ok {
		return false
	}
	return knownFitting(name)
}

// isEnd reports whether a fitting is what a run ends in.
func isEnd(name string) bool {
	f, ok := catalog.LookupFitting(name)
	return ok && (f.Name == "boot 90" || f.Name == "straight boot" || f.Name == "end cap")
}

// tapFix serves "tap" and "end tap": a branch that taps a trunk, or the end of the trunk itself.
const tapFix = `write "45-entry tap" or "tee" for a branch off the side of a trunk, "end cap" for the end of the trunk`

// unknownFitting says what to write instead of a name that the catalogue does not have.
func unknownFitting(use FittingUse) string {
	words := strings.Fields(strings.ToLower(use.Name))
	for i, word := range words {
		if word == "tap" {
			return tapFix
		}
		digits := leadingDigits(word)
		if digits == 0 || digits != len(word) {
			continue
		}
		number, err := strconv.Atoi(word)
		rest := strings.Join(append(append([]string{}, words[:i]...), words[i+1:]...), " ")
		switch {
		case err != nil || number < 1 || number >= leastBareAngle || rest == "" || !knownFitting(rest):
		case i > 0:
			return fmt.Sprintf(`a count goes in front, "%dx %s"; an angle as small as that has its unit, "%s %d deg"`,
				number, rest, rest, number)
		}
		if rest == "" {
			return fmt.Sprintf(`write "elbow %s" or "%s ft equivalent"`, word, word)
		}
	}
	count := ""
	if use.Count > 1 {
		count = fmt.Sprintf("%dx ", use.Count)
	}
	name := use.Name
	if first, rest, found := strings.Cut(name, " "); found && use.Count == 1 {
		if n := countWords[strings.ToLower(first)]; n > 0 {
			name, count = rest, fmt.Sprintf("%dx ", n)
		}
	}
	if near, ok := diag.Nearest(name, append(fittingNames(), "elbow", "boot", "transition")); ok {
		return fmt.Sprintf("did you mean %q?", count+near)
	}
	return `"spillway fittings" lists the names; or write "C = 0.35" or "15 ft equivalent"`
}
