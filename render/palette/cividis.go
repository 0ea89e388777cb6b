package palette

import "math"

// cividis is every eighth row (0, 8, … 248, and the last, 255) of the published table of 256, sRGB from 0 to 1, rounded to four
// decimals: lightness rises evenly from dark blue to yellow, and people with and without colour-vision deficiency see nearly
// the same picture.
//
// Source: J. R. Nuñez, C. R. Anderton, R. S. Renslow, "Optimizing colormaps with consideration for color vision deficiency to
// enable accurate interpretation of scientific data", PLoS ONE 13(7), 2018, e0199239, supporting table.
var cividis = [...][3]float64{
	{0.0000, 0.1351, 0.3048},
	{0.0000, 0.1579, 0.3575},
	{0.0000, 0.1788, 0.4148},
	{0.0179, 0.1985, 0.4412},
	{0.1034, 0.2204, 0.4358},
	{0.1543, 0.2425, 0.4301},
	{0.1951, 0.2644, 0.4259},
	{0.2309, 0.2861, 0.4235},
	{0.2637, 0.3078, 0.4228},
	{0.2947, 0.3295, 0.4237},
	{0.3242, 0.3513, 0.4263},
	{0.3529, 0.3732, 0.4302},
	{0.3808, 0.3952, 0.4357},
	{0.4082, 0.4174, 0.4426},
	{0.4352, 0.4398, 0.4511},
	{0.4616, 0.4624, 0.4620},
	{0.4887, 0.4853, 0.4710},
	{0.5179, 0.5085, 0.4727},
	{0.5478, 0.5319, 0.4717},
	{0.5782, 0.5557, 0.4687},
	{0.6091, 0.5798, 0.4636},
	{0.6404, 0.6044, 0.4568},
	{0.6720, 0.6293, 0.4480},
	{0.7040, 0.6547, 0.4371},
	{0.7365, 0.6806, 0.4240},
	{0.7694, 0.7070, 0.4085},
	{0.8027, 0.7340, 0.3902},
	{0.8364, 0.7615, 0.3687},
	{0.8707, 0.7896, 0.3433},
	{0.9056, 0.8183, 0.3129},
	{0.9411, 0.8475, 0.2758},
	{0.9778, 0.8773, 0.2280},
	{0.9957, 0.9093, 0.2178},
}

// Cividis returns the colour of the scale at t, 0 (darkest, blue) to 1 (lightest, yellow), linear between the rows of the
// table. t outside 0…1 is held at the ends; NaN gives the dark end.
func Cividis(t float64) Colour {
	if !(t > 0) {
		t = 0
	}
	// Rows stand at index 8k of 255; the last one stands at 255, seven steps after the row before.
	index := math.Min(t, 1) * 255
	k := min(int(index/8), len(cividis)-2)
	span := 8.0
	if k == len(cividis)-2 {
		span = 7
	}
	f := (index - 8*float64(k)) / span
	var c [3]uint8
	for i := range c {
		a, b := cividis[k][i], cividis[k+1][i]
		c[i] = uint8(math.Round(255 * (a + (b-a)*f)))
	}
	return Colour{c[0], c[1], c[2]}
}
