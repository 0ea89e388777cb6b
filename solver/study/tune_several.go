package study

import (
	"math"
	"slices"

	"spillway/solver/verdict"
)

// search looks on the grid for the settings that keep all limits, or the gravest of them that can be kept together, and among those for
// the ones that serve the priority best.
func (s *Study) searchGrid(t *Tuning, p *probes) error {
	g := newGrid(p)
	if err := g.never(t); err != nil {
		return err
	}
	var found []int
	for t.Dropped = DropNone; found == nil && !t.Infeasible; t.Dropped++ {
		b, best, err := g.best(t)
		if err != nil {
			return err
		}
		found, t.Proved = best, b.complete
		if found != nil {
			break
		}
		if !t.Goal.nested && (t.Dropped == DropNone || t.Dropped == DropComfort) {
			t.Conflict = nil
			if err := g.conflict(t, b); err != nil {
				return err
			}
		}
		if t.Dropped == DropComfort {
			t.Infeasible = true
			break
		}
	}
	if found != nil && t.Goal.Priority.isLeast() {
		var err error
		if found, err = g.narrow(t, found); err != nil {
			return err
		}
	}
	t.Solved = len(g.tried)
	if found != nil {
		t.Values = g.point(found)
	}
	return nil
}

// sameLoss is by how much the mean part of a call that is lost may differ between settings that
// serve alike (our choice: half a thousandth, which no reading shows).
const sameLoss = 5e-4

// narrow takes damper positions down to the lowest marks on which what counts is still kept and no
// more of a call is lost: a stop that makes no difference is left shut.
func (g *grid) narrow(t *Tuning, found []int) ([]int, error) {
	b := g.search(nil, t.most)
	worst, mean, err := b.lost(g.point(found))
	if err != nil {
		return nil, err
	}
	for k, m := range g.moves {
		if !m.positions() || m.X(0) > m.X(m.Len()-1) || m.Unit() == degreesFromOpen {
			continue
		}
		for i := range found[k] {
			less := slices.Clone(found)
			less[k] = i
			at := g.point(less)
			w, n, err := b.lost(at)
			if err != nil {
				return nil, err
			}
			if w > worst+sameLoss || n > mean+sameLoss {
				continue
			}
			kept, err := b.allKept([]point{at}, t.counts, len(g.groups) > 0)
			if err != nil {
				return nil, err
			}
			if kept {
				found, worst, mean = less, min(w, worst), min(n, mean)
				break
			}
		}
	}
	return found, nil
}

// lost is the part of a call that does not reach its callers at a point: the worst and the mean of
// all call states.
func (b *search) lost(at point) (worst, mean float64, err error) {
	parts, err := b.allParts(at)
	if err != nil {
		return 0, 0, err
	}
	sum, n := 0.0, 0
	for _, x := range parts {
		if x.kind == lostAim && !math.IsNaN(x.value) {
			worst, sum, n = max(worst, x.value), sum+x.value, n+1
		}
	}
	return worst, sum / float64(max(n, 1)), nil
}

// best searches the grid for the best point that keeps what counts, with room to spare either way where the priority asks for it, else
// without; nil when no point keeps it.
func (g *grid) best(t *Tuning) (*search, []int, error) {
	b := g.search(nil, t.most)
	b.within = t.Goal.Priority.tolerance()
	whole := len(g.groups) > 0
	b.lower = func(corners []point) (float64, error) {
		if out, err := b.ruledOut(corners, t.counts, false); out || err != nil {
			return math.Inf(1), err
		}
		bound, err := b.bound(t.Goal.Priority, corners)
		if err != nil || b.idle(bound) {
			return bound, err
		}
		if out, err := b.ruledOut(corners, t.counts, whole); out || err != nil {
			return math.Inf(1), err
		}
		return bound, nil
	}
	tight, tightValue := []int(nil), math.Inf(1) // the best without room to spare
	b.value = func(index []int) (float64, error) {
		at := []point{b.point(index)}
		if kept, err := b.allKept(at, t.counts, whole); !kept || err != nil {
			return math.Inf(1), err
		}
		parts, err := b.allParts(at[0])
		if err != nil {
			return 0, err
		}
		value := t.Goal.Priority.together(parts)
		if t.Goal.Priority.isLeast() {
			return value, nil // the edge of a limit is where it wants to be
		}
		if value < tightValue {
			tight, tightValue = slices.Clone(index), value
		}
		if value >= b.bestValue {
			return value, nil
		}
		if room, err := b.allKept(b.near(index), t.counts, whole); !room || err != nil {
			return math.Inf(1), err
		}
		return value, nil
	}
	if err := b.run(); err != nil {
		return nil, nil, err
	}
	if b.best == nil {
		return b, tight, nil // met only without room to spare
	}
	return b, b.best, nil
}

// never finds the checks that are passed at all corners of the whole grid, and so all over it. One of a hard class, or of the zoning,
// that some setting has a say in leaves nothing to propose: the settings would be pushed as far as they go and miss it all the same.
func (g *grid) never(t *Tuning) error {
	var roots []point
	for _, r := range g.roots() {
		roots = append(roots, g.points(corners(r[0], r[1]))...)
	}
	cells, err := g.all(g.everyState(), roots)
	if err != nil {
		return err
	}
	give := func(best Fault, least, most float64) {
		t.hopeless[best.Check] = true
		t.addNever(best)
		if moves := most-least > 1e-6*math.Abs(most); moves && gravest(best.Check) {
			t.Infeasible, t.Dropped, t.Proved = true, DropComfort, true
		}
	}
	for _, state := range cells {
		for _, f := range state[0].faults {
			if !passedAt(state[1:], f.Check) {
				continue
			}
			best, least, most := f, f.Finding.Value, f.Finding.Value
			for _, c := range state[1:] {
				best = nearer(best, &c.StateReport)
				if at := c.finding(f.Check); at != nil {
					least, most = min(least, at.Value), max(most, at.Value)
				}
			}
			give(best, least, most)
		}
	}
	if len(g.groups) == 0 {
		return nil
	}
	first, err := g.house(roots[0])
	if err != nil {
		return err
	}
	for _, f := range first {
		best, least, most, always := f, f.Finding.Value, f.Finding.Value, true
		for _, at := range roots[1:] {
			other, err := g.fault(f.Check, at)
			if err != nil {
				return err
			}
			if always = always && other.Name != ""; !always {
				break
			}
			least, most = min(least, other.Finding.Value), max(most, other.Finding.Value)
			if other.Finding.Excess() < best.Finding.Excess() {
				best = other
			}
		}
		if always {
			give(best, least, most)
		}
	}
	return nil
}

// gravest reports whether a check is of those that come before all others: hard limits and the zoning.
func gravest(c Check) bool {
	class := verdict.ClassOf(c.Name)
	return class.Hard() || class == verdict.Zoning
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
			all = append(all, aim{low, first.kind})
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
