package sound

import "spillway/solver/sound/validity"

// BendKind is the build of an elbow, as far as its attenuation goes.
type BendKind uint8

const (
	// RoundBend is a round or radiused elbow, unlined.
	RoundBend BendKind = iota
	// SquareBend is a mitred elbow, unlined, without vanes.
	SquareBend
	// VanedBend is a mitred elbow, unlined, with turning vanes.
	VanedBend
	// LinedBend is a mitred elbow lined before and after, without vanes.
	LinedBend
)

// Bend is an elbow that sound has to pass.
type Bend struct {
	Kind  BendKind
	Width float64 // m, the side in the plane of the bend, or the diameter
}

// bendEdges are the limits of frequency times width, kHz·in.
var bendEdges = [...]float64{1.9, 3.8, 7.5, 15, 30}

var bendLosses = [...][len(bendEdges) + 1]float64{
	RoundBend:  {0, 1, 2, 3, 3, 3},
	SquareBend: {0, 1, 5, 8, 4, 3},
	VanedBend:  {0, 1, 4, 6, 4, 4},
	LinedBend:  {0, 1, 6, 11, 10, 10},
}

// Loss is the attenuation of the elbow, dB, by frequency times width in kHz·in.:
//
//	               < 1.9  < 3.8  < 7.5  < 15  < 30  above
//	round              0      1      2     3     3      3
//	square             0      1      5     8     4      3
//	square, vanes      0      1      4     6     4      4
//	square, lined      0      1      6    11    10     10
//
// Long, Architectural Acoustics, 2nd ed., Tables 14.5 to 14.7; Bies, Hansen and Howard, 5th ed., Table 8.11.
func (b Bend) Loss() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a bend"}
	in.length("width", b.Width)
	in.within("kind", float64(b.Kind), 0, float64(len(bendLosses)-1), "")
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	var s Spectrum
	for band := range s {
		product := Centre(band) / 1000 * b.Width / inch
		class := 0
		for class < len(bendEdges) && product >= bendEdges[class] {
			class++
		}
		s[band] = bendLosses[b.Kind][class]
	}
	return s, nil, nil
}
