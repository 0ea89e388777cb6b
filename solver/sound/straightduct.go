package sound

import (
	"math"

	"spillway/solver/sound/validity"
)

// StraightDuct is plain duct without fittings, whose flow makes a little noise of its own.
type StraightDuct struct {
	Flow float64 // m³/s
	Area float64 // m²
}

var straightVelocity = validity.Range{Quantity: "duct velocity", Low: 2, High: 25, Unit: "m/s", Of: "straight duct noise (VDI 2081-1; range ours)"}

// Power is the sound power level in the duct by octaves, dB re 1 pW,
//
//	L_W,oct = 5 + 50 log U + 10 log S − 26 log(1.14 + 0.02 f/U)
//
// VDI 2081-1, as printed in Bies, Hansen and Howard, Engineering Noise Control, 5th ed., eq. 8.251. Negligible in houses.
func (d StraightDuct) Power() (Spectrum, []validity.Note, error) {
	velocity, err := d.velocity()
	if err != nil {
		return Spectrum{}, nil, err
	}
	if velocity == 0 {
		return Silence(), nil, nil
	}
	notes := straightVelocity.Flag(nil, velocity)
	base := 5 + 50*log10(velocity) + 10*log10(d.Area)
	var s Spectrum
	for band := range s {
		s[band] = max(base-26*math.Log10(1.14+0.02*min(Centre(band)/velocity, 1e60)), Floor)
	}
	return s, notes, nil
}

// Overall is the whole sound power level, dB re 1 pW, by an older rule:
//
//	L_W = 10 + 50 log U + 10 log S
//
// Tables of reference works; they do not say where it comes from.
func (d StraightDuct) Overall() (float64, error) {
	velocity, err := d.velocity()
	if err != nil {
		return 0, err
	}
	return max(10+50*log10(velocity)+10*log10(d.Area), Floor), nil
}

func (d StraightDuct) velocity() (float64, error) {
	in := inputs{of: "a straight duct"}
	in.flow(d.Flow)
	in.area(d.Area)
	if in.err != nil {
		return 0, in.err
	}
	return math.Abs(d.Flow) / d.Area, nil
}
