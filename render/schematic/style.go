package schematic

import (
	_ "embed"
	"strconv"
	"strings"

	"spillway/render/ink"
)

//go:embed style.css
var shapes string

// StyleSheet is the style of all pictures, for pages that carry it once.
func StyleSheet(t Theme) string {
	var b strings.Builder
	b.WriteString(strings.TrimRight(shapes, "\n") + "\n")
	for i := range classes {
		n := strconv.Itoa(i)
		b.WriteString(".s" + n + "{fill:@s" + n + "}\n")
	}
	b.WriteString(changeRules())
	return ink.StyleSheet(".sw", b.String(), t)
}
