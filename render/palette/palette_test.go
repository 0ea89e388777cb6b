package palette

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

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

// Values of the published table at rows that are not among the stored ones would check the interpolation; rows 4, 100, 196 and
// 234 are from the supporting table of Nuñez, Anderton and Renslow 2018.
func TestCividisAgreesWithThePublishedTable(t *testing.T) {
	for _, c := range []struct {
		row     float64
		r, g, b float64
	}{
		{0, 0.000000, 0.135112, 0.304751},
		{4, 0.000000, 0.146877, 0.330479},
		{24, 0.017852, 0.198528, 0.441248},
		{100, 0.394568, 0.406236, 0.438986},
		{128, 0.488697, 0.485318, 0.471008},
		{196, 0.748772, 0.690470, 0.418448},
		{212, 0.815274, 0.744226, 0.382504},
	} {
		got := Cividis(c.row / 255)
		// Two steps of 255: the table is convex between the stored rows, and both sides round.
		assert.InDelta(t, 255*c.r, float64(got.R), 2, "red of row %v", c.row)
		assert.InDelta(t, 255*c.g, float64(got.G), 2, "green of row %v", c.row)
		assert.InDelta(t, 255*c.b, float64(got.B), 2, "blue of row %v", c.row)
	}
}

func TestCividisGrowsLighterAllTheWay(t *testing.T) {
	last := -1.0
	for i := range 65 {
		l := Cividis(float64(i) / 64).Luminance()
		assert.Greater(t, l, last, "at %d/64", i)
		last = l
	}
}

func TestCividisHoldsItsEnds(t *testing.T) {
	assert.Equal(t, Cividis(0), Cividis(-3))
	assert.Equal(t, Cividis(1), Cividis(7))
	assert.Equal(t, Colour{0, 34, 78}, Cividis(0))
	assert.Equal(t, Colour{254, 232, 56}, Cividis(1))
}

// Black on white is 21 : 1 and a colour on itself 1 : 1 (WCAG 2.2, contrast ratio); #767676 is the well-known lightest grey that
// passes 4.5 on white (common practice).
func TestContrastOfKnownPairs(t *testing.T) {
	black, white := Colour{}, Colour{255, 255, 255}
	assert.InDelta(t, 21, Contrast(black, white), 1e-9)
	assert.InDelta(t, 1, Contrast(white, white), 1e-12)
	assert.InDelta(t, 4.54, Contrast(Colour{0x76, 0x76, 0x76}, white), 0.01)
	assert.Less(t, Contrast(Colour{0x77, 0x77, 0x77}, white), 4.5)
}

func themes() map[string]Theme {
	return map[string]Theme{"light": Light(), "dark": Dark(), "print": Print()}
}

// 4.5 for text and 3 for shapes: WCAG 2.2, success criteria 1.4.3 and 1.4.11.
func TestTextCanBeReadInEveryTheme(t *testing.T) {
	for name, th := range themes() {
		for _, ground := range []Colour{th.Paper, th.Panel, th.CallTint, th.RestTint} {
			for what, ink := range map[string]Colour{"ink": th.Ink, "faint": th.Faint, "accent": th.Accent, "good": th.Good, "caution": th.Caution, "fault": th.Fault} {
				assert.GreaterOrEqual(t, Contrast(ink, ground), 4.5, "%s: %s on %s", name, what, ground.Hex())
			}
			assert.GreaterOrEqual(t, Contrast(th.Edge, ground), 3.0, "%s: edge on %s", name, ground.Hex())
		}
		assert.GreaterOrEqual(t, Contrast(th.CallEdge, th.Paper), 3.0, "%s: frame of a calling zone", name)
	}
}

// Much must be farther from the paper than little, step by step, in every theme: the picture then reads without hue.
func TestScaleLeavesThePaperStepByStep(t *testing.T) {
	for name, th := range themes() {
		last := 0.0
		for i, c := range th.Scale {
			contrast := Contrast(c, th.Paper)
			assert.Greater(t, contrast, last, "%s: step %d", name, i)
			last = contrast
		}
	}
}

// The accent stands between two halos; on every step of the scale one of the two must show (3 : 1, WCAG 2.2, 1.4.11).
func TestHatchShowsOnEveryStep(t *testing.T) {
	for name, th := range themes() {
		for i, c := range th.Scale {
			assert.GreaterOrEqual(t, max(Contrast(th.Accent, c), Contrast(th.Halo, c)), 3.0, "%s: step %d", name, i)
		}
	}
}

func TestVariablesAreTheSameInEveryTheme(t *testing.T) {
	light, dark := Light().Variables(), Dark().Variables()
	assert.Len(t, dark, len(light))
	seen := map[string]bool{}
	for i := range light {
		assert.Equal(t, light[i].Name, dark[i].Name)
		assert.False(t, seen[light[i].Name], light[i].Name)
		seen[light[i].Name] = true
	}
	assert.Contains(t, Light().CSS(), "--sw-paper:#ffffff;")
}

// The scale of changes says more with more contrast: away from its middle, on both sides, every step stands farther from the paper's
// neighbour colour, and the two ends differ in hue on screens.
func TestChangeGrowsFromItsMiddle(t *testing.T) {
	for name, theme := range themes() {
		mid := Changes / 2
		for i := 1; i <= mid; i++ {
			for _, side := range []int{-1, 1} {
				near, far := theme.Change[mid+side*(i-1)], theme.Change[mid+side*i]
				assert.Greater(t, Contrast(far, theme.Paper), Contrast(near, theme.Paper), "%s, %d", name, side*i)
			}
		}
		if name != "print" {
			less, more := theme.Change[0], theme.Change[Changes-1]
			assert.Greater(t, int(less.R)-int(less.B), 60, name)
			assert.Less(t, int(more.R)-int(more.B), -30, name)
		}
	}
}
