package catalog

import "math"

// OpenBladeZeta is the loss of a round blade fully open, its shaft and thickness: first entry of the round damper table.
const OpenBladeZeta = 0.19

// ThinPlateZeta is the loss of a thin plate with the free-area share f in (0, 1] across a duct, on the duct's own
// velocity pressure, plus that of the plate edge on:
//
//	ζ = ((0.707 sqrt(1 - f) + 1 - f) / f)² + ζ₀
//
// Idelchik, thin grid, from memory; our combination with the projected area of a hinged round blade: within
// 13 % in flow of the round damper table between 10 and 80 degrees. f is held above 0.001.
func ThinPlateZeta(freeArea, zetaOpen float64) float64 {
	f := clampFreeArea(freeArea)
	root := (GridEdge*math.Sqrt(1-f) + 1 - f) / f
	return root*root + zetaOpen
}
