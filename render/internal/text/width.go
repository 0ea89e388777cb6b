package text

import (
	"strings"

	"github.com/rivo/uniseg"
)

// Width is how many columns of a terminal a text takes; colors take none.
func Width(text string) (columns int) {
	for i := 0; ; i++ {
		if i == len(text) {
			return i
		}
		if c := text[i]; c < ' ' || c > '~' {
			break
		}
	}
	for text != "" {
		plain, rest, found := strings.Cut(text, "\x1b[")
		columns += uniseg.StringWidth(plain)
		if !found {
			break
		}
		_, text, _ = strings.Cut(rest, "m")
	}
	return columns
}

// Shorten cuts a text to a width and marks the cut.
func Shorten(text string, width int) string {
	if Width(text) <= width {
		return text
	}
	var b strings.Builder
	used, state := 0, -1
	for text != "" {
		var cluster string
		var w int
		cluster, text, w, state = uniseg.FirstGraphemeClusterInString(text, state)
		if used+w > width-1 {
			break
		}
		b.WriteString(cluster)
		used += w
	}
	return b.String() + "…"
}

// glue stands for a blank at which no line breaks.
const glue = "\u00a0"

var glued = strings.NewReplacer("in. w.c.", "in."+glue+"w.c.", " %", glue+"%", " °F", glue+"°F",
	" °C", glue+"°C", " kBtu/h", glue+"kBtu/h", " kW", glue+"kW")

// Wrap breaks a text into lines of at most so many columns, at blanks but not between a number and
// its percent sign, a temperature and its degrees, nor inside a unit.
func Wrap(text string, width int) []string {
	var lines []string
	line, used := "", 0
	for word := range strings.SplitSeq(glued.Replace(text), " ") {
		word = strings.ReplaceAll(word, glue, " ")
		w := Width(word)
		switch {
		case word == "":
		case line == "":
			line, used = word, w
		case used+1+w <= width:
			line, used = line+" "+word, used+1+w
		default:
			lines, line, used = append(lines, line), word, w
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
