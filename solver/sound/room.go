package sound

import (
	"math"
	"slices"

	"spillway/solver/sound/validity"
)

// Room is where the noise is heard.
type Room struct {
	Volume   float64 // m³
	Distance float64 // m, from the outlet to the listener
}

// DefaultRoom is a bedroom with the pillow near the register: 33 m³ (3.6 × 3.8 × 2.4 m) at 1.5 m. Our choice, on the
// severe side: about 4 dB louder than the room that catalogues assume.
func DefaultRoom() Room { return Room{Volume: 33, Distance: 1.5} }

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

// Heard is one outlet in a room: all the sound power that leaves it, its own and what came down the duct, and how far
// from the listener it is.
type Heard struct {
	Power    Spectrum
	Distance float64 // m
}

// RoomLevel is the sound pressure level, dB re 20 µPa, of several outlets at one listener in a room of a volume (m³):
// each less its own room effect, then added by energy. None gives Silence.
func RoomLevel(volume float64, outlets ...Heard) (Spectrum, []validity.Note, error) {
	var notes []validity.Note
	sum := Silence()
	in := inputs{of: "a room"}
	for _, outlet := range outlets {
		in.finite("sound power", outlet.Power)
		if in.err != nil {
			return Spectrum{}, nil, in.err
		}
		loss, more, err := Room{Volume: volume, Distance: outlet.Distance}.Loss()
		if err != nil {
			return Spectrum{}, nil, err
		}
		sum = sum.Plus(outlet.Power.Less(loss))
		for _, note := range more {
			if !slices.Contains(notes, note) { // the room's volume, once per room
				notes = append(notes, note)
			}
		}
	}
	return sum, notes, nil
}

// AbsorbingRoom is a room whose absorption is known.
type AbsorbingRoom struct {
	Constant    Spectrum // room constant R per band, m²
	Distance    float64  // m
	Directivity float64  // Q: 1 in the open, 2 in a wall, 4 in an edge, 8 in a corner
}

// Loss is the room effect with a direct and a reverberant field, dB,
//
//	−10 log(Q/(4π r²) + 4/R)
//
// Long, Architectural Acoustics, 2nd ed., eq. 14.40. In furnished rooms Room is nearer to measurements.
func (r AbsorbingRoom) Loss() (Spectrum, []validity.Note, error) {
	in := inputs{of: "an absorbing room"}
	in.length("listener distance", r.Distance)
	in.within("directivity", r.Directivity, 0.01, 100, "")
	for _, constant := range r.Constant {
		in.within("room constant", constant, 1e-3, mostArea, " m²")
	}
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	var s Spectrum
	for band := range s {
		s[band] = -10 * math.Log10(r.Directivity/(4*math.Pi*r.Distance*r.Distance)+4/r.Constant[band])
	}
	return s, nil, nil
}
