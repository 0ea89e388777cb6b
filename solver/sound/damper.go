package sound

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"
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
	if d.Blades == SingleBlade && c > bladeFrom && c < bladeBoth {
		return max(factor, singleBlade(c))
	}
	if d.Blades == SingleBlade && c > bladeFrom {
		return singleBlade(c)
	}
	return factor
}

// Constants of a single blade; between bladeFrom and bladeBoth the larger of the two forms is taken.
const (
	bladeFactor, bladePower, bladeConstant = 0.68, -0.15, 0.22
	bladeFrom, bladeBoth                   = 4.0, 16.0
)

func singleBlade(c float64) float64 { return bladeFactor*math.Pow(c, bladePower) - bladeConstant }

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

	base := turbulence(velocity, d.Area, d.Height)
	var s Spectrum
	for band := range s {
		strouhal := log10(Centre(band) * d.Height / velocity)
		s[band] = max(damperCurve(strouhal)+overFirstBand(Centre(band))+base, Floor)
	}
	return s, notes, nil
}

// Constants of the two lines of the damper's curve.
const (
	damperLow, damperLowSlope   = 36.3, 10.7
	damperHigh, damperHighSlope = 1.1, 35.9
)

// damperCurve is K, feet, against log St.
func damperCurve(strouhal float64) float64 {
	return min(-damperLow-damperLowSlope*strouhal, -damperHigh-damperHighSlope*strouhal)
}

// Constants of the noise that turbulence makes at a speed in a part of an area and a length.
const perSpeed, perSection, perLength, firstBand = 50.0, 10.0, 10.0, 63.0

// turbulence is the part of a takeoff's or a damper's level that all bands have, dB.
func turbulence(velocity, area, length float64) float64 {
	return perSpeed*log10(velocity) + perSection*log10(area) + perLength*log10(length) + toSI
}

func overFirstBand(frequency float64) float64 { return 10 * math.Log10(frequency/firstBand) }

// turbulenceText is both as a text.
func turbulenceText(velocity, area, length string) string {
	return formula.Write(" + 10 * log10(f / #) + # * log10("+velocity+") + # * log10("+area+") + # * log10("+length+") + #",
		firstBand, perSpeed, perSection, perLength, toSI)
}

// DamperCoefficient is the loss of a damper on the velocity pressure of the whole duct.
func DamperCoefficient() *formula.Formula {
	return &formula.Formula{Name: "of standard air", Text: formula.Write("# * Δp * S^2 / Q^2", perVelocityPressure),
		Result: formula.Symbol{Name: "C", Kind: quantity.KindNumber},
		In: []formula.Symbol{{Name: "Δp", Kind: quantity.KindPressure, Low: 0.1, High: 500}, {Name: "S", Kind: quantity.KindSection, Low: 0.005, High: 0.4},
			{Name: "Q", Kind: quantity.KindAirflow, Low: 0.001, High: 1}},
		Eval: func(in []float64) float64 { return Damper{Drop: in[0], Area: in[1], Flow: in[2]}.Coefficient() }}
}

// DamperBlockage is the free share of the duct at a coefficient.
func DamperBlockage(blades Blades, c float64) *formula.Formula {
	text, low, high := "1 / (1 + sqrt(C))", 0.01, 1e5
	if blades == SingleBlade {
		one := formula.Write("# * C^# - #", bladeFactor, bladePower, bladeConstant)
		switch {
		case c <= bladeFrom:
			high = bladeFrom
		case c < bladeBoth:
			text, low, high = "max("+text+", "+one+")", bladeFrom*(1+1e-9), bladeBoth
		default:
			text, low = one, bladeBoth
		}
	}
	return &formula.Formula{Name: "by its drop, as the method for dampers has it",
		Text:   formula.Write("min(max("+text+", #), #)", damperBlockage.Low, damperBlockage.High),
		Result: formula.Symbol{Name: "B", Kind: quantity.KindFraction},
		In:     []formula.Symbol{{Name: "C", Kind: quantity.KindNumber, Low: low, High: high}},
		Eval: func(in []float64) float64 {
			share, _ := damperBlockage.Clamp(nil, Damper{Blades: blades}.blockage(in[0]))
			return share
		}}
}

// DamperNoise is the noise of a damper in a band.
func DamperNoise() *formula.Formula {
	return &formula.Formula{Name: "turbulence behind the blade", Source: "Reynolds; application guide on sound in ventilation systems",
		Text:   formula.Write("min(-# - # * s, -# - # * s)", damperLow, damperLowSlope, damperHigh, damperHighSlope) + turbulenceText("V", "S", "h"),
		Result: formula.Symbol{Name: "Lg", Kind: quantity.KindSoundLevel},
		In: []formula.Symbol{{Name: "s", Kind: quantity.KindNumber, Low: -1, High: 4}, {Name: "f", Kind: quantity.KindFrequency, Low: 63, High: 8000},
			{Name: "V", Kind: quantity.KindVelocity, Low: 0.1, High: 50}, {Name: "S", Kind: quantity.KindSection, Low: 0.005, High: 0.4},
			{Name: "h", Kind: quantity.KindLength, Low: 0.05, High: 1}},
		Eval: func(in []float64) float64 {
			return damperCurve(in[0]) + overFirstBand(in[1]) + turbulence(in[2], in[3], in[4])
		}}
}
