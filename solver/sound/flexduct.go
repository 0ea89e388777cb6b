package sound

import "spillway/solver/sound/validity"

// FlexDuct is lined flexible duct, straight and stretched.
type FlexDuct struct {
	Diameter float64 // m
	Length   float64 // m
}

const flexMethod = "flexible duct loss (Long, 2nd ed., Table 14.4)"

var (
	flexDiameter = validity.Range{Quantity: "flexible duct diameter", Low: 4 * inch, High: 12 * inch, Unit: "m", Of: flexMethod}
	flexLength   = validity.Range{Quantity: "flexible duct length", Low: 0, High: 12 * foot, Unit: "m", Of: flexMethod}
)

var flexDiameters = [...]float64{4, 5, 6, 7, 8, 9, 10, 12} // in.

// flexLosses by diameter and by length 3, 6, 9, 12 ft, dB at 63 to 4000 Hz; 8000 Hz repeats 4000.
var flexLosses = [len(flexDiameters)][4][7]float64{
	{{2, 3, 3, 8, 9, 11, 7}, {3, 6, 6, 16, 19, 21, 14}, {5, 8, 9, 23, 28, 32, 20}, {6, 11, 12, 31, 37, 42, 27}},
	{{2, 3, 4, 8, 10, 10, 7}, {4, 6, 7, 16, 19, 21, 13}, {5, 9, 11, 24, 29, 31, 20}, {7, 12, 14, 32, 38, 41, 26}},
	{{2, 3, 4, 8, 10, 10, 7}, {4, 6, 9, 17, 19, 20, 13}, {6, 9, 13, 25, 29, 30, 20}, {8, 12, 17, 33, 38, 40, 26}},
	{{2, 3, 5, 8, 9, 10, 6}, {4, 6, 10, 17, 19, 19, 13}, {6, 9, 14, 25, 28, 29, 19}, {8, 12, 19, 33, 37, 38, 25}},
	{{2, 3, 5, 8, 9, 9, 6}, {4, 6, 11, 17, 19, 19, 12}, {6, 8, 16, 25, 28, 28, 18}, {8, 11, 21, 33, 37, 36, 22}},
	{{2, 3, 6, 8, 9, 9, 6}, {4, 6, 11, 17, 19, 18, 11}, {6, 8, 17, 25, 28, 27, 17}, {8, 11, 22, 33, 37, 36, 22}},
	{{2, 3, 6, 8, 9, 9, 5}, {4, 5, 11, 16, 18, 17, 11}, {6, 8, 17, 24, 27, 26, 16}, {8, 10, 22, 32, 36, 34, 21}},
	{{2, 2, 5, 8, 9, 8, 5}, {3, 5, 10, 15, 17, 16, 9}, {5, 7, 15, 23, 26, 23, 14}, {7, 9, 20, 30, 34, 31, 18}},
}

// Loss is the insertion loss of the duct, dB: the published table of 4 to 12 in. and 3 to 12 ft, straight lines between
// and to 0 dB at no length; 8000 Hz as 4000 Hz. Long, Architectural Acoustics, 2nd ed., Table 14.4 (ASHRAE 1995).
// Diameter and length outside are clamped, which promises no more than was measured. Sagging or offset flexible duct
// makes noise of its own, which is not modelled.
func (d FlexDuct) Loss() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a flexible duct"}
	in.length("diameter", d.Diameter)
	in.within("length", d.Length, 0, mostLength, " m")
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	diameter, notes := flexDiameter.Clamp(nil, d.Diameter)
	length, notes := flexLength.Clamp(notes, d.Length)

	row := 0
	for row < len(flexDiameters)-2 && diameter > flexDiameters[row+1]*inch {
		row++
	}
	across := (diameter/inch - flexDiameters[row]) / (flexDiameters[row+1] - flexDiameters[row])
	steps := length / (3 * foot)
	column := min(int(steps), 3)
	along := steps - float64(column)

	var s Spectrum
	for band := range s {
		column7 := min(band, 6)
		at := func(row int) float64 {
			low, high := 0.0, flexLosses[row][column][column7]
			if column > 0 {
				low = flexLosses[row][column-1][column7]
			}
			return low + along*(high-low)
		}
		s[band] = at(row) + across*(at(row+1)-at(row))
	}
	return s, notes, nil
}
