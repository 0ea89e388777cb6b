package study

import (
	"cmp"
	"math"
	"slices"

	"spillway/solver/verdict"
)

// tuneSeveral searches the grid of several settings, or of lists.
func (s *Study) tuneSeveral(v Variant, t *Tuning) error {
	goal := t.Goal
	b := s.newSearch(v, goal.Moves, goal.Most)
	if err := b.never(t); err != nil {
		return err
	}
	// First: is there a point at which every limit holds, and which serves the priority best with a step to spare either way?
	b.lower = func(corners []*Report) float64 {
		if blocked(t, corners) {
			return math.Inf(1)
		}
		return bound(goal.Priority, corners)
	}
	tight, tightValue := []int(nil), math.Inf(1) // the best without a step to spare
	b.value = func(index []int, p *Report) (float64, error) {
		if !t.keeps(p) {
			return math.Inf(1), nil
		}
		value := goal.Priority.together(goal.Priority.objective(p))
		if value < tightValue {
			tight, tightValue = slices.Clone(index), value
		}
		if value >= b.bestValue {
			return value, nil
		}
		room, err := b.room(t, index)
		if err != nil || !room {
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
		if err := s.conflict(t, b); err != nil {
			return err
		}
		compromise := b.again()
		compromise.lower = func(corners []*Report) float64 { return leastCost(t, corners) }
		compromise.value = func(_ []int, p *Report) (float64, error) { return t.cost(p), nil }
		compromise.most = b.solved + goal.Most
		if err := compromise.run(); err != nil {
			return err
		}
		b, found = compromise, compromise.best
	}
	t.Solved = b.solved
	for k, m := range goal.Moves {
		t.Values = append(t.Values, m.Value(found[k]))
	}
	return nil
}

// never finds the checks that are passed at all corners of the whole grid, and so all over it.
func (b *search) never(t *Tuning) error {
	var all []*Report
	for _, r := range b.roots() {
		reports, err := b.solve(corners(r[0], r[1]))
		if err != nil {
			return err
		}
		all = append(all, reports...)
	}
	for _, f := range all[0].Faults(t.Goal.Cautions) {
		best := f
		everywhere := true
		for _, p := range all {
			if _, bad := p.beyond(t.Goal.Cautions)[f.Check]; !bad {
				everywhere = false
				break
			}
			best = nearer(best, p)
		}
		if everywhere {
			t.hopeless[f.Check] = true
			t.addNever(best)
		}
	}
	return nil
}

// blocked tells whether one check is passed at all corners.
func blocked(t *Tuning, corners []*Report) bool {
	for c := range corners[0].beyond(t.Goal.Cautions) {
		if t.hopeless[c] {
			continue
		}
		everywhere := true
		for _, p := range corners[1:] {
			if _, bad := p.beyond(t.Goal.Cautions)[c]; !bad {
				everywhere = false
				break
			}
		}
		if everywhere {
			return true
		}
	}
	return false
}

// bound puts together the least that each part of an objective can be in size between the corners: nothing where it changes sign.
func bound(priority Priority, corners []*Report) float64 {
	low := priority.objective(corners[0])
	high := slices.Clone(low)
	for _, p := range corners[1:] {
		for i, x := range priority.objective(p) {
			// NaN, which does not apply, loses against any number.
			if !(x >= low[i]) && !math.IsNaN(x) {
				low[i] = x
			}
			if !(x <= high[i]) && !math.IsNaN(x) {
				high[i] = x
			}
		}
	}
	for i := range low {
		if low[i] < 0 {
			low[i] = max(0, -high[i])
		}
	}
	return priority.together(low)
}

// leastCost adds up the least that each check is beyond its limit at any corner.
func leastCost(t *Tuning, corners []*Report) float64 {
	sum := 0.0
	for _, f := range t.broken(corners[0]) {
		least := excess(f.Finding)
		for _, p := range corners[1:] {
			least = min(least, p.beyond(t.Goal.Cautions)[f.Check]) // 0 where it is kept
		}
		sum += least
	}
	return sum
}

// room tells whether every limit still holds with each continuous setting a step either way.
func (b *search) room(t *Tuning, index []int) (bool, error) {
	var near [][]int
	for k, m := range b.moves {
		if !m.Continuous() {
			continue
		}
		for _, step := range []int{-1, +1} {
			if i := index[k] + step; i >= 0 && i < m.Len() {
				near = append(near, slices.Clone(index))
				near[len(near)-1][k] = i
			}
		}
	}
	reports, err := b.solve(near)
	if err != nil {
		return false, err
	}
	for _, p := range reports {
		if !t.keeps(p) {
			return false, nil
		}
	}
	return true, nil
}

// conflict finds a smallest set of limits that no point of the grid keeps together. First pairs: of those that no solved point keeps
// together, the ones that are proved to have no point at all. If there is no such pair, limits are left out one by one as long as the
// rest still cannot be kept, which leaves a set of which every member is needed.
func (s *Study) conflict(t *Tuning, b *search) error {
	weight := map[Check]float64{}
	var checks []Check
	for _, p := range b.visited {
		for _, f := range t.broken(p.report) {
			if _, seen := weight[f.Check]; !seen {
				checks = append(checks, f.Check)
			}
			weight[f.Check] += excess(f.Finding)
		}
	}
	// The limits that are passed most come first; of equals, the order in which they were met.
	slices.SortStableFunc(checks, func(x, y Check) int { return cmp.Compare(weight[y], weight[x]) })
	const mostPairs = 24
	tried := 0
	var proved []Check
	for j := 1; j < len(checks) && proved == nil && tried < mostPairs; j++ {
		for i := 0; i < j && proved == nil && tried < mostPairs; i++ {
			pair := []Check{checks[i], checks[j]}
			if !neverTogether(t, b.visited, pair) {
				continue
			}
			tried++
			none, err := b.cannot(t, pair)
			if err != nil {
				return err
			}
			if none {
				proved = pair
			}
		}
	}
	t.Conflict = &Conflict{Proved: proved != nil}
	if proved == nil {
		// Every limit that matters, less what can go. The least passed are tried first.
		set := slices.Clone(checks)
		for i := len(set) - 1; i >= 0; i-- {
			rest := slices.Delete(slices.Clone(set), i, i+1)
			if len(rest) == 0 || !neverTogether(t, b.visited, rest) {
				continue
			}
			none, err := b.cannot(t, rest)
			if err != nil {
				return err
			}
			if none {
				set = rest
				t.Conflict.Proved = true
			}
		}
		proved = set
	}
	t.Conflict.Checks = proved
	return b.widths(t)
}

// neverTogether tells whether each solved point passes at least one of the checks.
func neverTogether(t *Tuning, visited []visit, checks []Check) bool {
	for _, p := range visited {
		if !passesAny(p.report, t.Goal.Cautions, checks) {
			return false
		}
	}
	return true
}

func passesAny(p *Report, cautions bool, checks []Check) bool {
	for _, c := range checks {
		if _, bad := p.beyond(cautions)[c]; bad {
			return true
		}
	}
	return false
}

// cannot proves, or fails to prove, that no point of the grid keeps all of some checks.
func (b *search) cannot(t *Tuning, checks []Check) (bool, error) {
	c := b.again()
	c.most = b.solved + b.most/4
	c.lower = func(corners []*Report) float64 { return blockedBy(t, corners, checks, 0) }
	c.value = func(_ []int, p *Report) (float64, error) {
		if passesAny(p, t.Goal.Cautions, checks) {
			return math.Inf(1), nil
		}
		return -1, nil // a point that keeps them: the search is over
	}
	err := c.run()
	b.visited, b.solved = c.visited, c.solved
	return c.complete && c.best == nil, err
}

// blockedBy is +Inf when one of the checks is passed at all corners, else a value.
func blockedBy(t *Tuning, corners []*Report, checks []Check, value float64) float64 {
	for _, c := range checks {
		everywhere := true
		for _, p := range corners {
			if _, bad := p.beyond(t.Goal.Cautions)[c]; !bad {
				everywhere = false
				break
			}
		}
		if everywhere {
			return math.Inf(1)
		}
	}
	return value
}

// widths finds, for each check of a conflict, the least by which it is passed while the others are kept.
func (b *search) widths(t *Tuning) error {
	for i, check := range t.Conflict.Checks {
		others := slices.Delete(slices.Clone(t.Conflict.Checks), i, i+1)
		c := b.again()
		c.most = b.solved + b.most/4
		beyond := func(p *Report) float64 { return p.beyond(t.Goal.Cautions)[check] }
		c.lower = func(corners []*Report) float64 {
			least := math.Inf(1)
			for _, p := range corners {
				least = min(least, beyond(p))
			}
			return blockedBy(t, corners, others, least)
		}
		c.value = func(_ []int, p *Report) (float64, error) {
			if passesAny(p, t.Goal.Cautions, others) {
				return math.Inf(1), nil
			}
			return beyond(p), nil
		}
		if err := c.run(); err != nil {
			return err
		}
		b.visited, b.solved = c.visited, c.solved
		width, at := math.NaN(), verdict.Finding{Check: check.Name, Where: check.Where, Value: math.NaN(), Limit: math.NaN()}
		if c.best != nil {
			width = c.bestValue
			if f := c.reports[indexKey(c.best)].finding(check); f != nil {
				at = *f
			}
		}
		t.Conflict.Beyond = append(t.Conflict.Beyond, width)
		t.Conflict.At = append(t.Conflict.At, at)
	}
	return nil
}
