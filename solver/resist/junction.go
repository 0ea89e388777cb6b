package resist

import "spillway/network/catalog"

// JunctionData describes a junction of three ducts: the common leg c, the straight run s opposite to it and the branch
// b at the side (in a bullhead tee s and b are the two opposite ends and c the stem). The junction's node is taken to be
// at the total pressure of leg c; the losses go to the edges of s and b.
type JunctionData struct {
	Run, Branch  int // edges of legs s and b
	RunInward    bool
	BranchInward bool // the edge's own direction runs towards the junction (return side) rather than away from it

	CommonArea, RunArea, BranchArea float64 // m²

	// RunOut and RunIn are the losses of the change of section between common leg and run, with the air going to the run
	// and coming from it, each on the velocity pressure of the section downstream; 0 where the sections are one.
	RunOut, RunIn float64

	// Deviation is how many standard deviations of catalog.Junction.Scatter the losses lie off, for studies.
	Deviation float64

	Kind    catalog.Junction
	Density float64 // kg/m³
}

// Junction is the loss in a junction as a flow.Coupling over the edges of its run and branch,
//
//	P_c − P_s = M² F_s/(2ρ),    P_c − P_b = M² F_b/(2ρ)
//
// where M is the flow of the leg that carries the whole and F follows, from the catalogue's coefficients over areas
// squared, from the mode that the signs of the flows make: diverging from c or from s, converging into c or into s, both
// ends of the main joining into the branch, or the branch splitting to both ends. A bullhead whose stem is not the
// combined leg is taken as a plain tee with the stem for its branch.
//
// Within a mode F is a cubic through its values and slopes at every 0.02 of the flow share. Where two modes meet, one leg
// is dead and their formulas may differ. There the mode that the junction is made for keeps its published form to the
// end: the common leg carries the whole before the run does, and the run before the branch does. (Of a bullhead's joining
// the end is not published: the formula is for two comparable streams, so a side tee's holds.) The rare mode is led to that value over 0.15 of
// its own flow share: our choice, there are no data. So the drops are continuous everywhere and finite at zero flow, and
// their derivatives have steps only where a leg reverses. Negative coefficients are kept, but a flow-weighted loss that
// would come out negative is lifted to zero: no junction makes pressure (what interpolation leaves is under half a percent
// of a velocity pressure).
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
	in.notNegative("loss into the run", d.RunOut)
	in.notNegative("loss out of the run", d.RunIn)
	if d.Run == d.Branch {
		in.complain("run and branch are the same edge, %d", d.Run)
	}
	if in.err != nil {
		return nil, in.err
	}
	j := &Junction{
		edges: [2]int{d.Run, d.Branch}, signRun: 1, signBranch: 1,
		perDynamic: 1 / (2 * d.Density), modes: tabulateModes(&d),
	}
	if d.RunInward {
		j.signRun = -1
	}
	if d.BranchInward {
		j.signBranch = -1
	}
	return j, nil
}

// At returns the same junction in air of another density (kg/m³).
func (j *Junction) At(density float64) Junction {
	other := *j
	other.perDynamic = 1 / (2 * density)
	return other
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
	run, branch := j.modes.at(g.mode, share)
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
