package diagnose

import (
	"math"

	"spillway/network"
)

// Kind is a kind of fault.
type Kind string

// The kinds of fault.
const (
	Nothing        Kind = "nothing wrong"
	LoadedFilter   Kind = "loaded filter"
	FouledCoil     Kind = "fouled coil"
	ChokedRun      Kind = "choked run"
	TornRun        Kind = "torn run"
	ShutDamper     Kind = "damper does not open"
	SlippedDamper  Kind = "damper does not close"
	StopOff        Kind = "stop not where it was set"
	BypassOpen     Kind = "bypass stuck open"
	BypassShut     Kind = "bypass stuck shut"
	WeightOff      Kind = "bypass weight misplaced"
	SupplyLeak     Kind = "supply leak"
	ReturnLeak     Kind = "return leak"
	WrongTap       Kind = "wrong blower tap"
	BlockedGrille  Kind = "blocked grille"
	ShutDoor       Kind = "closed door"
	MovedBalance   Kind = "balancing damper moved"
	WrongSetPoint  Kind = "bypass controller off its set point"
	weightOffUnits      = "times the opening pressure"
)

// Cause is one fault at one place, with one severity that the readings are to find.
type Cause struct {
	Kind  Kind
	Where string // element, line, damper or tap
	// Means says what the severity is: "times the clean drop", "open".
	Means string
	// Knots are severities at which the installation is solved, rising. A fault that is or is not has one.
	Knots []float64
	// Sound is the severity of an installation in order.
	Sound float64
	// Odds before any reading, against those of other causes; Why says what they rest on.
	Odds float64
	Why  string
	// apply changes a copy of the graph.
	apply func(g *network.Graph, severity float64)
	// density is the prior density over severities, not normalised; nil is even over the knots' own scale.
	log bool // the scale of severities is logarithmic
}

// Apply returns a copy of a graph with the fault in it. The graph itself is not changed; a severity outside the cause's range is held
// at its ends.
func (c *Cause) Apply(g *network.Graph, severity float64) *network.Graph {
	if c.apply == nil {
		return g
	}
	other := clone(g)
	c.apply(other, min(max(severity, c.Knots[0]), c.Knots[len(c.Knots)-1]))
	return other
}

// Name is kind and place.
func (c *Cause) Name() string {
	if c.Where == "" {
		return string(c.Kind)
	}
	return string(c.Kind) + ": " + c.Where
}

// scale is a severity on the axis along which knots are even.
func (c *Cause) scale(severity float64) float64 {
	if c.log {
		return math.Log(severity)
	}
	return severity
}

func (c *Cause) severity(scale float64) float64 {
	if c.log {
		return math.Exp(scale)
	}
	return scale
}

// clone copies what causes change: the slices, not what their members point to. A cause puts a new Spec where it changes one.
func clone(g *network.Graph) *network.Graph {
	other := *g
	other.Nodes = append([]network.Node(nil), g.Nodes...)
	other.Elements = append([]network.Element(nil), g.Elements...)
	other.Junctions = append([]network.Junction(nil), g.Junctions...)
	other.Registers = append([]network.Register(nil), g.Registers...)
	return &other
}

// spread are knots in equal ratios.
func ratios(low, high float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = low * math.Pow(high/low, float64(i)/float64(n-1))
	}
	return out
}

// steps are knots at equal distances.
func steps(low, high float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = low + (high-low)*float64(i)/float64(n-1)
	}
	return out
}
