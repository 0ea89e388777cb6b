package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/starter"
	"spillway/solver/digest"
	"spillway/solver/session"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// The ladder of stops that a first file tries: in tenths, to as far as a zone still keeps half of
// its zoning (our choice).
const (
	stopStep = 0.1
	mostStop = 0.6
	// unsolvedHarm is the harm of a call state in which the equipment is beyond its model: more
	// than the faults of any other.
	unsolvedHarm = 1000
)

// firstFile is a starter with what became of it in the solver.
type firstFile struct {
	file   []byte
	zones  []starter.Zone
	states int
	causes []digest.Cause // at fault
	// unsolved is why the first of the call states that cannot be solved cannot; "" if all can.
	unsolved string
}

// settle finds the stops of a first file and writes it. It begins with every damper shut, looks for
// the call state that is worst, and opens the stop of a zone that does not call in it as long as
// that lessens what is wrong in all states together. What is left is told in the file's head.
func settle(a starter.Answers) (*firstFile, error) {
	a, err := a.Check()
	if err != nil {
		return nil, wrongAnswer(err)
	}
	base, err := openFirst(a)
	if err != nil {
		return nil, err
	}
	best, err := judgeFirst(base)
	if err != nil {
		return nil, err
	}
	var near []*state.Outcome
	if !best.unsolved {
		near = outcomesOf(best.cases)
	}
	for best.harm > 0 {
		var better *judged
		better, err = openOneMore(base, near, &a, best)
		if err != nil {
			return nil, err
		}
		if better == nil {
			break
		}
		best = better
	}
	whole, err := openStarter(a, session.Options{})
	if err != nil {
		return nil, err
	}
	cases, err := whole.All(context.Background())
	f := &firstFile{zones: a.Zones, states: len(cases)}
	if err != nil {
		f.unsolved, _, _ = strings.Cut(err.Error(), "\n")
	}
	cases = slices.DeleteFunc(cases, func(made *session.Case) bool { return made == nil })
	houses, err := session.Houses(cases)
	if err != nil {
		return nil, fail(unsolvable, "the first file: %w", err)
	}
	reports := make([]digest.Report, len(cases))
	for i, made := range cases {
		reports[i] = digest.Report{Outcome: made.Outcome, Findings: made.Findings}
	}
	for _, cause := range digest.Of(reports, houses).Causes {
		if cause.Level == verdict.Fault {
			f.causes = append(f.causes, cause)
		}
	}
	a.Remarks = f.remarks()
	if f.file, err = starter.File(a); err != nil {
		return nil, wrongAnswer(err)
	}
	return f, nil
}

// judged is a set of stops as solved: how much is wrong, and in which state most.
type judged struct {
	cases    []*session.Case
	harm     float64  // of all faults together, a whole part for each; 0: no fault
	calling  []string // of the worst state
	unsolved bool     // a state has no solution
}

// openFirst opens the file of the answers, in the calls of one zone alone and of all zones.
func openFirst(a starter.Answers) (*session.Session, error) {
	choose := func(g *network.Graph) ([]state.CallState, error) {
		all := state.States(g)
		if len(a.Zones) <= 3 {
			return all, nil
		}
		return slices.DeleteFunc(all, func(cs state.CallState) bool {
			return len(cs.Calling) != 1 && len(cs.Calling) != len(a.Zones)
		}), nil
	}
	return openStarter(a, session.Options{Choose: choose, NoStops: true, Quick: true})
}

func openStarter(a starter.Answers, opt session.Options) (*session.Session, error) {
	data, err := starter.File(a)
	if err != nil {
		return nil, wrongAnswer(err)
	}
	s, _, err := session.Open("the first file", data, opt)
	if err != nil {
		return nil, fail(unsolvable, "internal error: the first file: %w (please report)", err)
	}
	return s, nil
}

func outcomesOf(cases []*session.Case) []*state.Outcome {
	outcomes := make([]*state.Outcome, len(cases))
	for i, made := range cases {
		outcomes[i] = made.Outcome
	}
	return outcomes
}

// judgeFirst solves and weighs the states of a session.
func judgeFirst(s *session.Session) (*judged, error) {
	cases, err := s.All(context.Background())
	if cases == nil {
		return nil, fail(unsolvable, "the first file: %w", err)
	}
	j := &judged{cases: cases, unsolved: err != nil}
	most := 0.0
	for i, made := range cases {
		sum := 0.0
		if made == nil {
			sum = unsolvedHarm
			made = &session.Case{}
		}
		for k := range made.Findings {
			if f := &made.Findings[k]; f.Level == verdict.Fault {
				sum += 1 + f.Harm
			}
		}
		if j.harm += sum; sum > most {
			most, j.calling = sum, s.States()[i].Calling
		}
	}
	return j, nil
}

// openOneMore opens one stop by a step: of the zones that do not call in the worst state, the one
// that lessens the harm most. It returns nil where none does.
func openOneMore(base *session.Session, near []*state.Outcome, a *starter.Answers,
	was *judged) (*judged, error) {
	var best *judged
	at := -1
	for i, z := range a.Zones {
		if slices.Contains(was.calling, z.Name) || z.Stop+stopStep > mostStop+1e-9 {
			continue
		}
		stops := slices.Clone(a.Zones)
		stops[i].Stop += stopStep
		s, err := base.With(near, settings(stops)...)
		if err != nil {
			return nil, fail(unsolvable, "the first file: %w", err)
		}
		j, err := judgeFirst(s)
		if err != nil {
			return nil, err
		}
		if j.harm < was.harm && (best == nil || j.harm < best.harm) {
			best, at = j, i
		}
	}
	if best != nil {
		a.Zones[at].Stop += stopStep
	}
	return best, nil
}

// settings are the stops of the zones as PATH=VALUE.
func settings(zones []starter.Zone) []string {
	var set []string
	for _, z := range zones {
		set = append(set, fmt.Sprintf("%s=%.0f %%", network.PathText("damper", z.Name, "stop"),
			100*z.Stop))
	}
	return set
}

// remarks are what the head of the file says of the house as solved.
func (f *firstFile) remarks() []string {
	var open []string
	for _, z := range f.zones {
		if z.Stop > 0 {
			open = append(open, fmt.Sprintf("%s %.0f %%", z.Name, 100*z.Stop))
		}
	}
	tried := fmt.Sprintf("Solved as it stands in %d call states", f.states)
	switch {
	case len(open) > 0:
		tried += ". The stops are open only as far as the surplus air does harm otherwise: " +
			strings.Join(open, ", ") + "."
	default:
		tried += ", with every damper shut while its zone does not call."
	}
	if f.unsolved != "" {
		return []string{tried, "A call state cannot be solved: " + f.unsolved}
	}
	if len(f.causes) == 0 {
		return []string{tried + " No call state is at fault."}
	}
	list := []string{tried,
		"Still at fault, and for you to judge; \"spillway mend FILE\" looks for what helps:"}
	for i := range f.causes {
		c := &f.causes[i]
		remedy, _, _ := strings.Cut(c.Worst().Finding.Remedy, ";")
		list = append(list, fmt.Sprintf("- %s, in %d of %d call states: %s", c.Title(),
			len(c.States),
			f.states, remedy))
	}
	return list
}

// tell prints what was written and what came of it.
func (f *firstFile) tell(out io.Writer, name string) {
	fmt.Fprintf(out, "%s is written; now: spillway solve %s\n", name, name)
	for _, r := range f.remarks() {
		fmt.Fprintln(out, r)
	}
}
