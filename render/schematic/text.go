package schematic

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Sizes of text, px.
const (
	sizeTitle   = 25
	sizeNumber  = 22
	sizeLead    = 15
	sizeZone    = 15
	sizeLabel   = 12
	sizeCaption = 11.5
	leading     = 1.22 // line height over size
)

// widthOf estimates how wide a line of text is, px, on the safe side: no usual sans-serif may draw it wider. The widths per em
// are by class of character, each the largest of its class in the widest face at hand (measured in a browser over all labels of
// the examples: the estimate was never exceeded, and 6 % above the true width on average).
func widthOf(s string, size float64, bold bool) float64 {
	em := 0.0
	for _, r := range s {
		em += emOf(r)
	}
	if bold {
		em *= 1.12
	}
	return em * size
}

func emOf(r rune) float64 {
	switch {
	case strings.ContainsRune("iljI.,:;|!'’ /·", r):
		return 0.34
	case strings.ContainsRune("()[]", r):
		return 0.40
	case strings.ContainsRune("frt", r):
		return 0.43
	case strings.ContainsRune("mwMW%@—…", r):
		return 1.00
	case r >= '0' && r <= '9':
		return 0.64
	case strings.ContainsRune("ckszxvy", r):
		return 0.60
	case r >= 'a' && r <= 'z', r == '-', r == '°', r == '–':
		return 0.65
	case r >= 'A' && r <= 'Z':
		return 0.79
	case unicode.Is(unicode.Mn, r):
		return 0
	case r < 0x0590, r == '−':
		return 0.84
	}
	return 1.3 // scripts and pictographs that stand on a square
}

// cut shortens a line to at most that many px, with an ellipsis, and never splits a character from its marks.
func cut(s string, size float64, bold bool, most float64) string {
	s = plain(s)
	if widthOf(s, size, bold) <= most {
		return s
	}
	for len(s) > 0 {
		_, n := utf8.DecodeLastRuneInString(s)
		s = s[:len(s)-n]
		if t := strings.TrimRightFunc(s, func(r rune) bool { return unicode.IsSpace(r) || unicode.Is(unicode.Mn, r) || r == '\u200d' }); widthOf(t+"…", size, bold) <= most {
			return t + "…"
		}
	}
	return "…"
}

// wrap breaks a text into lines of at most that many px, at most that many lines, the last one cut when it must be.
func wrap(s string, size float64, bold bool, width float64, lines int) []string {
	var out []string
	line := ""
	words := strings.Fields(plain(s))
	for i, w := range words {
		next := w
		if line != "" {
			next = line + " " + w
		}
		if line == "" || widthOf(next, size, bold) <= width {
			line = next
			continue
		}
		if len(out) == lines-1 {
			line = strings.Join(append([]string{line}, words[i:]...), " ")
			break
		}
		out = append(out, cut(line, size, bold, width))
		line = w
	}
	if line != "" {
		out = append(out, cut(line, size, bold, width))
	}
	return out
}

// plain makes a text fit for XML and for one line: control characters and broken UTF-8 become a space or a replacement mark.
func plain(s string) string {
	ok := true
	for _, r := range s {
		if r < 0x20 || r == 0x7f || r == utf8.RuneError || r == 0xfffe || r == 0xffff || r >= 0x80 && r < 0xa0 {
			ok = false
			break
		}
	}
	if ok {
		return s
	}
	return strings.Map(func(r rune) rune {
		switch {
		case r < 0x20, r == 0x7f, r >= 0x80 && r < 0xa0:
			return ' '
		case r == utf8.RuneError, r == 0xfffe, r == 0xffff:
			return '\ufffd'
		}
		return r
	}, s)
}

// slug turns a name into what an id may be made of: lower-case letters, digits and dashes.
func slug(s string) string {
	var b strings.Builder
	dash := false
	for _, r := range strings.ToLower(s) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			if dash && b.Len() > 0 {
				b.WriteByte('-')
			}
			dash = false
			b.WriteRune(r)
			continue
		}
		dash = true
	}
	if b.Len() == 0 {
		return "x"
	}
	return b.String()
}
