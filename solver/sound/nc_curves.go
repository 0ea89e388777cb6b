package sound

// NCTable names an edition of the noise criterion curves. They differ by a decibel in a dozen cells, so a rating should
// say which it used.
type NCTable uint8

const (
	// Classic curves, L. L. Beranek, Revised criteria for noise in buildings, Noise Control 3 (1957), 19–27, as five
	// independent reprints agree. The default, since catalogues and older texts rate by them.
	Classic NCTable = iota
	// S12 curves, ANSI/ASA S12.2-2019, Table 1.
	S12
)

// String is the name to print beside a rating.
func (t NCTable) String() string {
	if t == S12 {
		return "ANSI/ASA S12.2-2019"
	}
	return "classic (1957)"
}

const (
	lowestNC  = 15
	highestNC = 70
	stepNC    = 5
	curvesNC  = (highestNC-lowestNC)/stepNC + 1
)

// classicCurves, NC 15 to 70 in steps of 5.
var classicCurves = [curvesNC]Spectrum{
	{47, 36, 29, 22, 17, 14, 12, 11},
	{51, 40, 33, 26, 22, 19, 17, 16},
	{54, 44, 37, 31, 27, 24, 22, 21},
	{57, 48, 41, 35, 31, 29, 28, 27},
	{60, 52, 45, 40, 36, 34, 33, 32},
	{64, 56, 50, 45, 41, 39, 38, 37},
	{67, 60, 54, 49, 46, 44, 43, 42},
	{71, 64, 58, 54, 51, 49, 48, 47},
	{74, 67, 62, 58, 56, 54, 53, 52},
	{77, 71, 67, 63, 61, 59, 58, 57},
	{80, 75, 71, 68, 66, 64, 63, 62},
	{83, 79, 75, 72, 71, 70, 69, 68},
}

// s12Curves, ANSI/ASA S12.2-2019 Table 1.
var s12Curves = [curvesNC]Spectrum{
	{47, 36, 28, 22, 18, 14, 12, 11},
	{50, 40, 33, 26, 22, 20, 17, 16},
	{54, 44, 37, 31, 27, 24, 22, 22},
	{57, 48, 41, 35, 32, 29, 28, 27},
	{60, 52, 45, 40, 36, 34, 33, 32},
	{64, 56, 50, 44, 41, 39, 38, 37},
	{67, 60, 54, 49, 46, 44, 43, 42},
	{71, 64, 58, 54, 51, 49, 48, 47},
	{74, 67, 62, 58, 56, 54, 53, 52},
	{77, 71, 66, 63, 60, 59, 58, 57},
	{80, 75, 71, 68, 65, 64, 63, 62},
	{84, 79, 75, 72, 71, 70, 68, 68},
}

func (t NCTable) curves() *[curvesNC]Spectrum {
	if t == S12 {
		return &s12Curves
	}
	return &classicCurves
}

// Curve is the noise criterion curve of a number, dB re 20 µPa: the printed one at 15, 20 … 70, between them by straight
// lines in each band, beyond them 1 dB per number.
func (t NCTable) Curve(nc float64) (s Spectrum) {
	for band := range s {
		s[band] = t.level(nc, band)
	}
	return s
}

// level of the curve nc in a band.
func (t NCTable) level(nc float64, band int) float64 {
	curves := t.curves()
	switch {
	case nc <= lowestNC:
		return curves[0][band] + nc - lowestNC
	case nc >= highestNC:
		return curves[curvesNC-1][band] + nc - highestNC
	}
	step := (nc - lowestNC) / stepNC
	below := int(step)
	return curves[below][band] + (step-float64(below))*(curves[below+1][band]-curves[below][band])
}

// number of the curve that passes through a level in a band: the inverse of level.
func (t NCTable) number(level float64, band int) float64 {
	curves := t.curves()
	if level <= curves[0][band] {
		return lowestNC + level - curves[0][band]
	}
	for i := 1; i < curvesNC; i++ {
		low, high := curves[i-1][band], curves[i][band]
		if level <= high {
			return lowestNC + stepNC*(float64(i-1)+(level-low)/(high-low))
		}
	}
	return highestNC + level - curves[curvesNC-1][band]
}
