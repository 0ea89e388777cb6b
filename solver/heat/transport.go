package heat

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// transport carries one scalar per kg of air through the moving branches to its steady state. At every fed node
//
//	v = Σ m (f v_upstream + g) / Σ m      over the entering branches
//
// with 0 ≤ f ≤ 1. Nodes are visited along the flow, so that without recirculation one sweep is exact. Where the flow
// closes a loop, the node that the loop returns to is torn open: its value is an unknown x, one sweep with x = 0 and one
// with each unit x give the linear map x → a + B x of what comes back, and (I − B) x = a is solved directly. B is
// non-negative with row sums below 1 when some fresh air enters every loop, so the system is an M-matrix and
// elimination is stable. A house with a bypass has one torn node: two sweeps and a division.
type transport struct {
	order  []int // fed nodes along the flow
	start  []int // start[i]..start[i+1] are the entering branches of order[i] in enter
	enter  []int // branch indices
	torn   []int // torn nodes, in order
	isTorn []int // per node: index in torn, or −1
	up     []int // per branch: upstream node
	weight []float64
	lu     mat.LU
	matrix *mat.Dense
	a, x   []float64
	// Scratch of the ordering.
	position, first, down, out, next, stack, finished, place []int
	column                                                   []float64
}

// mostTorn is the number of torn nodes up to which the loop system is solved directly (a dense elimination).
const mostTorn = 400

// prepare finds the order for a network with the directions of moving branches. moving[b] is 0, +1 (From → To) or −1.
// It reports in fed which nodes moving air from a reservoir reaches; branches from other nodes take no part.
func (t *transport) prepare(n *Network, moving []int8, fed []bool) {
	nodes := len(n.Nodes)
	t.up = resize(t.up, len(n.Branches))
	t.weight = resize(t.weight, len(n.Branches))
	// Outgoing branches per node, compressed rows.
	t.first, t.down = resize(t.first, nodes+1), resize(t.down, len(n.Branches))
	first, down := t.first, t.down
	for i := range first {
		first[i] = 0
	}
	for b, br := range n.Branches {
		t.up[b], down[b] = br.From, br.To
		if moving[b] < 0 {
			t.up[b], down[b] = br.To, br.From
		}
		t.weight[b] = math.Abs(br.MassFlow)
		if moving[b] != 0 {
			first[t.up[b]+1]++
		}
	}
	for i := range nodes {
		first[i+1] += first[i]
	}
	t.out = resize(t.out, first[nodes])
	out := t.out
	t.next = append(t.next[:0], first[:nodes]...)
	fill := t.next
	for b := range n.Branches {
		if moving[b] != 0 {
			out[fill[t.up[b]]] = b
			fill[t.up[b]]++
		}
	}

	// Depth-first from every reservoir; the reversed order of leaving is along the flow except for loop-closing branches.
	t.position = resize(t.position, nodes)
	position := t.position
	for i := range position {
		position[i] = -1
		fed[i] = false
	}
	next := append(fill[:0], first[:nodes]...)
	stack, finished := t.stack[:0], t.finished[:0]
	for r, node := range n.Nodes {
		if !node.Reservoir {
			continue
		}
		stack = append(stack[:0], r)
		fed[r] = true
		for len(stack) > 0 {
			u := stack[len(stack)-1]
			if next[u] == first[u+1] {
				stack = stack[:len(stack)-1]
				finished = append(finished, u)
				continue
			}
			v := down[out[next[u]]]
			next[u]++
			if !fed[v] && !n.Nodes[v].Reservoir {
				fed[v] = true
				stack = append(stack, v)
			}
		}
	}
	t.stack, t.finished = stack, finished
	t.order = t.order[:0]
	for i := len(finished) - 1; i >= 0; i-- {
		u := finished[i]
		if n.Nodes[u].Reservoir {
			position[u] = -1 // upstream of everything
			continue
		}
		position[u] = len(t.order)
		t.order = append(t.order, u)
	}

	// Entering branches of each ordered node, and the nodes that a later node feeds: those are torn.
	t.start = resize(t.start, len(t.order)+1)
	for i := range t.start {
		t.start[i] = 0
	}
	for b := range n.Branches {
		if moving[b] != 0 && fed[t.up[b]] && position[down[b]] >= 0 {
			t.start[position[down[b]]+1]++
		}
	}
	for i := range t.order {
		t.start[i+1] += t.start[i]
	}
	t.enter = resize(t.enter, t.start[len(t.order)])
	t.place = append(t.place[:0], t.start[:len(t.order)]...)
	place := t.place
	t.isTorn = resize(t.isTorn, nodes)
	for i := range t.isTorn {
		t.isTorn[i] = -1
	}
	for b := range n.Branches {
		v := down[b]
		if moving[b] == 0 || !fed[t.up[b]] || position[v] < 0 {
			continue
		}
		t.enter[place[position[v]]] = b
		place[position[v]]++
		if position[t.up[b]] >= position[v] {
			t.isTorn[v] = 0
		}
	}
	t.torn = t.torn[:0]
	for _, v := range t.order {
		if t.isTorn[v] >= 0 {
			t.isTorn[v] = len(t.torn)
			t.torn = append(t.torn, v)
		}
	}
	k := len(t.torn)
	t.a, t.x = resize(t.a, k), resize(t.x, k)
	if k > 1 && k <= mostTorn && (t.matrix == nil || t.matrix.RawMatrix().Rows != k) {
		t.matrix = mat.NewDense(k, k, nil)
	}
}

// sweep sets every fed node from its entering branches, holding torn nodes at x. With sources false the constant parts
// (g and the reservoirs) count as zero, which leaves the response to x alone.
func (t *transport) sweep(value, f, g, x []float64, sources bool) {
	for i, v := range t.order {
		if j := t.isTorn[v]; j >= 0 {
			value[v] = x[j]
			continue
		}
		value[v] = t.mixture(i, value, f, g, sources)
	}
}

func (t *transport) mixture(i int, value, f, g []float64, sources bool) float64 {
	sum, mass := 0.0, 0.0
	for _, b := range t.enter[t.start[i]:t.start[i+1]] {
		m := t.weight[b]
		s := f[b] * value[t.up[b]]
		if sources {
			s += g[b]
		}
		sum += m * s
		mass += m
	}
	return sum / mass
}

// solve fills value at the fed nodes; value holds the reservoirs' values on entry. scratch is as long as value. It
// returns false when loops cannot be closed (no fresh air enters one of them).
func (t *transport) solve(value, scratch, f, g []float64) bool {
	k := len(t.torn)
	if k > mostTorn {
		return t.iterate(value, f, g)
	}
	for j := range t.x {
		t.x[j] = 0
	}
	t.sweep(value, f, g, t.x, true)
	if k == 0 {
		return true
	}
	t.returned(t.a, value, f, g, true)
	// Columns of B: the response to each unit x. The reservoirs' values are zero for it.
	for i := range scratch {
		scratch[i] = 0
	}
	if k == 1 {
		t.x[0] = 1
		t.sweep(scratch, f, g, t.x, false)
		back := [1]float64{}
		t.returned(back[:], scratch, f, g, false)
		if !(back[0] < 1-singular) {
			return false
		}
		t.x[0] = t.a[0] / (1 - back[0])
	} else if !t.closeLoops(scratch, f, g) {
		return false
	}
	t.sweep(value, f, g, t.x, true)
	return true
}

// singular is how near to total recirculation a loop may come: below it one part in 10¹⁰ of the loop is fresh air.
const singular = 1e-10

// closeLoops solves (I − B) x = a for two or more torn nodes.
func (t *transport) closeLoops(scratch, f, g []float64) bool {
	k := len(t.torn)
	t.column = resize(t.column, k)
	column := t.column
	for j := range k {
		for i := range t.x {
			t.x[i] = 0
		}
		t.x[j] = 1
		t.sweep(scratch, f, g, t.x, false)
		t.returned(column, scratch, f, g, false)
		for i := range k {
			d := 0.0
			if i == j {
				d = 1
			}
			t.matrix.Set(i, j, d-column[i])
		}
	}
	t.lu.Factorize(t.matrix)
	if !(t.lu.Cond() < 1/singular) {
		return false
	}
	b, x := mat.NewVecDense(k, t.a), mat.NewVecDense(k, t.x)
	return t.lu.SolveVecTo(x, false, b) == nil
}

// returned is what reaches the torn nodes after a sweep.
func (t *transport) returned(to, value, f, g []float64, sources bool) {
	for i, v := range t.order {
		if j := t.isTorn[v]; j >= 0 {
			to[j] = t.mixture(i, value, f, g, sources)
		}
	}
}

// mostSweeps bounds the iterative path. A loop with nine tenths recirculated needs about 300 sweeps.
const mostSweeps = 200000

// iterate is the path for networks with very many interlocking loops: Gauss–Seidel along the flow, which converges for
// an M-matrix, until the change no longer moves any digit that matters.
func (t *transport) iterate(value, f, g []float64) bool {
	for _, v := range t.order {
		value[v] = 0
	}
	for range mostSweeps {
		change, size := 0.0, 0.0
		for i, v := range t.order {
			was := value[v]
			value[v] = t.mixture(i, value, f, g, true)
			change = math.Max(change, math.Abs(value[v]-was))
			size = math.Max(size, math.Abs(value[v]))
		}
		if change <= 1e-15*size || math.IsNaN(change) {
			return !math.IsNaN(change)
		}
	}
	return false
}

func resize[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
