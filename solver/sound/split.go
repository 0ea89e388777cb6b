package sound

import (
	"math"

	"spillway/solver/sound/validity"
)

// Split is the division of sound power where a duct divides.
type Split struct {
	Branch float64 // m², the branch that is followed
	All    float64 // m², all branches together, this one included
	Main   float64 // m², the duct before; 0 where it is the same as All
}

// Loss is the attenuation from the main into the branch, dB, alike in all bands,
//
//	−10 log(S_i/ΣS) − 10 log(1 − ((ΣS − S_m)/(ΣS + S_m))²)
//
// with areas S: the share of the power, and the reflection where the area changes. Long, Architectural Acoustics, 2nd
// ed., eq. 14.17. A quarter of the area takes 6.0 dB. For a share by flow put the flows in place of Branch and All.
func (p Split) Loss() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a split"}
	in.area(p.Branch)
	in.area(p.All)
	if p.Main != 0 {
		in.area(p.Main)
	}
	in.within("branch share", p.Branch/p.All, 0, 1+1e-9, "")
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	loss := -10 * math.Log10(p.Branch/p.All)
	if p.Main != 0 {
		step := (p.All - p.Main) / (p.All + p.Main)
		loss -= 10 * math.Log10(1-step*step)
	}
	return Even(max(loss, 0)), nil, nil
}

// DuctEnd is the end of a duct in a room, which throws low notes back.
type DuctEnd struct {
	Area float64 // m², of the duct's mouth
	Free bool    // ends in the open instead of flush with a wall or ceiling
}

// speedOfSound for which the printed tables of end reflection come out, m/s (1128 ft/s).
const speedOfSound = 343.8

// Loss is the end reflection, dB,
//
//	10 log(1 + (k c/(π f D))^1.88)      k = 0.8 flush, 1.0 free; D = sqrt(4S/π)
//
// Long, Architectural Acoustics, 2nd ed., eqs. 14.14 and 14.15. It belongs to sound that comes down the duct (a blower, a
// zone damper), never to the outlet's own noise, and Long warns that a flared diffuser has none: leave it out there.
func (e DuctEnd) Loss() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a duct end"}
	in.area(e.Area)
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	k := 0.8
	if e.Free {
		k = 1
	}
	diameter := math.Sqrt(4 * e.Area / math.Pi)
	var s Spectrum
	for band := range s {
		s[band] = 10 * math.Log10(1+math.Pow(k*speedOfSound/(math.Pi*Centre(band)*diameter), 1.88))
	}
	return s, nil, nil
}
