package heat

import (
	"fmt"
	"math"

	"spillway/solver/air"
)

// Solver finds the steady state of networks and keeps its memory between calls: devices in the same branches set out from what they exchanged
// the last time (but see Restart). The zero value is ready. It is not safe for use by several goroutines at once.
type Solver struct {
	transport transport
	moving    []int8
	fed       []bool
	isolated  []bool
	devices   []int // moving branches with a device
	// Per branch, in the direction of flow.
	factor, constant []float64
	deviceHeat       []float64 // W, device and constant heat
	deviceWater      []float64 // kg/s
	// Per node.
	humidity, enthalpy, scratch []float64
	ones                        []float64
	coupled                     coupled
	solution                    Solution
}

// Solve finds the steady state: at every fed node enthalpy and humidity ratio are the mass-weighted means of what enters,
// in every branch
//
//	W₂ = W₁ + w/m
//	h₂ = h₁ + q/m                                   constant heat and device
//	T₃ = T∞ + (T₂ − T∞) exp(−UA / (m cp))           duct wall
//
// Given the devices' exchange both transports are linear and are solved directly, loops included; the devices' own
// dependence on the air that reaches them is a small non-linear system for Newton's method, with nested bracketing
// behind it. The Solution belongs to the Solver and is overwritten by its next call.
//
// Errors: impossible figures and unbalanced flows (ErrInput); heat into air that does not move, a loop without fresh
// air, devices whose balance is not reached (ErrNoSteadyState); a state at which a device's model must not be used
// (whatever its Check returns). A Solution is returned only when it meets its certificate.
func (s *Solver) Solve(n *Network) (*Solution, error) {
	solution, err := s.Balance(n)
	if err == nil {
		err = s.Check(n)
	}
	if err != nil {
		return nil, err
	}
	return solution, nil
}

// Balance is Solve without asking the devices whether their models may be used at the state found: a device out of its range carries on
// its model as its Exchange says. It is for those who seek flows and heat by turns, where only the state that all comes to rest in has
// to pass Check.
func (s *Solver) Balance(n *Network) (*Solution, error) {
	if err := s.prepare(n); err != nil {
		return nil, err
	}
	if err := s.balanceDevices(n); err != nil {
		return nil, err
	}
	s.report(n)
	if err := s.certify(n); err != nil {
		return nil, err
	}
	return &s.solution, nil
}

// Check asks the devices whether their models may be used at the state of the last Balance of this network.
func (s *Solver) Check(n *Network) error {
	for _, b := range s.devices {
		br := &n.Branches[b]
		if err := br.Device.Check(s.solution.Branches[b].AtDevice, math.Abs(br.MassFlow), n.Pressure); err != nil {
			return fmt.Errorf("branch %d: %w", b, err)
		}
	}
	return nil
}

// prepare checks the figures, decides what moves, and orders the nodes along the flow.
func (s *Solver) prepare(n *Network) error {
	nodes, branches := len(n.Nodes), len(n.Branches)
	if branches > 0 && !(n.Pressure > 0) {
		return badInput("absolute pressure %g Pa", n.Pressure)
	}
	for i, node := range n.Nodes {
		if node.Reservoir {
			if err := node.State.Check(n.Pressure); err != nil {
				return fmt.Errorf("reservoir %d: %w", i, err)
			}
		}
	}
	largest := 0.0
	for b, br := range n.Branches {
		switch {
		case br.From < 0 || br.From >= nodes || br.To < 0 || br.To >= nodes:
			return badInput("branch %d runs from node %d to node %d of %d", b, br.From, br.To, nodes)
		case !finite(br.MassFlow):
			return badInput("branch %d has a mass flow of %g kg/s", b, br.MassFlow)
		case !(br.Conductance >= 0) || math.IsInf(br.Conductance, 0):
			return badInput("branch %d has a conductance of %g W/K", b, br.Conductance)
		case br.Conductance > 0 && !(br.Ambient > -100 && br.Ambient < 200):
			return badInput("branch %d lies in surroundings at %g °C", b, br.Ambient)
		case !finite(br.Heat):
			return badInput("branch %d has a heat output of %g W", b, br.Heat)
		}
		largest = math.Max(largest, math.Abs(br.MassFlow))
	}

	s.moving, s.fed = resize(s.moving, branches), resize(s.fed, nodes)
	s.devices = s.devices[:0]
	for b, br := range n.Branches {
		s.moving[b] = 0
		switch {
		case math.Abs(br.MassFlow) <= stillFlow*largest || br.From == br.To:
		case br.MassFlow > 0:
			s.moving[b] = 1
		default:
			s.moving[b] = -1
		}
		if s.moving[b] == 0 && (br.Heat != 0 || br.Device != nil) {
			return fmt.Errorf("%w: branch %d gives %g W (device: %t) to air that does not move", ErrNoSteadyState, b, br.Heat, br.Device != nil)
		}
	}
	if err := s.checkMass(n, largest); err != nil {
		return err
	}
	s.transport.prepare(n, s.moving, s.fed)
	s.isolated = resize(s.isolated, nodes)
	for i := range s.isolated {
		s.isolated[i] = false
	}
	for b, br := range n.Branches {
		if s.moving[b] == 0 {
			continue
		}
		if !s.fed[s.transport.up[b]] {
			if br.Heat != 0 || br.Device != nil {
				return fmt.Errorf("%w: branch %d gives heat to a loop that no room or outside air feeds", ErrNoSteadyState, b)
			}
			s.moving[b] = 0
			s.isolated[br.From], s.isolated[br.To] = true, true
			continue
		}
		if br.Device != nil {
			s.devices = append(s.devices, b)
		}
	}
	s.factor, s.constant = resize(s.factor, branches), resize(s.constant, branches)
	s.deviceHeat, s.deviceWater = resize(s.deviceHeat, branches), resize(s.deviceWater, branches)
	s.ones = resize(s.ones, branches)
	for b := range s.ones {
		s.ones[b] = 1
		s.deviceHeat[b], s.deviceWater[b] = n.Branches[b].Heat, 0
	}
	s.humidity, s.enthalpy, s.scratch = resize(s.humidity, nodes), resize(s.enthalpy, nodes), resize(s.scratch, nodes)
	return nil
}

// checkMass finds the worst imbalance of the moving flows at nodes that are no reservoir.
func (s *Solver) checkMass(n *Network, largest float64) error {
	balance := resize(s.scratch, len(n.Nodes))
	s.scratch = balance
	for i := range balance {
		balance[i] = 0
	}
	for b, br := range n.Branches {
		if s.moving[b] != 0 {
			balance[br.From] -= br.MassFlow
			balance[br.To] += br.MassFlow
		}
	}
	c := &s.solution.Certificate
	*c = Certificate{MassResidualNode: -1}
	for i, node := range n.Nodes {
		if !node.Reservoir && math.Abs(balance[i]) > c.MassResidual {
			c.MassResidual, c.MassResidualNode = math.Abs(balance[i]), i
		}
	}
	if c.MassResidual > massTolerance*largest {
		return badInput("flows do not balance at node %d: %g kg/s left over, largest flow %g kg/s", c.MassResidualNode, balance[c.MassResidualNode], largest)
	}
	return nil
}

// carry solves both transports for the devices' exchange as it stands in deviceHeat and deviceWater.
func (s *Solver) carry(n *Network) error {
	for b, br := range n.Branches {
		if s.moving[b] != 0 {
			s.constant[b] = s.deviceWater[b] / math.Abs(br.MassFlow)
		}
	}
	for i, node := range n.Nodes {
		s.humidity[i], s.enthalpy[i] = 0, 0
		if node.Reservoir {
			s.humidity[i], s.enthalpy[i] = node.State.HumidityRatio, node.State.Enthalpy()
		}
	}
	if !s.transport.solve(s.humidity, s.scratch, s.ones, s.constant) {
		return fmt.Errorf("%w: a loop recirculates all of its air", ErrNoSteadyState)
	}
	for b, br := range n.Branches {
		if s.moving[b] == 0 {
			continue
		}
		m := math.Abs(br.MassFlow)
		heat := s.deviceHeat[b] / m
		in := s.humidity[s.transport.up[b]]
		out := in + s.deviceWater[b]/m
		if s.moving[b] > 0 {
			keep, base := wall(br, m, out)
			s.factor[b], s.constant[b] = keep, keep*heat+(1-keep)*base
		} else {
			keep, base := wall(br, m, in)
			s.factor[b], s.constant[b] = keep, (1-keep)*base+heat
		}
	}
	if !s.transport.solve(s.enthalpy, s.scratch, s.factor, s.constant) {
		return fmt.Errorf("%w: a loop recirculates all of its air", ErrNoSteadyState)
	}
	return nil
}

// wall returns the share of the difference from the surroundings that air of humidity ratio w keeps along the branch,
// and the enthalpy it would have at the temperature of the surroundings.
func wall(br Branch, massFlow, w float64) (keep, base float64) {
	if br.Conductance == 0 {
		return 1, 0
	}
	m := air.Moist{Temperature: br.Ambient, HumidityRatio: w}
	return math.Exp(-br.Conductance / (massFlow * m.SpecificHeat())), m.Enthalpy()
}

// node is the state at a fed node or reservoir after carry.
func (s *Solver) node(i int) air.Moist { return air.FromEnthalpy(s.enthalpy[i], s.humidity[i]) }

// atDevice is the air that reaches the device of a branch after carry: behind the duct wall when the flow is reversed.
func (s *Solver) atDevice(n *Network, b int) air.Moist {
	m := s.node(s.transport.up[b])
	if s.moving[b] < 0 {
		m = pastWall(n.Branches[b], m)
	}
	return m
}

// pastWall is air that has passed the duct wall of a branch.
func pastWall(br Branch, m air.Moist) air.Moist {
	if br.Conductance == 0 {
		return m
	}
	keep := math.Exp(-br.Conductance / (math.Abs(br.MassFlow) * m.SpecificHeat()))
	m.Temperature = br.Ambient + (m.Temperature-br.Ambient)*keep
	return m
}

// report writes the states into the solution.
func (s *Solver) report(n *Network) {
	s.solution.Nodes = resize(s.solution.Nodes, len(n.Nodes))
	s.solution.Branches = resize(s.solution.Branches, len(n.Branches))
	for i, node := range n.Nodes {
		switch {
		case node.Reservoir:
			s.solution.Nodes[i] = NodeState{Known, node.State}
		case s.fed[i]:
			s.solution.Nodes[i] = NodeState{Fed, s.node(i)}
		case s.isolated[i]:
			s.solution.Nodes[i] = NodeState{Status: Isolated}
		default:
			s.solution.Nodes[i] = NodeState{Status: Still}
		}
	}
	for b, br := range n.Branches {
		if s.moving[b] == 0 {
			s.solution.Branches[b] = BranchState{}
			continue
		}
		m := math.Abs(br.MassFlow)
		state := BranchState{Moving: true, In: s.node(s.transport.up[b]), DeviceHeat: s.deviceHeat[b], Water: s.deviceWater[b]}
		at := state.In
		if s.moving[b] < 0 {
			at = pastWall(br, at)
		}
		state.AtDevice = at
		after := air.FromEnthalpy(at.Enthalpy()+s.deviceHeat[b]/m, at.HumidityRatio+s.deviceWater[b]/m)
		state.Out = after
		if s.moving[b] > 0 {
			state.Out = pastWall(br, after)
			state.DuctHeat = m * after.SpecificHeat() * (state.Out.Temperature - after.Temperature)
		} else {
			state.DuctHeat = m * at.SpecificHeat() * (at.Temperature - state.In.Temperature)
		}
		s.solution.Branches[b] = state
	}
}

// certify adds up what the reservoirs receive and what devices and walls give, which the solution did not use.
func (s *Solver) certify(n *Network) error {
	c := &s.solution.Certificate
	c.Loops = len(s.transport.torn)
	// Enthalpy is counted from the first reservoir's, so that an imbalance of the given flows weighs little.
	reference := 0.0
	for _, node := range n.Nodes {
		if node.Reservoir {
			reference = node.State.Enthalpy()
			break
		}
	}
	streams := 0.0
	for b, br := range n.Branches {
		if s.moving[b] == 0 {
			continue
		}
		state, m := &s.solution.Branches[b], math.Abs(br.MassFlow)
		from, to := br.From, br.To
		if s.moving[b] < 0 {
			from, to = to, from
		}
		streams += m * math.Abs(state.In.Enthalpy())
		c.EnergyResidual -= state.DeviceHeat + state.DuctHeat
		c.EnergyTotal += math.Abs(state.DeviceHeat) + math.Abs(state.DuctHeat)
		c.WaterResidual -= state.Water
		c.WaterTotal += math.Abs(state.Water)
		if n.Nodes[to].Reservoir {
			e, w := m*(state.Out.Enthalpy()-reference), m*state.Out.HumidityRatio
			c.EnergyResidual += e
			c.EnergyTotal += math.Abs(e)
			c.WaterResidual += w
			c.WaterTotal += w
		}
		if n.Nodes[from].Reservoir {
			e, w := m*(state.In.Enthalpy()-reference), m*state.In.HumidityRatio
			c.EnergyResidual -= e
			c.EnergyTotal += math.Abs(e)
			c.WaterResidual -= w
			c.WaterTotal += w
		}
		if !finite(state.Out.Temperature) {
			return fmt.Errorf("%w: branch %d has no finite temperature", ErrCertificate, b)
		}
	}
	// Rounding of the streams themselves (flow times enthalpy) is no fault of the balance.
	if math.Abs(c.EnergyResidual) > energyTolerance*c.EnergyTotal+rounding*streams+c.MassResidual*float64(len(n.Nodes))*1e5 {
		return fmt.Errorf("%w: energy balance off by %g W of %g W", ErrCertificate, c.EnergyResidual, c.EnergyTotal)
	}
	if c.DeviceResidual > deviceTolerance {
		return fmt.Errorf("%w: device balance off by %g of the greatest exchange", ErrCertificate, c.DeviceResidual)
	}
	return nil
}

// rounding of a sum of streams, relative to their magnitudes.
const rounding = 1e-13

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
