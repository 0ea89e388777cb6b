package sound

import "fmt"

// NC is a noise criterion rating.
type NC struct {
	Number float64 // of the curve touched; an extrapolation when Below or Above
	Band   int     // the band that governs, an index for Centre
	Table  NCTable
	Below  bool // under NC 15, the lowest curve: report "<15"
	Above  bool // over NC 70, the highest curve
}

// RateNC rates sound pressure levels (dB re 20 µPa) by tangency: in every band the number of the curve that passes
// through the level, interpolated between printed curves; the rating is the largest, and its band governs. Where bands
// tie, the lowest.
//
// Beranek (1957); ANSI/ASA S12.2-2019 rates by speech interference level first and by tangency where a band sticks out
// (see SpeechInterference). Under NC 15 and over NC 70 the number goes on by 1 per decibel and is marked.
func RateNC(levels Spectrum, table NCTable) NC {
	rating := NC{Number: table.number(levels[0], 0), Table: table}
	for band := 1; band < Bands; band++ {
		if n := table.number(levels[band], band); n > rating.Number {
			rating.Number, rating.Band = n, band
		}
	}
	rating.Below = rating.Number < lowestNC
	rating.Above = rating.Number > highestNC
	return rating
}

// String is the rating in the words of the trade: "NC 46 (500 Hz)", or "NC <15".
func (r NC) String() string {
	switch {
	case r.Below:
		return "NC <15"
	case r.Above:
		return fmt.Sprintf("NC %.0f (%.0f Hz, above the highest curve)", r.Number, Centre(r.Band))
	}
	return fmt.Sprintf("NC %.0f (%.0f Hz)", r.Number, Centre(r.Band))
}

// SpeechInterference is the mean of the 500, 1000, 2000 and 4000 Hz levels, dB: the number that ANSI/ASA S12.2-2019
// tries as the NC designation before tangency.
func (s Spectrum) SpeechInterference() float64 { return (s[3] + s[4] + s[5] + s[6]) / 4 }
