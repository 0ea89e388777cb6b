package study

import (
	"cmp"
	"math"
	"slices"

	"spillway/solver/verdict"
)

// conflict finds a smallest set of limits that no point of the grid keeps together. First pairs: of those that no solved point keeps
// together, the ones that are proved to have no point at all. If there is no such pair, the checks that ruled out the grid are left out one by
// one as long as the rest still cannot be kept, which leaves a set of which every member is needed.
func (g *grid) conflict(t *Tuning, first *search) error {
	weight := map[Check]float64{}
	var checks []Check
	for _, c := range g.order {
		for _, f := range c.faults {
			if !t.counts(f.Check) {
				continue
			}
			if _, seen := weight[f.Check]; !seen {
				checks = append(checks, f.Check)
			}
			weight[f.Check] += f.Finding.Excess()
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
			if g.seenKept(pair) {
				continue
			}
			tried++
			none, err := g.cannot(t, pair)
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
		set := slices.DeleteFunc(checks, func(c Check) bool { return !first.killers[c] })
		t.Conflict.Proved = first.complete
		// The least passed are tried first.
		for i := len(set) - 1; i >= 0 && len(set) > 1; i-- {
			rest := slices.Delete(slices.Clone(set), i, i+1)
			if g.seenKept(rest) {
				continue
			}
			none, err := g.cannot(t, rest)
			if err != nil {
				return err
			}
			if none {
				set, t.Conflict.Proved = rest, true
			}
		}
		proved = set
	}
	t.Conflict.Checks = proved
	return g.widths(t)
}

// seenKept tells whether a point is known that keeps all of some checks.
func (g *grid) seenKept(checks []Check) bool {
	return slices.ContainsFunc(g.tried, func(at point) bool {
		return !slices.ContainsFunc(checks, func(c Check) bool {
			p := g.known(slices.Index(g.names, c.State), at)
			if p == nil {
				return true
			}
			_, bad := p.bad[c]
			return bad
		})
	})
}

// statesOf lists the states of checks, each once.
func (g *grid) statesOf(checks []Check) []int {
	var states []int
	for _, c := range checks {
		if s := slices.Index(g.names, c.State); !slices.Contains(states, s) {
			states = append(states, s)
		}
	}
	return states
}

// cannot proves, or fails to prove, that no point of the grid keeps all of some checks.
func (g *grid) cannot(t *Tuning, checks []Check) (bool, error) {
	b := g.search(g.statesOf(checks), len(g.order)+t.most/4)
	counts := func(c Check) bool { return slices.Contains(checks, c) }
	b.lower = func(corners []point) (float64, error) {
		if out, err := b.blocked(corners, counts); out || err != nil {
			return math.Inf(1), err
		}
		return 0, nil
	}
	b.value = func(index []int) (float64, error) {
		if kept, err := b.kept([]point{b.point(index)}, counts); !kept || err != nil {
			return math.Inf(1), err
		}
		return -1, nil // a point that keeps them: the search is over
	}
	err := b.run()
	return b.complete && b.best == nil, err
}

// widths finds, for each check of a conflict, the least by which it is passed while the others are kept.
func (g *grid) widths(t *Tuning) error {
	for i, check := range t.Conflict.Checks {
		others := slices.Delete(slices.Clone(t.Conflict.Checks), i, i+1)
		own := slices.Index(g.names, check.State)
		b := g.search(g.statesOf(others), len(g.order)+t.most/4)
		counts := func(c Check) bool { return slices.Contains(others, c) }
		b.lower = func(corners []point) (float64, error) {
			if out, err := b.blocked(corners, counts); out || err != nil {
				return math.Inf(1), err
			}
			cells, err := b.at(own, corners)
			if err != nil {
				return 0, err
			}
			least := math.Inf(1)
			for _, c := range cells {
				least = min(least, c.bad[check])
			}
			return least, nil
		}
		b.value = func(index []int) (float64, error) {
			at := []point{b.point(index)}
			if kept, err := b.kept(at, counts); !kept || err != nil {
				return math.Inf(1), err
			}
			cells, err := b.at(own, at)
			if err != nil {
				return 0, err
			}
			return cells[0].bad[check], nil
		}
		if err := b.run(); err != nil {
			return err
		}
		width, at := math.NaN(), verdict.Finding{Check: check.Name, Where: check.Where, Value: math.NaN(), Limit: math.NaN()}
		if b.best != nil {
			width = b.bestValue
			if f := g.known(own, b.point(b.best)).finding(check); f != nil {
				at = *f
			}
		}
		t.Conflict.Beyond = append(t.Conflict.Beyond, width)
		t.Conflict.At = append(t.Conflict.At, at)
	}
	return nil
}
