package flow

import (
	"fmt"
	"strings"
)

// DisconnectedError reports nodes whose pressure nothing fixes: no chain of edges leads from them to a node of known
// pressure.
type DisconnectedError struct {
	Nodes []int // ascending
}

func (e *DisconnectedError) Error() string {
	const shown = 8
	var b strings.Builder
	fmt.Fprintf(&b, "flow: %d node(s) not connected to any node of known pressure:", len(e.Nodes))
	for i, n := range e.Nodes {
		if i == shown {
			fmt.Fprintf(&b, " and %d more", len(e.Nodes)-shown)
			break
		}
		fmt.Fprintf(&b, " %d", n)
	}
	return b.String()
}

// InputError reports a topology or problem whose parts do not fit together: an index out of range, an edge that ends
// where it begins, a slice of the wrong length, a number that is not finite. Node, Edge and Coupling are −1 where they
// do not apply.
type InputError struct {
	Node, Edge, Coupling int
	Reason               string
}

func (e *InputError) Error() string {
	where := ""
	switch {
	case e.Edge >= 0:
		where = fmt.Sprintf(" edge %d", e.Edge)
	case e.Node >= 0:
		where = fmt.Sprintf(" node %d", e.Node)
	case e.Coupling >= 0:
		where = fmt.Sprintf(" coupling %d", e.Coupling)
	}
	return "flow:" + where + " " + e.Reason
}

// LawError reports a law that breaks its contract: a drop or slope that is not finite, a slope that is not positive, or
// a drop that falls while the flow rises.
type LawError struct {
	Edge   int     // −1 when the law was checked alone
	Flow   float64 // where it was seen (the upper end of the interval To..Flow when the drop falls)
	From   float64 // the lower end of that interval; equal to Flow when one evaluation shows the fault
	Drop   float64 // at Flow
	Slope  float64 // at Flow
	Reason string
}

func (e *LawError) Error() string {
	var b strings.Builder
	b.WriteString("flow: law")
	if e.Edge >= 0 {
		fmt.Fprintf(&b, " of edge %d", e.Edge)
	}
	if e.From != e.Flow {
		fmt.Fprintf(&b, " between flows %.6g and %.6g", e.From, e.Flow)
	} else {
		fmt.Fprintf(&b, " at flow %.6g", e.Flow)
	}
	fmt.Fprintf(&b, ": %s (drop %.6g, slope %.6g)", e.Reason, e.Drop, e.Slope)
	return b.String()
}

// ConvergenceError reports that no flows were found that satisfy the equations to the tolerances of [Solver.Solve]. With
// lawful laws and no couplings this is a fault of the solver; with couplings it can also mean that no solution exists.
type ConvergenceError struct {
	Iterations   int
	Node         int     // worst mass balance; −1 when there is no free node
	MassResidual float64 // there
	Edge         int     // worst energy balance
	EdgeResidual float64 // there
	Reason       string
}

func (e *ConvergenceError) Error() string {
	return fmt.Sprintf("flow: no solution found in %d iterations: %s; worst edge %d off by %.3g, worst node %d off by %.3g",
		e.Iterations, e.Reason, e.Edge, e.EdgeResidual, e.Node, e.MassResidual)
}
