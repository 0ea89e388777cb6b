package heat

import (
	"spillway/solver/air"
)

// Network is a duct system whose flows are known. The zero value has no nodes and solves to nothing.
type Network struct {
	Pressure float64 // absolute, Pa
	Nodes    []Node
	Branches []Branch
}

// Node is a point where streams meet and mix completely, or a reservoir of known air (a room, an attic, outdoors).
type Node struct {
	Reservoir bool
	State     air.Moist // of a reservoir; ignored otherwise
}

// Branch is a piece of the air path between two nodes.
//
// Air that runs From → To passes the constant heat and the device first and the duct wall after; reversed flow passes
// them in the opposite order.
type Branch struct {
	From, To int
	MassFlow float64 // kg/s of dry air; negative flows To → From
	// Conductance is the overall UA of the duct wall, W/K, to surroundings at Ambient, °C. 0: no exchange.
	Conductance float64
	Ambient     float64
	// Heat is a constant output into the air, W: a furnace, a fan motor. It needs moving air.
	Heat float64
	// Device exchanges heat and water according to the air that reaches it. nil: none.
	Device Device
}

// Device is a machine in a branch whose exchange depends on the entering air: a coil, a heat pump.
type Device interface {
	// Exchange is the heat (W) and water (kg/s) added to air entering in a state at a mass flow (kg/s, positive) and
	// absolute pressure (Pa); a cooling coil returns negative figures. It must be continuous. The solver calls it with
	// trial states, so it extrapolates where it can and returns an error only for a state it cannot evaluate at all.
	Exchange(entering air.Moist, massFlow, pressure float64) (heat, water float64, err error)
	// Check is asked once, at the steady state found: an error when the model must not be used there.
	Check(entering air.Moist, massFlow, pressure float64) error
}

// Status says what is known of a node.
type Status uint8

const (
	// Still: no moving air reaches the node, so it has no temperature of its own. Its State is the zero value and means
	// nothing.
	Still Status = iota
	// Fed by moving air; the State is the mixture.
	Fed
	// Known in advance: a reservoir.
	Known
	// Isolated air moves, but only round a loop that no reservoir feeds; its State is the zero value and means nothing.
	Isolated
)

// Defined reports whether the node has a state.
func (s Status) Defined() bool { return s == Fed || s == Known }

// NodeState is the answer at one node.
type NodeState struct {
	Status Status
	State  air.Moist
}

// BranchState is the answer in one branch. In and Out follow the flow, whatever its direction.
type BranchState struct {
	Moving     bool // false: no flow worth the name, and In and Out mean nothing
	In, Out    air.Moist
	AtDevice   air.Moist // the air that reaches the constant heat and the device
	DuctHeat   float64   // W, gained through the wall
	DeviceHeat float64   // W, from the device and the constant heat
	Water      float64   // kg/s, from the device
}

// Solution of a network.
type Solution struct {
	Nodes       []NodeState
	Branches    []BranchState
	Certificate Certificate
}

// Certificate says how well a Solution meets its equations.
type Certificate struct {
	// EnergyResidual is what all reservoirs receive less all that devices, constant heat and duct walls give, W;
	// EnergyTotal is the sum of the magnitudes of those gifts and of the streams between reservoirs, the scale to judge
	// it by. WaterResidual and WaterTotal are the same for water, kg/s.
	EnergyResidual, EnergyTotal float64
	WaterResidual, WaterTotal   float64
	// MassResidual is the worst imbalance of the given flows at a node, kg/s, and MassResidualNode where it is.
	MassResidual     float64
	MassResidualNode int
	// DeviceResidual is the greatest difference between the exchange a device would make at the state found and the one
	// used, over the greatest exchange.
	DeviceResidual float64
	// Iterations of the device balance; Loops is the number of nodes at which recirculating streams were torn open.
	Iterations, Loops int
}

// Limits that a Solution must meet, relative to the totals; a Solver returns an error otherwise, never the state.
const (
	energyTolerance = 1e-9
	deviceTolerance = 1e-10
	// massTolerance on the given flows, over the largest of them. They come from a flow solution with its own
	// certificate; worse than this is a caller's mistake.
	massTolerance = 1e-7
	// stillFlow is the share of the largest flow below which a branch counts as carrying nothing: the residue of a
	// damper that is shut without leakage.
	stillFlow = 1e-10
)
