package catalog

import (
	"fmt"
	"slices"
	"strings"

	"spillway/network/section"
)

// FittingKind is the law by which a fitting's coefficient is found.
type FittingKind uint8

// The kinds of fitting.
const (
	// FixedLoss fittings have one coefficient: takeoffs, exits, boots, caps.
	FixedLoss FittingKind = iota
	// SmoothElbow is a bend of one smooth radius, known by r/D; in a rectangular duct the radius elbow.
	SmoothElbow
	// GoredElbow is made of straight pieces.
	GoredElbow
	// StampedElbow is a round elbow pressed from sheet, r/D 1.5, known by its diameter.
	StampedElbow
	// PleatedElbow is a bent, pleated round elbow, known by its diameter.
	PleatedElbow
	// MitredElbow is a sharp corner without vanes.
	MitredElbow
	// VanedElbow is a sharp corner with turning vanes.
	VanedElbow
	// FlexElbow is a bend in flexible duct.
	FlexElbow
	// TransitionFitting joins two sections; its loss needs both: see Between.
	TransitionFitting
	// BellmouthEntry is a rounded entry.
	BellmouthEntry
	// ScreenFitting is a wire screen across the duct.
	ScreenFitting
	// OrificeFitting is a thin plate with a hole across the duct.
	OrificeFitting
)

// Way is how a bend lies in a duct that is not round.
type Way uint8

const (
	// InPlan bends turn in the plane of the section's Width, as a flat trunk turns a corner on the floor.
	InPlan Way = iota
	// HardWay bends turn in the plane of the larger side.
	HardWay
	// EasyWay bends turn in the plane of the smaller side.
	EasyWay
)

// Fitting is a part in a duct that loses total pressure in proportion to the velocity pressure. Get one from
// LookupFitting; the fields say how its name was read.
type Fitting struct {
	Row
	Kind     FittingKind
	Angle    float64 // of a bend, or between the walls of a transition, degrees
	Ratio    float64 // r/D of a bend on its centre line (r/W in a rectangular duct), r/D of a bellmouth
	Pieces   int     // of a gored elbow
	Double   bool    // double-thickness vanes
	Way      Way
	Flush    bool    // bellmouth in a wall, not one standing free
	FreeArea float64 // of a screen or an orifice
	Loss     float64 // coefficient of a FixedLoss fitting
}

// NeedsBoth is true for a fitting whose loss depends on the sections on both sides: use Between, not Coefficient.
func (f Fitting) NeedsBoth() bool { return f.Kind == TransitionFitting }

// Coefficient returns the loss coefficient on the velocity pressure of the duct's own section, and a note on anything
// that was stretched to find it ("" if nothing was). It is finite and not negative for any section that passes its
// Check. Nothing is allocated.
//
// reynolds is the Reynolds number on the hydraulic diameter; it matters only where the source gives a correction
// (rectangular bends). 0 or less leaves the correction out, as in the fully rough flow of the tables.
//
// A fitting that NeedsBoth gives 0 and a note.
func (f Fitting) Coefficient(own section.Section, reynolds float64) (c float64, note string) {
	switch f.Kind {
	case SmoothElbow:
		return f.smoothElbow(own, reynolds)
	case GoredElbow:
		return f.goredElbow(own)
	case StampedElbow:
		return f.sizedElbow(own, stampedDiameters[:], stamped45[:], stamped90[:])
	case PleatedElbow:
		return f.pleatedElbow(own)
	case MitredElbow:
		return f.mitredElbow(own, reynolds)
	case VanedElbow:
		return f.vanedElbow(), ""
	case FlexElbow:
		return f.flexElbow(own)
	case TransitionFitting:
		return 0, "a transition needs the sections on both sides"
	case BellmouthEntry:
		return f.bellmouth(), ""
	case ScreenFitting:
		return screenLoss(f.FreeArea), ""
	case OrificeFitting:
		return ThinPlateZeta(f.FreeArea, 0), ""
	}
	return f.Loss, ""
}

// LeftOpen says what of the sizes that decide the loss a name, as it was written, leaves to our defaults: "r/D 1.5"; "" where it tells all.
func (f Fitting) LeftOpen(name string) string {
	radius := fmt.Sprintf("r/D %g", DefaultBendRatio)
	words := strings.Fields(normalise(name))
	told := slices.ContainsFunc(words, func(w string) bool { return w[0] == 'r' && strings.ContainsAny(w, "0123456789") })
	switch f.Kind {
	case SmoothElbow, FlexElbow:
		if !told {
			return radius
		}
	case GoredElbow:
		pieces := slices.ContainsFunc(words, func(w string) bool { return strings.HasSuffix(w, "-piece") || strings.HasSuffix(w, "-gore") })
		switch {
		case f.Pieces >= 7: // printed for one radius
		case !pieces && !told:
			return fmt.Sprintf("%d pieces and %s", DefaultPieces, radius)
		case !pieces:
			return fmt.Sprintf("%d pieces", DefaultPieces)
		case !told:
			return radius
		}
	case BellmouthEntry:
		if !told && !strings.ContainsAny(name, "0123456789") {
			return fmt.Sprintf("r/D %g", DefaultBellmouthRatio)
		}
	case TransitionFitting:
		if f.Angle == DefaultTransitionAngle && !strings.ContainsAny(name, "0123456789") {
			return fmt.Sprintf("%g degrees between its walls", DefaultTransitionAngle)
		}
	}
	return ""
}

// Between returns the loss coefficient of a fitting between two sections, in the direction of flow, on the velocity
// pressure of the section DOWNSTREAM (ReferTo moves it to the other). Fittings that do not need both sections give
// Coefficient of the downstream one. For flow the other way, call it with the sections exchanged.
func (f Fitting) Between(upstream, downstream section.Section, reynolds float64) (c float64, note string) {
	if f.Kind != TransitionFitting {
		return f.Coefficient(downstream, reynolds)
	}
	up, down := upstream.Area(), downstream.Area()
	if !(up > 0) || !(down > 0) {
		return 0, "a transition needs the sections on both sides"
	}
	if up >= down {
		return contraction(up/down, f.Angle), contractionNote(up / down)
	}
	return ReferTo(expansion(down/up, f.Angle, upstream, downstream), up, down), ""
}

// ReferTo moves a coefficient from the velocity pressure of a section of area from to that of a section of area to:
//
//	C_to = C_from (A_to / A_from)²
func ReferTo(c, from, to float64) float64 { return c * (to / from) * (to / from) }
