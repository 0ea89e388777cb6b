package network

import (
	"fmt"
	"strings"

	"spillway/network/quantity"
)

// fullBlade is the angle in degrees through which a damper blade turns between open and shut.
const fullBlade = 90.0

// ParsePosition reads the position of a damper: "25 %", "open", "shut", or degrees of blade with the end that they
// count from, "36 deg from shut". The result may lie outside 0 to 1.
//
// Degrees without an end are refused: an actuator counts them from shut, a table of blade losses from open, and 36 deg
// is 40 % by the one and 60 % by the other. Errors are of type *quantity.Error.
func ParsePosition(text string, system quantity.System) (Position, error) {
	lower := strings.ToLower(strings.TrimSpace(text))
	if end, ok := bladeEnd(lower); ok {
		return end, nil
	}
	amount, end, hasEnd := strings.Cut(lower, " from ")
	if !hasEnd && !strings.Contains(lower, "deg") && !strings.Contains(lower, "°") {
		share, err := quantity.KindFraction.Parse(text, system)
		return Position(share), err
	}
	degrees, err := quantity.KindAngle.Parse(amount, system)
	if err != nil {
		return 0, err
	}
	from, known := bladeEnd(strings.TrimPrefix(strings.TrimSpace(end), "fully "))
	if !known {
		return 0, &quantity.Error{Text: text, Want: quantity.KindAngle, System: system,
			Reason: "does not say from which end the degrees count",
			Fix: fmt.Sprintf(`write "%g deg from shut" (%s open) or "%g deg from open" (%s open)`,
				degrees, sharePercent(degrees/fullBlade), degrees, sharePercent(1-degrees/fullBlade))}
	}
	if from == 0 {
		return Position(degrees / fullBlade), nil
	}
	return Position(1 - degrees/fullBlade), nil
}

// bladeEnd returns the position that a word for one end of the blade's travel stands for.
func bladeEnd(word string) (Position, bool) {
	switch word {
	case "open":
		return 1, true
	case "shut", "closed":
		return 0, true
	}
	return 0, false
}

func sharePercent(share float64) string { return quantity.KindFraction.Short(share, quantity.IP) }

// position reads a position as ParsePosition does and holds it against its range.
func (r *reader) position(n *node) Position {
	read := func(part *node) float64 { return float64(r.certainPosition(part)) }
	about := func(x float64) (float64, float64, bool) {
		return max(0, x-aboutBlade),
			min(x+aboutBlade, 1), false
	}
	if middle, ok := r.doubtful(n, quantity.KindFraction, field{}, read, about); ok {
		return Position(middle)
	}
	return r.certainPosition(n)
}

// certainPosition reads a position without doubt.
func (r *reader) certainPosition(n *node) Position {
	text, ok := n.leaf.(string)
	if !ok {
		return Position(r.quantity(n, quantity.KindFraction, field{}))
	}
	position, err := ParsePosition(text, r.system)
	switch {
	case err != nil:
		r.unitError(n, quantity.KindFraction, field{}, err)
	case position < 0 || position > 1:
		r.fail(n.value, `write "0 %" (shut) to "100 %" (open), or "0 deg from shut" to "90 deg from shut"`,
			"%q is outside the travel of a blade", text)
	default:
		return position
	}
	return 0
}
