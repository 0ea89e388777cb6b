package flow

import "math"

// Tolerances of Solve.
const (
	massTolerance = 1e-9  // of the largest flow
	massFine      = 1e-13 // of the largest flow: above this another step is tried before the spanning tree mends the rest
	gapTolerance  = 1e-10 // of the power
	edgeTolerance = 1e-10 // of the largest drop
	flowTolerance = 1e-4  // of the largest flow: what Interval may leave open of any flow
	flowRoundOff  = 1e-12 // of the largest |φ|/φ′: what the round-off of a law's own drop may leave open
	flowAim       = 1e-9  // of the largest flow: where no Scale was given, what it should leave open
	// Below this part of the largest power met, a network that nothing drives is tried at rest. It decides
	// nothing: the equations at rest are then judged as any other state's.
	restPower = 1e-24

	// Round-off of one edge residual, in units of the terms that make it up.
	roundOff = 8 * 0x1p-53

	maxIterations = 200
	refineMost    = 3
	balanceMost   = 3
	polishMost    = 40
	polishStuck   = 2
	stalledAfter  = 30   // iterations without a fall by a tenth: passing a kink can take some
	stalledGap    = 1e-8 // of the power: what a stalled solve may still be accepted with
)

// Solver is the numeric workspace for one topology. It is not safe for concurrent use; make one per goroutine. Once its
// first solves have sized its buffers it allocates nothing.
type Solver struct {
	t    *Topology
	p    Problem
	laws []Law // of p, by renumbered edge

	// By renumbered edge. A trial state becomes the state by exchanging the slices.
	flow, drop, conductance                []float64 // conductance = 1/slope
	trialFlow, trialDrop, trialConductance []float64
	source                                 []float64
	push                                   []float64 // p_tail − p_head + source, at the latest pressures
	step                                   []float64 // Newton's step of the flows

	// By renumbered node; the last place of values is for edges between known nodes.
	pressure, right, injection []float64
	pressureLow, pressureStep  []float64 // what pressure rounds off, where fine, and its change; nil until first needed
	bound, around              []float64 // see tighten, by edge and by node; nil until first needed
	values, inverse, work      []float64

	outFlow, outPressure []float64

	reference float64 // subtracted from known pressures inside, so that a common level costs no digits
	first     int     // edge and node with which the iteration begins: those before hang
	pinned    int     // renumbered edge whose flow is imposed and whose law is ignored; −1 = none
	pinnedAt  float64

	couple coupled
	frozen bool // couplings' drops held
	cold   bool // the first step is the full one, whatever the start

	progress
}

// progress is the state of one run of Newton's method.
type progress struct {
	iterations, sweeps           int
	startSlope                   float64 // of the content along the latest step, where it begins: see slopeMerit
	slope, estimate              float64 // at the latest trial: see evaluate
	power                        float64
	curtailed                    bool    // the latest step was cut short
	stalled                      int     // iterations without a fall of the estimate by a tenth
	rough                        int     // edges whose residual is above edgeTolerance
	largestDrop                  float64 // at the latest step
	largestSource                float64
	largestKnown                 float64 // pressure
	noisePower                   float64 // estimate of the gap that round-off alone can make
	noiseDrop                    float64 // round-off of pressures and sources, at the largest
	maxPower                     float64 // met so far
	injected                     float64 // sum of the sizes of all injections
	hangingPower                 float64 // of the hanging edges
	hangingDrop                  float64 // largest of the hanging edges
	startFlow                    float64 // largest at the start
	restTried                    bool
	fine                         bool    // pressures are kept in two parts: see refine.go
	spread                       float64 // bound on the error of every flow, where it was looked for: see refine.go
	tight                        bool    // bound bounds the error of every flow: see tighten
	certifiedFlow, certifiedEase float64 // largest flow and conductance at the latest certificate
	solved                       bool    // a solution is in place for Interval and Adjoint
	certificate                  Certificate
}

// NewSolver makes a workspace.
func (t *Topology) NewSolver() *Solver {
	m, n := t.edges, t.nodes
	edges := func() []float64 { return make([]float64, m) }
	nodes := func() []float64 { return make([]float64, n) }
	return &Solver{
		t: t, laws: make([]Law, m),
		flow: edges(), drop: edges(), conductance: edges(),
		trialFlow: edges(), trialDrop: edges(), trialConductance: edges(),
		source: edges(), push: edges(), step: edges(),
		pressure: nodes(), right: nodes(), injection: nodes(),
		values: make([]float64, t.size()), inverse: make([]float64, t.free), work: make([]float64, t.free),
		outFlow: edges(), outPressure: nodes(),
		pinned: -1,
	}
}

// Solve finds the flows and pressures.
//
// Without couplings this minimises the content of the network, a convex function of the flows, over all flows that keep
// the mass balance; the pressures are the multipliers. With A the incidence matrix of the free nodes (+1 at an edge's
// tail, −1 at its head), W = diag(1/φ′), s the injections and u = p_tail − p_head + source, each iteration solves
//
//	(AᵀWA) δp = s − Aᵀ[q + W(u − φ(q))],   p ← p + δp,   δq = W(u − φ(q)),   q ← q + t δq
//
// One full step (t = 1) balances every node; from then on the flows stay balanced for any t, and t is chosen so that
// the content never rises. Hence for strictly increasing laws it converges from any start. start is a set of flows to set
// out from, one per edge, balanced or not; nil is a cold start, to which a start that leads nowhere comes back. The
// result depends on the arguments alone, not on what the solver did before. Couplings enter by their full Jacobian, in
// an inner iteration on the flows they touch.
//
// A solution is returned only if, after the last imbalance has been pushed along a spanning tree to the
// known nodes, the mass residual is within 1e-9 of the largest flow, the gap, round-off apart, within
// 1e-10 of the power, every edge residual within 1e-10 of the largest drop and its round-off, and every
// flow known to within 1e-4 of the largest (see the package's promise); or, without couplings, when all
// progress has stopped, the gap is within 1e-8 of the power (the certificate then says so). All of this
// is measured by the solution itself, not by the start. Otherwise the error is a [ConvergenceError], or
// a [LawError] when a law breaks its contract, or an [InputError] when the input does.
//
// Sources: E. Todini and S. Pilati, "A gradient algorithm for the analysis of pipe networks" (1988) for the step; W.
// Millar, "Some general theorems for non-linear systems possessing resistance", Philosophical Magazine 42 (1951), and R. J.
// Duffin, "Nonlinear networks II a" (1947), for content and uniqueness (years and titles cited from memory).
func (s *Solver) Solve(p *Problem, start []float64) (Solution, error) {
	return s.run(p, start, -1, 0)
}

// SolveAt is Solve with the flow of one edge imposed, whatever its law (which may be nil): the pressures at its ends are
// then what the rest of the network asks for, and the certificate leaves the edge out. It serves for a machine held at
// one of its [Solver.OperatingPoints]. It fails with a [DisconnectedError] when the rest of the network does not join
// every node to a known pressure.
func (s *Solver) SolveAt(p *Problem, edge int, flow float64, start []float64) (Solution, error) {
	if edge < 0 || edge >= s.t.edges {
		return Solution{}, &InputError{Node: -1, Edge: edge, Coupling: -1, Reason: "does not exist"}
	}
	if !finite(flow) {
		return Solution{}, &InputError{Node: -1, Edge: edge, Coupling: -1, Reason: "cannot be held at a flow that is not finite"}
	}
	if lost := s.t.cutOffBy(edge); lost != nil {
		return Solution{}, &DisconnectedError{Nodes: lost}
	}
	return s.run(p, start, edge, flow)
}

func (s *Solver) run(p *Problem, start []float64, pinned int, at float64) (Solution, error) {
	s.solved = false
	if err := s.t.checkProblem(p, start, pinned); err != nil {
		return Solution{}, err
	}
	err := s.from(start, p, pinned, at)
	if _, lost := err.(*ConvergenceError); lost && start != nil {
		err = s.from(nil, p, pinned, at) // a start that leads nowhere is no worse than none
	}
	if err != nil {
		return Solution{}, err
	}
	s.solved = true
	return s.output(), nil
}

// from sets out from a start and goes on to the solution, or to an error as the caller is to see it.
func (s *Solver) from(start []float64, p *Problem, pinned int, at float64) error {
	if err := s.setUp(p, pinned, at); err != nil {
		return s.outward(err)
	}
	if err := s.begin(start); err != nil {
		return s.outward(err)
	}
	var err error
	if s.couple.active() {
		err = s.solveCoupled()
	} else {
		err = s.newton(maxIterations, slopeMerit)
	}
	if err != nil {
		return s.outward(s.explain(err))
	}
	return nil
}

// setUp takes in a problem, with the flow of one edge imposed unless pinned is negative.
func (s *Solver) setUp(p *Problem, pinned int, at float64) error {
	s.p, s.pinned, s.pinnedAt = *p, -1, at
	if pinned >= 0 {
		s.pinned = int(s.t.place[pinned])
	}
	for e, at := range s.t.edgeAt {
		s.laws[e] = p.Laws[at]
	}
	s.progress = progress{spread: math.Inf(1)}
	s.frozen = false
	if err := s.couple.set(s.t, p.Couplings); err != nil {
		return err
	}
	s.setBoundary()
	return s.setHanging()
}

// setBoundary puts injections and known pressures in place, and free pressures at the reference.
func (s *Solver) setBoundary() {
	t := s.t
	s.reference = 0
	if len(s.p.Known) > 0 {
		s.reference = s.p.Known[0]
	}
	s.largestSource = 0
	if s.p.Source == nil {
		clear(s.source)
	}
	for e, h := range s.p.Source {
		s.source[t.place[e]] = h
		s.largestSource = max(s.largestSource, math.Abs(h))
	}
	clear(s.pressure)
	for k, v := range s.p.Known {
		s.pressure[t.free+k] = v - s.reference
		s.largestKnown = max(s.largestKnown, math.Abs(v-s.reference))
	}
	if s.p.Injection == nil {
		clear(s.injection)
		return
	}
	for v, x := range s.p.Injection {
		at := t.position[v]
		s.injection[at] = x
		if int(at) < t.free {
			s.injected += math.Abs(x)
		}
	}
}

// begin sets the flows to start from and evaluates the laws there.
func (s *Solver) begin(start []float64) error {
	scale := s.p.Scale
	seek := false
	switch {
	case start != nil:
		for e, at := range s.t.edgeAt[s.first:] {
			s.trialFlow[s.first+e] = start[at]
		}
	default:
		if scale == 0 {
			scale, seek = s.guessScale()
		}
		for e := s.first; e < len(s.trialFlow); e++ {
			s.trialFlow[e] = scale
		}
	}
	if s.pinned >= 0 {
		s.trialFlow[s.pinned] = s.pinnedAt
	}
	s.setPush()
	if err := s.evaluate(); err != nil {
		return err
	}
	s.accept()
	s.startFlow = s.largestFlow()
	if s.cold = start == nil; s.cold {
		s.likenDrops()
	}
	if !seek {
		return nil
	}
	return s.seekScale()
}

// likenDrops replaces the tangents at a cold start's flow by lines through rest. One flow in every edge is far from any solution: where
// edges lie side by side the first step, along the tangents, would split the flow by the resistances, whereas laws of second power
// split it by their roots, and it takes Newton's method many halvings to mend that. So for a law that is about of second power at
// the start (its slope more than 1.5 times its chord; the others are left alone) the line is the chord at the flow whose drop is u₀,
// the geometric mean of all drops at the start,
//
//	q₀ = q √(u₀/φ(q)),   w = q₀/u₀
//
// which costs a root and no evaluation of a law. Any positive w would do: they only shape the first, full step.
func (s *Solver) likenDrops() {
	exponents, count := 0, 0
	flow, drop, conductance := s.flow[s.first:], s.drop[s.first:], s.conductance[s.first:]
	for e, q := range flow {
		if f := drop[e]; f*q > 0 {
			exponents += int(math.Float64bits(f)>>52) & 0x7ff
			count++
		}
	}
	if count == 0 {
		return
	}
	mean := math.Ldexp(1, exponents/count-1023)
	for e, q := range flow {
		f := drop[e]
		if !(f*q > 0) || !(q > 1.5*f*conductance[e]) {
			continue
		}
		root := math.Sqrt(f * mean)
		if w := q / root; root > 0 && finite(root) && w > 0 && finite(w) {
			conductance[e], drop[e] = w, root
		}
	}
}

// guessScale is half the sum of all injections, or, when there are none, 1, to be corrected by seekScale.
func (s *Solver) guessScale() (scale float64, seek bool) {
	if total := math.Abs(s.pinnedAt)*2 + s.injected; total > 0 {
		return total / 2, false
	}
	return 1, true
}

// seekScale takes one full step from the start and scales the resulting flows (balanced, as there are no injections) to
// within a factor of two of the point of least content on the ray.
func (s *Solver) seekScale() error {
	s.newtonStep()
	for e := s.first; e < len(s.flow); e++ {
		s.step[e] += s.flow[e]
		s.flow[e] = 0
	}
	const factor, most = 4, 24
	a := 1.0
	if err := s.evaluateAt(a); err != nil {
		return err
	}
	rising := s.slope > 0
	for range most {
		next := a * factor
		if rising {
			next = a / factor
		}
		if err := s.evaluateAt(next); err != nil {
			return err
		}
		if (s.slope > 0) != rising {
			a = math.Sqrt(a * next)
			break
		}
		a = next
	}
	if err := s.evaluateAt(a); err != nil {
		return err
	}
	s.accept()
	return nil
}

// accept makes the latest trial the state.
func (s *Solver) accept() {
	s.flow, s.trialFlow = s.trialFlow, s.flow
	s.drop, s.trialDrop = s.trialDrop, s.drop
	s.conductance, s.trialConductance = s.trialConductance, s.conductance
}

// newton iterates from the state in place until the certificate passes.
func (s *Solver) newton(most int, merit merit) error {
	best, refined := math.Inf(1), 0
	polished := newPolishing()
	s.stalled = 0
	balanced := !s.cold && s.isBalanced()
	s.cold = false
	for range most {
		if s.curtailed {
			s.chords()
		} else if balanced && (s.estimate < secantBelow*s.power || s.estimate > secantAbove*s.power) {
			s.secants()
		}
		s.newtonStep()
		if s.couple.active() && s.runsAway() {
			return s.failure("the couplings drive the flows beyond all bounds")
		}
		if !balanced {
			if err := s.evaluateAt(1); err != nil {
				return err
			}
			balanced = true
		} else if err := merit(s); err != nil {
			return err
		}
		s.accept()
		if s.power <= restPower*s.maxPower && !s.restTried {
			if rests, err := s.tryRest(); err != nil || rests {
				return err
			}
		}
		if s.estimate < 0.9*best {
			best, s.stalled = s.estimate, 0
		} else {
			s.stalled++
		}
		if s.stalled == stalledAfter && s.estimate > stalledGap*s.power && !s.couple.active() {
			if err := s.findJump(); err != nil {
				return err
			}
		}
		settled := s.stalled >= stalledAfter && s.estimate <= stalledGap*s.power && !s.couple.active()
		small := s.rough == 0 && (s.stalled > 0 || s.estimate <= 2*gapTolerance*s.power+s.noisePower)
		if !settled && !small {
			continue
		}
		// A step with large changes of pressure leaves imbalances by its round-off, which the next step mends edge by edge,
		// whereas the spanning tree would push them through whatever stands there, shut edges too.
		if worst, _ := s.massResidual(); worst > massFine*s.largestFlow() && refined < refineMost {
			refined++
			continue
		}
		if err := s.certify(); err != nil {
			return err
		}
		c := &s.certificate
		limit := gapTolerance
		if settled {
			limit = stalledGap
		}
		if c.Gap-c.RoundOff <= limit*c.Power && c.MassResidual <= massTolerance*s.certifiedFlow {
			done, err := s.polish(&polished)
			if done || err != nil {
				return err
			}
		}
	}
	return s.failure("the iteration limit was reached")
}

// tryRest puts a network that nothing drives at rest, and reports whether that satisfies the equations: every law
// drops nothing without flow. If not, the state in place stays.
func (s *Solver) tryRest() (bool, error) {
	s.restTried = true
	if s.largestKnown > 0 || s.largestSource > 0 || s.injected > 0 || s.pinnedAt != 0 || s.frozen {
		return false, nil
	}
	clear(s.trialFlow)
	if err := s.evaluate(); err != nil {
		return false, err
	}
	for _, f := range s.trialDrop {
		if f != 0 {
			return false, nil
		}
	}
	s.accept()
	clear(s.pressure)
	s.setPush()
	return true, s.certify()
}

func (s *Solver) largestFlow() float64 {
	largest := 0.0
	for _, q := range s.flow {
		if q = math.Abs(q); q > largest {
			largest = q
		}
	}
	return largest
}

// failure describes the state in place.
func (s *Solver) failure(reason string) error {
	s.hang()
	s.certificate.MassResidual, s.certificate.MassNode = s.massResidual()
	worst, at := 0.0, -1
	for e, u := range s.push {
		if r := math.Abs(s.drop[e] - u); e != s.pinned && !(r <= worst) {
			worst, at = r, e
		}
	}
	return &ConvergenceError{Iterations: s.iterations, Node: s.certificate.MassNode, MassResidual: s.certificate.MassResidual,
		Edge: at, EdgeResidual: worst, Reason: reason}
}

// explain looks for a law that is not increasing when a solve has failed, for that is the likely cause.
func (s *Solver) explain(err error) error {
	if _, ok := err.(*ConvergenceError); !ok {
		return err
	}
	reach := 4 * s.largestFlow()
	if !finite(reach) || reach == 0 {
		return err
	}
	for e, l := range s.laws {
		if e == s.pinned {
			continue
		}
		if bad, ok := CheckLaw(l, -reach, reach).(*LawError); ok {
			bad.Edge = e
			return bad
		}
	}
	return err
}

// outward gives an error that speaks of a renumbered edge the caller's number.
func (s *Solver) outward(err error) error {
	switch e := err.(type) {
	case *LawError:
		if e.Edge >= 0 {
			e.Edge = int(s.t.edgeAt[e.Edge])
		}
	case *ConvergenceError:
		if e.Edge >= 0 {
			e.Edge = int(s.t.edgeAt[e.Edge])
		}
	}
	return err
}

// output copies the state to the caller's numbering.
func (s *Solver) output() Solution {
	for e, at := range s.t.edgeAt {
		s.outFlow[at] = s.flow[e]
	}
	for v, at := range s.t.position {
		s.outPressure[v] = s.pressure[at] + s.reference
	}
	for k, v := range s.t.known {
		s.outPressure[v] = s.p.Known[k]
	}
	return Solution{Flow: s.outFlow, Pressure: s.outPressure, Certificate: s.certificate, Iterations: s.iterations, Sweeps: s.sweeps}
}
