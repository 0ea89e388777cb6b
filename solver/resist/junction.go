package resist

import "spillway/solver/air"

// JunctionCoefficients are the loss coefficients of one kind of junction, all on the velocity pressure of the COMBINED
// leg (the one that carries the whole flow) and between the combined leg and the other, positive when total pressure is
// lost in the direction of flow. Negative values are real (a jet draws the other stream along) and are kept.
//
// q is the branch's share of the combined flow, 0 to 1, and a the area of the branch over that of the combined leg. In
// the last two the branch is the combined leg: share is the part of its flow that goes to or comes from one end of the
// main, ratio the area of the branch over the area of that end.
type JunctionCoefficients interface {
	DivergingBranch(q, a float64) float64
	DivergingRun(q, a float64) float64
	ConvergingBranch(q, a float64) float64
	ConvergingRun(q, a float64) float64
	SplitFromBranch(share, ratio float64) float64
	JoinOpposed(share, ratio float64) float64
}

// JunctionData describes a junction of three ducts: the common leg c, the straight run s opposite to it and the branch
// b at the side. The junction's node is taken to be at the total pressure of leg c; the losses go to the edges of s and b.
type JunctionData struct {
	Run, Branch  int // edges of legs s and b
	RunInward    bool
	BranchInward bool // the edge's own direction runs towards the junction (return side) rather than away from it

	CommonArea, RunArea, BranchArea float64 // m²

	Coefficients JunctionCoefficients
	Density      float64 // kg/m³
}

// Junction is the loss in a junction as a flow.Coupling over the edges of its run and branch,
//
//	P_c − P_s = M² F_s/(2ρ),    P_c − P_b = M² F_b/(2ρ)
//
// where M is the flow of the leg that carries the whole and F follows, from the coefficients K over areas squared, from
// the mode the signs of the flows make: diverging from c or from s, converging into c or into s, both ends of the main
// joining into the branch, or the branch splitting to both ends (Idelchik, Handbook of Hydraulic Resistance, sec. 7).
//
// Within a mode F is a cubic through its values at every 0.02 of the flow share, so that jumps inside published formulas
// become short ramps. Where two modes meet, one leg is dead and the published formulas of the two differ. There F is led
// to a common value over the last 0.02 (dead branch) or 0.06 (dead end of the main) of the flow share: a dead branch
// sees the static pressure of the main from both sides (K = 1 exactly), a dead end of the main the mean of the two
// modes. So the drops are continuous everywhere, finite at zero flow, and their derivatives have steps only where a leg
// reverses. A flow-weighted loss that would come out negative is lifted to zero.
//
// The two drops have no potential: the Jacobian is not symmetric.
type Junction struct {
	edges      [2]int
	signRun    float64
	signBranch float64
	perDynamic float64 // 1/(2ρ)
	modes      *junctionModes
}

// NewJunction checks the data and tabulates the coefficients.
func NewJunction(d JunctionData) (*Junction, error) {
	in := inputs{element: "junction"}
	in.positive("common area", d.CommonArea)
	in.positive("run area", d.RunArea)
	in.positive("branch area", d.BranchArea)
	in.positive("air density", d.Density)
	if d.Coefficients == nil {
		in.complain("no coefficients given")
	}
	if d.Run == d.Branch {
		in.complain("run and branch are the same edge, %d", d.Run)
	}
	if in.err != nil {
		return nil, in.err
	}
	modes, err := tabulateModes(d)
	if err != nil {
		return nil, err
	}
	j := &Junction{edges: [2]int{d.Run, d.Branch}, signRun: 1, signBranch: 1, perDynamic: 1 / (2 * d.Density), modes: modes}
	if d.RunInward {
		j.signRun = -1
	}
	if d.BranchInward {
		j.signBranch = -1
	}
	return j, nil
}

// At returns the same junction in air of another density (kg/m³).
func (j *Junction) At(density float64) *Junction {
	other := *j
	other.perDynamic = 1 / (2 * density)
	return &other
}

// Edges implements flow.Coupling: run, then branch.
func (j *Junction) Edges() []int { return j.edges[:] }

// Add implements flow.Coupling.
func (j *Junction) Add(q, drop, jac []float64) {
	s, b := j.signRun*q[0], j.signBranch*q[1]
	m, share, g := split(s, b)
	if m == 0 {
		return
	}
	run, branch := g.table(j.modes).at(share)
	// drop = k m² F(share), share = n/m: by flow i, k m (2 m_i F + F′ (n_i − share·m_i)).
	k := j.perDynamic * m
	drop[0] += j.signRun * k * m * run.value
	drop[1] += j.signBranch * k * m * branch.value
	turnS, turnB := g.nS-share*g.mS, g.nB-share*g.mB
	jac[0] += k * (2*g.mS*run.value + turnS*run.slope)
	jac[1] += j.signRun * j.signBranch * k * (2*g.mB*run.value + turnB*run.slope)
	jac[2] += j.signRun * j.signBranch * k * (2*g.mS*branch.value + turnS*branch.slope)
	jac[3] += k * (2*g.mB*branch.value + turnB*branch.slope)
}

// NewCappedTakeoff is a junction whose straight run is capped: all the air turns into the branch. It is a plain local
// loss by the coefficients at q = 1, forward from the main (area, m²) into the branch and in reverse.
func NewCappedTakeoff(k JunctionCoefficients, mainArea, branchArea float64, a air.State) (TwoWay, error) {
	in := inputs{element: "capped take-off"}
	in.positive("main area", mainArea)
	in.positive("branch area", branchArea)
	if k == nil {
		in.complain("no coefficients given")
	}
	if in.err != nil {
		return TwoWay{}, in.err
	}
	ratio := branchArea / mainArea
	forward, err := NewLocal(k.DivergingBranch(1, ratio), mainArea, a)
	if err != nil {
		return TwoWay{}, err
	}
	reverse, err := NewLocal(k.ConvergingBranch(1, ratio), mainArea, a)
	if err != nil {
		return TwoWay{}, err
	}
	return NewTwoWay(forward, reverse), nil
}
