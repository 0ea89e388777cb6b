package catalog

import "math"

// Junction is a kind of tee, wye, tap or box: the constants of its losses, which follow the way the flow splits.
//
// Notation of all methods: c is the combined leg, b the branch, s the straight run;
//
//	q = Q_b/Q_c   0 to 1, held to that range
//	a = A_b/A_c   area of the branch over that of the combined leg
//	s = A_s/A_c   area of the run over that of the combined leg, 1 for a run of constant size
//
// and v = q/a and x = (1-q)/s are the velocities of branch and run over that of the combined leg. Every method returns
// the loss of total pressure on the way between the combined leg and the leg that it names, over the velocity pressure
// of the COMBINED leg, and its slope dK/dq at constant a and s. K may be negative where one stream drags the other; a
// negative K is real and is not to be clamped. K and its slope are finite at q = 0 and q = 1 and continuous between:
// printed formulas that jump are led from one piece to the next over blendWidth, starting at the printed limit, so that
// values at and below the limit are those printed.
//
// Uncertainty: for a sharp tee the published sets differ by about 0.2 between themselves, less at the ends.
//
// Where run and main differ in size, the piece between them belongs to the junction: the methods of the run take its loss
// and charge it to the run's own flow, once. SuddenChange is that of a plain step.
//
// With every leg of a leg's role reversed other formulas hold: see SplitFromBranch and JoinOpposed.
type Junction struct {
	Row // Source is that of the diverging branch

	// RunSource is the source of the diverging run, JoinSource that of both converging legs.
	RunSource, JoinSource Source
	// Angle between branch and main where the flow divides, and where it joins, degrees.
	DivergingAngle, ConvergingAngle float64
	// Linear and Square are k1 and k2 in K = A'(1 - k1 v + k2 v²) of the diverging branch.
	Linear, Square float64
	// Correction is true where A' is Idelchik's function of q and a, false where it is 1.
	Correction bool
	// Run is the form of the diverging run.
	Run RunForm
	// Form tells tees and wyes from kinds whose two far legs are alike.
	Form JunctionForm
}

// RunForm is the form of the loss of the straight run where the flow divides.
type RunForm uint8

const (
	// RunTee is Idelchik's τ q², with the loss of a reducer where the run is smaller than the main.
	RunTee RunForm = iota
	// RunTakeoff is our fit to the handbook's duct fittings.
	RunTakeoff
)

// JunctionForm tells how the legs of a junction lie.
type JunctionForm uint8

const (
	// SideBranch is a main that goes straight on with a branch at its side.
	SideBranch JunctionForm = iota
	// Bullhead is a stem whose air goes to two opposite ends, or comes from them.
	Bullhead
	// StillAirBox is a plenum: what enters gives up its velocity pressure, what leaves starts from rest.
	StillAirBox
)

// LookupJunction returns the kind of junction of that name.
func LookupJunction(name string) (Junction, bool) { return find(junctions, name) }

// The flow share over which formulas that jump are led from piece to piece, and over which A' and A go to 1 at q = 0:
// the dead branch then sees the static pressure of the main, K = 1 where the flow divides and -1 where it joins, and the
// two agree at the change of sign of the branch flow.
const (
	blendWidth = 0.04
	deadWidth  = 0.05
)

// minRatio keeps area ratios away from zero.
const minRatio = 0.01

func clampSplit(q, a, s float64) (float64, float64, float64) {
	return min(max(q, 0), 1), max(a, minRatio), max(s, minRatio)
}

// DivergingBranch returns K and dK/dq from the combined leg into the branch, on the combined leg's velocity pressure:
//
//	K = A'(q, a) (1 - k1 v + k2 v²)
//
// with k1 = 2 cos α, k2 = 1 for wyes up to 60 degrees (Idelchik, section 7), k1 = 0, k2 = 0.3 and A' = 1 for a plain
// 90-degree tee (TP-410, without its factor for equal legs, which the handbook's point for duct tees does not support).
// K = 1 at q = 0 for every kind but the box.
func (j *Junction) DivergingBranch(q, a float64) (k, slope float64) {
	q, a, _ = clampSplit(q, a, 1)
	v := q / a
	if j.Form == StillAirBox {
		return boxOut(v, 1/a)
	}
	shape := 1 - j.Linear*v + j.Square*v*v
	shapeSlope := (-j.Linear + 2*j.Square*v) / a
	if !j.Correction {
		return shape, shapeSlope
	}
	factor, factorSlope := divergingFactor(q, a)
	return factor * shape, factor*shapeSlope + factorSlope*shape
}

// DivergingRun returns K and dK/dq from the combined leg into the straight run, on the combined leg's velocity pressure.
//
//	RunTee      K = τ q² + 0.14 x² w      τ = 0.4 (a <= 0.4), else 2(2q-1) up to q = 0.5 and 0.3(2q-1) above
//	RunTakeoff  K = 0.13 x² + 0.75 max(0, 1-2x)² + 0.01      x held to 0.125 and more in the second term
//
// τ is Idelchik's for a run of the main's size; w goes from 0 at s = 1 to 1 at s = 0.9 and stands for the reducer that a
// smaller run has. RunTakeoff is our fit to the handbook's points for duct takeoffs (x from 0.5 to 1.16) and to the low
// end of its table as remembered, which ends at x = 0.125: a dead run keeps the 0.43 of there (published ones: 0.30 and
// 0.40 Idelchik, 0.58 FDBR, 0.35 Gardel and 0.50 by the theory of separation, both from memory). For a Bullhead it is
// DivergingBranch of the other leg.
//
// change is the catalogue's loss of the reducer or transition between main and run, on the velocity pressure of the run
// with all the air in it (0 for a run of the main's size). The forms have a reducer in them, so it takes their place
// only where the branch is dead, K = change x² at q = 0, and is led to them over deadWidth; a run that widens has it all
// the way, for the forms know of none.
func (j *Junction) DivergingRun(q, a, s, change float64) (k, slope float64) {
	q, a, s = clampSplit(q, a, s)
	x, dx := (1-q)/s, -1/s
	switch j.Form {
	case StillAirBox:
		return boxOut(x, dx)
	case Bullhead:
		return 1 - j.Linear*x + j.Square*x*x, (-j.Linear + 2*j.Square*x) * dx
	}
	bare, bareSlope := change*x*x, 2*change*x*dx
	k, slope = j.takeoffRun(q, a, s)
	if s > 1 {
		k, slope = k+bare, slope+bareSlope
	}
	w, dw := smoothStep(q, 0, deadWidth)
	return bare + w*(k-bare), bareSlope + w*(slope-bareSlope) + dw*(k-bare)
}

// takeoffRun is the form of the diverging run.
func (j *Junction) takeoffRun(q, a, s float64) (k, slope float64) {
	x, dx := (1-q)/s, -1/s
	if j.Run == RunTakeoff {
		k, slope = takeoffSquare*x*x+takeoffRest, 2*takeoffSquare*x*dx
		if slow := 1 - 2*x; slow > 0 {
			const end = 1 - 2*runLow
			held, heldSlope := blend(x, runLow, takeoffSlow*end*end, 0, takeoffSlow*slow*slow, -4*takeoffSlow*slow)
			k, slope = k+held, slope+heldSlope*dx
		}
		return k, slope
	}
	k, slope = runTau(q, a)
	reducer := reducerLoss * min(max((1-s)/reducerSpan, 0), 1)
	return k + reducer*x*x, slope + 2*reducer*x*dx
}

// Constants of DivergingRun.
const (
	takeoffSquare = 0.13
	takeoffSlow   = 0.75
	takeoffRest   = 0.01
	reducerLoss   = 0.14
	reducerSpan   = 0.1
)

// Scatter of junctions: published sets for a sharp tee or wye (Idelchik with TP-410, FDBR, Gardel, the unified method of Mynard and
// Valen-Sendstad) lie within 0.2 of the combined leg's velocity pressure on either side, and for branches under 0.8 of its area within 30 % of
// the branch's K. That is taken as two standard deviations. At a dead branch they agree. Our choice.
const (
	JunctionDeviation       = 0.1
	NarrowJunctionDeviation = 0.15
	alikeArea               = 0.8
	agreeShare              = 0.2
)

// Scatter returns by how much K of branch and of run may be off, as one standard deviation, and their slopes by q, for the K that was found
// for the branch. Nothing at a dead branch, all of it from a flow share of 0.2. A box is still air and has none.
func (j *Junction) Scatter(q, a, branchK, branchSlope float64) (branch, branchD, run, runD float64) {
	if j.Form == StillAirBox {
		return 0, 0, 0, 0
	}
	size, sizeSlope := JunctionDeviation, 0.0
	if narrow := NarrowJunctionDeviation * math.Abs(branchK); a < alikeArea && narrow > size {
		size, sizeSlope = narrow, math.Copysign(NarrowJunctionDeviation, branchK)*branchSlope
	}
	w, dw := smoothStep(q, 0, agreeShare)
	return w * size, dw*size + w*sizeSlope, w * JunctionDeviation, dw * JunctionDeviation
}

// SuddenChange is the loss of a step from one section to another, on the DOWNSTREAM velocity pressure, ratio = A_up/A_down:
//
//	widening (Borda and Carnot)       (1/ratio - 1)²
//	narrowing (Idelchik, 4-9)         0.5 (1 - 1/ratio)^0.75
func SuddenChange(ratio float64) float64 {
	if ratio = max(ratio, minRatio); ratio < 1 {
		return (1/ratio - 1) * (1/ratio - 1)
	}
	return 0.5 * math.Pow(1-1/ratio, 0.75)
}

// boxOut is the loss out of still air into a leg at velocity ratio v: the combined leg's own velocity pressure and a flush
// entry, on the combined leg's velocity pressure.
func boxOut(v, dv float64) (k, slope float64) {
	return 1 + flushEntry*v*v, 2 * flushEntry * v * dv
}

// divergingFactor is A' of Idelchik's diverging branch (Handbook of Hydraulic Resistance, section 7, branch up to 60
// degrees), led to 1 at q = 0:
//
//	a <= 0.35   1.1 - 0.7q up to q = 0.4, 0.85 above
//	a >  0.35   1 - 0.6q up to q = 0.6, 0.6 above
func divergingFactor(q, a float64) (factor, slope float64) {
	if a <= narrowBranch {
		factor, slope = blend(q, 0.4, 1.1-0.7*q, -0.7, 0.85, 0)
	} else {
		factor, slope = blend(q, 0.6, 1-0.6*q, -0.6, 0.6, 0)
	}
	return fromOne(q, factor, slope)
}

// narrowBranch is the area ratio at which Idelchik changes the form of A' and A.
const narrowBranch = 0.35

// runTau is τ q² of Idelchik's diverging run.
func runTau(q, a float64) (k, slope float64) {
	if a <= 0.4 {
		return 0.4 * q * q, 0.8 * q
	}
	t := 2*q - 1
	return blend(q, 0.5, 2*t*q*q, 4*q*q+4*t*q, 0.3*t*q*q, 0.6*q*q+0.6*t*q)
}

// blend leads from the piece (low, lowSlope) to the piece (high, highSlope) over blendWidth above limit.
func blend(q, limit, low, lowSlope, high, highSlope float64) (y, slope float64) {
	w, dw := smoothStep(q, limit, blendWidth)
	return low + w*(high-low), lowSlope + w*(highSlope-lowSlope) + dw*(high-low)
}

// fromOne leads a factor from 1 at q = 0 to itself at q = deadWidth.
func fromOne(q, factor, factorSlope float64) (y, slope float64) {
	w, dw := smoothStep(q, 0, deadWidth)
	return 1 + w*(factor-1), w*factorSlope + dw*(factor-1)
}
