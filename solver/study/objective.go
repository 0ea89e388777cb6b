package study

import (
	"math"

	"spillway/network/quantity"
)

// aim is one of the numbers that a priority wants near zero.
type aim struct {
	value float64
	rest  bool // counts only between settings that are as good as equal in the others
}

// heard is the lowest noise that makes a difference, NC: the lowest of the curves. Rooms are never as quiet. driftAgainstNoise says how
// much drift is worth a step of noise that nobody hears, NC for each K/s: 10 °F/h for 1 NC (both our choice).
const (
	heard             = 15.0
	driftAgainstNoise = 1.0 / (10 * quantity.FahrenheitDeg / 3600)
)

// objective reads off a call state what a priority wants near zero, each part a number that moves one way only with a setting: of every
// register, of every satisfied zone. Where nothing is known of noise, the velocities of registers stand for it.
func (p Priority) objective(as *Report) func(*StateReport, []Measure) []aim {
	name := map[Priority]string{Quiet: "register noise", Comfort: "zone drift", Static: "external static"}[p]
	quiet := p == Quiet && as.has(name)
	if p == Quiet && !quiet {
		name = "register velocity"
	}
	return func(r *StateReport, measures []Measure) (parts []aim) {
		power, share := math.NaN(), math.NaN()
		for m := range measures {
			x := r.Values[m]
			switch measures[m].Name {
			case name:
				if quiet {
					x = max(x, heard) // NaN stays NaN
				}
				parts = append(parts, aim{value: x})
			case "zone drift":
				if quiet {
					parts = append(parts, aim{x * driftAgainstNoise, true})
				}
			case "blower power":
				power = x
			case "delivered share":
				share = x
			}
		}
		if p == Energy {
			return []aim{{value: power / share}}
		}
		return parts
	}
}

// together puts the sizes of the parts of an objective together: their mean for energy, else the largest, and the largest of the rest
// on top. A part that does not apply counts for nothing. What differs by less than the solutions themselves are sure of is the same: six digits
// count, so that of settings that serve alike always the same is found, whatever solutions set out from.
func (p Priority) together(parts []aim) float64 {
	sum, most, rest, n := 0.0, 0.0, 0.0, 0
	for _, x := range parts {
		switch size := math.Abs(x.value); {
		case math.IsNaN(size):
		case x.rest:
			rest = max(rest, size)
		default:
			sum, most, n = sum+size, max(most, size), n+1
		}
	}
	if p == Energy {
		return sixDigits(sum / float64(max(n, 1)))
	}
	return sixDigits(most + rest)
}

// sixDigits rounds to six significant digits.
func sixDigits(v float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	scale := math.Pow(10, 5-math.Floor(math.Log10(math.Abs(v))))
	return math.Round(v*scale) / scale
}

// has tells whether a measure applies anywhere.
func (p *Report) has(name string) bool {
	for i := range p.States {
		for m := range p.Measures {
			if p.Measures[m].Name == name && !math.IsNaN(p.States[i].Values[m]) {
				return true
			}
		}
	}
	return false
}
