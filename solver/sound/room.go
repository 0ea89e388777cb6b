package sound

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"
	"spillway/solver/sound/validity"
)

// Room is where the noise is heard.
type Room struct {
	Volume   float64 // m³
	Distance float64 // m, from the outlet to the listener
}

const roomMethod = "room effect (Schultz)"

var (
	roomVolume   = validity.Range{Quantity: "room volume", Low: 15, High: 425, Unit: "m³", Of: roomMethod}
	roomDistance = validity.Range{Quantity: "listener distance", Low: 0.5, High: 15, Unit: "m", Of: roomMethod}
)

// Loss is the room effect, sound power level less sound pressure level, dB,
//
//	10 log r + 5 log V + 3 log f − 12.1        r m, V m³, f Hz
//
// for one outlet as a point source in a normally furnished room. Schultz's equation, as printed in an application guide
// on sound in ventilation systems (June 2009) with 25 in feet; 12.1 is the conversion. It can be negative close by in a
// small room.
//
// Range: up to 425 m³ (15 000 ft³, published), from 15 m³ and 0.5 to 15 m (ours). The distance is clamped.
func (r Room) Loss() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a room"}
	in.within("volume", r.Volume, 1e-3, 1e9, " m³")
	in.within("listener distance", r.Distance, 0, mostLength, " m")
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	notes := roomVolume.Flag(nil, r.Volume)
	distance, notes := roomDistance.Clamp(notes, r.Distance)
	var s Spectrum
	for band := range s {
		s[band] = roomEffect(distance, r.Volume, Centre(band))
	}
	return s, notes, nil
}

// Constants of the room effect.
const perDistance, perVolume, perFrequency, roomConstant = 10.0, 5.0, 3.0, 12.1

func roomEffect(distance, volume, frequency float64) float64 {
	return perDistance*math.Log10(distance) + perVolume*math.Log10(volume) - roomConstant + perFrequency*math.Log10(frequency)
}

// RoomEffect is the room effect of an outlet by the listener's distance, floor and ceiling of the room.
func RoomEffect() *formula.Formula {
	return &formula.Formula{Name: "one outlet in a furnished room", Source: "Schultz",
		Text: formula.Write("# * log10(min(max(r, #), #)) + # * log10(A * h) + # * log10(f) - #", perDistance,
			roomDistance.Low, roomDistance.High, perVolume, perFrequency, roomConstant),
		Result: formula.Symbol{Name: "R", Kind: quantity.KindSoundLevel},
		In: []formula.Symbol{{Name: "r", Kind: quantity.KindLength, Low: 0.1, High: 30}, {Name: "A", Kind: quantity.KindSection, Low: 4, High: 100},
			{Name: "h", Kind: quantity.KindLength, Low: 2, High: 6}, {Name: "f", Kind: quantity.KindFrequency, Low: 63, High: 8000}},
		Eval: func(in []float64) float64 {
			distance, _ := roomDistance.Clamp(nil, in[0])
			return roomEffect(distance, in[1]*in[2], in[3])
		}}
}
