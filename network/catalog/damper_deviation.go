package catalog

import "math"

// installationDeviation of ln ζ is what a damper near a fitting may differ from one in a straight duct: ±30 %. Our choice;
// RP-1157 (abstract) found that the installation matters and prints no figure there.
const installationDeviation = 0.26

// How far the sets of one blade differ, as standard deviations of ln ζ: to 50 degrees four sets of thin blades and one of a
// valve disc agree, from 60 on the gap round the blade decides. Computed from the sets that the tests hold the tables to;
// 0 degrees and those from 75 on are our choice.
var (
	deviationAngles = [...]float64{0, 10, 20, 50, 60, 70, 75}
	deviationTable  = [len(deviationAngles)]float64{0.35, 0.35, 0.15, 0.15, 0.20, 0.40, 0.60}
)

// BladeDeviation returns one standard deviation of ln ζ of a blade theta degrees from open (held to 0 to 90), the gaps round
// it left out: what the tables differ by and what the installation adds,
//
//	s = sqrt(s_table² + 0.26²)
//
// 0.44 open, 0.30 from 20 to 50 degrees, 0.48 at 70. How far the blade stands from where it should is not in it; three
// degrees more or less add 0.3 to 60 degrees, 0.6 at 70 and 0.8 from 75 on.
func BladeDeviation(theta float64) float64 {
	last := len(deviationAngles) - 1
	table := deviationTable[last]
	if theta < deviationAngles[last] {
		i, t := position(deviationAngles[:], theta)
		table = deviationTable[i] + t*(deviationTable[i+1]-deviationTable[i])
	}
	return math.Hypot(table, installationDeviation)
}
