package catalog

import "math"

// Constants of FlexCorrection, Handbook of Fundamentals 2021 (SI), chapter 21, eq. 22 and 23.
const (
	FlexPerPercent  = 0.58
	FlexPerDiameter = 4.96 // 1/m; printed as 0.00496 per mm
)

// DefaultFlexCompression is the compression, percent, of flexible duct hung with care: the natural relaxed state of the
// tests by Weaver and Culp. A duct that lies in loops has 15 % and more.
const DefaultFlexCompression = 4.0

// Bounds of FlexCorrection, percent of compression: the published check points end at MaxFlexCompression, the tests of
// Weaver and Culp at FlexClamp.
const (
	MaxFlexCompression = 30.0
	FlexClamp          = 45.0
)

// FlexCorrection returns the factor by which the friction of flexible duct exceeds that of the same length fully
// stretched,
//
//	PDCF = 1 + 0.58 K exp(-4.96 D),
//
// D the diameter in m and K the compression in percent, 100 (L_stretched - L_installed) / L_stretched. It applies to
// the friction of the installed length at the roughness of the fully stretched duct (material "flex").
//
// valid is false outside 0 to 30 % and for a diameter that is not positive. The factor is then that of the nearest
// allowed value: compression is held between 0 and 45 %, the diameter at 0. A factor for sag between the hangers
// comes on top and is the user's.
//
// Source: Handbook of Fundamentals 2021 (SI), chapter 21, eq. 22 and 23, after Abushakra, Walker and Sherman (2004),
// HVAC&R Research 10(3), and Culp (2011), RP-1333.
func FlexCorrection(compressionPercent, diameter float64) (factor float64, valid bool) {
	valid = compressionPercent >= 0 && compressionPercent <= MaxFlexCompression && diameter > 0
	compression := min(max(compressionPercent, 0), FlexClamp)
	return 1 + FlexPerPercent*compression*math.Exp(-FlexPerDiameter*max(diameter, 0)), valid
}
