package study

import (
	"cmp"
	"container/heap"
	"math"
	"slices"
)

// Branch and bound over boxes of a grid of settings.
//
// The one assumption: every limited value, and every part of the objective, moves one way only with each continuous setting, whichever
// way (network flow with a falling blower curve gives that for pressures and flows). Then what it is anywhere in a box lies between
// what it is at the corners. So
//
//   - a check that is passed at every corner of a box is passed all over it, and the box holds no solution,
//   - the least of each part at the corners, put together, bounds the objective in the box from below.
//
// Corners are shared between boxes and solved once.

// box is a piece of the grid, by the least and greatest index along each setting.
type box struct {
	lo, hi  []int
	bound   float64 // no point of it does better
	corners []*Report
	order   int // of making, so that equals go by it
}

type boxes []*box

func (b boxes) Len() int { return len(b) }
func (b boxes) Less(i, j int) bool {
	return cmp.Or(cmp.Compare(b[i].bound, b[j].bound), cmp.Compare(b[i].order, b[j].order)) < 0
}
func (b boxes) Swap(i, j int) { b[i], b[j] = b[j], b[i] }
func (b *boxes) Push(x any)   { *b = append(*b, x.(*box)) }
func (b *boxes) Pop() any {
	old := *b
	last := old[len(old)-1]
	*b = old[:len(old)-1]
	return last
}

// search is one run of branch and bound.
type search struct {
	study *Study
	base  Variant
	moves []Span
	most  int // variants that may be solved

	// lower is what no point of a box with these corners goes below; +Inf when the box can hold no solution.
	lower func(corners []*Report) float64
	// value is what a point is worth; +Inf when it is no solution.
	value func(index []int, p *Report) (float64, error)

	reports map[string]*Report
	visited []visit
	solved  int

	best      []int
	bestValue float64
	complete  bool
}

// visit is a solved point of the grid.
type visit struct {
	index  []int
	report *Report
}

func (s *Study) newSearch(v Variant, moves []Span, most int) *search {
	return &search{study: s, base: v, moves: moves, most: most, reports: map[string]*Report{}, bestValue: math.Inf(1)}
}

// again is a new search over the same points, which need not be solved again.
func (b *search) again() *search {
	return &search{study: b.study, base: b.base, moves: b.moves, most: b.most, reports: b.reports, visited: b.visited, solved: b.solved, bestValue: math.Inf(1)}
}

func indexKey(index []int) string {
	key := make([]byte, 0, 4*len(index))
	for _, i := range index {
		key = append(key, byte(i), byte(i>>8), byte(i>>16), ';')
	}
	return string(key)
}

func (b *search) variant(index []int) Variant {
	v := b.base
	for k, m := range b.moves {
		v = m.set(v, m.Value(index[k]))
	}
	return v
}

// solve gives the reports of points, solving side by side those that are new.
func (b *search) solve(points [][]int) ([]*Report, error) {
	var fresh [][]int
	var variants []Variant
	seen := map[string]bool{}
	for _, index := range points {
		if key := indexKey(index); b.reports[key] == nil && !seen[key] {
			seen[key] = true
			fresh, variants = append(fresh, index), append(variants, b.variant(index))
		}
	}
	reports, err := b.study.Reports(variants)
	if err != nil {
		return nil, err
	}
	for i, index := range fresh {
		b.reports[indexKey(index)] = reports[i]
		b.visited = append(b.visited, visit{slices.Clone(index), reports[i]})
	}
	b.solved += len(fresh)
	list := make([]*Report, len(points))
	for i, index := range points {
		list[i] = b.reports[indexKey(index)]
	}
	return list, nil
}

// corners lists the corners of a box.
func corners(lo, hi []int) [][]int {
	list := [][]int{nil}
	for k := range lo {
		var next [][]int
		for _, c := range list {
			next = append(next, append(c[:len(c):len(c)], lo[k]))
			if hi[k] != lo[k] {
				next = append(next, append(c[:len(c):len(c)], hi[k]))
			}
		}
		list = next
	}
	return list
}

// run searches the whole grid.
func (b *search) run() error {
	queue := &boxes{}
	made := 0
	push := func(lo, hi []int) error {
		points := corners(lo, hi)
		reports, err := b.solve(points)
		if err != nil {
			return err
		}
		for i, index := range points {
			if err := b.offer(index, reports[i]); err != nil {
				return err
			}
		}
		box := &box{lo: lo, hi: hi, corners: reports, bound: b.lower(reports), order: made}
		made++
		if !math.IsInf(box.bound, 1) && splits(lo, hi) {
			heap.Push(queue, box)
		}
		return nil
	}
	for _, first := range b.roots() {
		if err := push(first[0], first[1]); err != nil {
			return err
		}
	}
	for queue.Len() > 0 {
		next := heap.Pop(queue).(*box)
		if next.bound >= b.bestValue-indifferent*math.Abs(b.bestValue) {
			break // and so are all the others
		}
		if b.solved >= b.most {
			return nil
		}
		k := widest(next.lo, next.hi)
		mid := (next.lo[k] + next.hi[k]) / 2
		upper := slices.Clone(next.hi)
		upper[k] = mid
		lower := slices.Clone(next.lo)
		lower[k] = mid
		if err := push(next.lo, upper); err != nil {
			return err
		}
		if err := push(lower, next.hi); err != nil {
			return err
		}
	}
	b.complete = true
	return nil
}

// roots are the boxes to begin with: all of the grid, but a box for each value of a list.
func (b *search) roots() [][2][]int {
	list := [][2][]int{{nil, nil}}
	for _, m := range b.moves {
		var next [][2][]int
		for _, r := range list {
			if m.Continuous() {
				next = append(next, [2][]int{append(r[0][:len(r[0]):len(r[0])], 0), append(r[1][:len(r[1]):len(r[1])], m.Len()-1)})
				continue
			}
			for i := range m.Len() {
				next = append(next, [2][]int{append(r[0][:len(r[0]):len(r[0])], i), append(r[1][:len(r[1]):len(r[1])], i)})
			}
		}
		list = next
	}
	return list
}

// splits tells whether a box has points besides its corners.
func splits(lo, hi []int) bool { k := widest(lo, hi); return hi[k]-lo[k] > 1 }

func widest(lo, hi []int) int {
	best := 0
	for k := range lo {
		if hi[k]-lo[k] > hi[best]-lo[best] {
			best = k
		}
	}
	return best
}

// offer takes a point as the best so far if it is.
func (b *search) offer(index []int, p *Report) error {
	value, err := b.value(index, p)
	if err != nil {
		return err
	}
	if value < b.bestValue {
		b.best, b.bestValue = slices.Clone(index), value
	}
	return nil
}
