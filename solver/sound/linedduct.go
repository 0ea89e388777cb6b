package sound

import (
	"math"

	"spillway/solver/sound/validity"
)

// LinedDuct is sheet-metal duct lined with a fibrous blanket.
type LinedDuct struct {
	Section Section // inside the lining
	Length  float64 // m
	Lining  float64 // thickness, m
}

// MostLinedLoss is the most that one run of lined duct is credited with, dB: past it sound goes through the walls.
const MostLinedLoss = 40.0

const linedMethod = "lined duct loss (Reynolds; Long, 2nd ed., ch. 14)"

var (
	linedThickness = validity.Range{Quantity: "lining thickness", Low: 0.0254, High: 0.0508, Unit: "m", Of: linedMethod}
	linedPerimeter = validity.Range{Quantity: "perimeter over area", Low: 1.17 / foot, High: 6 / foot, Unit: "1/m", Of: linedMethod}
)

// Coefficients of lined rectangular duct, B (P/A)^C t^D L.
var (
	linedB = Spectrum{0.0133, 0.0574, 0.2710, 1.0147, 1.7700, 1.3920, 1.5180, 1.5810}
	linedC = Spectrum{1.959, 1.410, 0.824, 0.500, 0.695, 0.802, 0.451, 0.219}
	linedD = Spectrum{0.917, 0.941, 1.079, 1.087, 0, 0, 0, 0}
)

// linedRound has the coefficients a, b, c (t) and d, e, g (D) of lined round duct, per band.
var linedRound = [Bands][6]float64{
	{0.2825, 0.3447, -0.05251, -0.03837, 9.132e-4, -8.294e-6},
	{0.5237, 0.2234, -0.004936, -0.02724, 3.377e-4, -2.49e-6},
	{0.3652, 0.79, -0.1157, -0.01834, -1.211e-4, 2.681e-6},
	{0.1333, 1.845, -0.3735, -0.01293, 8.624e-5, -4.986e-6},
	{1.933, 0, 0, 0.06135, -0.003891, 3.934e-5},
	{2.73, 0, 0, -0.07341, 4.428e-4, 1.006e-6},
	{2.8, 0, 0, -0.1467, 0.003404, -2.851e-5},
	{1.545, 0, 0, -0.05452, 0.00129, -1.318e-5},
}

// Loss is the attenuation of the lined duct, bare duct included, dB, per foot with t and D in inches, P/A in 1/ft:
//
//	rectangular  B (P/A)^C t^D
//	round        a + b t + c t² + d D + e D² + g D³
//
// plus BareDuct, at most MostLinedLoss in a band, never negative. Coefficients per band in this file. Long, Architectural
// Acoustics, 2nd ed., ch. 14 (Reynolds). Range: t 1 to 2 in., rectangular P/A 1.17 to 6 per ft, extrapolated.
func (d LinedDuct) Loss() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a lined duct"}
	d.Section.check(&in)
	in.within("length", d.Length, 0, mostLength, " m")
	in.within("lining thickness", d.Lining, 0, 1, " m")
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	notes := linedThickness.Flag(nil, d.Lining)
	s := BareDuct{Section: d.Section, Length: d.Length}.loss()
	thickness, length := d.Lining/inch, d.Length/foot
	if d.Section.IsRound() {
		diameter := d.Section.Diameter / inch
		for band, k := range linedRound {
			perFoot := k[0] + thickness*(k[1]+thickness*k[2]) + diameter*(k[3]+diameter*(k[4]+diameter*k[5]))
			s[band] = min(s[band]+max(perFoot, 0)*length, MostLinedLoss)
		}
		return s, notes, nil
	}
	ratio := d.Section.perimeterPerArea()
	notes = linedPerimeter.Flag(notes, ratio/foot)
	for band := range s {
		perFoot := linedB[band] * math.Pow(ratio, linedC[band]) * math.Pow(thickness, linedD[band])
		s[band] = min(s[band]+perFoot*length, MostLinedLoss)
	}
	return s, notes, nil
}
