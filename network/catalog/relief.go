package catalog

import "math"

// OpenBladeZeta is the loss of a round blade fully open, its shaft and thickness: first entry of the round damper table.
const OpenBladeZeta = 0.19

// ThinPlateZeta is the loss of a thin plate with the free-area share f in (0, 1] across a duct, on the duct's own
// velocity pressure, plus that of the plate edge on:
//
//	ζ = ((0.707 sqrt(1 - f) + 1 - f) / f)² + ζ₀
//
// Idelchik, thin grid, from memory; our combination with the projected area of a blade, see ReliefZeta. f is held
// above 0.001.
func ThinPlateZeta(freeArea, zetaOpen float64) float64 {
	f := clampFreeArea(freeArea)
	root := (0.707*math.Sqrt(1-f) + 1 - f) / f
	return root*root + zetaOpen
}

// ReliefZeta is the loss of a hinged round blade phi degrees from shut (0 to 90), on the duct's own velocity pressure:
//
//	f = f_leak + (1 - f_leak)(1 - cos φ),  ζ = ThinPlateZeta(f, 0.19)
//
// leakArea is the open share with the blade shut, ReliefLeakArea by default; it must be positive. ζ falls strictly
// with φ. Our own closed form: within 13 % in flow of the round damper table between 10 and 80 degrees.
func ReliefZeta(phi, leakArea float64) float64 {
	open := 1 - math.Cos(min(max(phi, 0), 90)*math.Pi/180)
	return ThinPlateZeta(leakArea+(1-leakArea)*open, OpenBladeZeta)
}

// ReliefOpening is the moment balance of a weighted blade: the opening φ, degrees from shut, at the pressure drop (Pa)
// across it,
//
//	tan φ = (Δp - p₀) / (p₀ tan δ)   for Δp > p₀, else 0,
//
// held at full (degrees). startPressure p₀ (Pa, positive) is where the blade starts to open and δ the arm's angle below
// horizontal with the blade shut, degrees, above 0 and below 90.
//
// Our own derivation, with a pressure moment that falls as cos φ. Its only check against a measurement is the ratio of
// pressures on an unbranded relief damper sheet (full opening at four times the start).
func ReliefOpening(pressure, startPressure, armAngle, full float64) float64 {
	if !(pressure > startPressure) || !(startPressure > 0) {
		return 0
	}
	tangent := (pressure - startPressure) / (startPressure * math.Tan(armAngle*math.Pi/180))
	return min(math.Atan(tangent)*180/math.Pi, full)
}
