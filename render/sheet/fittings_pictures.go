package sheet

import (
	"fmt"
	"strings"

	"spillway/network/catalog"
	"spillway/render/ink"
)

// fittingSketches are outlines of the fittings whose names alone mislead, in plan, on 100 x 70
// units.
// Air comes from the left, a bullhead's from below. The second path is the way of the air.
var fittingSketches = map[string]struct{ walls, air string }{
	"wye": {"M5 40H25L55 10M75 10L45 40H95M5 60H95",
		"M8 50H90M25 50L63 12"},
	"tap 45": {"M5 40H30L48 22V8M72 8V40H95M5 60H95",
		"M8 50H90M40 50L60 32V10"},
	"tee": {"M5 40H45V8M69 8V40H95M5 60H95",
		"M8 50H90M57 50V10"},
	"conical tee": {"M5 40H38L47 24V8M67 8V24L76 40H95M5 60H95",
		"M8 50H90M57 50V10"},
	"bullhead":     {"M40 66V40H5M60 66V40H95M5 18H95", "M50 64V29H8M50 29H92"},
	"straight on":  {"M5 40H45V22M69 22V40H95M5 60H95", "M8 50H90"},
	"takeoff":      {"M30 5V25H90M30 65V45H90", "M8 35H85"},
	"bellmouth":    {"M30 5V13Q30 25 45 25H90M30 65V57Q30 45 45 45H90", "M8 35H85"},
	"elbow mitred": {"M5 25H55V66M5 5H75V66", "M8 15H65V60"},
	"elbow vanes": {"M5 25H55V66M5 5H75V66M54 15Q64 16 65 26M60 10Q70 11 71 21",
		"M8 15H50M65 40V60"},
	"elbow":         {"M5 25H40Q55 25 55 40V66M5 5H40Q75 5 75 40V66", "M8 15H40Q65 15 65 40V60"},
	"boot":          {"M5 20H45V60M5 40H30V60H25M65 60H50V20H45M25 60H65", "M8 30H40V56"},
	"straight boot": {"M5 25H40L60 10V60L40 45H5", "M8 35H56"},
	"end cap":       {"M5 25H80V45H5", "M8 35H70"},
}

// The layout of the sketches, in user units.
const (
	sketchWidth  = 120
	sketchHeight = 105
	sketchesWide = 6
)

// fittingPictures draws the sketches of a group side by side, each over its name; "" if it has
// none.
func fittingPictures(words []catalog.FittingWord, group catalog.FittingGroup) string {
	var b strings.Builder
	n := 0
	for _, w := range words {
		sketch, drawn := fittingSketches[w.Write]
		if w.Group != group || !drawn {
			continue
		}
		x, y := n%sketchesWide*sketchWidth, n/sketchesWide*sketchHeight
		fmt.Fprintf(&b, `<g transform="translate(%d %d)"><path d="%s" fill="none"`+
			` stroke="currentColor" stroke-width="2"/>`+
			`<path d="%s" fill="none" stroke="currentColor" stroke-width="1.5"`+
			` stroke-dasharray="5 3" marker-end="url(#%s)"/>`+
			`<text x="50" y="88" text-anchor="middle" font-size="13" `+
			`fill="currentColor">%s</text></g>`+"\n",
			x, y, sketch.walls, sketch.air, arrowOf(group), ink.Escape(w.Write))
		n++
	}
	if n == 0 {
		return ""
	}
	width, height := min(n, sketchesWide)*sketchWidth, (n+sketchesWide-1)/sketchesWide*sketchHeight
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" `+
		`viewBox="0 0 %d %d" role="img"><title>%s</title><defs><marker id="%s" `+
		`viewBox="0 0 8 8" refX="7" refY="4" markerWidth="6" markerHeight="6" `+
		`orient="auto"><path d="M0 0L8 4L0 8Z" fill="currentColor"/>`+
		`</marker></defs>`+"\n%s</svg>", width, height, width, height,
		ink.Escape("Fittings "+group.String()), arrowOf(group), b.String())
}

func arrowOf(group catalog.FittingGroup) string { return "arrow-" + ink.Slug(group.String()) }
