package study

import (
	"cmp"
	"slices"
	"strings"

	"spillway/network"
	"spillway/solver/verdict"
)

// Remedy is a change to the installation with what it does, solved in every call state.
type Remedy struct {
	Moves  []Move
	Set    []string // PATH=VALUE, of all moves
	Report *Report
	// Values are the settings to go with the change: those that were found without it or, where
	// none were, with which hard limits and zoning hold after it; nil when none do.
	Values []string
	Tuned  *Report // with Values; nil without
}

// Bypass reports whether a remedy adds a bypass.
func (r *Remedy) Bypass() bool {
	return slices.ContainsFunc(r.Set, func(set string) bool {
		return strings.HasPrefix(set, string(network.BypassTable)+".")
	})
}

// faults is how many faults a remedy leaves at its best.
func (r *Remedy) faults() int {
	if r.Tuned != nil {
		return r.Tuned.count(verdict.Fault)
	}
	return r.Report.count(verdict.Fault)
}

const (
	// remedyShare bounds the search behind one remedy, in variants.
	remedyShare = 60
	// mostRemedies is how many changes are named.
	mostRemedies = 8
)

// remedies prices the changes of the catalogue that may help where settings do not: each is solved
// in every call state as the job came, and with settings. Those that leave no fewer faults are not
// named.
//
// Where no single change lets settings serve, all of them together are tried; if these do, what can
// be left out is left out, the dearest first, so that every change that stays is needed. If not
// even these do, Beyond is set.
func (s *Study) remedies(v Variant, t *Tuning) error {
	if t.Goal.nested {
		return nil
	}
	as, err := s.Solve(v)
	if err != nil {
		return err
	}
	moves := changes(as)
	list := make([]*Remedy, len(moves))
	for i := range moves {
		if list[i], err = s.remedy(v, t, moves[i]); err != nil {
			return err
		}
	}
	fits := make([]Move, 0, len(moves))
	serves := false
	most := t.Report.count(verdict.Fault)
	for i, r := range list {
		if r == nil { // does not fit this installation
			continue
		}
		fits = append(fits, moves[i])
		serves = serves || r.Tuned != nil
		if r.faults() < most || t.Infeasible && r.Tuned != nil {
			t.Remedies = append(t.Remedies, *r)
		}
	}
	slices.SortStableFunc(t.Remedies, func(a, b Remedy) int {
		return cmp.Or(served(&b)-served(&a), cmp.Compare(a.faults(), b.faults()))
	})
	t.Remedies = t.Remedies[:min(len(t.Remedies), mostRemedies)]
	if !t.Infeasible || serves || len(fits) < 2 {
		return nil
	}
	fits = largest(fits)
	best, err := s.remedy(v, t, fits...)
	if err != nil {
		return err
	}
	if t.Beyond = best == nil || best.Tuned == nil; t.Beyond {
		return nil
	}
	for i := len(fits) - 1; i >= 0 && len(fits) > 1; i-- {
		less := slices.Delete(slices.Clone(fits), i, i+1)
		r, err := s.remedy(v, t, less...)
		if err != nil {
			return err
		}
		if r != nil && r.Tuned != nil {
			best, fits = r, less
		}
	}
	t.Remedies = slices.Insert(t.Remedies, 0, *best)
	return nil
}

func served(r *Remedy) int {
	if r.Tuned != nil {
		return 1
	}
	return 0
}

// remedy solves changes together, and with settings; nil where they do not fit the installation.
func (s *Study) remedy(v Variant, t *Tuning, moves ...Move) (*Remedy, error) {
	r := &Remedy{Moves: moves}
	for _, m := range moves {
		r.Set = append(r.Set, m.Set...)
	}
	changed := v
	changed.Set = slices.Concat(v.Set, r.Set)
	var err error
	if r.Report, err = s.Report(changed); err != nil {
		return nil, nil
	}
	if !t.Infeasible { // as it is with the settings that were found
		for k, m := range t.Goal.Moves {
			changed = m.set(changed, t.Values[k])
		}
		r.Values = t.Values
		r.Tuned, err = s.Report(changed)
		return r, err
	}
	goal := t.Goal
	goal.nested, goal.Most = true, remedyShare
	found, err := s.Tune(changed, goal)
	if err != nil {
		return nil, err
	}
	if !found.Infeasible {
		r.Values, r.Tuned = found.Values, found.Report
	}
	return r, nil
}

// largest keeps, of moves that set the same path, the last, which goes farthest.
func largest(moves []Move) (kept []Move) {
	for i := range moves {
		if !slices.ContainsFunc(moves[i+1:], func(m Move) bool { return collide(&moves[i], &m) }) {
			kept = append(kept, moves[i])
		}
	}
	return kept
}

// changes lists what may be changed in an installation beside its stops, the cheapest first.
func changes(r *Result) []Move {
	return slices.Concat(tapMoves(r.Graph), filterMoves(r.Graph), bypassMoves(r.Graph, r.Outcomes),
		registerMoves(r.Graph), runMoves(r.Graph), ductMoves(r.Graph))
}

// lowerTap is the tap that moves the most air of those that move less than a tap; "" when there is none.
func lowerTap(g *network.Graph, tap string) string {
	spec, ok := g.Elements[g.Blower].Spec.(*network.BlowerSpec)
	if !ok {
		return ""
	}
	most := map[string]float64{}
	for i := range spec.Taps {
		most[spec.Taps[i].Name] = slices.Max(append([]float64{0}, spec.Taps[i].Airflow...))
	}
	best := ""
	for i := range spec.Taps {
		if name := spec.Taps[i].Name; most[name] < most[tap] && (best == "" || most[name] > most[best]) {
			best = name
		}
	}
	return best
}
