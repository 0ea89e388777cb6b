package flow

// An independent solver for tests: loop corrections after Hardy Cross, "Analysis of Flow in Networks of Conduits or
// Conductors", Univ. of Illinois Bulletin 286 (1936) (method from memory): no matrix, no pressures.

type loopEdge struct {
	edge int
	sign float64
}

// hardyCrossCorrection is the change of circulation −Σ drop / Σ slope round a loop.
func hardyCrossCorrection(laws []Law, flow []float64, loop []loopEdge) float64 {
	around, slope := 0.0, 0.0
	for _, l := range loop {
		f, d := laws[l.edge].Drop(flow[l.edge])
		around += l.sign * f
		slope += d
	}
	return -around / slope
}

// loopsOf finds a tree from node 0 (the only known one), the loop of each edge outside it, and flows that keep the balance:
// everything injected runs along the tree.
func loopsOf(n *randomNetwork) (loops [][]loopEdge, flow []float64) {
	parent, sign, depth := make([]int, n.nodes), make([]float64, n.nodes), make([]int, n.nodes)
	for v := range parent {
		parent[v] = -1
	}
	inTree := make([]bool, len(n.edges))
	order := []int{0}
	seen := map[int]bool{0: true}
	for i := 0; i < len(order); i++ {
		v := order[i]
		for e, edge := range n.edges {
			w, up := edge.Head, -1.0
			if edge.Head == v {
				w, up = edge.Tail, 1
			} else if edge.Tail != v {
				continue
			}
			if !seen[w] {
				seen[w] = true
				parent[w], sign[w], depth[w], inTree[e] = e, up, depth[v]+1, true // up: +1 when positive flow goes towards the root
				order = append(order, w)
			}
		}
	}
	above := func(v int) int {
		if e := n.edges[parent[v]]; e.Tail == v {
			return e.Head
		}
		return n.edges[parent[v]].Tail
	}
	flow = make([]float64, len(n.edges))
	carried := append([]float64(nil), n.p.Injection...)
	for i := len(order) - 1; i > 0; i-- {
		v := order[i]
		flow[parent[v]] = sign[v] * carried[v]
		carried[above(v)] += carried[v]
	}
	for e, edge := range n.edges {
		if inTree[e] {
			continue
		}
		loop := []loopEdge{{e, 1}}
		// From the head up to the common ancestor with the flow, from the tail against it.
		a, b := edge.Head, edge.Tail
		for a != b {
			if depth[a] >= depth[b] {
				loop = append(loop, loopEdge{parent[a], sign[a]})
				a = above(a)
			} else {
				loop = append(loop, loopEdge{parent[b], -sign[b]})
				b = above(b)
			}
		}
		loops = append(loops, loop)
	}
	return loops, flow
}

// hardyCross balances each loop in turn, by bisection rather than one correction, so that it always converges, until no
// circulation changes any more.
func hardyCross(laws []Law, flow []float64, loops [][]loopEdge) bool {
	around := func(loop []loopEdge, d float64) float64 {
		sum := 0.0
		for _, l := range loop {
			f, _ := laws[l.edge].Drop(flow[l.edge] + l.sign*d)
			sum += l.sign * f
		}
		return sum
	}
	for range 3000 {
		largest, most := 0.0, 0.0
		for _, loop := range loops {
			lo, hi := -1e-12, 1e-12
			for around(loop, lo) > 0 {
				lo *= 2
			}
			for around(loop, hi) < 0 {
				hi *= 2
			}
			for hi-lo > 1e-15 && lo < (lo+hi)/2 && (lo+hi)/2 < hi {
				if middle := (lo + hi) / 2; around(loop, middle) < 0 {
					lo = middle
				} else {
					hi = middle
				}
			}
			d := (lo + hi) / 2
			for _, l := range loop {
				flow[l.edge] += l.sign * d
				largest = max(largest, flow[l.edge], -flow[l.edge])
			}
			most = max(most, d, -d)
		}
		if most <= 1e-9*largest {
			return true
		}
	}
	return false
}
