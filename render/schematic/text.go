package schematic

import (
	"strings"

	"spillway/render/ink"
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

// wrap breaks a text into lines of at most that many px, at most that many lines, the last one cut when it must be.
func wrap(s string, size float64, bold bool, width float64, lines int) []string {
	var out []string
	line := ""
	words := strings.Fields(ink.Plain(s))
	for i, w := range words {
		next := w
		if line != "" {
			next = line + " " + w
		}
		if line == "" || ink.Width(next, size, bold) <= width {
			line = next
			continue
		}
		if len(out) == lines-1 {
			line = strings.Join(append([]string{line}, words[i:]...), " ")
			break
		}
		out = append(out, ink.Cut(line, size, bold, width))
		line = w
	}
	if line != "" {
		out = append(out, ink.Cut(line, size, bold, width))
	}
	return out
}
