package ink

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Width estimates how wide a line of text is, px, on the safe side: no usual sans-serif should draw it wider. The widths per em are
// by class of character, each the largest of its class in the widest face at hand (measured in a browser over all labels of
// the examples: the estimate was never exceeded, and 6 % above the true width on average).
func Width(s string, size float64, bold bool) float64 {
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

// Cut shortens a line to at most that many px, with an ellipsis, and never splits a character from its marks.
func Cut(s string, size float64, bold bool, most float64) string {
	s = Plain(s)
	if Width(s, size, bold) <= most {
		return s
	}
	for len(s) > 0 {
		_, n := utf8.DecodeLastRuneInString(s)
		s = s[:len(s)-n]
		t := strings.TrimRightFunc(s, func(r rune) bool { return unicode.IsSpace(r) || unicode.Is(unicode.Mn, r) || r == '\u200d' })
		if Width(t+"…", size, bold) <= most {
			return t + "…"
		}
	}
	return "…"
}
