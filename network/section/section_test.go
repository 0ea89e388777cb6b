package section_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/evidencetest"
	"spillway/network/section"
)

const (
	inch = 0.0254 // m
	mm   = 0.001  // m
)

// Sources of the printed tables.
const (
	guide1956    = "Guide 1956, chapter 32, Table 1"
	handbook2021 = "Handbook of Fundamentals 2021 (SI), chapter 21, Table 3"
	handbookOval = "Handbook of Fundamentals 2021 (SI), chapter 21, Table 4"
	courseNotes  = "university course notes, applied fluids, HVAC part"
)

func TestPublishedEquivalentDiameter(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	// The tolerance is one unit of the last printed digit of the table (the
	// older table was rounded by slide rule, so half a unit is not enough).
	cases := []struct {
		name      string
		source    string
		section   section.Section
		unit      float64
		published float64
		tolerance float64
	}{
		{"6x6 in", guide1956, section.NewRectangular(6*inch, 6*inch), inch, 6.6, 0.1},
		{"8x6 in", guide1956, section.NewRectangular(8*inch, 6*inch), inch, 7.5, 0.1},
		{"8x8 in", guide1956, section.NewRectangular(8*inch, 8*inch), inch, 8.8, 0.1},
		{"10x4 in", guide1956, section.NewRectangular(10*inch, 4*inch), inch, 6.8, 0.1},
		{"10x6 in", guide1956, section.NewRectangular(10*inch, 6*inch), inch, 8.4, 0.1},
		{"10x8 in", guide1956, section.NewRectangular(10*inch, 8*inch), inch, 9.8, 0.1},
		{"10x10 in", guide1956, section.NewRectangular(10*inch, 10*inch), inch, 10.9, 0.1},
		{"12x6 in", guide1956, section.NewRectangular(12*inch, 6*inch), inch, 9.1, 0.1},
		{"12x8 in", guide1956, section.NewRectangular(12*inch, 8*inch), inch, 10.7, 0.1},
		{"12x10 in", guide1956, section.NewRectangular(12*inch, 10*inch), inch, 11.9, 0.1},
		{"12x12 in", guide1956, section.NewRectangular(12*inch, 12*inch), inch, 13.1, 0.1},
		{"14x8 in", guide1956, section.NewRectangular(14*inch, 8*inch), inch, 11.5, 0.1},
		{"16x8 in", guide1956, section.NewRectangular(16*inch, 8*inch), inch, 12.2, 0.1},
		{"24x8 in", guide1956, section.NewRectangular(24*inch, 8*inch), inch, 14.6, 0.1},
		{"30x8 in", guide1956, section.NewRectangular(30*inch, 8*inch), inch, 16.1, 0.1},
		{"300x500 mm", handbook2021, section.NewRectangular(300*mm, 500*mm), mm, 420, 1},
		{"200x200 mm", handbook2021, section.NewRectangular(200*mm, 200*mm), mm, 219, 1},
		{"300x200 mm", handbook2021, section.NewRectangular(300*mm, 200*mm), mm, 266, 1},
		{"400x200 mm", handbook2021, section.NewRectangular(400*mm, 200*mm), mm, 305, 1},
		{"400x400 mm", handbook2021, section.NewRectangular(400*mm, 400*mm), mm, 437, 1},
		{"600x300 mm", handbook2021, section.NewRectangular(600*mm, 300*mm), mm, 457, 1},
		{"800x400 mm", handbook2021, section.NewRectangular(800*mm, 400*mm), mm, 609, 1},
		{"1000x500 mm", handbook2021, section.NewRectangular(1000*mm, 500*mm), mm, 762, 1},
		{"oval 30x24 in", courseNotes, section.NewFlatOval(30*inch, 24*inch), inch, 27.5, 0.1},
		{"oval 30x26 in", courseNotes, section.NewFlatOval(30*inch, 26*inch), inch, 28.4, 0.1},
		// Table 4 runs the other way: it names the nearest made oval for a wanted
		// diameter, so agreement is to the step of the made sizes, about 3 %.
		{"oval 290x200 mm", handbookOval, section.NewFlatOval(290*mm, 200*mm), mm, 250, 7.5},
		{"oval 490x300 mm", handbookOval, section.NewFlatOval(490*mm, 300*mm), mm, 400, 12},
		{"oval 700x325 mm", handbookOval, section.NewFlatOval(700*mm, 325*mm), mm, 500, 15},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			ours := c.section.EquivalentDiameter() / c.unit
			evidencetest.Row{Case: c.name, Source: c.source, Want: c.published, Ours: ours, Within: c.tolerance}.Check(t)
		})
	}
}

// An oval on end is the same duct.
func TestUprightOval(t *testing.T) {
	assert.InDelta(t, section.NewFlatOval(30*inch, 24*inch).EquivalentDiameter(), section.NewFlatOval(24*inch, 30*inch).EquivalentDiameter(), 1e-12)
}

// Unbranded calculation sheet: 350x200 mm has a hydraulic diameter of 254.5 mm
// and carries 500 L/s at 7.14 m/s.
func TestPublishedHydraulicDiameter(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	s := section.NewRectangular(350*mm, 200*mm)
	cases := []struct {
		name                       string
		published, ours, tolerance float64
	}{
		{"hydraulic diameter, mm", 254.5, s.HydraulicDiameter() / mm, 0.05},
		{"velocity of 500 L/s, m/s", 7.14, 0.5 / s.Area(), 0.005},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			evidencetest.Row{Case: c.name, Source: "unbranded calculation sheet", Want: c.published, Ours: c.ours, Within: c.tolerance}.Check(t)
		})
	}
}

// A flat oval with equal axes is a circle, and the square of side D has the
// hydraulic diameter D: both by geometry.
func TestGeometryIdentities(t *testing.T) {
	circle := section.NewRound(0.25)
	oval := section.NewFlatOval(0.25, 0.25)
	square := section.NewRectangular(0.25, 0.25)
	assert.InDelta(t, math.Pi*0.25*0.25/4, circle.Area(), 1e-15)
	assert.InDelta(t, math.Pi*0.25, circle.Perimeter(), 1e-15)
	assert.InDelta(t, circle.Area(), oval.Area(), 1e-15)
	assert.InDelta(t, circle.Perimeter(), oval.Perimeter(), 1e-15)
	assert.InDelta(t, 0.25, circle.HydraulicDiameter(), 0)
	assert.InDelta(t, 0.25, circle.EquivalentDiameter(), 0)
	assert.InDelta(t, 0.25, square.HydraulicDiameter(), 1e-15)
	// Computed from the formula: the flat oval form on a circle of 10 gives 10.01.
	assert.InDelta(t, 10.01, section.NewFlatOval(10, 10).EquivalentDiameter(), 0.005)
}

func TestCheck(t *testing.T) {
	good := []section.Section{section.NewRound(0.1), section.NewRectangular(0.5, 0.2), section.NewFlatOval(0.2, 0.5), {Width: 0.1}}
	for _, s := range good {
		require.NoError(t, s.Check(), "%+v", s)
	}
	bad := []section.Section{
		{},
		section.NewRound(-0.1),
		section.NewRound(math.NaN()),
		section.NewRound(math.Inf(1)),
		section.NewRectangular(0.5, 0),
		section.NewFlatOval(0, 0.5),
	}
	for _, s := range bad {
		require.ErrorIs(t, s.Check(), section.ErrSize, "%+v", s)
	}
	require.Error(t, section.Section{Shape: 9, Width: 1, Height: 1}.Check())
}

func TestShapeNames(t *testing.T) {
	assert.Equal(t, "round", section.Round.String())
	assert.Equal(t, "rectangular", section.Rectangular.String())
	assert.Equal(t, "flat oval", section.FlatOval.String())
	assert.Equal(t, "unknown shape", section.Shape(7).String())
}
