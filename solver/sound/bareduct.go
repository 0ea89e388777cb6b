package sound

import (
	"math"

	"spillway/solver/sound/validity"
)

// Section is the cross-section of a duct: round with a Diameter, or rectangular with Width and Height, all m.
type Section struct {
	Diameter      float64
	Width, Height float64
}

// RoundSection is a round section of a diameter, m.
func RoundSection(diameter float64) Section { return Section{Diameter: diameter} }

// RectangularSection is a rectangular section of two sides, m.
func RectangularSection(width, height float64) Section {
	return Section{Width: width, Height: height}
}

// IsRound tells whether the section is given by a diameter.
func (s Section) IsRound() bool { return s.Diameter != 0 }

// perimeterPerArea in 1/ft, as the formulas of rectangular ducts want it.
func (s Section) perimeterPerArea() float64 {
	return 2 * (s.Width + s.Height) / (s.Width * s.Height) * foot
}

func (s Section) check(in *inputs) {
	if s.IsRound() {
		in.length("diameter", s.Diameter)
		return
	}
	in.length("width", s.Width)
	in.length("height", s.Height)
}

// Feet and inches in metres: the loss formulas were published in them and keep their printed coefficients.
const (
	foot = 0.3048
	inch = 0.0254
)

// BareDuct is unlined sheet-metal duct.
type BareDuct struct {
	Section Section
	Length  float64 // m
}

// bareRound is the loss of bare round duct, dB/ft, Long, 2nd ed., Table 14.1.
var bareRound = Spectrum{0.03, 0.03, 0.03, 0.05, 0.07, 0.07, 0.07, 0.07}

// Loss is the attenuation of the duct, dB. Round, per foot:
//
//	0.03 0.03 0.03 0.05 0.07 0.07 0.07 0.07      63 … 8000 Hz
//
// Rectangular, with P/A the perimeter over the area in 1/ft and L in ft:
//
//	17.0 (P/A)^−0.25 f^−0.85 L      f ≤ 250 Hz, P/A ≥ 3
//	1.64 (P/A)^0.73 f^−0.58 L       f ≤ 250 Hz, P/A < 3
//	0.02 (P/A)^0.8 L                f > 250 Hz
//
// Long, Architectural Acoustics, 2nd ed., ch. 14 (Reynolds), Table 14.1 for round duct. The exponent −0.25 is negative:
// one reprint loses its sign, but only so do bare and lined duct together give the printed tables of the application
// guide. Never negative; 0 for no length.
func (d BareDuct) Loss() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a bare duct"}
	d.Section.check(&in)
	in.within("length", d.Length, 0, mostLength, " m")
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	return d.loss(), nil, nil
}

func (d BareDuct) loss() (s Spectrum) {
	length := d.Length / foot
	if d.Section.IsRound() {
		for band := range s {
			s[band] = bareRound[band] * length
		}
		return s
	}
	ratio := d.Section.perimeterPerArea()
	for band := range s {
		f := Centre(band)
		switch {
		case f > 250:
			s[band] = 0.02 * math.Pow(ratio, 0.8) * length
		case ratio >= 3:
			s[band] = 17.0 * math.Pow(ratio, -0.25) * math.Pow(f, -0.85) * length
		default:
			s[band] = 1.64 * math.Pow(ratio, 0.73) * math.Pow(f, -0.58) * length
		}
	}
	return s
}
