// Package palette is the one place where a colour of Spillway lives: the scale that tells much from little, the colours of
// findings, paper and ink, each for white paper, for a dark screen and for print in grey.
//
// It knows colours and how far they stand apart for the eye. It must not know what they are used for: no quantities of air, no
// shapes, no fonts.
package palette

import (
	"fmt"
	"math"
)

// Colour is an sRGB colour, 0 to 255 each.
type Colour struct{ R, G, B uint8 }

// Hex returns the colour as style sheets write it, "#rrggbb".
func (c Colour) Hex() string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// mix returns the colour between a and b, t = 0 giving a and 1 giving b, channel by channel in sRGB.
func mix(a, b Colour, t float64) Colour {
	channel := func(x, y uint8) uint8 { return uint8(math.Round(float64(x) + (float64(y)-float64(x))*t)) }
	return Colour{channel(a.R, b.R), channel(a.G, b.G), channel(a.B, b.B)}
}
