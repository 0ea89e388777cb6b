package flow

import "slices"

// pattern is the shape of the triangular factor of the conductance matrix M = AᵀWA of the free nodes, in elimination
// order: column j has its entries below the diagonal at rows[start[j]:start[j+1]], ascending.
//
// M is a Laplacian: off the diagonal stand minus the conductances between free nodes, and each diagonal is their sum plus
// the conductance to known nodes. The factor therefore keeps, per column, the positive numbers a (minus the off-diagonal
// entries) and the ground conductance g, and forms the pivot as their sum:
//
//	d_j = g_j + Σ a_j·          l_kj = a_kj / d_j
//	a_ik += a_ij l_kj           g_k += g_j l_kj            (i, k neighbours of j)
//
// Nothing is ever subtracted, so every entry of the factor keeps its relative accuracy whatever the ratio of the
// conductances, and no pivot can vanish. (Eliminating a node is the star–mesh transformation.) Source: W. K. Grassmann,
// M. I. Taksar and D. P. Heyman, "Regenerative Analysis and Steady State Distributions for Markov Chains", Operations
// Research 33 (1985) 1107–1116, and for M-matrices A. S. Alfa, J. Xue and Q. Ye, "Accurate computation of the smallest
// eigenvalue of a diagonally dominant M-matrix", Mathematics of Computation 71 (2002) 217–236 (both cited from memory).
//
// The values live in one slice: entries a (then l) of the columns, then g by node, then one place for edges that join two
// known nodes and so enter no equation.
type pattern struct {
	start []int32
	rows  []int32
	// fill lists, for each column and each pair k < i of its rows, the place of entry (i, k), in the order the numeric
	// phase meets them. It is nil when the fill is so heavy that the list would be larger than is sensible; then places
	// are found by scattering (see factorWide).
	fill []int32
	// For factorWide: the entries of row j are at rowEntry[rowStart[j]:rowStart[j+1]], each the place of (j, k), k in rowColumn.
	rowStart, rowEntry, rowColumn []int32
}

// maxFill bounds the length of pattern.fill, as a multiple of the entries of the factor.
const maxFill = 24

func newPattern(order []int32, left [][]int32, rank []int32) pattern {
	n := len(order)
	p := pattern{start: make([]int32, n+1)}
	entries, pairs := 0, 0
	for _, v := range order {
		entries += len(left[v])
		pairs += len(left[v]) * (len(left[v]) - 1) / 2
	}
	p.rows = make([]int32, 0, entries)
	for k, v := range order {
		for _, u := range left[v] {
			p.rows = append(p.rows, rank[u])
		}
		slices.Sort(p.rows[p.start[k]:])
		p.start[k+1] = int32(len(p.rows))
	}
	if pairs <= maxFill*entries {
		p.fill = make([]int32, 0, pairs)
		for j := range n {
			column := p.rows[p.start[j]:p.start[j+1]]
			for x, k := range column {
				at := p.start[k]
				for _, i := range column[x+1:] {
					for p.rows[at] != i {
						at++
					}
					p.fill = append(p.fill, at)
				}
			}
		}
		return p
	}
	p.transpose(n)
	return p
}

func (p *pattern) transpose(n int) {
	p.rowStart = make([]int32, n+1)
	p.rowEntry = make([]int32, len(p.rows))
	p.rowColumn = make([]int32, len(p.rows))
	for _, i := range p.rows {
		p.rowStart[i+1]++
	}
	for i := range n {
		p.rowStart[i+1] += p.rowStart[i]
	}
	next := slices.Clone(p.rowStart)
	for j := range n {
		for at := p.start[j]; at < p.start[j+1]; at++ {
			i := p.rows[at]
			p.rowEntry[next[i]], p.rowColumn[next[i]] = at, int32(j)
			next[i]++
		}
	}
}

// slot is the place in the values that a conductance between renumbered nodes a < b goes to.
func (p *pattern) slot(a, b int32) int32 {
	n := int32(len(p.start) - 1)
	entries := int32(len(p.rows))
	switch {
	case a >= n: // both known
		return entries + n
	case b >= n: // to a known node
		return entries + a
	}
	at, _ := slices.BinarySearch(p.rows[p.start[a]:p.start[a+1]], b)
	return p.start[a] + int32(at)
}

func (p *pattern) size() int { return len(p.rows) + len(p.start) }

// factor turns assembled conductances in values into the factor; inverse[j] becomes 1/d_j. At the same time it carries
// out the forward half of the solution with right-hand side x (whose first n entries belong to the free nodes). The columns before
// `first`, which must be hanging nodes, are left out, as if no conductance led to them.
func (p *pattern) factor(values, inverse, x, work []float64, first int) {
	if p.fill == nil && len(p.rows) > 0 {
		p.factorWide(values, inverse, work, first)
		p.forward(values, x, first)
		return
	}
	n := len(p.start) - 1
	ground := values[len(p.rows):]
	fill := p.fill
	next := 0 // hanging nodes have one neighbour at most, and so no pairs
	from := p.start[first]
	for j := first; j < n; j++ {
		to := p.start[j+1]
		column, rows := values[from:to], p.rows[from:to]
		g := ground[j]
		d := g
		for _, a := range column {
			d += a
		}
		inv := 1 / d
		inverse[j] = inv
		xj := x[j]
		from = to
		if len(column) == 1 { // half of all columns, in networks that branch
			l := column[0] * inv
			r := rows[0]
			ground[r] += g * l
			x[r] += xj * l
			column[0] = l
			continue
		}
		for k, a := range column {
			l := a * inv
			r := rows[k]
			ground[r] += g * l
			x[r] += xj * l
			rest := column[k+1:]
			places := fill[next:][:len(rest)]
			for i, b := range rest {
				values[places[i]] += b * l
			}
			next += len(rest)
		}
		for k := range column {
			column[k] *= inv
		}
	}
}

// factorWide does the same column by column, gathering each column from the earlier ones through a scattered work vector
// (length n, zero on entry and exit).
func (p *pattern) factorWide(values, inverse, work []float64, first int) {
	n := len(p.start) - 1
	ground := values[len(p.rows):]
	for j := first; j < n; j++ {
		from, to := p.start[j], p.start[j+1]
		g := ground[j]
		for r := p.rowStart[j]; r < p.rowStart[j+1]; r++ {
			at, k := p.rowEntry[r], p.rowColumn[r]
			if int(k) < first {
				continue
			}
			l := values[at]
			g += ground[k] * l
			a := l / inverse[k]
			for q := at + 1; q < p.start[k+1]; q++ {
				work[p.rows[q]] += values[q] * a
			}
		}
		ground[j] = g
		d := g
		for q := from; q < to; q++ {
			i := p.rows[q]
			values[q] += work[i]
			work[i] = 0
			d += values[q]
		}
		inverse[j] = 1 / d
		for q := from; q < to; q++ {
			values[q] /= d
		}
	}
}

func (p *pattern) forward(values, x []float64, first int) {
	n := len(p.start) - 1
	from := p.start[first]
	for j := first; j < n; j++ {
		to := p.start[j+1]
		xj := x[j]
		for k := from; k < to; k++ {
			x[p.rows[k]] += values[k] * xj
		}
		from = to
	}
}

// backward finishes a solution whose forward half is done.
func (p *pattern) backward(values, inverse, x []float64, first int) {
	for j := len(p.start) - 2; j >= first; j-- {
		from, to := p.start[j], p.start[j+1]
		xj := x[j] * inverse[j]
		column, rows := values[from:to], p.rows[from:to]
		for k, l := range column {
			xj += l * x[rows[k]]
		}
		x[j] = xj
	}
}
