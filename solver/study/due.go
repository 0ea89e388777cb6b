package study

import (
	"strconv"

	"spillway/network"
	"spillway/solver/air/bracket"
)

// DueLoading is how many times its clean drop a filter has when it is due, and thereby the second
// case that settings are judged in (our choice; filters are changed at two to three times, from
// memory).
const DueLoading = 2.5

const (
	loadingPath = "equipment.filter.loading"
	filterDue   = ", filter due" // behind the name of a call state
)

// DueFilter is how settings do when the filter has loaded.
type DueFilter struct {
	Report *Report // with the due filter
	Faults []Fault // that the settings do not have with the filter as it is
	// HoldsTo is up to how many times the clean drop nothing but what is at fault anyway is, at
	// most DueLoading.
	HoldsTo float64
}

// loadable reports whether a job has a filter that is cleaner than a due one.
func loadable(job *network.Job) bool {
	f := job.Equipment.Filter
	return f != nil && f.Drop > 0 && f.At > 0 && f.Loading < DueLoading
}

// loaded is a variant with a filter of so many times its clean drop.
func loaded(v Variant, loading float64) Variant {
	return v.With(loadingPath, strconv.FormatFloat(loading, 'g', 4, 64))
}

// dueFilter solves what was found once more with a due filter, and looks for the loading up to
// which it serves.
func (s *Study) dueFilter(g *network.Graph, t *Tuning) (err error) {
	if !loadable(g.Job) {
		return nil
	}
	base := t.Report.beyond(t.Goal.Cautions)
	more := func(loading float64) (*Report, []Fault, error) {
		p, err := s.Report(loaded(t.Variant, loading))
		if err != nil {
			return nil, nil, err
		}
		var faults []Fault
		for _, f := range p.Faults(t.Goal.Cautions) {
			if _, had := base[f.Check]; !had {
				faults = append(faults, f)
			}
		}
		return p, faults, nil
	}
	d := &DueFilter{HoldsTo: DueLoading}
	if d.Report, d.Faults, err = more(DueLoading); err != nil {
		return err
	}
	t.Filter = d
	if len(d.Faults) == 0 {
		return nil
	}
	d.HoldsTo, _, err = bracket.Edge(func(loading float64) (bool, error) {
		_, faults, err := more(loading)
		return len(faults) == 0, err
	}, max(g.Job.Equipment.Filter.Loading, 1), DueLoading, loadingWidth)
	return err
}

// loadingWidth is how closely the loading is found.
const loadingWidth = 0.02
