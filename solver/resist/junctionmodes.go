package resist

import "spillway/network/catalog"

const (
	modeKnots = 50 // intervals of a mode's table over the flow share

	// deadBlend is the width in flow share over which a rare mode is led to the value of the mode that it meets.
	deadBlend = 0.15
)

// mode is which legs the air enters and leaves by.
type mode int

const (
	divergeFromCommon mode = iota // c in; s, b out
	divergeFromRun                // s in; c, b out
	joinIntoBranch                // c, s in; b out
	convergeToCommon              // s, b in; c out
	convergeToRun                 // c, b in; s out
	splitFromBranch               // b in; c, s out
	modeCount
)

// leg of a junction.
type leg int

const (
	common leg = iota
	run
	branch
)

// modeLegs says of each mode which leg carries the whole flow, which leg's part of it is the share, which is left, and
// whether the flow divides.
var modeLegs = [modeCount]struct {
	combined, sharing, other leg
	divides                  bool
}{
	divergeFromCommon: {common, branch, run, true},
	divergeFromRun:    {run, branch, common, true},
	joinIntoBranch:    {branch, run, common, false},
	convergeToCommon:  {common, branch, run, false},
	convergeToRun:     {run, branch, common, false},
	splitFromBranch:   {branch, run, common, true},
}

// deadLeg is where two modes meet, each at one end of its share: the rare one is led to the other.
type deadLeg struct {
	mode    mode
	end     int
	rare    mode
	rareEnd int
}

// deadLegs lists where the modes meet.
var deadLegs = [...]deadLeg{
	{divergeFromCommon, 0, convergeToRun, 0},               // branch dead, c to s
	{convergeToCommon, 0, divergeFromRun, 0},               // branch dead, s to c
	{divergeFromCommon, modeKnots, joinIntoBranch, 0},      // run dead, c to b
	{convergeToCommon, modeKnots, splitFromBranch, 0},      // run dead, b to c
	{divergeFromRun, modeKnots, joinIntoBranch, modeKnots}, // common dead, s to b
	{convergeToRun, modeKnots, splitFromBranch, modeKnots}, // common dead, b to s
}

// turned is a dead leg with the other mode as the rare one.
func (d deadLeg) turned() deadLeg { return deadLeg{d.rare, d.rareEnd, d.mode, d.end} }

// geometry is a mode with the derivatives, by the outflows s and b, of the combined flow m and of the flow n that is
// the numerator of the share. All are 0 or ±1, because m and n are single legs or their sums.
type geometry struct {
	mode           mode
	mS, mB, nS, nB float64
}

// split finds mode, combined flow m and share from the outflows into run and branch.
func split(s, b float64) (m, share float64, g geometry) {
	var n float64
	switch {
	case s >= 0 && b >= 0:
		m, n, g = s+b, b, geometry{divergeFromCommon, 1, 1, 0, 1}
	case b >= 0 && s+b <= 0:
		m, n, g = -s, b, geometry{divergeFromRun, -1, 0, 0, 1}
	case b >= 0:
		m, n, g = b, -s, geometry{joinIntoBranch, 0, 1, -1, 0}
	case s < 0:
		m, n, g = -(s + b), -b, geometry{convergeToCommon, -1, -1, 0, -1}
	case s+b >= 0:
		m, n, g = s, -b, geometry{convergeToRun, 1, 0, 0, -1}
	default:
		m, n, g = -b, s, geometry{splitFromBranch, 0, -1, 1, 0}
	}
	if m == 0 {
		return 0, 0, g
	}
	return m, n / m, g
}

// valueSlope is a number with its derivative by the flow share.
type valueSlope struct{ value, slope float64 }

// losses are F_s and F_b, the losses P_c − P_s and P_c − P_b over M²/(2ρ).
type losses struct{ run, branch valueSlope }

// junctionModes holds the losses of the six modes over the flow share: the branch's part of the combined flow, or the
// run's part where the branch is the combined leg.
type junctionModes [modeCount][modeKnots + 1]losses

// at interpolates the losses of a mode at a share.
func (t *junctionModes) at(m mode, share float64) (run, branch valueSlope) {
	i := min(max(int(share*modeKnots), 0), modeKnots-1)
	u := share*modeKnots - float64(i)
	low, high := &t[m][i], &t[m][i+1]
	return hermite(low.run, high.run, u), hermite(low.branch, high.branch, u)
}

// hermite is the cubic between two neighbouring knots at the fraction u of the way.
func hermite(a, b valueSlope, u float64) valueSlope {
	const h = 1.0 / modeKnots
	rise, m0, m1 := b.value-a.value, h*a.slope, h*b.slope
	c2, c3 := 3*rise-2*m0-m1, m0+m1-2*rise
	return valueSlope{a.value + u*(m0+u*(c2+u*c3)), (m0 + u*(2*c2+u*3*c3)) / h}
}

// tabulateModes evaluates the catalogue's coefficients over all modes and joins the modes.
func tabulateModes(d *JunctionData) *junctionModes {
	t := new(junctionModes)
	for m := range modeCount {
		for i := range t[m] {
			t[m][i] = modeLoss(d, m, float64(i)/modeKnots)
		}
	}
	for _, dead := range deadLegs {
		if d.Kind.Form == catalog.Bullhead && dead.mode == convergeToCommon {
			dead = dead.turned() // two ends joining into a stem: no form for one of them alone
		}
		to := t[dead.mode][dead.end]
		t.lead(dead.rare, dead.rareEnd, [2]float64{to.run.value, to.branch.value})
	}
	return t
}

// lead takes the losses of a mode to those of another at one end of its share. What the end value is off by is added there
// and fades over deadBlend; where the modes agree nothing is touched.
func (t *junctionModes) lead(m mode, end int, shared [2]float64) {
	off := [2]float64{shared[0] - t[m][end].run.value, shared[1] - t[m][end].branch.value}
	for i := range t[m] {
		far := float64(i-end) / modeKnots / deadBlend // 0 at the end, ±1 where the blend is over
		side := 1.0
		if far < 0 {
			far, side = -far, -1
		}
		if far >= 1 {
			continue
		}
		w, dw := 1-far*far*(3-2*far), -side*6*far*(1-far)/deadBlend
		for k, v := range []*valueSlope{&t[m][i].run, &t[m][i].branch} {
			v.value += w * off[k]
			v.slope += dw * off[k]
		}
	}
}

// modeLoss returns the losses of one mode as the catalogue has them.
func modeLoss(d *JunctionData, m mode, share float64) losses {
	legs := modeLegs[m]
	area := [3]float64{common: d.CommonArea, run: d.RunArea, branch: d.BranchArea}
	combined := area[legs.combined]
	change := d.RunOut
	if (legs.combined == common) != legs.divides {
		change = d.RunIn // from the run to the common leg
	}
	sharing, other := coefficients(&d.Kind, legs.combined, legs.divides, share,
		area[legs.sharing]/combined, area[legs.other]/combined, change)

	if d.Deviation != 0 && legs.combined != branch {
		b, bSlope, r, rSlope := d.Kind.Scatter(share, area[branch]/combined, sharing.value, sharing.slope)
		sharing = valueSlope{sharing.value + d.Deviation*b, sharing.slope + d.Deviation*bSlope}
		other = valueSlope{other.value + d.Deviation*r, other.slope + d.Deviation*rSlope}
	}

	// A flow-weighted loss below zero is lifted.
	if total := share*sharing.value + (1-share)*other.value; total < 0 {
		slope := sharing.value - other.value + share*sharing.slope + (1-share)*other.slope
		sharing = valueSlope{sharing.value - total, sharing.slope - slope}
		other = valueSlope{other.value - total, other.slope - slope}
	}

	// below[k] is the total pressure of the combined leg less that of leg k, over M²/(2ρ).
	f := 1 / (combined * combined)
	if !legs.divides {
		f = -f
	}
	var below [3]valueSlope
	below[legs.sharing] = valueSlope{f * sharing.value, f * sharing.slope}
	below[legs.other] = valueSlope{f * other.value, f * other.slope}
	difference := func(a, b valueSlope) valueSlope { return valueSlope{a.value - b.value, a.slope - b.slope} }
	return losses{run: difference(below[run], below[common]), branch: difference(below[branch], below[common])}
}

// coefficients returns the catalogue's K between the combined leg and the two others, with slopes by the share, given
// the areas of the two others over that of the combined leg and the change of section between main and run.
func coefficients(kind *catalog.Junction, combined leg, divides bool, share, sharingArea, otherArea, change float64) (sharing, other valueSlope) {
	pair := func(k, slope float64) valueSlope { return valueSlope{k, slope} }
	mirrored := func(k, slope float64) valueSlope { return valueSlope{k, -slope} } // a slope by 1 − share
	switch {
	case kind.Form == catalog.SideBranch && combined == branch:
		if divides {
			return pair(catalog.SplitFromBranch(share, sharingArea)), mirrored(catalog.SplitFromBranch(1-share, otherArea))
		}
		return pair(catalog.JoinOpposed(share, sharingArea)), mirrored(catalog.JoinOpposed(1-share, otherArea))

	case kind.Form == catalog.Bullhead && combined != common:
		// The air comes or goes by one end. The stem, which is the other leg here, stands at the side; the sharing leg
		// is straight opposite.
		tee, _ := catalog.LookupJunction(catalog.DefaultJunction)
		if divides {
			step := catalog.SuddenChange(1 / sharingArea)
			return mirrored(tee.DivergingRun(1-share, otherArea, sharingArea, step)), mirrored(tee.DivergingBranch(1-share, otherArea))
		}
		step := catalog.SuddenChange(sharingArea)
		return mirrored(tee.ConvergingRun(1-share, otherArea, sharingArea, step)), mirrored(tee.ConvergingBranch(1-share, otherArea, sharingArea))
	}
	if divides {
		return pair(kind.DivergingBranch(share, sharingArea)), pair(kind.DivergingRun(share, sharingArea, otherArea, change))
	}
	return pair(kind.ConvergingBranch(share, sharingArea, otherArea)), pair(kind.ConvergingRun(share, sharingArea, otherArea, change))
}
