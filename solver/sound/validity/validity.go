// Package validity says when a formula is used outside the range it was published for. The answer still stands, as an
// extrapolation; a Note travels with it so that whoever shows the number can say so.
//
// It must not know what the formulas are about, and it decides nothing: what to make of a note is for the verdict.
package validity

import "fmt"

// Range of one input of a formula, in SI.
type Range struct {
	Quantity  string // "face velocity"
	Low, High float64
	Unit      string // "m/s"; empty for a ratio
	Of        string // the formula and its source
}

// Note is an input outside a range. Clamped tells that the formula was fed the nearer end of the range instead of the
// value.
type Note struct {
	Range
	Value   float64
	Clamped bool
}

// String is one sentence without a full stop, in the units of the range.
func (n Note) String() string {
	how := "extrapolated"
	if n.Clamped {
		how = "the end of the range was used"
	}
	unit := n.Unit
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s %.3g%s is outside %.3g to %.3g%s of %s: %s", n.Quantity, n.Value, unit, n.Low, n.High, unit, n.Of, how)
}

// Holds tells whether a value lies in the range, ends included.
func (r Range) Holds(value float64) bool { return value >= r.Low && value <= r.High }

// Flag appends a note when a value lies outside the range; the formula goes on with the value itself.
func (r Range) Flag(notes []Note, value float64) []Note {
	if r.Holds(value) {
		return notes
	}
	return append(notes, Note{Range: r, Value: value})
}

// Clamp returns the value moved into the range, and a note when it had to be moved.
func (r Range) Clamp(notes []Note, value float64) (float64, []Note) {
	if r.Holds(value) {
		return value, notes
	}
	return min(max(value, r.Low), r.High), append(notes, Note{Range: r, Value: value, Clamped: true})
}
