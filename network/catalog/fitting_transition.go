package catalog

import (
	"math"

	"spillway/network/section"
)

// DefaultTransitionAngle is the angle between the walls of a transition named without one, degrees. Our choice.
const DefaultTransitionAngle = 30.0

// Contraction, by A_up/A_down and the angle between the walls, on the DOWNSTREAM velocity pressure: duct design manual of
// 1990, Table 14-12. The printed bands (up to 10, 15 to 40, 50 to 60 degrees) are flat.
var (
	contractionRatios = [...]float64{2, 4, 6, 10}
	contractionAngles = [...]float64{10, 15, 40, 50, 60, 90, 120, 150, 180}
	contractionLoss   = [len(contractionRatios)][len(contractionAngles)]float64{
		{0.05, 0.05, 0.05, 0.06, 0.06, 0.12, 0.18, 0.24, 0.26},
		{0.05, 0.04, 0.04, 0.07, 0.07, 0.17, 0.27, 0.35, 0.41},
		{0.05, 0.04, 0.04, 0.07, 0.07, 0.18, 0.28, 0.36, 0.42},
		{0.05, 0.05, 0.05, 0.08, 0.08, 0.19, 0.29, 0.37, 0.43},
	}
)

// The smallest printed loss of a contraction (Handbook of Fundamentals 2021 (SI), chapter 21, Example 8: 225 to 200 mm, an
// area ratio of 1.27, C = 0.04), and the area ratio by which it is reached.
const (
	contractionFloor = 0.04
	floorRatio       = 1.25
)

// contraction reads the table; below its first row, from A_up/A_down = 2 to 1, the loss falls as Idelchik's sudden
// contraction does (diagram 4-9),
//
//	C ∝ (1 - A_down/A_up)^0.75,
//
// but not under 0.04, which itself goes to nothing between 1.25 and 1.
func contraction(ratio, angle float64) float64 {
	if ratio < contractionRatios[0] {
		shape := math.Pow((1-1/ratio)/(1-1/contractionRatios[0]), 0.75)
		floor := contractionFloor * min((ratio-1)/(floorRatio-1), 1)
		return max(shape*linear(contractionAngles[:], contractionLoss[0][:], angle), floor)
	}
	i, t := position(contractionRatios[:], ratio)
	low := linear(contractionAngles[:], contractionLoss[i][:], angle)
	high := linear(contractionAngles[:], contractionLoss[i+1][:], angle)
	return low + t*(high-low)
}

func contractionNote(ratio float64) string {
	if ratio > contractionRatios[len(contractionRatios)-1] {
		return "contraction beyond the table: nearest printed value"
	}
	return ""
}

// flatDiffuser multiplies the loss of a conical expansion where either section is not round. Idelchik gives 4 to 6 for a
// pyramid against 3.2 for a cone, from memory.
const flatDiffuser = 5 / 3.2

// expansion is the loss on the UPSTREAM (smaller) velocity pressure, ratio = A_down/A_up: a sudden one by Borda and Carnot,
//
//	C = (1 - A_up/A_down)²,
//
// a gradual one by Rennels (Pipe Flow, conical diffuser) without its friction, b² = A_up/A_down, α between the walls:
//
//	α <= 20        8.30 tan(α/2)^1.75 (1 - b²)²
//	20 .. 60       {1.366 sqrt(sin 2(α-15)) - 0.170 - z sqrt((α-20)/40)} (1 - b²)²
//	60 .. 180      {1.205 - z - u sqrt((α-60)/120)} (1 - b²)²
//
// where for b >= 0.5 z = 0 and u = 0.20, and for b < 0.5 z = 3.28 (0.0625 - b⁴) and u = 12.8 b⁶ (from memory; they give
// the published value at b = 1/3 and 50 degrees). Sections that are not round lose flatDiffuser times as much, up to the
// sudden expansion at 60 degrees and more. The friction of the cone belongs to the length of the duct.
func expansion(ratio, angle float64, upstream, downstream section.Section) float64 {
	n := 1 / ratio
	sudden := (1 - n) * (1 - n)
	if angle >= 180 {
		return sudden
	}
	c := gradualExpansion(n, angle) * sudden
	if upstream.Shape == section.Round && downstream.Shape == section.Round {
		return c
	}
	return max(c, min(c*flatDiffuser, sudden))
}

func gradualExpansion(n, angle float64) float64 {
	radians := angle * math.Pi / 180
	z, u := 0.0, 0.20
	if n < 0.25 {
		z, u = 3.28*(0.0625-n*n), 12.8*n*n*n
	}
	switch {
	case angle <= 20:
		return 8.30 * math.Pow(math.Tan(radians/2), 1.75)
	case angle <= 60:
		return 1.366*math.Sqrt(math.Sin(2*(radians-math.Pi/12))) - 0.170 - z*math.Sqrt((angle-20)/40)
	}
	return 1.205 - z - u*math.Sqrt((angle-60)/120)
}
