package study

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/zoning"
)

// aim is one of the numbers that a priority wants near zero.
type aim struct {
	value float64
	kind  aimKind
}

// aimKind says how a part of an objective is put together with the others.
type aimKind uint8

const (
	plainAim  aimKind = iota
	restAim           // counts only between settings that are equal in the others within round-off
	lostAim           // share of a call that does not reach its callers
	staticAim         // Pa
	noiseAim          // NC
)

// heard is the lowest noise that makes a difference, NC: the lowest of the curves. Rooms are never as quiet. driftAgainstNoise says how
// much drift is worth a step of noise that nobody hears, NC for each K/s: 10 °F/h for 1 NC (both our choice).
const (
	heard             = 15.0
	driftAgainstNoise = 1.0 / (10 * quantity.FahrenheitDeg / 3600)
)

// objective reads off a call state what a priority wants near zero, each part a number that moves one way only with a setting: of every
// register, of every satisfied zone. Where nothing is known of noise, the velocities of registers stand for it.
func (p Priority) objective(as *Report) func(*StateReport, []Measure) []aim {
	if p == Least || p == Comfort {
		return leastAims
	}
	name := map[Priority]string{Quiet: "register noise", Static: "external static"}[p]
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
					parts = append(parts, aim{zoning.Past(r.State.Mode, x) * driftAgainstNoise, restAim})
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

// leastAims are what least opening looks at: the part of the call that is lost, then static, then noise.
func leastAims(r *StateReport, measures []Measure) (parts []aim) {
	for m := range measures {
		switch x := r.Values[m]; measures[m].Name {
		case "delivered share":
			parts = append(parts, aim{1 - x, lostAim})
		case "external static":
			parts = append(parts, aim{x, staticAim})
		case "loudest register":
			parts = append(parts, aim{max(x, heard), noiseAim})
		}
	}
	return parts
}

// together puts the sizes of the parts of an objective together: their mean for energy, else the largest, and the largest of the rest
// on top. A part that does not apply counts for nothing. What differs by less than the solutions themselves are sure of is the same: six digits
// count, so that of settings that serve alike always the same is found, whatever solutions set out from.
func (p Priority) together(parts []aim) float64 {
	if p == Least || p == Comfort {
		return lexical(parts)
	}
	sum, most, rest, n := 0.0, 0.0, 0.0, 0
	for _, x := range parts {
		switch size := math.Abs(x.value); {
		case math.IsNaN(size):
		case x.kind == restAim:
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

// lexical puts four numbers into one that orders as they do one after the other: the worst part of a call that is lost, in thousandths;
// the mean of it, in hundred-thousandths; the greatest static, in Pa; the loudest register, in 2 NC. All are whole numbers below 2⁵³
// together, so that the order is exact, and each grows with its part, so that the least of each part bounds the whole.
func lexical(parts []aim) float64 {
	worst, sum, n, static, noise := 0.0, 0.0, 0, 0.0, 0.0
	for _, x := range parts {
		if math.IsNaN(x.value) {
			continue
		}
		switch x.kind {
		case lostAim:
			worst, sum, n = max(worst, x.value), sum+x.value, n+1
		case staticAim:
			static = max(static, x.value)
		case noiseAim:
			noise = max(noise, x.value)
		}
	}
	digit := func(x, step, most float64) float64 { return math.Round(min(max(x/step, 0), most-1)) }
	v := digit(worst, 1e-3, 2e3)
	v = v*2e5 + digit(sum/float64(max(n, 1)), 1e-5, 2e5)
	v = v*1e3 + digit(static, 1, 1e3)
	return v*50 + digit(noise, 2, 50)
}

// tolerance is the part of an objective below which two settings serve a priority equally well.
func (p Priority) tolerance() float64 {
	if p == Least || p == Comfort {
		return 0
	}
	return indifferent
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
