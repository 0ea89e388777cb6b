package state

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/air"
	"spillway/solver/flow"
	"spillway/solver/heat"
	"spillway/solver/resist"
)

// Solver solves the call states of one installation. It may be used by several goroutines at once.
type Solver struct {
	graph *network.Graph
	plan  *plan
	noise *noisePlan
	// junctions are tabulated once; a call state takes them at its densities.
	junctions []*resist.Junction
	quick     bool
}

// Quick returns a solver of the same installation that leaves out the time courses: for studies that solve thousands of times. What
// depends on a course (TimeToFrost, BurnerDuty while cycling, Course) is then NaN or empty; all else is the same to the bit.
func (s *Solver) Quick() *Solver {
	q := *s
	q.quick = true
	return &q
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
	rises := slices.ContainsFunc(spec.Taps, func(t network.TapCurve) bool { return fanTable(&t).Check() != nil })
	p, err := newPlan(g, func(element int) bool { return rises && element == g.Blower })
	if err != nil {
		return nil, err
	}
	n, err := newNoisePlan(g)
	if err != nil {
		return nil, err
	}
	s := &Solver{graph: g, plan: p, noise: n}
	for _, j := range g.Junctions {
		junction, err := s.junction(j)
		if err != nil {
			return nil, err
		}
		s.junctions = append(s.junctions, junction)
	}
	return s, nil
}

// SolveAll solves call states side by side and returns their outcomes in the same order. Of several errors the first state's is
// returned, joined with the others.
func (s *Solver) SolveAll(states []CallState) ([]*Outcome, error) {
	outcomes := make([]*Outcome, len(states))
	failures := make([]error, len(states))
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(states)) {
		wg.Go(func() {
			for i := range next {
				outcomes[i], failures[i] = s.Solve(states[i])
			}
		})
	}
	for i := range states {
		next <- i
	}
	close(next)
	wg.Wait()
	return outcomes, errors.Join(failures...)
}

// Solve finds the outcome of one call state. An outcome is returned only with a certificate that passes; the error names the
// element at fault. Solving starts cold, so that an outcome does not depend on what was solved before it.
func (s *Solver) Solve(cs CallState) (*Outcome, error) {
	set, err := newSetting(s.graph, cs)
	if err != nil {
		return nil, err
	}
	c := &calculation{solver: s, set: set, flow: s.plan.topology.NewSolver(), heatSolver: new(heat.Solver)}
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
	solver     *Solver
	set        *setting
	flow       *flow.Solver
	laws       *laws
	problem    flow.Problem
	solution   flow.Solution
	points     []flow.OperatingPoint // of a blower whose curve rises somewhere
	lift       []float64             // Pa of buoyancy per element, in its direction
	iterations int
	heatSolver *heat.Solver
	heatNet    *heat.Network
	heat       *heat.Solution
	turn       []float64 // Pa lost in the junction at an element's end, in its direction
}

// balance solves the flows for the temperatures as they stand, starting from flows near by, or cold.
func (c *calculation) balance(start []float64) error {
	g := c.solver.graph
	l, err := newLaws(g, c.set)
	if err != nil {
		return err
	}
	c.laws = l
	if err := c.pose(); err != nil {
		return err
	}
	var regulators []int
	for i := range g.Elements {
		if _, ok := g.Elements[i].Spec.(*network.RegulatorSpec); ok {
			regulators = append(regulators, i)
		}
	}
	if len(regulators) > 0 {
		return c.regulate(regulators)
	}
	return c.solve(start)
}

// pose writes the flow problem: a law and a buoyancy source per edge, a coupling per junction.
func (c *calculation) pose() error {
	p, g := c.solver.plan, c.solver.graph
	c.problem = flow.Problem{
		Laws:   make([]flow.Law, len(p.edges)),
		Source: make([]float64, len(p.edges)),
		Known:  make([]float64, len(p.known)),
		Scale:  g.DesignAirflow * air.StandardDensity / 4,
	}
	c.lift = make([]float64, len(g.Elements))
	reference := c.set.room.Density(c.set.pressure)
	for i, edge := range p.edges {
		c.problem.Laws[i] = c.edgeLaw(edge)
		for _, part := range edge.parts {
			if duct, ok := g.Elements[part.element].Spec.(*network.DuctSpec); ok {
				c.lift[part.element] = resist.Buoyancy(reference, c.set.air[part.element].Density, duct.Rise)
				c.problem.Source[i] += part.sign * c.lift[part.element]
			}
		}
	}
	for i, j := range g.Junctions {
		c.problem.Couplings = append(c.problem.Couplings, c.solver.junctions[i].At(c.set.air[j.Common].Density))
	}
	return nil
}

// edgeLaw strings the laws of a chain's parts together.
func (c *calculation) edgeLaw(edge chain) flow.Law {
	laws := make([]flow.Law, len(edge.parts))
	for k, part := range edge.parts {
		laws[k] = c.laws.element[part.element]
		if part.sign < 0 {
			laws[k] = reversed{laws[k]}
		}
	}
	if len(laws) == 1 {
		return laws[0]
	}
	return resist.NewSeries(laws...)
}

// reversed is a law seen from its other end.
type reversed struct{ law flow.Law }

func (r reversed) Drop(q float64) (drop, slope float64) {
	drop, slope = r.law.Drop(-q)
	return -drop, slope
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
	chosen := -1
	for i, point := range points {
		if point.Stable {
			chosen = i // the stable point of the greatest flow: where a blower that starts against an open system comes to rest
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
	c.turn = make([]float64, len(g.Elements))
	for i, j := range g.Junctions {
		q := [2]float64{c.solution.Flow[p.edgeOf[j.Run]], c.solution.Flow[p.edgeOf[j.Branch]]}
		var drop [2]float64
		var jac [4]float64
		c.problem.Couplings[i].Add(q[:], drop[:], jac[:])
		c.turn[j.Run] += p.signOf[j.Run] * drop[0]
		c.turn[j.Branch] += p.signOf[j.Branch] * drop[1]
	}
}

// regulate finds the openings at which every pressure-holding damper agrees with the pressure at its sensor. For one damper the
// sensed pressure falls as it opens, so its opening is the root of a falling function and is bracketed; several are taken in
// turn until none moves.
func (c *calculation) regulate(regulators []int) error {
	const (
		most      = 60
		tolerance = 1e-9
	)
	for range most {
		moved := 0.0
		for _, e := range regulators {
			before := c.set.position[e]
			if err := c.regulateOne(e); err != nil {
				return err
			}
			moved = max(moved, math.Abs(c.set.position[e]-before))
		}
		if moved < tolerance || len(regulators) == 1 {
			return nil
		}
	}
	return fmt.Errorf("%s and the other pressure-holding dampers work against each other and come to no rest", c.solver.graph.Elements[regulators[0]].Name)
}

// regulateOne finds the opening of one pressure-holding damper with the others where they are. It sets out from where the damper
// stands, since between turns with the heat side it hardly moves.
func (c *calculation) regulateOne(e int) error {
	g, p := c.solver.graph, c.solver.plan
	spec := g.Elements[e].Spec.(*network.RegulatorSpec)
	controller := resist.Regulator{Set: spec.Holds, Band: spec.Band}
	var start []float64
	excess := func(opening float64) (float64, error) {
		law, err := damperLaw(spec.Section, spec.Blade, opening, spec.Leakage, spec.LeakageClass, c.set.air[e])
		if err != nil {
			return 0, err
		}
		c.set.position[e] = opening
		c.laws.element[e] = law
		c.problem.Laws[p.edgeOf[e]] = c.edgeLaw(p.edges[p.edgeOf[e]])
		if err := c.solve(start); err != nil {
			return 0, err
		}
		start = append(start[:0], c.solution.Flow...)
		wanted, _ := controller.Opening(c.pressureAt(spec.Sensor))
		return wanted - opening, nil
	}
	found, err := fallingRoot(excess, c.set.position[e])
	if err == nil && !found {
		err = fmt.Errorf("%s finds no opening at which it holds its pressure", g.Elements[e].Name)
	}
	return err
}

// fallingRoot brings a falling function of an opening in 0..1 to zero, or as near as the ends allow; the last call of f is at the
// root. It searches outwards from a first guess, then closes in by false position with Illinois halving.
func fallingRoot(f func(float64) (float64, error), guess float64) (found bool, err error) {
	const (
		tolerance = 1e-10
		most      = 200
	)
	at, err := f(guess)
	if err != nil || math.Abs(at) < tolerance {
		return true, err
	}
	low, high := guess, guess
	atLow, atHigh := at, at
	for reach := 0.02; atLow < 0 || atHigh > 0; reach *= 4 {
		if at > 0 {
			if high == 1 {
				return true, nil // fully open and still asked to open further
			}
			low, atLow, high = high, atHigh, min(1, guess+reach)
			if atHigh, err = f(high); err != nil || math.Abs(atHigh) < tolerance {
				return true, err
			}
		} else {
			if low == 0 {
				return true, nil // shut and still asked to close
			}
			high, atHigh, low = low, atLow, max(0, guess-reach)
			if atLow, err = f(low); err != nil || math.Abs(atLow) < tolerance {
				return true, err
			}
		}
	}
	stayed := 0
	for range most {
		mid := (low*atHigh - high*atLow) / (atHigh - atLow)
		if !(mid > low && mid < high) {
			mid = (low + high) / 2
		}
		if at, err = f(mid); err != nil {
			return false, err
		}
		if math.Abs(at) < tolerance || high-low < tolerance {
			return true, nil
		}
		if at > 0 {
			low, atLow = mid, at
			if stayed > 0 {
				atHigh /= 2
			}
			stayed = 1
		} else {
			high, atHigh = mid, at
			if stayed < 0 {
				atLow /= 2
			}
			stayed = -1
		}
	}
	return false, nil
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
			drop, _ := c.laws.element[part.element].Drop(part.sign * c.solution.Flow[i])
			at += part.sign * (c.lift[part.element] - drop - c.turn[part.element])
			if part.sign > 0 {
				visit(e.To, at)
			} else {
				visit(e.From, at)
			}
		}
	}
}
