package sheet

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// apportion rounds parts to whole multiples of a quantum so that they add up to their rounded sum. This is the method of
// largest remainders: every part is rounded down, then the units that are missing go to the parts that lost most. No part moves by
// as much as one quantum, an exact multiple stays as it is, and equal remainders go by order, so that the same parts
// always round the same way.
//
// It returns the parts and their sum in quanta. A part or quantum that is not finite gives zeros.
func apportion(parts []float64, quantum float64) (whole []int64, sum int64) {
	whole = make([]int64, len(parts))
	total := 0.0
	for _, p := range parts {
		total += p / quantum
	}
	if math.IsNaN(total) || math.Abs(total) > 1<<52 {
		return whole, 0
	}
	order := make([]int, len(parts))
	remainder := make([]float64, len(parts))
	var floors int64
	for i, p := range parts {
		q := p / quantum
		if nearest := math.Round(q); math.Abs(q-nearest) < exactShare*max(1, math.Abs(total)) {
			q = nearest // an exact multiple but for the last bits
		}
		floor := math.Floor(q)
		order[i], remainder[i], whole[i] = i, q-floor, int64(floor)
		floors += int64(floor)
	}
	sum = int64(math.Round(total))
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(remainder[b], remainder[a]) })
	for missing := sum - floors; missing > 0 && len(order) > 0; missing-- {
		whole[order[0]]++
		order = order[1:]
	}
	// Only noise in the last bits can leave the floors above the sum; the smallest remainder pays.
	for i := len(order) - 1; i >= 0 && sum < floors; i, floors = i-1, floors-1 {
		whole[order[i]]--
	}
	return whole, sum
}

// exactShare is how far, relative to the whole, a part may be from a multiple of the quantum and still count as one: some
// units in the last place of a float64.
const exactShare = 1e-13

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
