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
// Both are asked state by state, the state that has ruled out boxes last before the others, and no further than the answer needs. Corners
// are shared between boxes and solved once.

// box is a piece of the grid, by the least and greatest index along each setting.
type box struct {
	lo, hi []int
	bound  float64 // no point of it does better
	order  int     // of making, so that equals go by it
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
	*grid
	states []int   // that matter to it, the likeliest to rule out a box first
	most   int     // call states that may be solved in all
	within float64 // part of a value below which a better one is not looked for

	// lower is what no point of a box with these corners goes below; +Inf when the box can hold no solution.
	lower func(corners []point) (float64, error)
	// value is what a point is worth; +Inf when it is no solution.
	value func(index []int) (float64, error)

	best      []int
	bestValue float64
	complete  bool
	// killers are the checks that ruled out a box or a point. Together they rule out all of the grid when the search is complete and
	// found nothing.
	killers map[Check]bool
}

// grid is what the searches of one tuning share.
type grid struct {
	*probes
	words [][]string // the values of each move
	// tried are the points that were looked at, in at least one state each.
	tried []point
	seen  map[string]bool
}

func newGrid(p *probes) *grid {
	g := &grid{probes: p, seen: map[string]bool{}}
	for _, m := range p.moves {
		words := make([]string, m.Len())
		for i := range words {
			words[i] = m.Value(i)
		}
		g.words = append(g.words, words)
	}
	return g
}

// search begins a search over some states; nil takes all of them.
func (g *grid) search(states []int, most int) *search {
	if states == nil {
		states = g.everyState()
	}
	return &search{grid: g, states: states, most: most, within: indifferent, bestValue: math.Inf(1), killers: map[Check]bool{}}
}

func indexKey(index []int) string {
	key := make([]byte, 0, 4*len(index))
	for _, i := range index {
		key = append(key, byte(i), byte(i>>8), byte(i>>16), ';')
	}
	return string(key)
}

// point is the point of the grid with these indices.
func (g *grid) point(index []int) point {
	at := make(point, len(index))
	for k, i := range index {
		at[k] = g.words[k][i]
	}
	return at
}

func (g *grid) points(list [][]int) []point {
	points := make([]point, len(list))
	for i, index := range list {
		points[i] = g.point(index)
	}
	return points
}

// try notes that points are looked at.
func (g *grid) try(list [][]int) {
	for _, index := range list {
		if key := indexKey(index); !g.seen[key] {
			g.seen[key] = true
			g.tried = append(g.tried, g.point(index))
		}
	}
}

// first moves a state to the front.
func (b *search) first(i int) {
	s := b.states[i]
	copy(b.states[1:i+1], b.states[:i])
	b.states[0] = s
}

// blocked tells whether one check that counts is passed at all of some corners, and so between them.
func (b *search) blocked(corners []point, counts func(Check) bool) (bool, error) {
	for i, s := range b.states {
		cells, err := b.at(s, corners)
		if err != nil {
			return false, err
		}
		for _, f := range cells[0].faults {
			if !counts(f.Check) || !passedAt(cells[1:], f.Check) {
				continue
			}
			b.killers[f.Check] = true
			b.first(i)
			return true, nil
		}
	}
	return false, nil
}

func passedAt(cells []*cell, c Check) bool {
	for _, p := range cells {
		if _, bad := p.bad[c]; !bad {
			return false
		}
	}
	return true
}

// kept tells whether every check that counts is kept at some points. What is known is asked before anything is solved.
func (b *search) kept(points []point, counts func(Check) bool) (bool, error) {
	for _, known := range []bool{true, false} {
		for i, s := range b.states {
			cells := make([]*cell, 0, len(points))
			if known {
				for _, at := range points {
					if c := b.known(s, at); c != nil {
						cells = append(cells, c)
					}
				}
			} else {
				var err error
				if cells, err = b.at(s, points); err != nil {
					return false, err
				}
			}
			for _, c := range cells {
				for _, f := range c.faults {
					if counts(f.Check) {
						b.killers[f.Check] = true
						b.first(i)
						return false, nil
					}
				}
			}
		}
	}
	return true, nil
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
		list := corners(lo, hi)
		b.try(list)
		bound, err := b.lower(b.points(list))
		if err != nil || b.idle(bound) {
			return err
		}
		for _, index := range list {
			if err := b.offer(index); err != nil {
				return err
			}
		}
		if splits(lo, hi) {
			heap.Push(queue, &box{lo: lo, hi: hi, bound: bound, order: made})
			made++
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
		if b.idle(next.bound) {
			break // and so are all the others
		}
		if b.spent() {
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

// idle tells whether a bound leaves nothing to be gained.
func (b *search) idle(bound float64) bool {
	return math.IsInf(bound, 1) || bound >= b.bestValue-b.within*math.Abs(b.bestValue)
}

// spent tells whether a search has to end.
func (b *search) spent() bool { return len(b.probes.order) >= b.most }

// roots are the boxes to begin with: all of the grid, but a box for each value of a list.
func (g *grid) roots() [][2][]int {
	list := [][2][]int{{nil, nil}}
	for _, m := range g.moves {
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
func (b *search) offer(index []int) error {
	value, err := b.value(index)
	if err != nil {
		return err
	}
	if value < b.bestValue {
		b.best, b.bestValue = slices.Clone(index), value
	}
	return nil
}
