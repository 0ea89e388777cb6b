package sound

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"
	"spillway/solver/sound/validity"
)

// TakeOff is a branch that leaves, or joins, a main duct.
type TakeOff struct {
	BranchFlow   float64 // m³/s
	BranchArea   float64 // m²
	MainVelocity float64 // m/s in the main before the junction
	// Disturbed tells that an elbow, damper or another junction sits within five main diameters upstream.
	Disturbed bool
}

const takeOffMethod = "take-off noise (Reynolds; coefficients to three figures from memory)"

var (
	takeOffVelocity = validity.Range{Quantity: "branch velocity", Low: 2, High: 20, Unit: "m/s", Of: takeOffMethod}
	takeOffRatio    = validity.Range{Quantity: "main over branch velocity", Low: 0.5, High: 3, Of: takeOffMethod}
)

// Power is the sound power level that the junction sends down the branch, dB re 1 pW,
//
//	K       = 19.68 + 12.388 m^0.673 − 16.482 m^−0.303 log St − 5.047 m^−0.254 (log St)²
//	L_W,oct = K + 10 log(f/63) + 50 log U_b + 10 log S_b + 10 log D_b + d
//
// with m = U_main/U_b, D_b = sqrt(4 S_b/π), St = f D_b/U_b, in m/s, m², m (19.68 converts −21.6 in feet), and, where the
// air arrives disturbed, d = −1.667 + 1.8 m − 0.133 m² (from memory), not below 0. m = 1 is the elbow without vanes.
//
// Reynolds and Bledsoe. The application guide on sound in ventilation systems (June 2009) prints the coefficients
// rounded (12.4 M^0.67, 16.5 M^−0.3, 5.0 M^−0.25); the third figures are from memory. The correction for a rounded
// corner is left out: the sources contradict each other.
//
// Range: branch 2 to 20 m/s, extrapolated; m 0.5 to 3, clamped, so that a branch that hardly flows stays quiet.
func (t TakeOff) Power() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a take-off"}
	in.flow(t.BranchFlow)
	in.area(t.BranchArea)
	in.within("main velocity", math.Abs(t.MainVelocity), 0, mostFlow, " m/s")
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	if t.BranchFlow == 0 {
		return Silence(), nil, nil
	}
	velocity := math.Abs(t.BranchFlow) / t.BranchArea
	notes := takeOffVelocity.Flag(nil, velocity)
	m, notes := takeOffRatio.Clamp(notes, math.Abs(t.MainVelocity)/velocity)
	k := newTakeOffCurve(m)
	extra := 0.0
	if t.Disturbed {
		extra = max(-1.667+1.8*m-0.133*m*m, 0)
	}

	diameter := math.Sqrt(4 * t.BranchArea / math.Pi)
	base := turbulence(velocity, t.BranchArea, diameter) + extra
	var s Spectrum
	for band := range s {
		strouhal := log10(Centre(band) * diameter / velocity)
		s[band] = max(k.at(strouhal)+overFirstBand(Centre(band))+base, Floor)
	}
	return s, notes, nil
}

// Constants of the takeoff's curve: of its three terms, coefficient and exponent of the velocity ratio.
const (
	takeOffBase, takeOffTop, takeOffTopPower = 21.6, 12.388, 0.673
	takeOffLinear, takeOffLinearPower        = 16.482, -0.303
	takeOffBend, takeOffBendPower            = 5.047, -0.254
)

// TakeOffRatio is the velocity ratio of a takeoff.
func TakeOffRatio() *formula.Formula {
	low, high := takeOffRatio.Low, takeOffRatio.High
	return &formula.Formula{Name: formula.Write("held within # and #", low, high), Text: formula.Write("min(max(V * S / Q, #), #)", low, high),
		Result: formula.Symbol{Name: "M", Kind: quantity.KindNumber},
		In: []formula.Symbol{{Name: "V", Kind: quantity.KindVelocity, Low: 0.1, High: 20}, {Name: "S", Kind: quantity.KindSection, Low: 0.005, High: 0.4},
			{Name: "Q", Kind: quantity.KindAirflow, Low: 0.001, High: 1}},
		Eval: func(in []float64) float64 {
			m, _ := takeOffRatio.Clamp(nil, in[0]/(in[2]/in[1]))
			return m
		}}
}

// TakeOffStrouhal is the place on the takeoff's curve.
func TakeOffStrouhal() *formula.Formula {
	return &formula.Formula{Name: "frequency times diameter over velocity, not below the top of the curve",
		Text: formula.Write("max(log10(f * sqrt(4 * S / π) * S / Q), -(# * M^#) / (2 * # * M^#))", takeOffLinear, takeOffLinearPower,
			takeOffBend, takeOffBendPower),
		Result: formula.Symbol{Name: "s", Kind: quantity.KindNumber},
		In: []formula.Symbol{{Name: "f", Kind: quantity.KindFrequency, Low: 63, High: 8000}, {Name: "S", Kind: quantity.KindSection, Low: 0.005, High: 0.4},
			{Name: "Q", Kind: quantity.KindAirflow, Low: 0.001, High: 1}, {Name: "M", Kind: quantity.KindNumber, Low: 0.5, High: 3}},
		Eval: func(in []float64) float64 {
			return newTakeOffCurve(in[3]).held(log10(in[0] * math.Sqrt(4*in[1]/math.Pi) / (in[2] / in[1])))
		}}
}

// TakeOffNoise is the noise of a takeoff in a band.
func TakeOffNoise() *formula.Formula {
	return &formula.Formula{Name: "turbulence at the branch", Source: "Reynolds; coefficients to three figures from memory",
		Text: formula.Write("-# + # * M^# - s * (# * M^# + # * M^# * s)", takeOffBase, takeOffTop, takeOffTopPower, takeOffLinear, takeOffLinearPower,
			takeOffBend, takeOffBendPower) + turbulenceText("Q / S", "S", "sqrt(4 * S / π)"),
		Result: formula.Symbol{Name: "Lt", Kind: quantity.KindSoundLevel},
		In: []formula.Symbol{{Name: "M", Kind: quantity.KindNumber, Low: 0.5, High: 3}, {Name: "s", Kind: quantity.KindNumber, Low: -1, High: 4},
			{Name: "f", Kind: quantity.KindFrequency, Low: 63, High: 8000}, {Name: "Q", Kind: quantity.KindAirflow, Low: 0.001, High: 1},
			{Name: "S", Kind: quantity.KindSection, Low: 0.005, High: 0.4}},
		Eval: func(in []float64) float64 {
			return newTakeOffCurve(in[0]).at(in[1]) + overFirstBand(in[2]) + turbulence(in[3]/in[4], in[4], math.Sqrt(4*in[4]/math.Pi))
		}}
}

// takeOffCurve is K of one velocity ratio, feet, as a parabola in log St.
type takeOffCurve struct{ constant, linear, square float64 }

func newTakeOffCurve(m float64) takeOffCurve {
	return takeOffCurve{
		constant: -takeOffBase + takeOffTop*math.Pow(m, takeOffTopPower),
		linear:   takeOffLinear * math.Pow(m, takeOffLinearPower),
		square:   takeOffBend * math.Pow(m, takeOffBendPower),
	}
}

// at is held at the top of the parabola below it, far under the published range, so that
// more air never means less noise.
func (k takeOffCurve) at(strouhal float64) float64 {
	strouhal = k.held(strouhal)
	return k.constant - strouhal*(k.linear+k.square*strouhal)
}

func (k takeOffCurve) held(strouhal float64) float64 { return max(strouhal, -k.linear/(2*k.square)) }
