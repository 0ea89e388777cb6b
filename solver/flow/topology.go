package flow

import (
	"math"
	"slices"
)

// Topology is a compiled network: who is joined to whom, where pressures are known, and everything that follows from
// that alone (the elimination order and pattern of the linear systems, a spanning tree for mass correction). It never
// changes, so any number of solvers, states and goroutines may share it. A shut edge is not removed: it is given a law
// of large resistance.
type Topology struct {
	nodes, edges, free int
	hanging            int   // so many nodes and edges are numbered first; see peel
	known              []int // as given to New

	// Nodes are renumbered: free nodes first, in elimination order, then known nodes in the order given.
	position []int32 // by node
	nodeAt   []int32 // the other way round

	// Edges are renumbered too, by the earlier of their ends, so that a sweep over the edges walks through everything that is kept by
	// node, and through the factor, from front to back. All that is unexported speaks of edges by these numbers.
	place  []int32 // by edge
	edgeAt []int32 // the other way round
	tail   []int32 // by renumbered edge, renumbered
	head   []int32

	// target[e] is the one place in the factor's values that edge e's conductance goes to; see factor.
	target []int32
	pattern

	// The spanning forest hangs from the known nodes. branches lists its edges leaves first: branch.edge joins
	// branch.node to branch.parent.
	branches []branch
}

type branch struct {
	node, parent, edge int32
	sign               float64 // +1 when the edge's tail is node
}

// New compiles a network of `nodes` nodes and the given edges; known lists the nodes of known pressure. Parallel edges
// are welcome. It fails with an [InputError] for an index out of range, an edge from a node to itself or a node listed
// twice, and with a [DisconnectedError] when some node has no path to a known pressure.
func New(nodes int, edges []Edge, known []int) (*Topology, error) {
	if nodes < 0 || nodes > math.MaxInt32/2 || len(edges) > math.MaxInt32/4 {
		return nil, &InputError{Node: -1, Edge: -1, Coupling: -1, Reason: "number of nodes or edges out of range"}
	}
	t := &Topology{nodes: nodes, edges: len(edges), known: slices.Clone(known)}
	isKnown := make([]bool, nodes)
	for _, k := range known {
		if k < 0 || k >= nodes {
			return nil, &InputError{Node: k, Edge: -1, Coupling: -1, Reason: "of known pressure does not exist"}
		}
		if isKnown[k] {
			return nil, &InputError{Node: k, Edge: -1, Coupling: -1, Reason: "is listed twice as known"}
		}
		isKnown[k] = true
	}
	for e, edge := range edges {
		if edge.Tail < 0 || edge.Tail >= nodes || edge.Head < 0 || edge.Head >= nodes {
			return nil, &InputError{Node: -1, Edge: e, Coupling: -1, Reason: "joins a node that does not exist"}
		}
		if edge.Tail == edge.Head {
			return nil, &InputError{Node: edge.Tail, Edge: e, Coupling: -1, Reason: "ends at the node where it begins"}
		}
	}
	t.number(edges, isKnown)
	if err := t.span(edges); err != nil {
		return nil, err
	}
	return t, nil
}

// Nodes is the number of nodes.
func (t *Topology) Nodes() int { return t.nodes }

// Edges is the number of edges.
func (t *Topology) Edges() int { return t.edges }

// Order lists the edges in the order in which a solver walks over them. For networks of hundreds of thousands of edges it pays to lay the
// laws out in memory in this order: a sweep then reads them from front to back instead of here and there. The result is the same
// whatever the layout, and small networks do not care.
func (t *Topology) Order() []int {
	order := make([]int, t.edges)
	for e, at := range t.edgeAt {
		order[e] = int(at)
	}
	return order
}

// number orders the free nodes, renumbers everything by that order and lays out the factor.
func (t *Topology) number(edges []Edge, isKnown []bool) {
	freeNode, from := peel(t.nodes, edges, isKnown)
	t.hanging = len(freeNode)
	freeIndex := make([]int32, t.nodes)
	for v := range freeIndex {
		freeIndex[v] = -1
	}
	for k, v := range freeNode {
		freeIndex[v] = int32(k)
	}
	for v := range t.nodes {
		if !isKnown[v] && freeIndex[v] < 0 {
			freeIndex[v] = int32(len(freeNode))
			freeNode = append(freeNode, int32(v))
		}
	}
	t.free = len(freeNode)

	order, left := eliminate(simpleGraph(t.free, edges, freeIndex, t.hanging), t.hanging)
	for k, v := range from {
		if u := freeIndex[v]; u >= 0 {
			left[k] = []int32{u}
		}
	}
	order = smallFirst(postorder(order, left), t.hanging)
	rank := make([]int32, t.free)
	t.position, t.nodeAt = make([]int32, t.nodes), make([]int32, t.nodes)
	for k, v := range order {
		rank[v] = int32(k)
		t.position[freeNode[v]] = int32(k)
	}
	for k, v := range t.known {
		t.position[v] = int32(t.free + k)
	}
	for v, at := range t.position {
		t.nodeAt[at] = int32(v)
	}
	t.pattern = newPattern(order, left, rank)
	t.numberEdges(edges)
	t.tail, t.head = make([]int32, t.edges), make([]int32, t.edges)
	t.target = make([]int32, t.edges)
	for e, at := range t.edgeAt {
		a, b := t.position[edges[at].Tail], t.position[edges[at].Head]
		t.tail[e], t.head[e] = a, b
		t.target[e] = t.slot(min(a, b), max(a, b))
	}
}

// numberEdges numbers the edges by the earlier of their ends, those of one node as they were given.
func (t *Topology) numberEdges(edges []Edge) {
	earlier := func(e Edge) int32 { return min(t.position[e.Tail], t.position[e.Head]) }
	next := make([]int32, t.nodes+1)
	for _, edge := range edges {
		next[earlier(edge)+1]++
	}
	for v := range t.nodes {
		next[v+1] += next[v]
	}
	t.place, t.edgeAt = make([]int32, t.edges), make([]int32, t.edges)
	for e, edge := range edges {
		v := earlier(edge)
		t.place[e], t.edgeAt[next[v]] = next[v], int32(e)
		next[v]++
	}
}

// simpleGraph lists each free node's free neighbours once, those before `first` apart.
func simpleGraph(n int, edges []Edge, freeIndex []int32, first int) [][]int32 {
	adjacent := make([][]int32, n)
	count := make([]int32, n)
	for _, edge := range edges {
		a, b := freeIndex[edge.Tail], freeIndex[edge.Head]
		if min(a, b) >= int32(first) {
			count[a]++
			count[b]++
		}
	}
	for v := range adjacent {
		adjacent[v] = make([]int32, 0, count[v])
	}
	for _, edge := range edges {
		a, b := freeIndex[edge.Tail], freeIndex[edge.Head]
		if min(a, b) >= int32(first) {
			adjacent[a] = append(adjacent[a], b)
			adjacent[b] = append(adjacent[b], a)
		}
	}
	for v := range adjacent {
		slices.Sort(adjacent[v])
		adjacent[v] = slices.Compact(adjacent[v])
	}
	return adjacent
}

// span grows the spanning forest from the known nodes, breadth first so that corrections travel short ways.
func (t *Topology) span(edges []Edge) error {
	incident := make([][]int32, t.nodes)
	for e, edge := range edges {
		incident[edge.Tail] = append(incident[edge.Tail], int32(e))
		incident[edge.Head] = append(incident[edge.Head], int32(e))
	}
	reached := make([]bool, t.nodes)
	queue := make([]int, 0, t.nodes)
	for _, k := range t.known {
		reached[k] = true
		queue = append(queue, k)
	}
	t.branches = make([]branch, 0, t.free)
	for next := 0; next < len(queue); next++ {
		v := queue[next]
		for _, e := range incident[v] {
			w, sign := edges[e].Tail, 1.0
			if w == v {
				w, sign = edges[e].Head, -1
			}
			if reached[w] {
				continue
			}
			reached[w] = true
			queue = append(queue, w)
			t.branches = append(t.branches, branch{node: t.position[w], parent: t.position[v], edge: t.place[e], sign: sign})
		}
	}
	slices.Reverse(t.branches)
	var lost []int
	for v, ok := range reached {
		if !ok {
			lost = append(lost, v)
		}
	}
	if lost != nil {
		return &DisconnectedError{Nodes: lost}
	}
	return nil
}
