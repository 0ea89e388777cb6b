package catalog_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/catalog"
	"spillway/network/evidencetest"
	"spillway/network/quantity"
	"spillway/network/section"
)

// The code's table, read row by row: thickness in inches for a static of 1/2 and of 1 in. w.c.
func TestPublishedGauges(t *testing.T) {
	evidencetest.Of(t, evidencetest.Twice)
	for _, c := range []struct {
		name      string
		inches    float64
		flat      bool
		half, one float64
	}{
		{"under 12 in. round", 10, false, 0.013, 0.013}, {"12 in. round", 12, false, 0.013, 0.016},
		{"14 in. round", 14, false, 0.013, 0.016}, {"15 in. round", 15, false, 0.016, 0.019},
		{"17 in. round", 17, false, 0.016, 0.019}, {"18 in. round", 18, false, 0.016, 0.024},
		{"20 in. round", 20, false, 0.019, 0.024}, {"8 in. rectangular", 8, true, 0.013, 0.013},
		{"10 in. rectangular", 10, true, 0.013, 0.016}, {"12 in. rectangular", 12, true, 0.016,
			0.019},
		{"16 in. rectangular", 16, true, 0.019, 0.019}, {"18 in. rectangular", 18, true, 0.019,
			0.024},
		{"20 in. rectangular", 20, true, 0.024, 0.024},
	} {
		s := section.NewRound(c.inches * quantity.Inch)
		if c.flat {
			s = section.NewRectangular(c.inches*quantity.Inch, 6*quantity.Inch)
		}
		for _, p := range []struct {
			at     string
			static float64
			want   float64
		}{{"1/2 in. w.c.", 0.5, c.half}, {"1 in. w.c.", 1, c.one}} {
			g, listed := catalog.GaugeFor(s, p.static*quantity.InchWater)
			assert.True(t, listed, c.name)
			evidencetest.Row{Case: c.name + ", " + p.at + ", least thickness, in.",
				Source: catalog.GaugeSource.Text, Want: p.want, Ours: g.Thickness / quantity.Inch,
				Within: 1e-9}.Check(t)
		}
	}
}

func TestPublishedSheetWeights(t *testing.T) {
	evidencetest.Of(t, evidencetest.Twice)
	for _, c := range []struct {
		inches, want float64
		gauge        int
		flat         bool
	}{{10, 0.656, 30, false}, {16, 0.781, 28, false}, {20, 0.906, 26, false}, {20, 1.156, 24,
		true}} {
		s := section.NewRound(c.inches * quantity.Inch)
		if c.flat {
			s = section.NewRectangular(c.inches*quantity.Inch, 8*quantity.Inch)
		}
		g, _ := catalog.GaugeFor(s, 0)
		assert.Equal(t, c.gauge, g.Number)
		evidencetest.Row{Case: "galvanized sheet, weight of the gauge, lb/ft²",
			Source: catalog.GaugeMassSource.Text + ", " + map[int]string{30: "30", 28: "28",
				26: "26",
				24: "24"}[c.gauge] + " gauge",
			Want: c.want, Ours: g.Mass * quantity.SquareFoot / quantity.Pound,
			Within: 0.0005}.Check(t)
	}
}

// Beyond the table nothing is listed, and the sheet is not thinner.
func TestGaugeBeyondTheTable(t *testing.T) {
	for _, s := range []section.Section{section.NewRound(0.6), section.NewRectangular(0.9, 0.2)} {
		g, listed := catalog.GaugeFor(s, 0)
		assert.False(t, listed)
		assert.Equal(t, 24, g.Number)
	}
	_, listed := catalog.GaugeFor(section.NewRound(0.2), 2*quantity.InchWater)
	assert.False(t, listed, "above 1 in. w.c.")
}
