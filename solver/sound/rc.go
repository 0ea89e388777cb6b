package sound

import "fmt"

// Character is what an RC rating hears in a spectrum.
type Character uint8

const (
	// Neutral has neither excess.
	Neutral Character = iota
	// Rumble has more than 5 dB above the reference line in a band up to 500 Hz.
	Rumble
	// Hiss has more than 3 dB above it in a band from 1000 Hz up.
	Hiss
	// RumbleAndHiss has both.
	RumbleAndHiss
)

// String is the letter of the rating.
func (c Character) String() string {
	return [...]string{"N", "R", "H", "RH"}[c&3]
}

// RC is a room criterion rating.
type RC struct {
	Number    float64 // mean of the 500, 1000 and 2000 Hz levels
	Character Character
	// Excess over the reference line, dB, largest of the bands up to 500 Hz and from 1000 Hz up.
	LowExcess, HighExcess float64
}

// RateRC rates sound pressure levels (dB re 20 µPa) by the room criterion,
//
//	RC = (L500 + L1000 + L2000)/3;  line(f) = RC − 5 log2(f/1000)
//
// R above the line by more than 5 dB at or under 500 Hz, H by more than 3 dB at or over 1000 Hz. The number means little
// outside RC 25 to 50, where the criterion was drawn. The letter for tones is not given: no formula here makes a tone.
// The deviations and quality index of RC Mark II are not given: they need the 16 and 31.5 Hz bands.
//
// Application guide on sound in ventilation systems (June 2009), RC method; it says "below 500 Hz" for rumble, a second
// guide 31.5 to 500 Hz, which is taken here.
func RateRC(levels Spectrum) RC {
	const octave = 5.0 // dB per octave
	number := (levels[3] + levels[4] + levels[5]) / 3
	rating := RC{Number: number, LowExcess: levels[0] - (number + 4*octave), HighExcess: levels[4] - number}
	for band := range levels {
		excess := levels[band] - (number + octave*float64(4-band))
		if band <= 3 {
			rating.LowExcess = max(rating.LowExcess, excess)
		} else {
			rating.HighExcess = max(rating.HighExcess, excess)
		}
	}
	if rating.LowExcess > 5 {
		rating.Character |= Rumble
	}
	if rating.HighExcess > 3 {
		rating.Character |= Hiss
	}
	return rating
}

// String is the rating as it is written: "RC 37(R)".
func (r RC) String() string { return fmt.Sprintf("RC %.0f(%s)", r.Number, r.Character) }
