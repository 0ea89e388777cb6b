package study

import (
	"math"

	"spillway/network/quantity"
	"spillway/network/section"
)

// Sizes that are sold, common practice of the trade: round duct and fittings, and registers and grilles by their nominal size. Metric
// round sizes are the preferred numbers of spiral duct (from memory).

// roundSizes are nominal diameters in inches or millimetres, rising.
func roundSizes(s quantity.System) []float64 {
	if s == quantity.SI {
		return []float64{80, 100, 125, 160, 200, 250, 315, 355, 400, 450, 500, 560, 630, 710, 800, 900, 1000}
	}
	return []float64{4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32, 36}
}

// openings are registers and grilles, width × height in inches, rising in area.
func registerSizes() [][2]float64 {
	return [][2]float64{{8, 4}, {10, 4}, {12, 4}, {10, 6}, {12, 6}, {14, 6}, {12, 8}, {14, 8}, {16, 8}, {20, 8}, {24, 8}, {20, 10}, {24, 10}, {30, 10}, {30, 12}}
}

func grilleSizes() [][2]float64 {
	return [][2]float64{{10, 6}, {12, 8}, {12, 12}, {14, 12}, {14, 14}, {16, 14}, {20, 14}, {20, 16}, {20, 20}, {24, 20}, {25, 20}, {24, 24}, {30, 20}, {30, 24}, {30, 30}, {36, 30}, {36, 36}}
}

// nominal is the length of one nominal unit, m.
func nominal(s quantity.System) float64 {
	if s == quantity.SI {
		return 0.001
	}
	return quantity.Inch
}

// sideStep is the step in which the width of rectangular duct is made.
func sideStep(s quantity.System) float64 {
	if s == quantity.SI {
		return 50
	}
	return 2
}

func unitWord(s quantity.System) string {
	if s == quantity.SI {
		return "mm"
	}
	return "in"
}

// roundUp is the smallest round size of at least a diameter, m; the largest when none is.
func roundUp(diameter float64, s quantity.System) (section.Section, string) {
	list := roundSizes(s)
	unit := nominal(s)
	for _, d := range list {
		if d*unit >= diameter*(1-1e-9) || d == list[len(list)-1] {
			return section.NewRound(d * unit), write(d, unitWord(s))
		}
	}
	return section.Section{}, ""
}

// mostAspect is how many times as wide as high rectangular duct is made at most (common practice).
const mostAspect = 4

// widen is the narrowest rectangular duct of a given height, m, that enough accepts; the widest
// that mostAspect allows where none does.
func widen(height float64, s quantity.System, enough func(section.Section) bool) (section.Section, string) {
	unit, step := nominal(s), sideStep(s)
	nominalHeight := math.Round(height / unit)
	var made section.Section
	for width := max(step*math.Ceil(nominalHeight/2/step), step); ; width += step {
		made = section.NewRectangular(width*unit, height)
		if enough(made) || width+step > mostAspect*nominalHeight {
			return made, write(width, "") + "x" + write(nominalHeight, unitWord(s))
		}
	}
}

// opening is the smallest sold opening of at least an area, m²; the largest when none is.
func opening(list [][2]float64, area float64) (section.Section, string) {
	for i, o := range list {
		made := section.NewRectangular(o[0]*quantity.Inch, o[1]*quantity.Inch)
		if made.Area() >= area*(1-1e-9) || i == len(list)-1 {
			return made, write(o[0], "") + "x" + write(o[1], "in")
		}
	}
	return section.Section{}, ""
}
