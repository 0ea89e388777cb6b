// Package flow finds the pressures and flows of any network of pressure laws.
//
// A network is nodes joined by directed edges. Every edge has a law, drop = φ(q), strictly increasing in the flow q
// through it; some nodes have a known pressure, others may have a flow injected. The solver finds the flow in every
// edge and the pressure at every node such that
//
//	φ_e(q_e) + Σ couplings = p_tail − p_head + source_e     for every edge
//	Σ flow in − Σ flow out + injected = 0                    for every node of unknown pressure
//
// The package knows nothing of what flows: it is given pipes, pumps, airways and resistors alike in its tests. It must not
// learn: no name of a trade, no unit, no file. All quantities are in one consistent set of units of the caller's choice
// (Spillway uses Pa and kg/s). Nodes and edges are numbers; callers add names to its errors.
//
// # How to use it
//
// [New] compiles a [Topology] once; [Topology.NewSolver] makes a [Solver], one per goroutine; [Solver.Solve] solves a
// [Problem], as many as there are states of the network. Every [Solution] carries a [Certificate], and [Solver.Interval]
// gives bounds on the true flow of an edge. [Solver.Adjoint] gives derivatives. A machine whose pressure rises with the
// flow on part of its range can have several operating points: [Solver.OperatingPoints] finds all of them.
//
// # What it promises
//
// With increasing laws and no couplings there is at most one solution, and exactly one if the drop of
// every law goes from −∞ to ∞ (a machine that cannot be forced back by any pressure, say, may leave a
// network without one). It is found from any start, in any units, or an error is returned, never numbers
// that do not pass. The equations are met as [Solver.Solve] says; the true flow of every edge lies in its
// [Solver.Interval]; and no interval reaches farther than 1e-4 of the largest flow to either side (or
// 1e-12 of the largest |φ|/φ′, where the round-off of a machine at rest is more than that). A part of
// the network that carries next to nothing is known no better than that; its intervals say how well.
// Laws may have kinks, be nearly flat or nearly vertical, and differ by two dozen decades in one
// network: a device that opens at a pressure or passes one way is a law like any other, and a shut
// one is a law of large resistance.
//
// With couplings there may be several solutions or none. A solution found satisfies the equations.
// The certificate says whether it is proven that no second one is nearby; elsewhere there may be one,
// and intervals are those of the problem in which the couplings' drops are frozen as found.
//
// One machine whose pressure rises with the flow is a matter for [Solver.OperatingPoints]. Several
// such machines in one network are refused: as a law, by [Falling], each gives an [InputError].
//
// # What is not modelled
//
// Storage, time, compressibility, and laws that depend on a pressure rather than on flows: those are loops around this
// package.
package flow

// Law is the pressure law of one edge.
type Law interface {
	// Drop returns the pressure lost from the edge's tail to its head when q flows that way (q may be negative), and
	// the slope of that drop, which must be positive. A machine that adds pressure has a negative drop.
	Drop(q float64) (drop, slope float64)
}

// Edge says where an edge runs; positive flow goes from Tail to Head.
type Edge struct {
	Tail, Head int
}

// Coupling adds drops that depend on the flows of several edges at once: a junction whose losses follow the split of
// the flow, for instance. It need not derive from a potential.
type Coupling interface {
	// Edges lists the k edges whose flows the coupling reads and to whose drops it adds.
	Edges() []int
	// Add is given the flows of those edges, in that order. It adds to drop[i] the further drop along edge i (in the
	// edge's own direction) and to jac[i*k+j] the derivative of that drop by flow j. The slices have length k and k².
	Add(q, drop, jac []float64)
}
