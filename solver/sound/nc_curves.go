package sound

import (
	"spillway/network/quantity"
	"spillway/solver/internal/formula"
)

const (
	lowestNC  = 15
	highestNC = 70
	stepNC    = 5
	curvesNC  = (highestNC-lowestNC)/stepNC + 1
)

// ncCurves are the noise criterion curves 15 to 70 in steps of 5, dB re 20 µPa. Source: L. L. Beranek,
// Revised criteria for noise in buildings, Noise Control 3 (1957), 19–27, as five independent reprints
// agree. ANSI/ASA S12.2-2019 differs by a decibel in a dozen cells; catalogues rate by these.
var ncCurves = [curvesNC]Spectrum{
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

// Curve is the noise criterion curve of a number, dB re 20 µPa: the printed one at 15, 20 … 70, between them by straight
// lines in each band, beyond them 1 dB per number.
func Curve(nc float64) (s Spectrum) {
	for band := range s {
		s[band] = levelNC(nc, band)
	}
	return s
}

// levelNC is the level of the curve nc in a band.
func levelNC(nc float64, band int) float64 {
	switch {
	case nc <= lowestNC:
		return ncCurves[0][band] + nc - lowestNC
	case nc >= highestNC:
		return ncCurves[curvesNC-1][band] + nc - highestNC
	}
	step := (nc - lowestNC) / stepNC
	below := int(step)
	return ncCurves[below][band] + (step-float64(below))*(ncCurves[below+1][band]-ncCurves[below][band])
}

// numberNC is the number of the curve through a level in a band: the inverse of levelNC.
func numberNC(level float64, band int) float64 {
	if level <= ncCurves[0][band] {
		return lowestNC + level - ncCurves[0][band]
	}
	for i := 1; i < curvesNC; i++ {
		low, high := ncCurves[i-1][band], ncCurves[i][band]
		if level <= high {
			return between(lowestNC+stepNC*float64(i-1), level, low, high)
		}
	}
	return highestNC + level - ncCurves[curvesNC-1][band]
}

// between is the number of a curve between the curve of a number and the next, by their levels.
func between(number, level, low, high float64) float64 { return number + stepNC*(level-low)/(high-low) }

// NCNumber is the number of the curve through a level in a band, by the levels of the curves whose numbers
// are returned.
func NCNumber(level float64, band int) (f *formula.Formula, curves []float64) {
	hz := formula.Write("#", Centre(band))
	symbol := func(name string, low, high float64) formula.Symbol {
		return formula.Symbol{Name: name, Kind: quantity.KindSoundLevel, Low: low, High: high}
	}
	f = &formula.Formula{Result: formula.Symbol{Name: "N", Kind: quantity.KindNoise}, In: []formula.Symbol{symbol("L", 10, 90), symbol("c", 10, 90)}}
	end := func(number float64) (*formula.Formula, []float64) {
		f.Name += " it goes on by 1 per decibel; " + hz + " Hz governs"
		f.Text = formula.Write("# + L - c", number)
		f.Eval = func(in []float64) float64 { return number + in[0] - in[1] }
		return f, []float64{number}
	}
	if level <= ncCurves[0][band] {
		f.Name = "under the lowest curve"
		return end(lowestNC)
	}
	for i := 1; i < curvesNC; i++ {
		if level <= ncCurves[i][band] {
			number := lowestNC + stepNC*float64(i-1)
			f.Name = "between the curves that it lies between; of all bands " + hz + " Hz gives the most"
			f.Text = formula.Write("# + # * (L - c1) / (c2 - c1)", number, stepNC)
			f.In = []formula.Symbol{symbol("L", 30, 40), symbol("c1", 25, 30), symbol("c2", 40, 45)}
			f.Eval = func(in []float64) float64 { return between(number, in[0], in[1], in[2]) }
			return f, []float64{number, number + stepNC}
		}
	}
	f.Name = "over the highest curve"
	return end(highestNC)
}
