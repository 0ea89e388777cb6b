package catalog

import "math"

// ConvergingBranch returns K and dK/dq from the branch into the combined leg, on the combined leg's velocity pressure:
//
//	K = A (1 + v² - 2 (1-q)²/s - 2 (q²/a) cos α) + K_b
//
// Idelchik, section 7, and TP-410 (identical there): s = 1,
//
//	A = 1 (a <= 0.35);  0.9(1-q) (a > 0.35, q <= 0.4);  0.55 above
//
// and for a run so much smaller that A_s + A_b = A_c, A = 1 with the additions K_b for 60 and 90 degrees (Idelchik 1960).
// Between the two, and for every other s, A and K_b go evenly with (1-s)/a. K = 1 - 2/s at q = 0: the dead branch sees the
// static pressure of the run. A run larger than the combined leg, of which nothing is printed, is taken as one of its
// size: the dead branch then sees the static pressure of the combined leg.
func (j *Junction) ConvergingBranch(q, a, s float64) (k, slope float64) {
	q, a, s = clampSplit(q, a, min(s, 1))
	v := q / a
	switch j.Form {
	case StillAirBox:
		return v*v + flushEntry, 2 * v / a
	case Bullhead:
		return JoinOpposed(q, a)
	}
	cos := cosine(j.ConvergingAngle)
	p := 1 - q
	shape := 1 + v*v - 2*p*p/s - 2*q*q/a*cos
	shapeSlope := 2*v/a + 4*p/s - 4*q/a*cos
	united := unitedShare(a, s)
	factor, factorSlope := convergingFactor(q, a)
	factor, factorSlope = factor+united*(1-factor), factorSlope*(1-united)
	return factor*shape + united*unitedBranch(j.ConvergingAngle, a)*rise(q),
		factor*shapeSlope + factorSlope*shape + united*unitedBranch(j.ConvergingAngle, a)*riseSlope(q)
}

// ConvergingRun returns K and dK/dq from the straight run into the combined leg, on the combined leg's velocity pressure.
//
//	90 degrees   K = 1.55 q - q²
//	below        K = 1 - (1-q)² - (1.4-q) q² sin α - 2 K_st (q/a) cos α
//	             K_st = 0.8q (a <= 0.35); 0.5 (a > 0.35, q <= 0.6), 0.8q above
//
// for s = 1 (TP-410 and Idelchik, 3rd ed. 2006; three of four published sets put the slanted run below the older form in
// the middle of the range). A run of another size adds the change of section of its own stream,
//
//	(1-q)² change
//
// where change is the catalogue's loss of the transition between run and combined leg, on the velocity pressure of the
// combined leg with all the air in the run: the sudden expansion (1/s - 1)² is the one that Idelchik's form for
// A_s + A_b = A_c has in it. There the older form
//
//	K = 1 - (1-q)² - 2 (q²/a) cos α + K_s
//
// takes the place of the first (Idelchik 1960), evenly with (1-s)/a in between. K_st at q = 0 is led to 0, so K = change
// there.
func (j *Junction) ConvergingRun(q, a, s, change float64) (k, slope float64) {
	q, a, s = clampSplit(q, a, s)
	p := 1 - q
	switch j.Form {
	case StillAirBox:
		x := p / s
		return x*x + flushEntry, -2 * x / s
	case Bullhead:
		k, slope = JoinOpposed(p, s)
		return k, -slope
	}
	k, slope = runSameSize(j.ConvergingAngle, q, a)
	if united := unitedShare(a, s); united > 0 {
		old, oldSlope := runUnited(j.ConvergingAngle, q, a)
		k, slope = k+united*(old-k), slope+united*(oldSlope-slope)
	}
	return k + p*p*change, slope - 2*p*change
}

// SplitFromBranch returns K and dK/de of air that enters by the branch and leaves by both ends of the main, from the
// branch to one end,
//
//	K = 1 + 0.3 (V_e/V_c)²,
//
// on the velocity pressure of the branch, which is the combined leg here. e is the end's share of the flow, ratio its
// area over that of the branch. FDBR handbook and Idelchik, for a smooth or welded tee (seen second-hand).
func SplitFromBranch(e, ratio float64) (k, slope float64) {
	e, ratio, _ = clampSplit(e, ratio, 1)
	v := e / ratio
	return 1 + splitSquare*v*v, 2 * splitSquare * v / ratio
}

// splitSquare is the constant of a smooth or welded tee; a threaded one has 1.5.
const splitSquare = 0.3

// JoinOpposed returns K and dK/de of air that enters by both ends of the main and leaves by the branch, from one end to
// the branch,
//
//	K = 1 + r² + 3 r² (e² - e),   r = A_c/A_e,
//
// on the velocity pressure of the branch, which is the combined leg here. e is the end's share of the flow, ratio = A_e/A_c
// its area over that of the branch. Idelchik, diagram 7-29 (seen second-hand).
func JoinOpposed(e, ratio float64) (k, slope float64) {
	e, ratio, _ = clampSplit(e, ratio, 1)
	r := 1 / (ratio * ratio)
	return 1 + r + 3*r*(e*e-e), 3 * r * (2*e - 1)
}

// convergingFactor is A of Idelchik's converging branch, led to 1 at q = 0.
func convergingFactor(q, a float64) (factor, slope float64) {
	if a <= narrowBranch {
		return 1, 0
	}
	factor, slope = blend(q, 0.4, 0.9*(1-q), -0.9, 0.55, 0)
	return fromOne(q, factor, slope)
}

// runSameSize is the loss of a run of the main's size.
func runSameSize(angle, q, a float64) (k, slope float64) {
	if angle >= 90 {
		return 1.55*q - q*q, 1.55 - 2*q
	}
	drag, dragSlope := 0.8*q, 0.8
	if a > narrowBranch {
		drag, dragSlope = blend(q, 0.6, 0.5, 0, 0.8*q, 0.8)
	}
	sin, cos := sine(angle), cosine(angle)
	p := 1 - q
	k = 1 - p*p - (1.4-q)*q*q*sin - 2*drag*q/a*cos
	slope = 2*p - (2.8*q-3*q*q)*sin - 2*(drag+q*dragSlope)/a*cos
	return k, slope
}

// runUnited is the loss of the run where A_s + A_b = A_c, without the expansion of its stream.
func runUnited(angle, q, a float64) (k, slope float64) {
	p := 1 - q
	cos := cosine(angle)
	added := 0.0
	if angle == 45 {
		added = linear(unitedRatios[:], unitedRun45[:], a)
	}
	return 1 - p*p - 2*q*q/a*cos + added*rise(q), 2*p - 4*q/a*cos + added*riseSlope(q)
}

// unitedShare is 0 for a run of the main's size and 1 where A_s + A_b = A_c or the run is smaller still.
func unitedShare(a, s float64) float64 { return min(max((1-s)/a, 0), 1) }

// Additions for A_s + A_b = A_c, Idelchik 1960, by a.
var (
	unitedRatios   = [...]float64{0.06, 0.1, 0.2, 0.33, 0.5}
	unitedBranch90 = [...]float64{0, 0, 0.1, 0.2, 0.25}
	unitedBranch60 = [...]float64{0, 0, 0, 0, 0.1}
	unitedRun45    = [...]float64{0, 0.05, 0.14, 0.14, 0.3}
)

func unitedBranch(angle, a float64) float64 {
	switch angle {
	case 90:
		return linear(unitedRatios[:], unitedBranch90[:], a)
	case 60:
		return linear(unitedRatios[:], unitedBranch60[:], a)
	}
	return 0
}

// rise lets an addition set in with the branch flow, so that the dead branch keeps its limit.
func rise(q float64) float64      { w, _ := smoothStep(q, 0, deadWidth); return w }
func riseSlope(q float64) float64 { _, dw := smoothStep(q, 0, deadWidth); return dw }

// cosine and sine of whole angles in degrees, exact where the formula's table is.
func cosine(degrees float64) float64 {
	if degrees == 90 {
		return 0
	}
	return math.Cos(degrees * math.Pi / 180)
}

func sine(degrees float64) float64 { return math.Sin(degrees * math.Pi / 180) }
