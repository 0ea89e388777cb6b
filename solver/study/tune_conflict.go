package study

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"spillway/solver/verdict"
)

// conflict finds a smallest set of limits that no point of the grid keeps together. First pairs: of those that no solved point keeps
// together, the ones that are proved to have no point at all. If there is no such pair, the checks that ruled out the grid are left out one by
// one as long as the rest still cannot be kept, which leaves a set of which every member is needed.
func (g *grid) conflict(t *Tuning, first *search) error {
	weight := map[Check]float64{}
	var checks []Check
	note := func(faults []Fault) {
		for _, f := range faults {
			if !t.counts(f.Check) {
				continue
			}
			if _, seen := weight[f.Check]; !seen {
				checks = append(checks, f.Check)
			}
			weight[f.Check] += f.Finding.Excess()
		}
	}
	for _, c := range g.order {
		note(c.faults)
	}
	for _, key := range slices.Sorted(maps.Keys(g.houses)) {
		note(g.houses[key])
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
			if g.ofHouse(c) {
				faults, known := g.houses[strings.Join(at, "\x00")]
				return !known || slices.ContainsFunc(faults, func(f Fault) bool { return f.Check == c })
			}
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
		if s := slices.Index(g.names, c.State); s >= 0 && !slices.Contains(states, s) {
			states = append(states, s)
		}
	}
	return states
}

// cannot proves, or fails to prove, that no point of the grid keeps all of some checks.
func (g *grid) cannot(t *Tuning, checks []Check) (bool, error) {
	b := g.search(g.statesOf(checks), len(g.order)+t.most/4)
	counts := func(c Check) bool { return slices.Contains(checks, c) }
	whole := slices.ContainsFunc(checks, g.ofHouse)
	b.lower = func(corners []point) (float64, error) {
		if out, err := b.ruledOut(corners, counts, whole); out || err != nil {
			return math.Inf(1), err
		}
		return 0, nil
	}
	b.value = func(index []int) (float64, error) {
		if kept, err := b.allKept([]point{b.point(index)}, counts, whole); !kept || err != nil {
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
		b := g.search(g.statesOf(others), len(g.order)+t.most/4)
		counts := func(c Check) bool { return slices.Contains(others, c) }
		whole := slices.ContainsFunc(others, g.ofHouse)
		b.lower = func(corners []point) (float64, error) {
			if out, err := b.ruledOut(corners, counts, whole); out || err != nil {
				return math.Inf(1), err
			}
			least := math.Inf(1)
			for _, at := range corners {
				f, err := g.fault(check, at)
				if err != nil {
					return 0, err
				}
				least = min(least, f.Finding.Excess())
			}
			return least, nil
		}
		b.value = func(index []int) (float64, error) {
			at := b.point(index)
			if kept, err := b.allKept([]point{at}, counts, whole); !kept || err != nil {
				return math.Inf(1), err
			}
			f, err := g.fault(check, at)
			return f.Finding.Excess(), err
		}
		if err := b.run(); err != nil {
			return err
		}
		width, at := math.NaN(), verdict.Finding{Check: check.Name, Where: check.Where, Value: math.NaN(), Limit: math.NaN()}
		if b.best != nil {
			width = b.bestValue
			if f, err := g.fault(check, b.point(b.best)); err != nil {
				return err
			} else if f.Name != "" {
				at = f.Finding
			}
		}
		t.Conflict.Beyond = append(t.Conflict.Beyond, width)
		t.Conflict.At = append(t.Conflict.At, at)
	}
	return nil
}

// ofHouse reports whether a check is of a whole weather, not of one call state.
func (p *probes) ofHouse(c Check) bool { return !slices.Contains(p.names, c.State) }

// fault is a check at a point, if it is passed there; else its finding is of no excess.
func (p *probes) fault(c Check, at point) (Fault, error) {
	none := Fault{Finding: verdict.Finding{Margin: math.NaN()}}
	faults, err := p.faultsOf(c, at)
	if err != nil {
		return none, err
	}
	if i := slices.IndexFunc(faults, func(f Fault) bool { return f.Check == c }); i >= 0 {
		return faults[i], nil
	}
	return none, nil
}

// faultsOf are the faults at a point of the state, or the house, that a check is of.
func (p *probes) faultsOf(c Check, at point) ([]Fault, error) {
	own := slices.Index(p.names, c.State)
	if own < 0 {
		return p.house(at)
	}
	cells, err := p.at(own, []point{at})
	if err != nil {
		return nil, err
	}
	return cells[0].faults, nil
}

// ruledOut reports whether one check that counts is passed at all of some corners; whole asks for the checks of whole weathers too.
func (b *search) ruledOut(corners []point, counts func(Check) bool, whole bool) (bool, error) {
	if out, err := b.blocked(corners, counts); out || err != nil || !whole {
		return out, err
	}
	var common []Check
	for i, at := range corners {
		faults, err := b.house(at)
		if err != nil {
			return false, err
		}
		has := func(c Check) bool { return slices.ContainsFunc(faults, func(f Fault) bool { return f.Check == c }) }
		if i > 0 {
			common = slices.DeleteFunc(common, func(c Check) bool { return !has(c) })
			continue
		}
		for _, f := range faults {
			if counts(f.Check) {
				common = append(common, f.Check)
			}
		}
	}
	for _, c := range common {
		b.killers[c] = true
	}
	return len(common) > 0, nil
}

// allKept reports whether every check that counts is kept at some points, those of whole weathers too if whole asks for them.
func (b *search) allKept(points []point, counts func(Check) bool, whole bool) (bool, error) {
	if kept, err := b.kept(points, counts); !kept || err != nil || !whole {
		return kept, err
	}
	for _, at := range points {
		faults, err := b.house(at)
		if err != nil {
			return false, err
		}
		for _, f := range faults {
			if counts(f.Check) {
				b.killers[f.Check] = true
				return false, nil
			}
		}
	}
	return true, nil
}
