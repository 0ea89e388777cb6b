package flow

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"
)

// Linear is the law drop = R q. R must be positive.
type Linear struct{ R float64 }

// Drop implements [Law].
func (l Linear) Drop(q float64) (drop, slope float64) { return l.R * q, l.R }

// Power is the smooth law
//
//	drop = R q (q² + ε²)^((n−1)/2)
//
// which is R |q|^(n−1) q far above ε and linear far below it, so that its slope, R ε^(n−1) at rest, never vanishes. The
// departure from the pure power at q is about (n−1) ε²/(2 q²) of the drop. R and Eps must be positive
// and N at least 1: [Solver.Solve] refuses another exponent or Eps up front, as without Eps the slope
// at rest is nothing, which would show only when the flow comes to rest.
type Power struct{ R, N, Eps float64 }

// Drop implements [Law].
func (l Power) Drop(q float64) (drop, slope float64) {
	square := q*q + l.Eps*l.Eps
	var power float64 // (q²+ε²)^((n−1)/2)
	if l.N == 2 {
		power = math.Sqrt(square)
	} else {
		power = math.Pow(square, (l.N-1)/2)
	}
	return l.R * q * power, l.R * power * (l.N*q*q + l.Eps*l.Eps) / square
}

// Table is the law through given points: monotone cubic pieces between them, straight lines past both ends.
type Table struct {
	curve interp.FritschButland
	flow  []float64
	ends  [2]line
	least float64 // slope reported where the cubic's falls to nothing
}

type line struct{ q, value, slope float64 }

func (l line) at(q float64) float64 { return l.value + l.slope*(q-l.q) }

// NewTable makes a Table from at least two points of strictly rising flow and drop; otherwise it fails with a [LawError]
// that names the first interval at fault. Where the cubic arrives flat at an end the line beyond it has the mean slope of
// the last interval.
//
// Source of the cubic: F. N. Fritsch and J. Butland, "A method for constructing local monotone piecewise cubic
// interpolants", SIAM J. Sci. Stat. Comput. 5 (1984) 300–304, as implemented by gonum.
func NewTable(flow, drop []float64) (*Table, error) {
	if err := checkPoints(flow, drop); err != nil {
		return nil, err
	}
	for i := 1; i < len(flow); i++ {
		if !(drop[i] > drop[i-1]) {
			return nil, &LawError{Edge: -1, From: flow[i-1], Flow: flow[i], Drop: drop[i], Reason: "the table's drop does not rise"}
		}
	}
	t := &Table{flow: append([]float64(nil), flow...)}
	if err := t.curve.Fit(t.flow, append([]float64(nil), drop...)); err != nil {
		return nil, &LawError{Edge: -1, Reason: err.Error()}
	}
	n := len(flow) - 1
	t.ends[0] = endLine(&t.curve, flow[0], drop[0], (drop[1]-drop[0])/(flow[1]-flow[0]))
	t.ends[1] = endLine(&t.curve, flow[n], drop[n], (drop[n]-drop[n-1])/(flow[n]-flow[n-1]))
	t.least = 1e-6 * (drop[n] - drop[0]) / (flow[n] - flow[0])
	return t, nil
}

// endLine continues the curve at (q, value) by its own slope, or by the given one where its own is much less or opposite.
func endLine(curve *interp.FritschButland, q, value, slope float64) line {
	own := curve.PredictDerivative(q)
	if own*slope > 0 && math.Abs(own) > 0.1*math.Abs(slope) {
		slope = own
	}
	return line{q, value, slope}
}

func checkPoints(flow, value []float64) error {
	if len(flow) < 2 || len(flow) != len(value) {
		return &LawError{Edge: -1, Reason: "a table needs at least two points, with as many values as flows"}
	}
	for i := range flow {
		if !finite(flow[i]) || !finite(value[i]) {
			return &LawError{Edge: -1, Flow: flow[i], From: flow[i], Drop: value[i], Reason: "a point of the table is not finite"}
		}
		if i > 0 && !(flow[i] > flow[i-1]) {
			return &LawError{Edge: -1, From: flow[i-1], Flow: flow[i], Drop: value[i], Reason: "the table's flows do not rise"}
		}
	}
	return nil
}

// Drop implements [Law].
func (t *Table) Drop(q float64) (drop, slope float64) {
	switch {
	case q <= t.ends[0].q:
		return t.ends[0].at(q), t.ends[0].slope
	case q >= t.ends[1].q:
		return t.ends[1].at(q), t.ends[1].slope
	}
	return t.curve.Predict(q), max(t.curve.PredictDerivative(q), t.least)
}

// Inside reports whether q lies within the table.
func (t *Table) Inside(q float64) bool { return q >= t.ends[0].q && q <= t.ends[1].q }

// Curve is a [Machine] whose rise is given by points: monotone cubic pieces between them (the same as [Table]), falling
// straight lines past both ends. The points' rise may go up and down.
type Curve struct {
	curve interp.FritschButland
	flow  []float64
	ends  [2]line
}

// NewCurve makes a Curve from at least two points of strictly rising flow. Past an end whose last interval falls the line has
// the slope there; past one whose last interval does not, it falls by the whole range of the rise over the whole range of
// flow.
func NewCurve(flow, rise []float64) (*Curve, error) {
	if err := checkPoints(flow, rise); err != nil {
		return nil, err
	}
	c := &Curve{flow: append([]float64(nil), flow...)}
	if err := c.curve.Fit(c.flow, append([]float64(nil), rise...)); err != nil {
		return nil, &LawError{Edge: -1, Reason: err.Error()}
	}
	n := len(flow) - 1
	high, low := rise[0], rise[0]
	for _, r := range rise {
		high, low = max(high, r), min(low, r)
	}
	general := -(high - low) / (flow[n] - flow[0])
	if general == 0 {
		general = -max(math.Abs(high), 1) / (flow[n] - flow[0])
	}
	for k, i := range [2]int{1, n} {
		slope := (rise[i] - rise[i-1]) / (flow[i] - flow[i-1])
		if slope >= 0 {
			slope = general
		}
		at := k * n
		c.ends[k] = endLine(&c.curve, flow[at], rise[at], slope)
	}
	return c, nil
}

// Rise implements [Machine].
func (c *Curve) Rise(q float64) (rise, slope float64) {
	switch {
	case q < c.ends[0].q:
		return c.ends[0].at(q), c.ends[0].slope
	case q > c.ends[1].q:
		return c.ends[1].at(q), c.ends[1].slope
	}
	return c.curve.Predict(q), c.curve.PredictDerivative(q)
}

// Breaks implements [Machine]: the flows of the points, between which the rise is monotone.
func (c *Curve) Breaks() []float64 { return c.flow }

// Inside reports whether q lies within the points.
func (c *Curve) Inside(q float64) bool { return q >= c.ends[0].q && q <= c.ends[1].q }

// Falling is the law of a machine whose rise falls everywhere: drop = −rise. [Solver.Solve] refuses one
// whose rise does not fall between two of its breaks, as it can have several solutions: such a machine
// needs [Solver.OperatingPoints], which takes one of them. Several in one network are refused.
type Falling struct{ Machine Machine }

// Drop implements [Law].
func (f Falling) Drop(q float64) (drop, slope float64) {
	rise, slope := f.Machine.Rise(q)
	return -rise, -slope
}

// fault says where the machine does not fall, as it must between neighboring breaks; "" if it does.
func (f Falling) fault() string {
	if f.Machine == nil {
		return "is a Falling without a machine"
	}
	breaks := f.Machine.Breaks()
	for i := 1; i < len(breaks); i++ {
		if breaks[i] == breaks[i-1] {
			continue
		}
		before, _ := f.Machine.Rise(breaks[i-1])
		after, _ := f.Machine.Rise(breaks[i])
		if !(after < before) {
			return fmt.Sprintf("is a Falling whose machine does not fall between flows %.6g and %.6g; use OperatingPoints, for one such machine", breaks[i-1], breaks[i])
		}
	}
	return ""
}

// Series is the law of laws one after another, which carry one flow: their drops add up. It spares a
// network the nodes between them.
type Series []Law

// Drop implements [Law].
func (l Series) Drop(q float64) (drop, slope float64) {
	for _, part := range l {
		f, d := part.Drop(q)
		drop += f
		slope += d
	}
	return drop, slope
}

// lawFault says what is wrong with a law that its first evaluations need not show; "" if nothing is.
func lawFault(l Law) string {
	switch l := l.(type) {
	case nil:
		return "has no law"
	case Power:
		return l.fault()
	case *Power:
		return l.fault()
	case Falling:
		return l.fault()
	case Series:
		if len(l) == 0 {
			return "is a Series without laws"
		}
		for _, part := range l {
			if reason := lawFault(part); reason != "" {
				return reason
			}
		}
	}
	return ""
}

// fault says what of the exponent and the smoothing is out of range; "" if nothing is.
func (l *Power) fault() string {
	switch {
	case !(l.Eps > 0) || math.IsInf(l.Eps, 0):
		return fmt.Sprintf("has a Power law with Eps %g; it must be a positive flow", l.Eps)
	case !(l.N >= 1) || math.IsInf(l.N, 0):
		return fmt.Sprintf("has a Power law with N %g; it must be at least 1", l.N)
	}
	return ""
}
