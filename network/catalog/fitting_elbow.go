package catalog

import (
	"math"

	"spillway/network/section"
)

// Defaults of bends that are named without their sizes.
const (
	// DefaultBendRatio is r/D (r/W) of an elbow.
	DefaultBendRatio = 1.5
	// DefaultPieces of a gored elbow: the adjustable elbow of the trade has four. Our choice.
	DefaultPieces = 4
)

const (
	ductManual  = "HVAC systems duct design manual, 4th ed., fitting tables A-7"
	radiusTable = "design-basis reprint of the handbook's fitting tables, rectangular elbow of smooth radius"
	handbook09  = "Handbook of Fundamentals 2009 (SI), fitting tables, p. 21.26-27"
)

// Round elbow of smooth radius, 90 degrees: duct design manual, Table A.
var (
	smoothRatios = [...]float64{0.5, 0.75, 1.0, 1.5, 2.0, 2.5}
	smoothLoss   = [...]float64{0.71, 0.33, 0.22, 0.15, 0.13, 0.12}
)

// Factor for bends of another angle: duct design manual, with Table A.
var (
	bendAngles  = [...]float64{0, 20, 30, 45, 60, 75, 90, 110, 130, 150, 180}
	bendFactors = [...]float64{0, 0.31, 0.45, 0.60, 0.78, 0.90, 1.00, 1.13, 1.20, 1.28, 1.40}
)

// Round gored elbow, 90 degrees: duct design manual, Table B; the row of three pieces also in the handbook of 2009, CD3-12.
var (
	goredRatios = [...]float64{0.5, 0.75, 1.0, 1.5, 2.0}
	gored3      = [...]float64{0.98, 0.54, 0.42, 0.34, 0.33}
	gored4      = [...]float64{0.50, 0.37, 0.27, 0.24} // from r/D 0.75
	gored5      = [...]float64{0.46, 0.33, 0.24, 0.19} // from r/D 0.75
)

// Gored elbow of seven pieces, r/D 2.5, 90 degrees, by diameter, m: handbook of 2009.
var (
	gored7Diameters = [...]float64{75 * mm, 150 * mm, 230 * mm, 300 * mm, 380 * mm, 450 * mm}
	gored7          = [...]float64{0.16, 0.12, 0.10, 0.08, 0.07, 0.06}
)

// Die-stamped round elbow, r/D 1.5, 90 and 45 degrees, by diameter, m: handbook of 2009.
var (
	stampedDiameters = [...]float64{75 * mm, 100 * mm, 125 * mm, 150 * mm, 180 * mm, 200 * mm, 250 * mm}
	stamped90        = [...]float64{0.30, 0.21, 0.16, 0.14, 0.12, 0.11, 0.11}
	stamped45        = [...]float64{0.18, 0.13, 0.10, 0.08, 0.07, 0.07, 0.07}
)

// Pleated elbow, r/D 1.5, 90 and 45 degrees, by diameter, m: handbook of 2009.
var (
	pleatedDiameters = [...]float64{100 * mm, 150 * mm, 200 * mm, 250 * mm, 300 * mm, 350 * mm, 400 * mm}
	pleated90        = [...]float64{0.57, 0.43, 0.34, 0.28, 0.26, 0.25, 0.25}
	pleated45        = [...]float64{0.34, 0.26, 0.21, 0.17, 0.16, 0.15, 0.15}
)

// Round mitred elbow without vanes, by angle: duct design manual, Table C. Sharper turns are not printed.
var (
	mitredAngles = [...]float64{0, 20, 30, 45, 60, 75, 90}
	mitredRound  = [...]float64{0, 0.08, 0.16, 0.34, 0.55, 0.81, 1.2}
)

// Rectangular bends, by H/W, H square to the plane of the bend: duct design manual, Table D (mitred), and the reprint of the
// handbook's tables (radius, by r/W; the cells r/W 1.0 at H/W 0.5 and 6 are damaged in print and read by us).
var (
	aspects      = [...]float64{0.25, 0.5, 0.75, 1, 1.5, 2, 3, 4, 6, 8}
	cornerAngles = [...]float64{0, 45, 60, 90}
	mitredRect   = [len(cornerAngles)][len(aspects)]float64{
		{},
		{0.38, 0.37, 0.36, 0.34, 0.33, 0.31, 0.28, 0.27, 0.25, 0.24},
		{0.60, 0.59, 0.57, 0.55, 0.52, 0.49, 0.46, 0.43, 0.39, 0.38},
		{1.3, 1.3, 1.2, 1.2, 1.1, 1.1, 0.98, 0.92, 0.85, 0.83},
	}
	radiusRatios = [...]float64{0.5, 0.75, 1.0, 1.5, 2.0}
	radiusRect   = [len(radiusRatios)][len(aspects)]float64{
		{1.5, 1.4, 1.3, 1.2, 1.1, 1.0, 1.0, 1.1, 1.2, 1.2},
		{0.57, 0.52, 0.48, 0.44, 0.40, 0.39, 0.39, 0.40, 0.43, 0.44},
		{0.27, 0.25, 0.23, 0.21, 0.19, 0.18, 0.18, 0.19, 0.21, 0.21},
		{0.22, 0.20, 0.19, 0.17, 0.15, 0.14, 0.14, 0.15, 0.17, 0.17},
		{0.20, 0.18, 0.16, 0.15, 0.14, 0.13, 0.13, 0.14, 0.15, 0.15},
	}
)

// Factor for low Reynolds numbers in rectangular bends, by Re/10⁴: duct design manual (mitred and r/W 0.5) and the
// reprint (r/W 0.75 and more).
var (
	sharpReynolds  = [...]float64{1e4, 2e4, 3e4, 4e4, 6e4, 8e4, 10e4, 14e4}
	sharpFactors   = [...]float64{1.40, 1.26, 1.19, 1.14, 1.09, 1.06, 1.04, 1.0}
	radiusReynolds = [...]float64{1e4, 2e4, 3e4, 4e4, 6e4, 8e4, 10e4, 14e4, 20e4}
	radiusFactors  = [...]float64{2.0, 1.77, 1.64, 1.56, 1.46, 1.38, 1.30, 1.15, 1.0}
)

// Square corner with vanes, from memory, ranked by a laboratory's design guide: single-thickness 0.11 to 0.33 by their
// spacing, double-thickness worse.
const (
	singleVanes = 0.15
	doubleVanes = 0.25
)

// Notes of Coefficient.
const (
	noteRatio   = "bend radius outside the table: nearest printed value"
	noteOval    = "flat oval: value of the round fitting"
	noteRound   = "not round: value of the round fitting at the equivalent diameter"
	noteSeven   = "seven pieces are printed for r/D 2.5 only"
	noteFlex    = "bend in flexible duct: value of a pleated elbow"
	noteDefault = ""
)

func bendFactor(angle float64) float64 { return linear(bendAngles[:], bendFactors[:], angle) }

func outside(x float64, xs []float64) bool { return x < xs[0] || x > xs[len(xs)-1] }

// smoothElbow reads the table of the shape: ln C over ln r/D in a round duct, over ln r/W and ln H/W in a rectangular one;
// other angles by the factor K.
func (f Fitting) smoothElbow(s section.Section, reynolds float64) (float64, string) {
	if s.Shape == section.Rectangular {
		return f.radiusElbow(s, reynolds)
	}
	note := noteDefault
	switch {
	case outside(f.Ratio, smoothRatios[:]):
		note = noteRatio
	case s.Shape == section.FlatOval:
		note = noteOval
	}
	return bendFactor(f.Angle) * logLog(smoothRatios[:], smoothLoss[:], f.Ratio), note
}

func (f Fitting) radiusElbow(s section.Section, reynolds float64) (float64, string) {
	note := noteDefault
	if outside(f.Ratio, radiusRatios[:]) {
		note = noteRatio
	}
	aspect := f.aspect(s)
	i, t := logPosition(radiusRatios[:], f.Ratio)
	low := logLog(aspects[:], radiusRect[i][:], aspect)
	high := logLog(aspects[:], radiusRect[i+1][:], aspect)
	return bendFactor(f.Angle) * geometric(low, high, t) * radiusReynoldsFactor(f.Ratio, reynolds), note
}

// radiusReynoldsFactor goes from the factor of sharp bends at r/W 0.5 to that of easy ones at 0.75.
func radiusReynoldsFactor(ratio, reynolds float64) float64 {
	if reynolds <= 0 {
		return 1
	}
	easy := logLog(radiusReynolds[:], radiusFactors[:], reynolds)
	if ratio >= 0.75 {
		return easy
	}
	sharp := sharpReynoldsFactor(reynolds)
	return sharp + (easy-sharp)*max((ratio-0.5)/0.25, 0)
}

func sharpReynoldsFactor(reynolds float64) float64 {
	if reynolds <= 0 {
		return 1
	}
	return logLog(sharpReynolds[:], sharpFactors[:], reynolds)
}

// aspect is H/W of a bend, H square to its plane.
func (f Fitting) aspect(s section.Section) float64 {
	w, h := s.Width, s.Height
	if s.Shape == section.Round {
		return 1
	}
	switch f.Way {
	case HardWay:
		w, h = max(w, h), min(w, h)
	case EasyWay:
		w, h = min(w, h), max(w, h)
	}
	if !(w > 0) || !(h > 0) {
		return 1
	}
	return h / w
}

// goredElbow reads the table of its pieces by r/D; seven pieces by diameter.
func (f Fitting) goredElbow(s section.Section) (float64, string) {
	note := noteDefault
	if s.Shape != section.Round {
		note = noteRound
	}
	k := bendFactor(f.Angle)
	switch {
	case f.Pieces >= 7:
		if f.Ratio != 2.5 {
			note = noteSeven
		}
		return k * logLog(gored7Diameters[:], gored7[:], s.EquivalentDiameter()), note
	case f.Pieces <= 3:
		if outside(f.Ratio, goredRatios[:]) {
			note = noteRatio
		}
		return k * logLog(goredRatios[:], gored3[:], f.Ratio), note
	}
	if outside(f.Ratio, goredRatios[1:]) {
		note = noteRatio
	}
	if f.Pieces == 4 {
		return k * logLog(goredRatios[1:], gored4[:], f.Ratio), note
	}
	return k * logLog(goredRatios[1:], gored5[:], f.Ratio), note
}

func (f Fitting) pleatedElbow(s section.Section) (float64, string) {
	return f.sizedElbow(s, pleatedDiameters[:], pleated45[:], pleated90[:])
}

// sizedElbow goes between tables of 45 and 90 degrees by diameter, and by the factor K outside them.
func (f Fitting) sizedElbow(s section.Section, diameters, at45, at90 []float64) (float64, string) {
	note := noteDefault
	if s.Shape != section.Round {
		note = noteRound
	}
	d := s.EquivalentDiameter()
	half, full := logLog(diameters, at45, d), logLog(diameters, at90, d)
	switch {
	case f.Angle >= 90:
		return full * bendFactor(f.Angle), note
	case f.Angle <= 45:
		return half * bendFactor(f.Angle) / bendFactor(45), note
	}
	return half + (full-half)*(f.Angle-45)/45, note
}

// flexElbow is a pleated elbow, the nearest printed thing to a bend in flexible duct; bends tighter than r/D 1.5 by the
// ratio of the smooth elbow. Our choice.
func (f Fitting) flexElbow(s section.Section) (float64, string) {
	c, _ := f.pleatedElbow(s)
	tightness := logLog(smoothRatios[:], smoothLoss[:], f.Ratio) / logLog(smoothRatios[:], smoothLoss[:], DefaultBendRatio)
	return c * max(tightness, 1), noteFlex
}

// mitredElbow reads the table of the shape, evenly over the angle.
func (f Fitting) mitredElbow(s section.Section, reynolds float64) (float64, string) {
	if s.Shape != section.Rectangular {
		note := noteDefault
		if s.Shape == section.FlatOval {
			note = noteOval
		}
		return linear(mitredAngles[:], mitredRound[:], f.Angle), note
	}
	aspect := f.aspect(s)
	i, t := position(cornerAngles[:], f.Angle)
	high := logLog(aspects[:], mitredRect[i+1][:], aspect)
	low := 0.0
	if i > 0 {
		low = logLog(aspects[:], mitredRect[i][:], aspect)
	}
	return (low + t*(high-low)) * sharpReynoldsFactor(reynolds), noteDefault
}

func (f Fitting) vanedElbow() float64 {
	c := singleVanes
	if f.Double {
		c = doubleVanes
	}
	return c * bendFactor(f.Angle)
}

// Bellmouth standing free, by r/D: Principles of HVAC, 9th ed., fitting supplement (Idelchik, diagram 3-1 group).
var (
	bellmouthRatios = [...]float64{0, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.10, 0.12, 0.16, 0.20}
	bellmouthLoss   = [...]float64{1.0, 0.87, 0.74, 0.61, 0.51, 0.40, 0.32, 0.20, 0.15, 0.10, 0.06, 0.03}
)

// DefaultBellmouthRatio is r/D of a bellmouth named without its size.
const DefaultBellmouthRatio = 0.1

// bellmouth is the table for one standing free, and in a wall Swamee's
//
//	C = 0.5 / (1 + 36 (r/D)^1.2)
func (f Fitting) bellmouth() float64 {
	if f.Flush {
		return flushEntry / (1 + 36*math.Pow(max(f.Ratio, 0), 1.2))
	}
	return linear(bellmouthRatios[:], bellmouthLoss[:], f.Ratio)
}

// screenLoss is Idelchik's wire screen, diagram 8-6, from memory, f the free-area share:
//
//	C = 1.3 (1-f) + (1/f - 1)²
func screenLoss(freeArea float64) float64 {
	f := clampFreeArea(freeArea)
	return 1.3*(1-f) + (1/f-1)*(1/f-1)
}
