package quantity

import (
	"math"
	"strings"
)

// Suffix ends the JSON key of a number of this kind, "_cfm"; "" where no key names the unit.
func (k Kind) Suffix(s System) string { return k.shown(s).suffix }

// SI is the unit in which a number of this kind enters an equation, "m³/s"; "" of a pure number.
func (k Kind) SI() string { return k.row().si }

// Factor and Offset turn a printed number into SI: number × factor + offset.
func (k Kind) Factor(s System) float64 { return k.shown(s).factor }

// Offset is the SI value of zero units; only temperatures have one.
func (k Kind) Offset(s System) float64 { return k.shown(s).offset }

// Difference is the kind of a difference between two values of this kind.
func (k Kind) Difference() Kind {
	if k == KindTemperature {
		return KindTemperatureSpan
	}
	return k
}

// Rounded is how many decimals a result of this kind is printed with.
func (k Kind) Rounded(s System) int { return k.Decimals(s) - k.row().coarser[s.index()] }

// Number prints an SI value without its unit, with thousands grouped: "1,070". A number that does
// not apply (NaN, infinite) is "-".
func (k Kind) Number(si float64, s System) string { return k.NumberTo(si, s, k.Rounded(s)) }

// NumberTo prints as Number does, with that many decimals.
func (k Kind) NumberTo(si float64, s System, decimals int) string {
	v := k.In(si, s)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Absent
	}
	return Grouped(Fixed(v, decimals))
}

// Absent is printed for a number that does not apply.
const Absent = "-"

// Excess returns how far value is past limit, as a share of a scale: the limit itself, or 10 K of a
// temperature and 10 NC of a noise, neither of which has a meaningful zero. It is negative on the
// good side and NaN without a limit. Both arguments are SI; atLeast says that less is worse.
func (k Kind) Excess(value, limit float64, atLeast bool) float64 {
	scale := k.row().scale
	if scale == 0 {
		scale = math.Abs(limit)
	}
	if scale == 0 {
		scale = 10
	}
	if atLeast {
		return (limit - value) / scale
	}
	return (value - limit) / scale
}

// Grouped puts commas between the thousands of a printed number.
func Grouped(number string) string {
	sign := ""
	if strings.HasPrefix(number, "-") {
		sign, number = "-", number[1:]
	}
	whole, rest, _ := strings.Cut(number, ".")
	if rest != "" {
		rest = "." + rest
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	return sign + whole + rest
}

// shown is the unit that is printed.
func (k Kind) shown(s System) unit {
	row := k.row()
	if len(row.units) == 0 {
		return unit{factor: 1}
	}
	return row.units[row.bare[s.index()]]
}
