package sound

import (
	"fmt"
	"math"
)

// Band is how far the truth may lie below and above an estimate, NC or dB.
type Band struct{ Low, High float64 }

// The bands of a register's noise in a room (our choice). Their parts:
//
//	free area of the face, 0.55 to 0.75 about 0.65     -6  +8    computed from the formula
//	formula and room                                   -5  +5    what the methods promise
//	fittings near the outlet, 0 to +10                      +7    tests of installations (abstracts)
//
// added as squares and rounded. A maker's rating has no free area in it and its test is good to
// about 4 dB with the room; the fittings near the outlet stay.
var (
	EstimateBand = Band{8, 12}
	RatingBand   = Band{4, 8}
)

// Opening is what Judge needs to know of a register or grille.
type Opening struct {
	Own   Spectrum // made by the outlet itself, dB re 1 pW
	Borne Spectrum // arriving through the duct from dampers and takeoffs, dB re 1 pW
	Rated bool     // Own follows from a maker's rating (Rated)
}

// Judgement is one opening heard in one room.
type Judgement struct {
	Power  Spectrum // all that leaves the opening, dB re 1 pW
	Levels Spectrum // sound pressure at the listener, dB re 20 µPa
	NC     NC       // of Levels: the central estimate
	// Low and High bound NC by the band of what is heard.
	Low, High float64
	// Outlet and Duct are the NC of the outlet alone and of what the duct brings alone. Below the
	// lowest curve they are extrapolations.
	Outlet, Duct float64
	DBA          float64
	// Catalogue is the NC in the 10 dB room of makers' sheets, to compare with them.
	Catalogue NC
}

// Judge returns the noise of an opening at the listener in a room, with its band. The loss is that
// of Room.Loss. Where the outlet is rated and the duct is heard as well, the band lies between that
// of the rating and that of the estimate, by their shares of the sound.
func Judge(o Opening, loss Spectrum) (Judgement, error) {
	in := inputs{of: "an opening"}
	in.finite("sound power", o.Own)
	in.finite("sound power from the duct", o.Borne)
	in.finite("room effect", loss)
	if in.err != nil {
		return Judgement{}, in.err
	}
	j := Judgement{Power: o.Own.Plus(o.Borne)}
	j.Levels = j.Power.Less(loss)
	j.NC, j.DBA = RateNC(j.Levels), j.Levels.DBA()
	j.Catalogue = RateNC(j.Power.Raised(-RoomCorrection))
	j.Outlet = RateNC(o.Own.Less(loss)).Number
	j.Duct = RateNC(o.Borne.Less(loss)).Number
	band := EstimateBand
	if o.Rated {
		own := 1 / (1 + math.Pow(10, (j.Duct-j.Outlet)/10))
		band.Low += own * (RatingBand.Low - EstimateBand.Low)
		band.High += own * (RatingBand.High - EstimateBand.High)
	}
	j.Low, j.High = j.NC.Number-band.Low, j.NC.Number+band.High
	return j, nil
}

// ShownBand returns a band of criterion numbers as text. Beyond the curves there are only words:
// "<15 to 27", "60 to over 70".
func ShownBand(low, high float64) string {
	a, b := Shown(low), Shown(high)
	if a == b {
		return a
	}
	return a + " to " + b
}

// ShownWith returns a number with its band: "22 (<15 to 34)", or "<15" where all of it is.
func ShownWith(number, low, high float64) string {
	text, band := Shown(number), ShownBand(low, high)
	if text == band {
		return text
	}
	return text + " (" + band + ")"
}

// Shown returns a criterion number as text: "22", "<15" below the lowest curve, "over 70" above the
// highest, "-" for NaN.
func Shown(number float64) string {
	switch {
	case math.IsNaN(number):
		return "-"
	case number < lowestNC:
		return "<15"
	case number > highestNC:
		return "over 70"
	}
	return fmt.Sprintf("%.0f", number)
}

// OnCurves reports whether a criterion number lies within the published curves, NC 15 to 70. Others
// are extrapolations and have no number on paper.
func OnCurves(number float64) bool { return number >= lowestNC && number <= highestNC }
