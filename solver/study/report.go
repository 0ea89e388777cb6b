package study

import (
	"math"

	"spillway/solver/state"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// Report is what a study keeps of a solved variant: its measures and findings, without the outcomes themselves.
type Report struct {
	Variant  Variant
	Measures []Measure
	States   []StateReport
	Houses   []verdict.House // by weather, where all its call states are solved

	bad [2]map[Check]float64 // by caution false/true: how far checks are beyond their limits; see excess
}

// StateReport is one call state of a Report.
type StateReport struct {
	State    state.CallState
	Values   []float64 // parallel to Report.Measures
	Findings []verdict.Finding
	call     zoning.Call
}

// readReport reads measures off a result.
func readReport(r *Result, measures []Measure) *Report {
	p := &Report{Variant: r.Variant, Measures: measures, States: make([]StateReport, len(r.Outcomes))}
	for i, o := range r.Outcomes {
		p.States[i] = StateReport{State: o.State, Values: make([]float64, len(p.Measures)), Findings: r.Findings[i], call: zoning.CallOf(o)}
		for m := range p.Measures {
			p.States[i].Values[m] = p.Measures[m].Read(o)
		}
	}
	return p
}

// newReport reads all measures off a result, and reckons how far its checks are beyond their limits.
func newReport(r *Result) (*Report, error) {
	p := readReport(r, Measures(r.Graph))
	var err error
	if p.Houses, err = verdict.Houses(r.Outcomes); err != nil {
		return nil, err
	}
	p.weigh()
	return p, nil
}

// weigh reckons how far checks are beyond their limits.
func (p *Report) weigh() {
	for i, caution := range []bool{false, true} {
		p.bad[i] = map[Check]float64{}
		for _, f := range p.Faults(caution) {
			p.bad[i][f.Check] = f.Finding.Excess()
		}
	}
}

// Report solves a variant, or remembers it.
func (s *Study) Report(v Variant) (*Report, error) {
	s.mu.Lock()
	p, ok := s.reports[v.key()]
	s.mu.Unlock()
	if ok {
		return p, nil
	}
	r, err := s.Solve(v)
	if err != nil {
		return nil, err
	}
	if p, err = newReport(r); err != nil {
		return nil, s.named(v, err)
	}
	s.mu.Lock()
	if len(s.reports) < mostReports {
		s.reports[v.key()] = p
	}
	s.mu.Unlock()
	return p, nil
}

// Reports gives the reports of variants, solved side by side, in their order.
func (s *Study) Reports(variants []Variant) ([]*Report, error) {
	reports := make([]*Report, len(variants))
	err := s.each(len(variants), func(i int) (err error) {
		reports[i], err = s.Report(variants[i])
		return err
	})
	return reports, err
}

// Value is a measure in a call state; NaN when the report has no such measure.
func (p *Report) Value(stateIndex int, name, where string) float64 {
	for m := range p.Measures {
		if p.Measures[m].Name == name && p.Measures[m].Where == where {
			return p.States[stateIndex].Values[m]
		}
	}
	return math.NaN()
}

// Check is one limit at one place in one call state. A check that has a limit on either side is two: Low tells which.
type Check struct {
	State, Name, Where string
	Low                bool // values below the limit pass it
}

// Faults lists the checks that are at fault, in the order of states and findings, then those of whole weathers, whose name stands for
// the state. With caution it lists those that want caution too.
func (p *Report) Faults(caution bool) []Fault {
	var list []Fault
	add := func(state string, f *verdict.Finding) {
		if f.Level == verdict.Fault || caution && f.Level == verdict.Caution {
			list = append(list, Fault{Check{state, f.Check, f.Where, f.Value < f.Limit}, *f})
		}
	}
	for i := range p.States {
		for k := range p.States[i].Findings {
			add(p.States[i].State.Name, &p.States[i].Findings[k])
		}
	}
	for i := range p.Houses {
		for k := range p.Houses[i].Findings {
			add(p.Houses[i].Weather, &p.Houses[i].Findings[k])
		}
	}
	return list
}

// Fault is a finding with the call state it belongs to.
type Fault struct {
	Check
	Finding verdict.Finding
}

// finding is the finding of a check in the report, whichever side it is on; nil when it has none, because all is well there or another place of the same kind
// is nearer its limit.
func (p *Report) finding(c Check) *verdict.Finding {
	for i := range p.States {
		if p.States[i].State.Name == c.State {
			return p.States[i].finding(c)
		}
	}
	for i := range p.Houses {
		for k := range p.Houses[i].Findings {
			if f := &p.Houses[i].Findings[k]; p.Houses[i].Weather == c.State && f.Check == c.Name && f.Where == c.Where {
				return f
			}
		}
	}
	return nil
}

// finding is the same in one state.
func (p *StateReport) finding(c Check) *verdict.Finding {
	for k := range p.Findings {
		if f := &p.Findings[k]; f.Check == c.Name && f.Where == c.Where {
			return f
		}
	}
	return nil
}

// level is the level of a check in the report; a check without a finding is in order.
func (p *Report) level(c Check) verdict.Level {
	if f := p.finding(c); f != nil {
		return f.Level
	}
	return verdict.OK
}

// count counts findings of a level.
func (p *Report) count(level verdict.Level) int {
	faults, cautions := p.Count()
	if level == verdict.Fault {
		return faults
	}
	return cautions
}

// Count counts the findings of a report.
func (p *Report) Count() (faults, cautions int) {
	faults = len(p.Faults(false))
	return faults, len(p.Faults(true)) - faults
}

// beyond tells how far each check that is not kept lies beyond its limit: faults, or cautions as well.
func (p *Report) beyond(caution bool) map[Check]float64 {
	if caution {
		return p.bad[1]
	}
	return p.bad[0]
}
