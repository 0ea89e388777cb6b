package quantity

import (
	"regexp"
	"strings"
)

// Pattern is a regular expression (ECMA 262, as JSON Schema has it) for the texts that Parse takes for this kind: a number with or
// without a unit, in any letter case and spacing. It lets a few texts pass that Parse refuses (a comma in the wrong place); it refuses
// none that Parse takes, except a number below zero unless signed is true.
func (k Kind) Pattern(signed bool) string {
	sign := "[+]?"
	if signed {
		sign = "[-+]?"
	}
	// No two neighbours match the same text in more than one way, so that a matcher which backtracks does not go astray.
	const digits = "[.,]*[0-9][0-9.,]*([eE][-+]?[0-9]+)?"
	number := sign + digits + "(( +[0-9]+)?/[0-9]+)?"
	var units []string
	for _, u := range k.row().units {
		for _, spelling := range u.spellings {
			units = append(units, loose(spelling))
		}
	}
	unit := "(" + strings.Join(units, "|") + ")"
	if k == KindAngle {
		unit = "(°|" + strings.Join(units, "|") + ")"
	}
	const blank, filler = "[ \t]*", "[ \t.·°]*"
	switch k {
	case KindLength, KindSize: // feet and inches may follow each other
		part := number + filler + unit + filler
		return "^" + blank + number + filler + "(" + unit + filler + "(" + part + ")*)?$"
	case KindInsulation:
		return "^" + blank + "(" + number + filler + "(" + unit + filler + ")?|[rR]([sS][iI])?[- ]*" + digits + blank + ")$"
	}
	return "^" + blank + number + filler + "(" + unit + filler + ")?$"
}

// loose matches a spelling in any letter case, with the fillers that normalUnit drops and the signs that it replaces.
func loose(spelling string) string {
	var b strings.Builder
	for i, r := range spelling {
		if i > 0 {
			b.WriteString("[ \t.·°]*")
		}
		switch {
		case r >= 'a' && r <= 'z':
			b.WriteString("[" + string(r) + string(r-'a'+'A') + "]")
		case r == '2':
			b.WriteString("[2²]")
		case r == '3':
			b.WriteString("[3³]")
		case r == '\'':
			b.WriteString("['´′]")
		case r == '"':
			b.WriteString(`["″]`)
		default:
			b.WriteString(regexp.QuoteMeta(string(r)))
		}
	}
	return b.String()
}
