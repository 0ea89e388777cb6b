package sound

import (
	"math"

	"spillway/solver/sound/validity"
)

// Elbow is a bend whose noise follows from the speed of the air; with Vanes, a mitred bend with turning vanes.
type Elbow struct {
	Flow   float64 // m³/s
	Area   float64 // m²
	Height float64 // m, without vanes only: duct height in the plane of the bend; the diameter or sqrt(4S/π) will do
	Vanes  int     // number of turning vanes, 0 for none
	Chord  float64 // m, vane chord; with Vanes only
	// Drop is the total pressure across a vaned elbow, Pa. With it the speed between the vanes is found as for a
	// multi-blade damper; 0 takes the plain duct velocity, which is lower.
	Drop float64
}

const elbowMethod = "elbow noise (Reynolds; SMACNA HVAC Duct Design, ch. 11)"

var (
	elbowVelocity = validity.Range{Quantity: "elbow velocity", Low: 2, High: 20, Unit: "m/s", Of: elbowMethod}
	elbowStrouhal = validity.Range{Quantity: "Strouhal number at 63 Hz", Low: 0, High: 500, Of: elbowMethod}
)

// Power is the sound power level that the elbow sends down the duct, dB re 1 pW. Without vanes,
//
//	K       = 32.06 − 16.48 log St − 5.05 (log St)²,  St = f D/U
//	L_W,oct = K + 10 log(f/63) + 50 log U + 10 log S + 10 log D
//
// and with n vanes of chord CD,
//
//	K       = −6.22 − 7.69 (log St)^2.5,  St = f CD/U_c, log St not below 0
//	L_W,oct = K + 10 log(f/63) + 50 log U_c + 10 log S + 10 log CD + 10 log n
//
// with U_c from the drop as for Damper.ConstrictionVelocity (SMACNA) or the plain velocity where no drop is given. Units
// m/s, m², m; converted from −9.22 and −47.5 in feet. Reynolds and Bledsoe, as printed in the application guide on sound in
// ventilation systems (June 2009) and SMACNA, HVAC Systems – Duct Design, 3rd ed., p. 11.15.
//
// Range: velocity 2 to 20 m/s, St 1 to 500. Usually negligible in houses.
func (e Elbow) Power() (Spectrum, []validity.Note, error) {
	in := e.inputs()
	if e.Vanes > 0 {
		in.length("vane chord", e.Chord)
	} else {
		in.length("height", e.Height)
	}
	in.within("number of vanes", float64(e.Vanes), 0, 1000, "")
	in.drop(e.Drop)
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	if e.Flow == 0 {
		return Silence(), nil, nil
	}
	velocity, length := math.Abs(e.Flow)/e.Area, e.Height
	notes := elbowVelocity.Flag(nil, velocity)
	extra := 0.0
	if e.Vanes > 0 {
		length, extra = e.Chord, 10*math.Log10(float64(e.Vanes))
		velocity = Damper{Flow: e.Flow, Drop: e.Drop, Area: e.Area, Blades: MultiBlade}.ConstrictionVelocity()
	}
	notes = elbowStrouhal.Flag(notes, Centre(0)*length/velocity)

	base := 50*log10(velocity) + 10*log10(e.Area) + 10*log10(length) + extra + toSI
	var s Spectrum
	for band := range s {
		strouhal := log10(Centre(band) * length / velocity)
		k := plainElbow(strouhal)
		if e.Vanes > 0 {
			k = -47.5 - 7.69*math.Pow(max(strouhal, 0), 2.5)
		}
		s[band] = max(k+10*math.Log10(Centre(band)/63)+base, Floor)
	}
	return s, notes, nil
}

// plainElbow is K of an elbow without vanes, feet, against log St. It is a parabola with its top at log St = −1.63, far
// under the published range, and is held there so that more air never means less noise.
func plainElbow(strouhal float64) float64 {
	strouhal = max(strouhal, -16.48/(2*5.05))
	return -9.22 - 16.48*strouhal - 5.05*strouhal*strouhal
}

func (e Elbow) inputs() inputs {
	in := inputs{of: "an elbow"}
	in.flow(e.Flow)
	in.area(e.Area)
	return in
}

// MitredPower is a second opinion on an elbow without vanes, a sharp bend by another laboratory, dB re 1 pW:
//
//	L_W,oct = 60 log U + 10 log S + 10 log ρ + 14 − 10 log(1 + 0.165 (f H/U)²)
//
// in SI with ρ = 1.2 kg/m³. Bies, Hansen and Howard, Engineering Noise Control, 5th ed., eqs. 8.252 and 8.254. It and
// Power differ by several decibels, which is a fair measure of what either is worth.
func (e Elbow) MitredPower() (Spectrum, []validity.Note, error) {
	in := e.inputs()
	in.length("height", e.Height)
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	if e.Flow == 0 {
		return Silence(), nil, nil
	}
	velocity := math.Abs(e.Flow) / e.Area
	notes := elbowVelocity.Flag(nil, velocity)
	overall := 60*log10(velocity) + 10*log10(e.Area) + 10*math.Log10(1.2) + 14
	var s Spectrum
	for band := range s {
		strouhal := min(Centre(band)*e.Height/velocity, 1e60)
		s[band] = max(overall-10*math.Log10(1+0.165*strouhal*strouhal), Floor)
	}
	return s, notes, nil
}
