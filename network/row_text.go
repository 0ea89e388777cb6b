package network

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"spillway/network/catalog"
	"spillway/network/quantity"
)

// kindOf is the kind of a quantity with its unit, Unknown for all else. A length in inches or
// millimetres is a size.
func kindOf(text string) quantity.Kind {
	text = middle(text)
	if text == "" || !isDigit(text[0]) && !strings.ContainsRune("+-.rR", rune(text[0])) {
		return quantity.Unknown
	}
	if isBareNumber(text) {
		return quantity.Unknown
	}
	for _, k := range []quantity.Kind{quantity.KindInsulation, quantity.KindFraction,
		quantity.KindAirflow, quantity.KindArea, quantity.KindPressure,
		quantity.KindHeat, quantity.KindTemperature, quantity.KindAngle, quantity.KindLength, quantity.KindTime,
		quantity.KindVelocity} {
		if k == quantity.KindInsulation && !strings.ContainsRune("rR", rune(text[0])) {
			continue
		}
		if _, err := k.Parse(text, quantity.IP); err != nil {
			continue
		}
		if k == quantity.KindLength && !isLengthText(text) {
			return quantity.KindSize
		}
		return k
	}
	return quantity.Unknown
}

// isLengthText reports whether a text is a length as runs have it: with feet or meters in it.
func isLengthText(text string) bool {
	text = middle(text)
	if _, err := quantity.KindLength.Parse(text, quantity.IP); err != nil || isBareNumber(text) {
		return false
	}
	unit := strings.TrimLeft(strings.ToLower(text), "0123456789.,/-+ ")
	return unit != "" && (unit[0] == 'f' || unit[0] == '\'' || strings.HasPrefix(unit, "m") &&
		!strings.HasPrefix(unit, "mm"))
}

// isBareNumber reports whether a text is a number and nothing else.
func isBareNumber(text string) bool {
	text = strings.TrimSpace(text)
	return text != "" && strings.Trim(text, "0123456789.,/-+ ") == "" &&
		strings.ContainsFunc(text, unicode.IsDigit)
}

// middle is the quantity of a text that may say how well it is known; only its shape matters here.
func middle(text string) string {
	d, err := quantity.ParseDoubt(text)
	switch {
	case err != nil || d.Form == quantity.Certain:
	case d.Form == quantity.Between:
		return d.High
	case d.Form != quantity.Nothing:
		return d.Value
	}
	return strings.TrimSpace(text)
}

// rowSize reports whether a text is a size as a row writes it, two sides or a side with its unit,
// perhaps with a shape and
// a material: how many sides, the material, and the bytes that it takes at the end.
func rowSize(text string) (sides int, material string, cut int, ok bool) {
	text = strings.TrimSpace(text)
	core := middle(text)
	if core == "" || !isDigit(core[0]) && core[0] != '.' {
		return 0, "", 0, false
	}
	numbers, unit, words, whole := splitSize(core)
	if !whole || len(numbers) == 0 {
		return 0, "", 0, false
	}
	for _, n := range numbers {
		if n == "" || strings.Trim(n, ".,/ ") == "" {
			return 0, "", 0, false
		}
	}
	marked := strings.Contains(core, `"`) || strings.Contains(core, "″")
	switch unit {
	case "":
		if len(numbers) < 2 && !marked {
			return 0, "", 0, false
		}
	case "in", "inch", "inches", "mm", "cm":
	default:
		return 0, "", 0, false
	}
	for _, w := range words {
		switch w {
		case "round", "rect", "rectangular", "oval", "flat", "rigid":
			if material != "" {
				return 0, "", 0, false
			}
		default:
			material = strings.TrimSpace(material + " " + w)
		}
	}
	if material != "" {
		if _, known := catalog.LookupMaterial(material); !known {
			return 0, "", 0, false
		}
		if !strings.HasSuffix(strings.ToLower(text), material) {
			return 0, "", 0, false
		}
		cut = len(material)
		for cut < len(text) && text[len(text)-cut-1] == ' ' {
			cut++
		}
	}
	return len(numbers), material, cut, true
}

// inchMark writes the mark for inches as a unit, which a size takes for a bare number.
func inchMark(text string) string {
	if !strings.ContainsAny(text, `"″`) || strings.ContainsAny(text, "'′") {
		return text
	}
	return strings.TrimSpace(strings.NewReplacer(`"`, " in", "″", " in").Replace(text))
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// commaInNumber finds a comma between two digits.
func commaInNumber(text string) int {
	for i := 1; i+1 < len(text); i++ {
		if text[i] == ',' && isDigit(text[i-1]) && isDigit(text[i+1]) {
			return i
		}
	}
	return -1
}

var thousandsAt = regexp.MustCompile(`^[0-9]{1,3}(?:,[0-9]{3})+(?:[^0-9,].*)?$`)

func commaFix(text string) string {
	i := commaInNumber(text)
	two := text[:i] + ", " + text[i+1:]
	switch {
	case thousandsAt.MatchString(text):
		return fmt.Sprintf("write %q for the number, or a blank behind the comma for two items",
			strings.ReplaceAll(text, ",", ""))
	case isBareNumber(text[:i]) && !isBareNumber(text):
		return fmt.Sprintf("write %q for the number, or a blank behind the comma for two items",
			text[:i]+"."+text[i+1:])
	}
	return fmt.Sprintf("put a blank behind a comma that parts two items: %q", two)
}

func cutLast(text, sep string) (before, after string, ok bool) {
	if i := strings.LastIndex(text, sep); i >= 0 {
		return strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+len(sep):]), true
	}
	return text, "", false
}

// text is a span as it stands in the file.
func (s span) text() string {
	if s.in == nil || s.start > s.end || s.end > len(s.in.text) {
		return ""
	}
	return s.in.text[s.start:s.end]
}

// lineNumber is the line that a span begins in, 0 for a flag.
func (s span) lineNumber() int {
	if s.in == nil || s.in.starts == nil {
		return 0
	}
	return s.in.line(s.start)
}

// offsets returns where each byte of a leaf's text stands in the file.
func offsets(n *node, text string) func(i int) int {
	raw, start := n.value.text(), n.value.start
	if raw == "" || raw[0] != '"' && raw[0] != '\'' {
		return func(i int) int { return min(start+i, n.value.end) } // a flag
	}
	quote, skip := raw[0], 1
	if strings.HasPrefix(raw, strings.Repeat(string(quote), 3)) {
		skip = 3
		if rest := raw[3:]; strings.HasPrefix(rest, "\n") {
			skip++
		} else if strings.HasPrefix(rest, "\r\n") {
			skip += 2
		}
	}
	if quote == '\'' || !strings.Contains(raw, `\`) {
		return func(i int) int { return min(start+skip+i, n.value.end) }
	}
	at := make([]int, 0, len(text)+1)
	for i := skip; i < len(raw) && len(at) < len(text); {
		size, decoded := escape(raw[i:])
		for range decoded {
			at = append(at, start+i)
		}
		i += size
		if len(at) == len(text) {
			at = append(at, start+i)
		}
	}
	for len(at) <= len(text) {
		at = append(at, n.value.end)
	}
	return func(i int) int { return at[min(i, len(at)-1)] }
}

// escape returns how many bytes the first character of a quoted text takes in the file, and how
// many it stands for.
func escape(raw string) (size, decoded int) {
	if raw[0] != '\\' || len(raw) < 2 {
		return 1, 1
	}
	digits := map[byte]int{'x': 2, 'u': 4, 'U': 8}[raw[1]]
	if digits > 0 && len(raw) >= 2+digits {
		code, err := strconv.ParseUint(raw[2:2+digits], 16, 32)
		if err == nil {
			return 2 + digits, utf8.RuneLen(rune(code))
		}
	}
	if rest := strings.TrimLeft(raw[1:], " \t\r"); strings.HasPrefix(rest,
		"\n") { // a line end that is not one
		return len(raw) - len(strings.TrimLeft(rest, " \t\r\n")), 0
	}
	return 2, 1
}
