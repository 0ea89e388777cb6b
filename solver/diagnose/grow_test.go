package diagnose

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"spillway/network"
	"spillway/solver/state"
)

// grow is the bench with one more reading in its plan, for the causes that a fit has not ruled out: only those are solved again.
func (b *Bench) grow(q Query, r *Result) (*Bench, error) {
	grown := &Bench{g: b.g, solver: b.solver, every: b.every, queries: append(slices.Clone(b.queries), q), names: b.names}
	grown.states = slices.Clone(b.states)
	grown.stateOf = slices.Clone(b.stateOf)
	k := slices.IndexFunc(grown.states, func(s state.CallState) bool { return s.Name == q.State })
	if k < 0 {
		i := slices.IndexFunc(b.every, func(s state.CallState) bool { return s.Name == q.State })
		grown.states = append(grown.states, b.every[i])
		k = len(grown.states) - 1
	}
	grown.stateOf = append(grown.stateOf, k)

	one := &Bench{g: b.g, solver: b.solver, every: b.every, queries: []Query{q}, states: []state.CallState{grown.states[k]}, stateOf: []int{0}}
	base, err := one.predict(b.g)
	if err != nil {
		return nil, err
	}
	one.base = base
	if err := one.deviations(); err != nil {
		return nil, err
	}
	alive := make([]bool, len(b.causes))
	for _, h := range r.Hypotheses {
		if h.Weight > 1e-6 {
			for _, c := range h.Causes {
				alive[c] = true
			}
		}
	}
	for c := range b.causes {
		one.causes = append(one.causes, b.causes[c])
		if !alive[c] { // what is ruled out keeps its place and moves the new reading by nothing
			one.causes[c].Knots = b.causes[c].Knots[:1]
			one.causes[c].apply = nil
		}
	}
	if err := one.tabulate(); err != nil {
		return nil, err
	}
	grown.base = append(slices.Clone(b.base), base[0])
	rows, columns := b.jac.Dims()
	grown.jac = mat.NewDense(rows+1, columns, nil)
	grown.jac.Slice(0, rows, 0, columns).(*mat.Dense).Copy(b.jac)
	for j := range columns {
		grown.jac.Set(rows, j, one.jac.At(0, j))
	}
	grown.causes = b.causes
	for c := range b.causes {
		grown.curves = append(grown.curves, join(&b.curves[c], one.curveOf(&b.causes[c])))
	}
	return grown, nil
}

// curveOf finds the curve of a cause by name; a cause that did not solve in the new state does nothing there.
func (b *Bench) curveOf(c *Cause) *curve {
	for k := range b.causes {
		if b.causes[k].Kind == c.Kind && b.causes[k].Where == c.Where {
			return &b.curves[k]
		}
	}
	return &curve{one: []float64{0}}
}

// join puts the shift of one more reading behind those of a curve.
func join(a, more *curve) curve {
	out := curve{x: a.x}
	if a.one != nil {
		last := make([]float64, 1)
		if more.one != nil || len(more.shift) > 0 {
			x := 0.0
			if len(more.x) > 0 {
				x = more.x[0]
			}
			more.at(x, last)
		}
		out.one = append(slices.Clone(a.one), last[0])
		return out
	}
	out.shift = append(slices.Clone(a.shift), level(more, a.x))
	return out
}

// level is a curve's only reading as an interpolation over a range; constant where it has one severity.
func level(c *curve, x []float64) fitted {
	if c.one == nil {
		return c.shift[0]
	}
	var f fitted
	y := make([]float64, len(x))
	for i := range y {
		y[i] = c.one[0]
	}
	if len(x) == 2 {
		x, y = []float64{x[0], (x[0] + x[1]) / 2, x[1]}, []float64{y[0], y[0], y[0]}
	}
	if err := f.Fit(x, y); err != nil {
		return fitted{} // the range has at least two rising places
	}
	return f
}

// With fits again with one further reading: the bench grows by it, and so do the readings of the fit.
func (b *Bench) With(q Query, r *Result, v Value) (*Result, error) {
	grown, err := b.grow(q, r)
	if err != nil {
		return nil, err
	}
	return grown.Fit(append(slices.Clone(r.Values), v))
}

// At is the severity at a share of the way, 0 to 1, along the cause's scale.
func (c *Cause) At(share float64) float64 {
	first, last := c.scale(c.Knots[0]), c.scale(c.Knots[len(c.Knots)-1])
	if len(c.Knots) == 1 {
		return c.Knots[0]
	}
	return c.severity(first + share*(last-first))
}

// Vary returns a house as it may have been built from its drawing: every as-built multiplier drawn from its spread with standard normal
// numbers of the caller's.
func Vary(g *network.Graph, normal func() float64) *network.Graph {
	other := clone(g)
	for _, s := range spreads(g) {
		s.apply(other, math.Exp(s.sigma*normal()))
	}
	return other
}
