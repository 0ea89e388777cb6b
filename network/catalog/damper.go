package catalog

import "math"

// BladeKind is how the blade of a damper is built.
type BladeKind uint8

// The kinds of blade that have tables.
const (
	RoundBlade BladeKind = iota
	RectangularBlade
	ParallelBlades
	OpposedBlades
)

// Blade is a row of damper blades.
type Blade struct {
	Row
	Kind BladeKind
}

// LookupBlade returns the blade of that name: "round", "rectangular" (one blade), "parallel", "opposed".
func LookupBlade(name string) (Blade, bool) { return find(blades, name) }

// BladeAngle turns percent open, as people say it, into degrees from open, as the tables say it:
//
//	θ = 90 (1 - percent/100)
func BladeAngle(percentOpen float64) float64 { return 90 * (1 - percentOpen/100) }

// PercentOpen is the inverse of BladeAngle.
func PercentOpen(theta float64) float64 { return 100 * (1 - theta/90) }

// Setting is what besides the angle decides the loss of a damper. The zero value is a damper as the table has it, with
// the default leakage.
type Setting struct {
	// ClosedZeta is the loss of the gaps round the shut blade, on the duct's velocity pressure: see LeakZeta and
	// LookupDamperLeakage. 0 means the default, LeakZeta(DefaultDamperLeakage); +Inf means no leak, and then Zeta at 90
	// degrees is +Inf (round blades smaller than the duct excepted).
	ClosedZeta float64
	// OpenZeta replaces the table's loss fully open; 0 keeps the table's.
	OpenZeta float64
	// BladeRatio is the diameter of a round blade over that of the duct, 0.5 to 1; 0 means 1.
	BladeRatio float64
	// Proportion is H/W of the duct for a rectangular blade (0 means 1), and N W / (2 (H + W)) for N parallel or
	// opposed blades of length W (0.3 to 1.5; 0 means BladeProportion).
	Proportion float64
	// BladeFactor multiplies the loss of the blade but not that of the gaps round it, for studies of what its table is
	// uncertain by; 0 means 1.
	BladeFactor float64
}

// BladeProportion is N W / (2 (H + W)) of parallel and opposed blades when nobody says: two blades of 12 in. in a duct of
// 12x10 in. have 0.55. Our choice; with it the opposed table lies within 30 % of the law of 825-RP from 20 to 60 degrees.
const BladeProportion = 0.5

// RegisterBladeProportion is the same for the close-set opposed blades in the neck of a register, some eight of 4 in. in a
// neck of 10x4 in. Our choice.
const RegisterBladeProportion = 1.0

// Zeta returns the loss coefficient of a damper at theta degrees from open (0 to 90, held to that range), on the
// velocity pressure of the duct it fills. It rises strictly with theta and has a continuous slope.
//
// The tables are interpolated in ln ζ by a monotone cubic. Past the last entry the blade's share of the flow,
// 1/sqrt(ζ), goes down to nothing at 90 degrees along a cubic that is flat there, as the gap between a disc and its
// duct does. The leak is in parallel with the blade at every angle:
//
//	1/sqrt(ζ) = 1/sqrt(ζ_blade) + 1/sqrt(ζ_closed)
//
// How far tables and installations scatter is BladeDeviation.
func Zeta(kind BladeKind, theta float64, s Setting) float64 {
	theta = min(max(theta, 0), 90)
	leak := s.ClosedZeta
	if leak <= 0 {
		leak = LeakZeta(DefaultDamperLeakage)
	}
	conductance := bladeConductance(kind, theta, s)
	if s.OpenZeta > 0 && conductance > 0 {
		open := bladeConductance(kind, 0, s)
		conductance = 1 / math.Sqrt(s.OpenZeta+1/(conductance*conductance)-1/(open*open))
	}
	if s.BladeFactor > 0 {
		conductance /= math.Sqrt(s.BladeFactor)
	}
	conductance += 1 / math.Sqrt(leak)
	return 1 / (conductance * conductance)
}

// bladeConductance is 1/sqrt(ζ) of the blade alone: the flow it passes for a unit of √Δp.
func bladeConductance(kind BladeKind, theta float64, s Setting) float64 {
	switch kind {
	case RectangularBlade:
		return tableConductance(rectangularAngles[:], rectangularRow(s.Proportion), theta)
	case ParallelBlades:
		return multiBladeConductance(&parallelZeta, theta, s.Proportion)
	case OpposedBlades:
		return multiBladeConductance(&opposedZeta, theta, s.Proportion)
	default:
		return roundConductance(theta, s.BladeRatio)
	}
}

// tableConductance reads a row of ln ζ, and ends it at 90 degrees as Zeta says.
func tableConductance(angles, zetas []float64, theta float64) float64 {
	last := len(angles) - 1
	y, slope := logMonotone(angles, zetas, min(theta, angles[last]))
	conductance := math.Exp(-y / 2)
	if theta <= angles[last] {
		return conductance
	}
	conductance, _ = hermite(theta, angles[last], 90, conductance, 0, -slope/2*conductance, 0)
	return max(conductance, 0)
}

// multiBladeConductance goes between the rows of a table in equal ratios of ζ.
func multiBladeConductance(table *[len(bladeProportions)][9]float64, theta, proportion float64) float64 {
	if proportion <= 0 {
		proportion = BladeProportion
	}
	i, t := position(bladeProportions[:], proportion)
	low := tableConductance(bladeAngles[:], table[i][:], theta)
	high := tableConductance(bladeAngles[:], table[i+1][:], theta)
	if t == 0 || low == 0 {
		return low
	}
	return geometric(low, high, t)
}

// roundConductance reads the table of a round blade, and between blades of two sizes goes evenly with the area that
// the blade covers, since what is added is the ring round it.
func roundConductance(theta, ratio float64) float64 {
	if ratio <= 0 || ratio > 1 {
		ratio = 1
	}
	rows := len(ringRatios)
	i, t := position(ringRatios[:], ratio)
	if ratio > ringRatios[rows-1] {
		ring := ringConductance(rows-1, theta)
		full := tableConductance(roundAngles[:], roundZeta[:], theta)
		return ring + (full-ring)*areaShare(ringRatios[rows-1], 1, ratio)
	}
	low, high := ringConductance(i, theta), ringConductance(i+1, theta)
	if t == 0 {
		return low
	}
	return low + (high-low)*areaShare(ringRatios[i], ringRatios[i+1], ratio)
}

func areaShare(a, b, x float64) float64 {
	x = max(x, a)
	return (x*x - a*a) / (b*b - a*a)
}

func ringConductance(row int, theta float64) float64 {
	y, _ := logMonotone(ringAngles[:], ringZeta[row][:], theta)
	return math.Exp(-y / 2)
}

// rectangularRow chooses the row of the single rectangular blade by H/W; the table prints three classes.
func rectangularRow(proportion float64) []float64 {
	switch {
	case proportion > 1:
		return rectangularZeta[2][:]
	case proportion > 0 && proportion < 0.25:
		return rectangularZeta[0][:]
	}
	return rectangularZeta[1][:]
}
