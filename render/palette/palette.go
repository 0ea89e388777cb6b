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

// Luminance is the relative luminance of the colour, 0 (black) to 1 (white):
//
//	L = 0.2126 R + 0.7152 G + 0.0722 B,   each channel linearised: c/12.92 up to 0.04045, else ((c + 0.055)/1.055)^2.4
//
// Source: W3C, Web Content Accessibility Guidelines 2.2, definition of relative luminance (sRGB, IEC 61966-2-1).
func (c Colour) Luminance() float64 {
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

func linear(channel uint8) float64 {
	v := float64(channel) / 255
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// Contrast is the contrast ratio of two colours, 1 (the same) to 21 (black on white):
//
//	(L₁ + 0.05) / (L₂ + 0.05),   L₁ the lighter one's luminance
//
// Source: W3C, Web Content Accessibility Guidelines 2.2, definition of contrast ratio; text wants 4.5 (success criterion
// 1.4.3), lines and shapes that carry meaning want 3 (1.4.11).
func Contrast(a, b Colour) float64 {
	la, lb := a.Luminance(), b.Luminance()
	if la < lb {
		la, lb = lb, la
	}
	return (la + 0.05) / (lb + 0.05)
}

// mix returns the colour between a and b, t = 0 giving a and 1 giving b, channel by channel in sRGB.
func mix(a, b Colour, t float64) Colour {
	channel := func(x, y uint8) uint8 { return uint8(math.Round(float64(x) + (float64(y)-float64(x))*t)) }
	return Colour{channel(a.R, b.R), channel(a.G, b.G), channel(a.B, b.B)}
}
