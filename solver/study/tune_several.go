package study

import (
	"math"
	"slices"
)

// tuneSeveral searches the grid of several settings, or of lists.
func (s *Study) tuneSeveral(t *Tuning, p *probes) error {
	g := newGrid(p)
	if err := g.never(t); err != nil {
		return err
	}
	// First: is there a point at which every limit holds, and which serves the priority best with room to spare either way?
	b := g.search(nil, t.most)
	b.lower = func(corners []point) (float64, error) {
		if out, err := b.blocked(corners, t.counts); out || err != nil {
			return math.Inf(1), err
		}
		return b.bound(t.Goal.Priority, corners)
	}
	tight, tightValue := []int(nil), math.Inf(1) // the best without room to spare
	b.value = func(index []int) (float64, error) {
		at := []point{b.point(index)}
		if kept, err := b.kept(at, t.counts); !kept || err != nil {
			return math.Inf(1), err
		}
		parts, err := b.allParts(at[0])
		if err != nil {
			return 0, err
		}
		value := t.Goal.Priority.together(parts)
		if value < tightValue {
			tight, tightValue = slices.Clone(index), value
		}
		if value >= b.bestValue {
			return value, nil
		}
		if room, err := b.kept(b.near(index), t.counts); !room || err != nil {
			return math.Inf(1), err
		}
		return value, nil
	}
	if err := b.run(); err != nil {
		return err
	}
	found := b.best
	if found == nil {
		found = tight // met only without room to spare
	}
	t.Proved = b.complete
	if found == nil {
		if err := g.conflict(t, b); err != nil {
			return err
		}
		var err error
		if found, err = g.compromise(t); err != nil {
			return err
		}
	}
	t.Solved = len(g.tried)
	t.Values = g.point(found)
	return nil
}

// never finds the checks that are passed at all corners of the whole grid, and so all over it.
func (g *grid) never(t *Tuning) error {
	var roots []point
	for _, r := range g.roots() {
		roots = append(roots, g.points(corners(r[0], r[1]))...)
	}
	cells, err := g.all(g.everyState(), roots)
	if err != nil {
		return err
	}
	for _, state := range cells {
		for _, f := range state[0].faults {
			if !passedAt(state[1:], f.Check) {
				continue
			}
			best := f
			for _, c := range state[1:] {
				best = nearer(best, &c.StateReport)
			}
			t.hopeless[f.Check] = true
			t.addNever(best)
		}
	}
	return nil
}

// allParts are the parts of the objective in all states of a search at a point.
func (b *search) allParts(at point) ([]aim, error) {
	var parts []aim
	for s := range b.names { // always in the same order: they are added up
		cells, err := b.at(s, []point{at})
		if err != nil {
			return nil, err
		}
		parts = append(parts, cells[0].parts...)
	}
	return parts, nil
}

// bound puts together the least that each part of an objective can be in size between the corners: nothing where it changes sign.
func (b *search) bound(priority Priority, corners []point) (float64, error) {
	var all []aim
	for s := range b.names {
		cells, err := b.at(s, corners)
		if err != nil {
			return 0, err
		}
		for i, first := range cells[0].parts {
			low, high := first.value, first.value
			for _, c := range cells[1:] {
				// NaN, which does not apply, loses against any number.
				x := c.parts[i].value
				if !(x >= low) && !math.IsNaN(x) {
					low = x
				}
				if !(x <= high) && !math.IsNaN(x) {
					high = x
				}
			}
			if low < 0 {
				low = max(0, -high)
			}
			all = append(all, aim{low, first.rest})
		}
	}
	return priority.together(all), nil
}

// near lists the points that must be in order too for a setting to have room: a step either way along each continuous setting, and
// for positions of dampers as far as a stop set by hand may be off.
func (g *grid) near(index []int) []point {
	var near []point
	for k, m := range g.moves {
		if !m.Continuous() {
			continue
		}
		for _, way := range []int{-1, +1} {
			at := g.point(index)
			switch i := index[k] + way; {
			case m.positions():
				at[k] = m.At(m.bladeOff(m.X(index[k]), bladeStep*float64(way)))
			case i < 0 || i >= m.Len():
				continue
			default:
				at[k] = g.words[k][i]
			}
			near = append(near, at)
		}
	}
	return near
}

// compromise finds the point that is least beyond the limits, all together. What a state adds is never negative, so that a box or a
// point is out as soon as some states alone are more than the best.
func (g *grid) compromise(t *Tuning) ([]int, error) {
	b := g.search(nil, len(g.order)+t.most)
	add := func(points []point) (float64, error) {
		sum := 0.0
		for i, s := range b.states {
			cells, err := b.at(s, points)
			if err != nil {
				return 0, err
			}
			for _, f := range cells[0].faults {
				if !t.counts(f.Check) {
					continue
				}
				least := f.Finding.Excess()
				for _, c := range cells[1:] {
					least = min(least, c.bad[f.Check]) // 0 where it is kept
				}
				sum += least
			}
			if b.idle(sum) {
				b.first(i)
				return math.Inf(1), nil
			}
		}
		return sum, nil
	}
	b.lower = add
	b.value = func(index []int) (float64, error) { return add([]point{b.point(index)}) }
	err := b.run()
	return b.best, err
}
