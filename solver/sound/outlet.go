package sound

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"
	"spillway/solver/sound/validity"
)

// OutletShape chooses the octave shape of an outlet's noise.
type OutletShape uint8

const (
	// Round holds all of the outlet's power in its octaves (they sum to −0.4 dB of the overall level). The default: the
	// safe side for every outlet.
	Round OutletShape = iota
	// Rectangular is the published shape of rectangular and slot diffusers. Its octaves sum to 6.4 dB less than the
	// overall level, so it promises a quieter outlet.
	Rectangular
)

// Outlet is a register, grille or diffuser whose noise follows from the pressure it takes, with a clean entry and its
// own damper open. Air that leaves and air that enters are alike.
type Outlet struct {
	Flow     float64 // m³/s
	FaceArea float64 // m², the outer face
	Drop     float64 // static pressure across the outlet, Pa
	Shape    OutletShape
	// PeakInBand moves the peak frequency to the centre of its octave before the shape is read, as the method is
	// printed. The level then jumps as the peak passes from band to band; without it the shape slides.
	PeakInBand bool
}

var (
	outletVelocity = validity.Range{Quantity: "face velocity", Low: 0.5, High: 5, Unit: "m/s", Of: outletMethod}
	outletDrop     = validity.Range{Quantity: "outlet pressure drop", Low: 1, High: 75, Unit: "Pa", Of: outletMethod}
	outletArea     = validity.Range{Quantity: "face area", Low: 0.005, High: 0.4, Unit: "m²", Of: outletMethod}
)

const outletMethod = "outlet noise (Reynolds; Long, 2nd ed., eqs. 13.27–13.33)"

// Power is the sound power level that the outlet makes itself, dB re 1 pW,
//
//	L_W      = 10 log S + 30 log Δp + 16.6         S in m², Δp in Pa
//	L_W,oct  = L_W + C − 0.15 A − 1.13 A²          C = −5.82 round, −11.82 rectangular
//	A        = log2(f_p/f),  f_p = 160 Q/S Hz
//
// Long, Architectural Acoustics, 2nd ed., eqs. 13.27 to 13.33 (Reynolds), which prints
// L_W = 10 log S + 30 log ξ + 60 log U − 31.3 in feet per second with ξ the loss on face velocity pressure: the velocity
// cancels against ξ, and the SI form is that conversion. At a fixed geometry Δp ~ Q², so a doubled flow is 18 dB louder.
//
// Range (ours, from the devices the method is used for): face velocity 0.5 to 5 m/s, Δp 1 to 75 Pa, face 0.005 to
// 0.4 m². An overall level under 15 dB is inaudible. Its uncertainty is in EstimateBand.
func (o Outlet) Power() (Spectrum, []validity.Note, error) {
	in := inputs{of: "an outlet"}
	in.flow(o.Flow)
	in.area(o.FaceArea)
	in.drop(o.Drop)
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	drop, velocity := math.Abs(o.Drop), math.Abs(o.Flow)/o.FaceArea
	if velocity == 0 {
		return Silence(), nil, nil
	}
	var notes []validity.Note
	notes = outletVelocity.Flag(notes, velocity)
	notes = outletDrop.Flag(notes, drop)
	notes = outletArea.Flag(notes, o.FaceArea)
	return outletOctaves(outletLevel(o.FaceArea, drop), o.peak(), o.Shape), notes, nil
}

// Constants of the outlet's level, its peak and the octaves about it.
const (
	perFace, perDrop, outletConstant = 10.0, 30.0, 16.6
	peakPerVelocity                  = 160.0 // Hz per m/s
	middle, middleBand, highestBand  = 1000.0, 5.0, 8.0
	roundShape, rectangularShape     = 5.82, 11.82
	shapeLinear, shapeSquare         = 0.15, 1.13
)

// outletLevel is the overall level before the octave shape.
func outletLevel(face, drop float64) float64 {
	return perFace*log10(face) + perDrop*log10(drop) + outletConstant
}

const outletSource = "Long, Architectural Acoustics, 2nd ed., eqs. 13.27 to 13.33"

// OutletLevel is the overall level of an outlet.
func OutletLevel() *formula.Formula {
	return &formula.Formula{Name: "the outlet by the static pressure it takes", Source: outletSource + ", Reynolds",
		Text:   formula.Write("# * log10(S) + # * log10(Δp) + #", perFace, perDrop, outletConstant),
		Result: formula.Symbol{Name: "Lw", Kind: quantity.KindSoundLevel},
		In: []formula.Symbol{{Name: "S", Kind: quantity.KindSection, Low: 0.005, High: 0.4},
			{Name: "Δp", Kind: quantity.KindPressure, Low: 0.1, High: 200}},
		Eval: func(in []float64) float64 { return outletLevel(in[0], in[1]) }}
}

// OutletPeak is the band in which an outlet is loudest.
func OutletPeak() *formula.Formula {
	return &formula.Formula{
		Name:   "160 times the face velocity in m/s is its frequency; bands count from 31.5 Hz, and it is held at 8000 Hz",
		Text:   formula.Write("min(# + log10(# * Q / (S * #)) / log10(2), #)", middleBand, peakPerVelocity, middle, highestBand),
		Result: formula.Symbol{Name: "b", Kind: quantity.KindNumber},
		In: []formula.Symbol{{Name: "Q", Kind: quantity.KindAirflow, Low: 1e-4, High: 3},
			{Name: "S", Kind: quantity.KindSection, Low: 0.005, High: 0.4}},
		Eval: func(in []float64) float64 { return Outlet{Flow: in[0], FaceArea: in[1]}.peak() }}
}

// OutletOctave is the level of an outlet in a band, by its overall level and its peak.
func OutletOctave(band int) *formula.Formula {
	n := float64(band + 1)
	return &formula.Formula{Name: "the shape of its octaves about their peak", Source: outletSource,
		Text:   formula.Write("Lw - # - # * (b - #) - # * (b - #)^2", roundShape, shapeLinear, n, shapeSquare, n),
		Result: formula.Symbol{Name: "Lo", Kind: quantity.KindSoundLevel},
		In: []formula.Symbol{{Name: "Lw", Kind: quantity.KindSoundLevel, Low: 0, High: 90},
			{Name: "b", Kind: quantity.KindNumber, Low: 0, High: highestBand}},
		Eval: func(in []float64) float64 { return outletOctaves(in[0], in[1], Round)[band] }}
}

// PeakFrequency of the outlet's noise, Hz: 160 times the face velocity in m/s.
func (o Outlet) PeakFrequency() float64 { return peakPerVelocity * math.Abs(o.Flow) / o.FaceArea }

// peak is the peak as a band number, 0 at 31.5 Hz, 1 at 63 Hz … 8 at 8000 Hz, with the fraction unless PeakInBand.
func (o Outlet) peak() float64 {
	number := bandNumber(o.PeakFrequency())
	if o.PeakInBand {
		number = math.Round(number)
	}
	return number
}

// bandNumber of a frequency on the exact octaves about 1000 Hz, which is number 5. Held at 8 (8000 Hz), past which the
// parabola would make the low bands quieter as the flow rises.
func bandNumber(frequency float64) float64 {
	return min(middleBand+log10(frequency/middle)/math.Log10(2), highestBand)
}

// outletOctaves spreads an overall level over the octaves about a peak.
func outletOctaves(overall, peak float64, shape OutletShape) (s Spectrum) {
	c := -roundShape
	if shape == Rectangular {
		c = -rectangularShape
	}
	for band := range s {
		a := peak - float64(band+1)
		s[band] = max(overall+c-shapeLinear*a-shapeSquare*a*a, Floor)
	}
	return s
}
