package sound

import (
	"math"

	"spillway/solver/sound/validity"
)

// Blades is the build of a damper.
type Blades uint8

const (
	// SingleBlade is a butterfly: the usual round zone or hand damper.
	SingleBlade Blades = iota
	// MultiBlade has parallel or opposed blades.
	MultiBlade
)

// Damper is a zone, bypass or hand damper whose noise follows from the pressure it takes.
type Damper struct {
	Flow   float64 // m³/s
	Drop   float64 // total pressure across the damper, Pa
	Area   float64 // m², the whole duct
	Height float64 // m, duct height normal to the blade axis; the diameter of a round duct
	Blades Blades
}

const damperMethod = "damper noise (Reynolds; application guide on sound in ventilation systems)"

var (
	damperCoefficient = validity.Range{Quantity: "damper loss coefficient", Low: 0.05, High: 300, Of: damperMethod}
	damperBlockage    = validity.Range{Quantity: "damper blockage factor", Low: 0.02, High: 1, Of: damperMethod}
	damperStrouhal    = validity.Range{Quantity: "Strouhal number at 63 Hz", Low: 0, High: 400, Of: damperMethod}
)

// toSI is what 50 log U + 10 log S + 10 log D gain in dB when m/s, m² and m are put where ft/s, ft² and ft were meant:
// 50 log 3.28084 + 10 log 10.7639 + 10 log 3.28084.
const toSI = 41.279

// perVelocityPressure is the source's C = 15.9e6 Δp S²/Q² in inches of water, ft² and cfm, for Pa and m/s. It stands for
// 2/ρ of slightly dense air; keeping it keeps the printed numbers.
const perVelocityPressure = 1.6473

// Coefficient is the damper's loss on the velocity pressure of the whole duct, C = 1.6473 Δp (S/Q)²; 0 at rest.
func (d Damper) Coefficient() float64 {
	velocity := math.Abs(d.Flow) / d.Area
	if velocity == 0 {
		return 0
	}
	// The quotient is formed in two steps so that neither square overflows.
	return perVelocityPressure * math.Abs(d.Drop) / velocity / velocity
}

// Blockage is the share of the duct that the constricted stream fills,
//
//	BF = (√C − 1)/(C − 1) = 1/(1 + √C)
//	BF = 0.68 C^−0.15 − 0.22        single blade, C > 4
//
// held at 0.02 or more. The two meet within 0.3 % at C = 4; the larger is taken there, so the factor is continuous.
func (d Damper) Blockage() float64 { return max(d.blockage(d.Coefficient()), damperBlockage.Low) }

func (d Damper) blockage(c float64) float64 {
	factor := 1 / (1 + math.Sqrt(c))
	if d.Blades == SingleBlade && c > 4 && c < 16 {
		return max(factor, singleBlade(c))
	}
	if d.Blades == SingleBlade && c > 4 {
		return singleBlade(c)
	}
	return factor
}

func singleBlade(c float64) float64 { return 0.68*math.Pow(c, -0.15) - 0.22 }

// ConstrictionVelocity is the speed of the stream past the blades, m/s: U_c = Q/(S BF).
func (d Damper) ConstrictionVelocity() float64 { return math.Abs(d.Flow) / (d.Area * d.Blockage()) }

// Power is the sound power level that the damper sends down the duct, dB re 1 pW,
//
//	St      = f D/U_c
//	K       = 4.98 − 10.7 log St    St ≤ 25
//	        = 40.18 − 35.9 log St   St > 25
//	L_W,oct = K + 10 log(f/63) + 50 log U_c + 10 log S + 10 log D
//
// in m/s, m² and m. Reynolds and Bledsoe, as printed in an application guide on sound in ventilation systems (June 2009)
// with K = −36.3 and −1.1 in feet; the SI constants are conversions. The lines cross at St = 24.9, where the change is
// made so that the level is continuous. At a fixed pressure a nearly shut damper is hardly quieter than a half-shut one:
// the drop sets the speed of the stream, only its area shrinks.
//
// Range: C 0.05 to 300; St up to 400 (the figure's axis, from memory), both extrapolated; BF at least 0.02, clamped.
// The source measured rectangular commercial dampers: a small round blade is an extrapolation.
func (d Damper) Power() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a damper"}
	in.flow(d.Flow)
	in.drop(d.Drop)
	in.area(d.Area)
	in.length("height", d.Height)
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	if d.Flow == 0 {
		return Silence(), nil, nil
	}
	c := d.Coefficient()
	notes := damperCoefficient.Flag(nil, c)
	factor, notes := damperBlockage.Clamp(notes, d.blockage(c))
	velocity := math.Abs(d.Flow) / (d.Area * factor)
	notes = damperStrouhal.Flag(notes, Centre(0)*d.Height/velocity)

	base := 50*log10(velocity) + 10*log10(d.Area) + 10*log10(d.Height)
	var s Spectrum
	for band := range s {
		strouhal := log10(Centre(band) * d.Height / velocity)
		k := min(-36.3-10.7*strouhal, -1.1-35.9*strouhal) + toSI
		s[band] = max(k+10*math.Log10(Centre(band)/63)+base, Floor)
	}
	return s, notes, nil
}
