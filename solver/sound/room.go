package sound

import (
	"math"

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
	base := 10*math.Log10(distance) + 5*math.Log10(r.Volume) - 12.1
	var s Spectrum
	for band := range s {
		s[band] = base + 3*math.Log10(Centre(band))
	}
	return s, notes, nil
}
