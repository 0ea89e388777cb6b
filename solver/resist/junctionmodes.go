package resist

import "math"

const (
	modeKnots = 50 // intervals of a mode's table over the flow share

	// Widths in flow share over which a mode is led to the value it shares with its neighbour. The narrow one is enough
	// for a dead branch, where the formulas nearly agree; the ends of the main may differ by 0.7 of a velocity pressure.
	deadBranchBlend = 0.02
	deadEndBlend    = 0.06
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

// junctionModes holds F_s and F_b of the six modes over the flow share. The share is the branch's part of the combined
// flow, or the run's part where the branch is the combined leg.
type junctionModes [modeCount]modeTable

// modeTable holds value and slope at each knot, of F_s and then F_b.
type modeTable [modeKnots + 1][2]valueSlope

type valueSlope struct{ value, slope float64 }

// geometry is a mode with the derivatives, by the outflows s and b, of the combined flow m and of the flow n that is
// the numerator of the share. All are 0 or ±1, because m and n are single legs or their sums.
type geometry struct {
	mode           mode
	mS, mB, nS, nB float64
}

func (g geometry) table(m *junctionModes) *modeTable { return &m[g.mode] }

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

// tabulateModes evaluates the coefficients of a junction over all modes and joins the modes.
func tabulateModes(d JunctionData) (*junctionModes, error) {
	var raw [modeCount][modeKnots + 1][2]float64
	for i := range modeKnots + 1 {
		share := float64(i) / modeKnots
		for m := range modeCount {
			raw[m][i] = modeLoss(d, m, share)
		}
	}
	const last = modeKnots
	mean := func(a, b [2]float64) [2]float64 { return [2]float64{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2} }
	// P_main,static below P_main,total, the mean of the two sections of the main.
	dynamic := (1/(d.CommonArea*d.CommonArea) + 1/(d.RunArea*d.RunArea)) / 2
	deadForth := mean(raw[divergeFromCommon][0], raw[convergeToRun][0])
	deadForth[1] = dynamic
	deadBack := mean(raw[divergeFromRun][0], raw[convergeToCommon][0])
	deadBack[1] = deadBack[0] + dynamic
	runDeadOut := mean(raw[divergeFromCommon][last], raw[joinIntoBranch][0])
	commonDeadOut := mean(raw[divergeFromRun][last], raw[joinIntoBranch][last])
	runDeadIn := mean(raw[convergeToCommon][last], raw[splitFromBranch][0])
	commonDeadIn := mean(raw[convergeToRun][last], raw[splitFromBranch][last])

	tables := new(junctionModes)
	for _, join := range []struct {
		mode      mode
		low, high [2]float64 // common values at share 0 and 1
		lowBlend  float64
	}{
		{divergeFromCommon, deadForth, runDeadOut, deadBranchBlend},
		{divergeFromRun, deadBack, commonDeadOut, deadBranchBlend},
		{joinIntoBranch, runDeadOut, commonDeadOut, deadEndBlend},
		{convergeToCommon, deadBack, runDeadIn, deadBranchBlend},
		{convergeToRun, deadForth, commonDeadIn, deadBranchBlend},
		{splitFromBranch, runDeadIn, commonDeadIn, deadEndBlend},
	} {
		var f [modeKnots + 1][2]float64
		for i := range f {
			share := float64(i) / modeKnots
			wLow, wHigh := ramp(share/join.lowBlend), ramp((1-share)/deadEndBlend)
			for leg := range 2 {
				v := raw[join.mode][i][leg]
				if math.IsNaN(v) || math.IsInf(v, 0) {
					in := inputs{element: "junction"}
					in.complain("a loss coefficient is not finite at flow share %g", share)
					return nil, in.err
				}
				v = join.low[leg] + wLow*(v-join.low[leg])
				f[i][leg] = join.high[leg] + wHigh*(v-join.high[leg])
			}
		}
		tables[join.mode].fill(&f)
	}
	return tables, nil
}

// ramp rises smoothly from 0 at 0 to 1 at 1.
func ramp(t float64) float64 {
	t = min(max(t, 0), 1)
	return t * t * (3 - 2*t)
}

// modeLoss returns F_s and F_b, the losses P_c − P_s and P_c − P_b over M²/(2ρ), of one mode as published.
func modeLoss(d JunctionData, m mode, share float64) [2]float64 {
	k := d.Coefficients
	switch m {
	case divergeFromCommon:
		a, f := d.BranchArea/d.CommonArea, 1/(d.CommonArea*d.CommonArea)
		run, branch := lossy(share, k.DivergingRun(share, a), k.DivergingBranch(share, a))
		return [2]float64{f * run, f * branch}
	case divergeFromRun:
		a, f := d.BranchArea/d.RunArea, 1/(d.RunArea*d.RunArea)
		run, branch := lossy(share, k.DivergingRun(share, a), k.DivergingBranch(share, a))
		return [2]float64{-f * run, f * (branch - run)}
	case convergeToCommon:
		a, f := d.BranchArea/d.CommonArea, 1/(d.CommonArea*d.CommonArea)
		run, branch := lossy(share, k.ConvergingRun(share, a), k.ConvergingBranch(share, a))
		return [2]float64{-f * run, -f * branch}
	case convergeToRun:
		a, f := d.BranchArea/d.RunArea, 1/(d.RunArea*d.RunArea)
		run, branch := lossy(share, k.ConvergingRun(share, a), k.ConvergingBranch(share, a))
		return [2]float64{f * run, f * (run - branch)}
	}
	f := 1 / (d.BranchArea * d.BranchArea)
	ratioC, ratioS := d.BranchArea/d.CommonArea, d.BranchArea/d.RunArea
	if m == joinIntoBranch {
		run, common := k.JoinOpposed(share, ratioS), k.JoinOpposed(1-share, ratioC)
		return [2]float64{f * (common - run), f * common}
	}
	run, common := k.SplitFromBranch(share, ratioS), k.SplitFromBranch(1-share, ratioC)
	return [2]float64{f * (run - common), -f * common}
}

// lossy lifts both coefficients when their flow-weighted sum is a gain, which no junction can give.
func lossy(share, run, branch float64) (r, b float64) {
	if total := (1-share)*run + share*branch; total < 0 {
		return run - total, branch - total
	}
	return run, branch
}

// fill sets values and slopes: central differences inside, three-point ones at the ends, all exact for the quadratics
// that most published formulas are.
func (t *modeTable) fill(f *[modeKnots + 1][2]float64) {
	const n, h = modeKnots, 1.0 / modeKnots
	for leg := range 2 {
		for i := 1; i < n; i++ {
			t[i][leg] = valueSlope{f[i][leg], (f[i+1][leg] - f[i-1][leg]) / (2 * h)}
		}
		t[0][leg] = valueSlope{f[0][leg], (-3*f[0][leg] + 4*f[1][leg] - f[2][leg]) / (2 * h)}
		t[n][leg] = valueSlope{f[n][leg], (3*f[n][leg] - 4*f[n-1][leg] + f[n-2][leg]) / (2 * h)}
	}
}

// at interpolates both losses at a share.
func (t *modeTable) at(share float64) (run, branch valueSlope) {
	const h = 1.0 / modeKnots
	i := min(max(int(share*modeKnots), 0), modeKnots-1)
	u := share*modeKnots - float64(i)
	return hermite(&t[i][0], &t[i+1][0], u, h), hermite(&t[i][1], &t[i+1][1], u, h)
}

// hermite is the cubic between two knots h apart at the fraction u.
func hermite(a, b *valueSlope, u, h float64) valueSlope {
	rise, m0, m1 := b.value-a.value, h*a.slope, h*b.slope
	c2, c3 := 3*rise-2*m0-m1, m0+m1-2*rise
	return valueSlope{a.value + u*(m0+u*(c2+u*c3)), (m0 + u*(2*c2+u*3*c3)) / h}
}
