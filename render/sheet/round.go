package sheet

import (
	"strconv"
	"strings"

	"spillway/render/internal/doc"
)

// apportion is doc.Apportion, for the account of JSON and CSV.
func apportion(parts []float64, quantum float64) (whole []int64, sum int64) {
	return doc.Apportion(parts, quantum)
}

// decimal prints whole·10⁻ᵖˡᵃᶜᵉˢ exactly, without trailing zeros.
func decimal(whole int64, places int) string {
	digits := strconv.FormatInt(whole, 10)
	sign := ""
	if whole < 0 {
		sign, digits = "-", digits[1:]
	}
	if len(digits) <= places {
		digits = strings.Repeat("0", places-len(digits)+1) + digits
	}
	point := len(digits) - places
	fraction := strings.TrimRight(digits[point:], "0")
	if fraction != "" {
		fraction = "." + fraction
	}
	return sign + digits[:point] + fraction
}
