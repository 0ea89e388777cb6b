// Package section describes the cross-section of a duct: its shape, its sizes,
// and the lengths and areas that pressure laws need.
//
// All lengths are metres and all areas square metres. The package knows nothing
// of air, friction, fittings or the units of the trade; those live with the
// laws, the catalogue and the reader.
package section

import (
	"errors"
	"fmt"
	"math"
)

// Shape is the outline of a duct section.
type Shape uint8

// The shapes of duct that the program knows. The zero value is Round.
const (
	Round Shape = iota
	Rectangular
	FlatOval
)

// String returns the trade's word for the shape.
func (s Shape) String() string {
	switch s {
	case Round:
		return "round"
	case Rectangular:
		return "rectangular"
	case FlatOval:
		return "flat oval"
	}
	return "unknown shape"
}

// Section is the clear inside of a duct, square to the air.
//
// Width and Height are in m. A round section keeps its diameter in Width, and
// Height is then ignored. A flat oval is two half circles joined by straight
// sides: either of the two sizes may be the larger one. The zero value is a
// round section of no size; Check refuses it.
type Section struct {
	Shape         Shape
	Width, Height float64
}

// NewRound returns a round section of the given diameter, m.
func NewRound(diameter float64) Section {
	return Section{Shape: Round, Width: diameter, Height: diameter}
}

// NewRectangular returns a rectangular section, m. Width comes first, as the
// trade writes it: a trunk of 20x8 in. lies flat.
func NewRectangular(width, height float64) Section {
	return Section{Shape: Rectangular, Width: width, Height: height}
}

// NewFlatOval returns a flat oval section by its outer sizes, m.
func NewFlatOval(width, height float64) Section {
	return Section{Shape: FlatOval, Width: width, Height: height}
}

// ErrSize is wrapped by the error of Check when a size is not a positive,
// finite length.
var ErrSize = errors.New("section: size must be positive and finite")

// Check reports whether the section can carry air: a known shape whose sizes
// are positive and finite. Every other method expects a section that passes; on
// one that does not they return zero or NaN and never panic.
func (s Section) Check() error {
	if s.Shape > FlatOval {
		return fmt.Errorf("section: unknown shape %d", s.Shape)
	}
	if !isLength(s.Width) {
		return fmt.Errorf("%w: width %g m", ErrSize, s.Width)
	}
	if s.Shape != Round && !isLength(s.Height) {
		return fmt.Errorf("%w: height %g m", ErrSize, s.Height)
	}
	return nil
}

func isLength(x float64) bool { return x > 0 && !math.IsInf(x, 1) }

// Area returns the free area, m².
//
//	round        π D²/4
//	rectangular  W H
//	flat oval    π a²/4 + a (A - a),  A the larger size, a the smaller
//
// Flat oval: Heyt and Diaz (1975), as in Handbook of Fundamentals 2021 (SI),
// chapter 21, eq. 27.
func (s Section) Area() float64 {
	switch s.Shape {
	case Rectangular:
		return s.Width * s.Height
	case FlatOval:
		major, minor := s.axes()
		return math.Pi*minor*minor/4 + minor*(major-minor)
	default:
		return math.Pi * s.Width * s.Width / 4
	}
}

// Perimeter returns the wetted perimeter, m.
//
//	round        π D
//	rectangular  2 (W + H)
//	flat oval    π a + 2 (A - a)
//
// Flat oval: Handbook of Fundamentals 2021 (SI), chapter 21, eq. 28.
func (s Section) Perimeter() float64 {
	switch s.Shape {
	case Rectangular:
		return 2 * (s.Width + s.Height)
	case FlatOval:
		major, minor := s.axes()
		return math.Pi*minor + 2*(major-minor)
	default:
		return math.Pi * s.Width
	}
}

// HydraulicDiameter returns
//
//	D_h = 4 A / P,
//
// m, the length that friction laws use together with the true mean velocity
// (Handbook of Fundamentals 2021 (SI), chapter 21, eq. 24).
func (s Section) HydraulicDiameter() float64 {
	if s.Shape == Round {
		return s.Width
	}
	return 4 * s.Area() / s.Perimeter()
}

// EquivalentDiameter returns the diameter, m, of the round duct that loses the
// same pressure at the same airflow.
//
//	rectangular  D_e = 1.30 (W H)^0.625 / (W + H)^0.25   Huebscher (1948)
//	flat oval    D_e = 1.55 A^0.625 / P^0.25             Heyt and Diaz (1975)
//
// Both as in Handbook of Fundamentals 2021 (SI), chapter 21, eq. 25 and 26. It
// is for display, for comparing sizes, and for coefficient tables that are
// given by diameter. Friction should use HydraulicDiameter: Koch (2008),
// Building Services Engineering Research and Technology 29(4), found neither
// form reliably supported by the tests behind it.
func (s Section) EquivalentDiameter() float64 {
	switch s.Shape {
	case Rectangular:
		return 1.30 * math.Pow(s.Width*s.Height, 0.625) / math.Pow(s.Width+s.Height, 0.25)
	case FlatOval:
		return 1.55 * math.Pow(s.Area(), 0.625) / math.Pow(s.Perimeter(), 0.25)
	default:
		return s.Width
	}
}

// axes returns the larger and the smaller size.
func (s Section) axes() (major, minor float64) {
	return max(s.Width, s.Height), min(s.Width, s.Height)
}
