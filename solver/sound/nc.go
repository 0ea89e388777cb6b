package sound

// NC is a noise criterion rating.
type NC struct {
	Number float64 // of the curve touched; an extrapolation when Below or Above
	Band   int     // the band that governs, an index for Centre
	Below  bool    // under NC 15, the lowest curve: report "<15"
	Above  bool    // over NC 70, the highest curve
}

// RateNC rates sound pressure levels (dB re 20 µPa) by tangency: in every band the number of the
// curve that passes through the level, interpolated between printed curves; the rating is the
// largest, and its band governs. Where bands tie, the lowest.
//
// Beranek (1957). Under NC 15 and over NC 70 the number goes on by 1 per decibel and is marked.
func RateNC(levels Spectrum) NC {
	rating := NC{Number: numberNC(levels[0], 0)}
	for band := 1; band < Bands; band++ {
		if n := numberNC(levels[band], band); n > rating.Number {
			rating.Number, rating.Band = n, band
		}
	}
	rating.Below = rating.Number < lowestNC
	rating.Above = rating.Number > highestNC
	return rating
}
