package state

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/air"
	"spillway/solver/flow"
	"spillway/solver/heat"
	"spillway/solver/pool"
	"spillway/solver/resist"
)

// Solver solves the call states of one installation. It may be used by several goroutines at once.
type Solver struct {
	graph *network.Graph
	plan  *plan
	noise *noisePlan
	// junctions are tabulated once; a call state takes them at its densities.
	junctions []*resist.Junction
	fans      []*resist.Fan // by tap; nil for a table that rises somewhere
	rises     bool          // one does
	brief     bool
	near      []*Outcome
	memory    *sync.Pool // of workspaces, shared with the solvers of variants
}

// Quick returns a solver of the same installation for studies that solve thousands of times. It leaves out the time courses and the
// intervals of the flows: TimeToFrost, BurnerDuty while cycling, Course, Low, High and FlowBound are then NaN or empty. Flow and heat agree to 1e-6 K
// instead of 1e-7 K, by which airflows differ in the ninth digit.
func (s *Solver) Quick() *Solver {
	q := *s
	q.brief = true
	return &q
}

// With returns a solver, as quick as this one, of an installation that is this one with parts sized or set otherwise. What both have in common
// is not prepared again when g shares it (a graph made by copying Elements and replacing their Specs); any other graph will do too, and
// costs as much as New. The outcomes of Near stay in force for a graph of the same parts.
func (s *Solver) With(g *network.Graph) (*Solver, error) {
	blower := g.Elements[g.Blower].Spec
	if !sameParts(s.graph, g) || blower != s.graph.Elements[g.Blower].Spec && s.rises != rises(g) {
		other, err := New(g)
		if err == nil {
			other.brief = s.brief
		}
		return other, err
	}
	other := *s
	other.graph = g
	if g.JunctionDeviation != s.graph.JunctionDeviation {
		other.junctions = nil
		if err := other.tabulate(); err != nil {
			return nil, err
		}
	}
	if spec, ok := blower.(*network.BlowerSpec); ok && blower != s.graph.Elements[g.Blower].Spec {
		var err error
		if other.fans, err = newFans(spec); err != nil {
			return nil, fmt.Errorf("%s: %w", g.Elements[g.Blower].Name, err)
		}
	}
	if !sameSound(s.graph, g) {
		var err error
		if other.noise, err = newNoisePlan(g); err != nil {
			return nil, err
		}
	}
	return &other, nil
}

// Near returns a solver whose call states set out from the flows and temperatures of outcomes of the same state by name, of an
// installation with the same parts, where there are such; the others start cold. What it finds depends on these outcomes, within the tolerances, and on nothing else
// that was solved before. An outcome of other parts is passed over.
func (s *Solver) Near(outcomes []*Outcome) *Solver {
	n := *s
	n.near = nil
	for _, o := range outcomes {
		if o != nil && (o.Graph == s.graph || sameParts(o.Graph, s.graph)) {
			n.near = append(n.near, o)
		}
	}
	return &n
}

// New prepares an installation: the reduction to a flow network and everything else that all its call states share. Equipment whose
// figures no machine can have is refused with a diag.List that names figures and place.
func New(g *network.Graph) (*Solver, error) {
	spec, ok := g.Elements[g.Blower].Spec.(*network.BlowerSpec)
	if !ok {
		return nil, errors.New("the graph has no blower")
	}
	if found := checkMachines(g); found.HasErrors() {
		return nil, found
	}
	fans, err := newFans(spec)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", g.Elements[g.Blower].Name, err)
	}
	s := &Solver{graph: g, fans: fans, rises: rises(g), memory: &sync.Pool{}}
	if s.plan, err = newPlan(g, func(element int) bool { return s.rises && element == g.Blower }); err != nil {
		return nil, err
	}
	if s.noise, err = newNoisePlan(g); err != nil {
		return nil, err
	}
	if err := s.tabulate(); err != nil {
		return nil, err
	}
	return s, nil
}

// tabulate adds the junctions of the graph.
func (s *Solver) tabulate() error {
	for _, j := range s.graph.Junctions {
		junction, err := s.junction(j)
		if err != nil {
			return err
		}
		s.junctions = append(s.junctions, junction)
	}
	return nil
}

// Graph is the installation that the solver is for.
func (s *Solver) Graph() *network.Graph { return s.graph }

// rises tells whether a table of the blower rises somewhere; the blower is then an edge of its own.
func rises(g *network.Graph) bool {
	spec, ok := g.Elements[g.Blower].Spec.(*network.BlowerSpec)
	return ok && slices.ContainsFunc(spec.Taps, func(t network.TapCurve) bool { return fanTable(&t).Check() != nil })
}

// newFans fits the curves of a blower's taps; nil for a table that rises somewhere.
func newFans(spec *network.BlowerSpec) ([]*resist.Fan, error) {
	fans := make([]*resist.Fan, len(spec.Taps))
	for i := range spec.Taps {
		table := fanTable(&spec.Taps[i])
		if table.Check() != nil {
			continue
		}
		fan, err := resist.NewFan(table, air.StandardDensity)
		if err != nil {
			return nil, err
		}
		fans[i] = &fan
	}
	return fans, nil
}

// SolveAll solves call states side by side and returns their outcomes in the same order. Every call state that fails has its
// error among the joined ones.
func (s *Solver) SolveAll(states []CallState) ([]*Outcome, error) {
	outcomes := make([]*Outcome, len(states))
	failures := make([]error, len(states))
	_ = pool.Each(context.Background(), 0, len(states), func(_ context.Context, i int) error {
		outcomes[i], failures[i] = s.Solve(states[i])
		return nil // the others are solved all the same
	})
	return outcomes, errors.Join(failures...)
}

// Solve finds the outcome of one call state. An outcome is returned only with a certificate that passes; the error names the
// element at fault. Solving starts cold, so that an outcome does not depend on what was solved before it (but see Near).
func (s *Solver) Solve(cs CallState) (*Outcome, error) {
	return s.SolveContext(context.Background(), cs)
}

// SolveContext solves as Solve does until ctx ends, which it looks at once per iteration of flow and heat.
func (s *Solver) SolveContext(ctx context.Context, cs CallState) (*Outcome, error) {
	w, ok := s.memory.Get().(*workspace)
	if !ok {
		w = newWorkspace(s)
	}
	defer s.memory.Put(w)
	o, err := s.solveAt(ctx, cs, w, 0)
	if err != nil || s.brief {
		return o, err
	}
	stable := 0
	for _, p := range o.Blower.Points {
		if p.Stable {
			stable++
		}
	}
	for rank := 1; rank < stable; rank++ {
		other, err := s.solveAt(ctx, cs, w, rank)
		switch {
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case err != nil:
			o.Notes = append(o.Notes, fmt.Sprintf("another stable operating point could not be solved to the end: %v", err))
		case other.Blower.Airflow < o.Blower.Airflow:
			o.Others = append(o.Others, other)
		}
	}
	return o, nil
}

// solveAt solves a call state at one of the blower's stable operating points: rank 0 has the greatest flow.
func (s *Solver) solveAt(ctx context.Context, cs CallState, w *workspace, rank int) (*Outcome, error) {
	c := &calculation{solver: s, workspace: w, held: -1, rank: rank, ctx: ctx}
	if err := c.begin(cs); err != nil {
		return nil, err
	}
	if err := c.agree(); err != nil {
		return nil, fmt.Errorf("%s: %w", cs.Name, err)
	}
	o, err := c.outcome()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", cs.Name, err)
	}
	return o, nil
}

// calculation is the solution of one call state in the making.
type calculation struct {
	*workspace
	ctx        context.Context
	solver     *Solver
	set        *setting
	laws       laws
	warmStart  bool // start holds flows to set out from
	held       int  // edge whose flow is held at heldAt; −1 = none
	heldAt     float64
	rank       int // of the blower's stable operating point, from the greatest flow
	solution   flow.Solution
	points     []flow.OperatingPoint // of a blower whose curve rises somewhere
	iterations int
	steady     *heat.Solution
	regulators []int
	jumps      []bool // of regulators: it stands where the pressure that it senses jumps
}

// begin reads the setting and takes flows and temperatures to set out from out of an outcome near by, if there is one.
func (c *calculation) begin(cs CallState) error {
	g, p := c.solver.graph, c.solver.plan
	c.workspace.begin()
	var err error
	if c.set, err = newSetting(g, cs, c.workspace); err != nil {
		return err
	}
	c.walls()
	for i := range g.Elements {
		if _, ok := g.Elements[i].Spec.(*network.RegulatorSpec); ok {
			c.regulators, c.jumps = append(c.regulators, i), append(c.jumps, false)
		}
	}
	for _, o := range c.solver.near {
		if o.State.Name != cs.Name || o.State.Mode != cs.Mode {
			continue
		}
		c.start, c.warmStart = c.start[:0], true
		for _, edge := range p.edges {
			part := edge.parts[0]
			c.start = append(c.start, part.sign*o.Elements[part.element].Flow)
		}
		for i := range g.Elements {
			c.set.warm[i] = o.Elements[i].DensityTemperature
			c.set.air[i] = air.State{Density: o.Elements[i].Density, Viscosity: air.Viscosity(c.set.warm[i])}
		}
		for _, d := range o.Dampers {
			if d.Moved && slices.Contains(c.regulators, d.Element) {
				c.set.position[d.Element] = d.Position
			}
		}
	}
	return nil
}

// balance solves the flows for the temperatures as they stand, starting from flows near by, or cold.
func (c *calculation) balance() error {
	if err := c.makeLaws(); err != nil {
		return err
	}
	c.pose()
	if len(c.regulators) > 0 {
		return c.regulate()
	}
	if c.warmStart {
		err := c.solve(c.start)
		if stuck := (*flow.ConvergenceError)(nil); !errors.As(err, &stuck) {
			return err
		}
	}
	// With junctions the start can decide whether a solution is found.
	scale := c.problem.Scale
	defer func() { c.problem.Scale = scale }()
	err := c.solve(nil)
	for _, part := range [...]float64{0.1, 0.01, 10} {
		if stuck := (*flow.ConvergenceError)(nil); !errors.As(err, &stuck) {
			break
		}
		c.problem.Scale = part * scale
		err = c.solve(nil)
	}
	return err
}

// pose writes the flow problem: a law and a buoyancy source per edge, a coupling per junction.
func (c *calculation) pose() {
	p, g := c.solver.plan, c.solver.graph
	reference := c.set.room.Density(c.set.pressure)
	for i, edge := range p.edges {
		c.string(i, edge)
		c.problem.Source[i] = 0
		for _, part := range edge.parts {
			if duct, ok := g.Elements[part.element].Spec.(*network.DuctSpec); ok {
				c.lift[part.element] = resist.Buoyancy(reference, c.set.air[part.element].Density, duct.Rise)
				c.problem.Source[i] += part.sign * c.lift[part.element]
			}
		}
	}
	for i, j := range g.Junctions {
		c.junctions[i] = c.solver.junctions[i].At(c.set.air[j.Common].Density)
	}
}

// junction tabulates a junction, for standard air.
func (s *Solver) junction(j network.Junction) (*resist.Junction, error) {
	p, g := s.plan, s.graph
	row, ok := catalog.LookupJunction(j.Kind)
	if !ok {
		return nil, fmt.Errorf("%s: %q is not a junction of the catalogue", g.Nodes[j.Node].Name, j.Kind)
	}
	inward := func(element int) bool {
		toNode := g.Elements[element].To == j.Node
		return toNode == (p.signOf[element] > 0)
	}
	junction, err := resist.NewJunction(resist.JunctionData{
		Run: p.edgeOf[j.Run], Branch: p.edgeOf[j.Branch], RunInward: inward(j.Run), BranchInward: inward(j.Branch),
		CommonArea: j.CommonArea, RunArea: j.RunArea, BranchArea: j.BranchArea,
		RunOut: j.RunOut, RunIn: j.RunIn, Deviation: g.JunctionDeviation,
		Kind: row, Density: air.StandardDensity,
	})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", g.Nodes[j.Node].Name, err)
	}
	return junction, nil
}

// solve finds pressures and flows for the problem as it stands.
func (c *calculation) solve(start []float64) error {
	p := c.solver.plan
	if c.held >= 0 {
		solution, err := c.flow.SolveAt(&c.problem, c.held, c.heldAt, start)
		if err != nil {
			return p.named(err)
		}
		c.solution = solution
		c.iterations += solution.Iterations
		c.turns()
		return nil
	}
	stall, rises := c.laws.fan.(*resist.StallFan)
	if !rises {
		solution, err := c.flow.Solve(&c.problem, start)
		if err != nil {
			return p.named(err)
		}
		c.solution = solution
		c.iterations += solution.Iterations
		c.turns()
		return nil
	}
	points, err := c.flow.OperatingPoints(&c.problem, p.blower, stall)
	if err != nil {
		return p.named(err)
	}
	// The stable point of the greatest flow is where a blower that starts against an open system settles.
	chosen, left := -1, c.rank
	for i := len(points) - 1; i >= 0 && left >= 0; i-- {
		if points[i].Stable {
			chosen, left = i, left-1
		}
	}
	if chosen < 0 {
		return errors.New("the blower's curve and the duct system meet at no stable point")
	}
	c.points = points
	solution, err := c.flow.SolveAt(&c.problem, p.blower, points[chosen].Flow, nil)
	if err != nil {
		return p.named(err)
	}
	c.solution = solution
	c.iterations += solution.Iterations
	c.turns()
	return nil
}

// turns shares the drops of the junctions out to the elements that are their legs.
func (c *calculation) turns() {
	p, g := c.solver.plan, c.solver.graph
	clear(c.turn)
	for i, j := range g.Junctions {
		q := [2]float64{c.solution.Flow[p.edgeOf[j.Run]], c.solution.Flow[p.edgeOf[j.Branch]]}
		var drop [2]float64
		var jac [4]float64
		c.junctions[i].Add(q[:], drop[:], jac[:])
		c.turn[j.Run] += p.signOf[j.Run] * drop[0]
		c.turn[j.Branch] += p.signOf[j.Branch] * drop[1]
	}
}

// pressureAt is the total pressure at a graph node in the present solution.
func (c *calculation) pressureAt(node int) float64 {
	if n := c.solver.plan.nodeOf[node]; n >= 0 {
		return c.solution.Pressure[n]
	}
	at := math.NaN()
	c.walk(func(n int, pressure float64) {
		if n == node {
			at = pressure
		}
	})
	return at
}

// walk visits the nodes inside chains with their total pressures.
func (c *calculation) walk(visit func(node int, pressure float64)) {
	p, g := c.solver.plan, c.solver.graph
	for i, edge := range p.edges {
		at := c.solution.Pressure[edge.tail]
		for k, part := range edge.parts {
			if k == len(edge.parts)-1 {
				break // its far end is the head, a node of the flow network
			}
			e := g.Elements[part.element]
			drop, _ := c.element[part.element].Drop(part.sign * c.solution.Flow[i])
			at += part.sign * (c.lift[part.element] - drop - c.turn[part.element])
			if part.sign > 0 {
				visit(e.To, at)
			} else {
				visit(e.From, at)
			}
		}
	}
}
