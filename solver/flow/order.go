package flow

// eliminate orders the vertices 0..n−1 of an undirected graph for elimination by minimum degree, and returns the order
// (order[k] is the k-th vertex to go) with, for each vertex, the neighbours it has left when it goes: the pattern of its
// column in the factor. The vertices before `first` have no neighbours and go first, in order.
//
// Each step takes a vertex of least degree, joins its neighbours to one another, and removes it; ties go to the vertex
// that reached that degree last, which walks up the branches of a tree. Leaves and links of chains cost a constant each,
// so that a network of branches and few loops is ordered in time nearly proportional to its size and fills hardly at
// all. Removed vertices are dropped from the neighbours' lists only when a list is read, so a hub with many leaves is
// not rescanned for each.
//
// Source: the minimum-degree rule is standard, A. George and J. W. H. Liu, "The Evolution of the Minimum Degree Ordering
// Algorithm", SIAM Review 31 (1989) 1–19 (cited from memory).
func eliminate(adjacent [][]int32, first int) (order []int32, left [][]int32) {
	n := len(adjacent)
	order = make([]int32, 0, n)
	left = make([][]int32, n)
	degree := make([]int32, n)
	gone := make([]bool, n)
	seen := make([]int32, n) // seen[v] == stamp: v is in the list being read
	stamp := int32(0)

	buckets := newDegreeBuckets(n)
	for v := range first {
		order = append(order, int32(v))
	}
	for v := n - 1; v >= first; v-- {
		degree[v] = int32(len(adjacent[v]))
		buckets.push(int32(v), degree[v])
	}
	// tidy drops removed vertices from v's list.
	tidy := func(v int32) []int32 {
		list := adjacent[v]
		if len(list) == int(degree[v]) {
			return list
		}
		kept := list[:0]
		for _, u := range list {
			if !gone[u] {
				kept = append(kept, u)
			}
		}
		adjacent[v] = kept
		return kept
	}
	join := func(a, b int32) {
		adjacent[a] = append(adjacent[a], b)
		adjacent[b] = append(adjacent[b], a)
		degree[a]++
		degree[b]++
	}
	for range n - first {
		v := buckets.pop()
		ring := tidy(v)
		gone[v] = true
		order = append(order, v)
		left[v] = ring
		for _, u := range ring {
			buckets.remove(u, degree[u])
			degree[u]--
		}
		if len(ring) == 2 {
			a, b := ring[0], ring[1]
			if len(adjacent[a]) > len(adjacent[b]) {
				a, b = b, a
			}
			known := false
			for _, u := range adjacent[a] {
				known = known || u == b
			}
			if !known {
				// The lists still hold v, so their length exceeds the degree: tidy will see it.
				join(a, b)
			}
		} else if len(ring) > 2 {
			for i, a := range ring[:len(ring)-1] {
				stamp++
				for _, u := range tidyStale(adjacent, gone, a) {
					seen[u] = stamp
				}
				for _, b := range ring[i+1:] {
					if seen[b] != stamp {
						join(a, b)
					}
				}
			}
		}
		for _, u := range ring {
			buckets.push(u, degree[u])
		}
	}
	return order, left
}

// tidyStale drops removed vertices from v's list whatever its degree says.
func tidyStale(adjacent [][]int32, gone []bool, v int32) []int32 {
	kept := adjacent[v][:0]
	for _, u := range adjacent[v] {
		if !gone[u] {
			kept = append(kept, u)
		}
	}
	adjacent[v] = kept
	return kept
}

// degreeBuckets keeps vertices by degree in doubly linked lists.
type degreeBuckets struct {
	first      []int32 // by degree; −1 = empty
	next, prev []int32 // by vertex
	least      int32   // no bucket below this one is occupied
}

func newDegreeBuckets(n int) *degreeBuckets {
	b := &degreeBuckets{first: make([]int32, n+1), next: make([]int32, n), prev: make([]int32, n)}
	for i := range b.first {
		b.first[i] = -1
	}
	return b
}

func (b *degreeBuckets) push(v, degree int32) {
	f := b.first[degree]
	b.next[v], b.prev[v] = f, -1
	if f >= 0 {
		b.prev[f] = v
	}
	b.first[degree] = v
	b.least = min(b.least, degree)
}

func (b *degreeBuckets) remove(v, degree int32) {
	if b.prev[v] >= 0 {
		b.next[b.prev[v]] = b.next[v]
	} else {
		b.first[degree] = b.next[v]
	}
	if b.next[v] >= 0 {
		b.prev[b.next[v]] = b.prev[v]
	}
}

// pop takes a vertex of least degree; there must be one.
func (b *degreeBuckets) pop() int32 {
	for b.first[b.least] < 0 {
		b.least++
	}
	v := b.first[b.least]
	b.remove(v, b.least)
	return v
}

// postorder rearranges an elimination order so that every vertex comes right after the vertices whose columns feed its own. The
// fill is the same; columns that work on one another come to lie near one another in memory, which is what large networks
// need. The parent of a vertex is the first to go of the neighbours it has left.
func postorder(order []int32, left [][]int32) []int32 {
	n := len(order)
	rank := make([]int32, n)
	for k, v := range order {
		rank[v] = int32(k)
	}
	parent, size := make([]int32, n), make([]int32, n)
	for _, v := range order { // a vertex goes before its parent, so sizes are whole when they are handed on
		size[v]++
		parent[v] = -1
		for _, u := range left[v] {
			if parent[v] < 0 || rank[u] < rank[parent[v]] {
				parent[v] = u
			}
		}
		if parent[v] >= 0 {
			size[parent[v]] += size[v]
		}
	}
	// Lists of children through sibling, the greatest first: filled from the least, by counting.
	bySize := countingOrder(size)
	firstChild, sibling := make([]int32, n), make([]int32, n)
	for v := range firstChild {
		firstChild[v] = -1
	}
	roots := int32(-1)
	for _, v := range bySize {
		if p := parent[v]; p < 0 {
			sibling[v], roots = roots, v
		} else {
			sibling[v], firstChild[p] = firstChild[p], v
		}
	}
	ordered := make([]int32, 0, n)
	for root := roots; root >= 0; root = sibling[root] {
		// Down to the first leaf, then up and along, without recursion: chains can be long.
		stack := []int32{root}
		for len(stack) > 0 {
			v := stack[len(stack)-1]
			if child := firstChild[v]; child >= 0 {
				firstChild[v] = sibling[child]
				stack = append(stack, child)
				continue
			}
			ordered = append(ordered, v)
			stack = stack[:len(stack)-1]
		}
	}
	return ordered
}

// countingOrder lists the indices of size by ascending size; sizes are from 1 to their number.
func countingOrder(size []int32) []int32 {
	start := make([]int32, len(size)+2)
	for _, x := range size {
		start[x+1]++
	}
	for x := range len(size) {
		start[x+1] += start[x]
	}
	order := make([]int32, len(size))
	for v, x := range size {
		order[start[x]] = int32(v)
		start[x]++
	}
	return order
}
