package study

import (
	"math"
	"slices"

	"spillway/solver/air/bracket"
	"spillway/solver/verdict"
)

// Priority is what counts among settings that meet every limit.
type Priority string

// The priorities.
const (
	Least   Priority = "least"   // as much as can be of every call reaches its callers: the least opening that the limits allow
	Quiet   Priority = "quiet"   // the loudest register as quiet as can be heard, and of equals the least drift
	Comfort Priority = "comfort" // satisfied zones are driven past their set points least, which the least opening does
	Energy  Priority = "energy"  // least blower power for each part of the heat that reaches calling zones
	Static  Priority = "static"  // the greatest external static as low as can be
)

// Priorities lists them.
func Priorities() []Priority { return []Priority{Least, Quiet, Comfort, Energy, Static} }

// isLeast reports whether a priority wants the least opening.
func (p Priority) isLeast() bool { return p == Least || p == Comfort }

// Drop says which limits were given up because they cannot be kept with graver ones.
type Drop int

// What can be given up. Hard limits and the zoning never are.
const (
	DropNone       Drop = iota
	DropGuidelines      // guidelines and rules of thumb
	DropComfort         // these and comfort
)

// Goal is what Tune looks for.
type Goal struct {
	Moves    []Span // the settings that may move; up to six
	Priority Priority
	Cautions bool // meet cautions too, not only faults
	Due      bool // meet them with a due filter too, DueLoading times the clean drop
	nested   bool // for a remedy: without remedies of its own
	Most     int  // stop when as many call states are solved as so many variants have; 0 = 40,000 call states
}

// Tuning is what Tune found.
type Tuning struct {
	Goal Goal
	// Values are the settings that were found, parallel to Goal.Moves, as the job file writes them; empty when Infeasible. When nothing
	// meets all limits they keep the graver ones, see Dropped.
	Values  []string
	Dropped Drop // what was given up
	// Infeasible is true when hard limits and zoning cannot be kept together by these settings. Then nothing is proposed; Never and
	// Conflict are the proof and Remedies what else may be done.
	Infeasible bool
	Remedies   []Remedy
	// Beyond is true when not even all changes of the catalogue together let settings serve.
	Beyond  bool
	Variant Variant
	Before  *Report // the job as it came
	Report  *Report // with the settings; as Before when Infeasible
	Meets   bool    // every limit holds, but for those of Never
	// Window says, for each continuous move, between which values all limits hold while the others stay: the margin. Empty when Meets is
	// false.
	Windows []Window
	// Leeway is what happens when a blade stands 5 degrees off, for each move of a damper position.
	Leeway []Leeway
	// Filter is the same settings with a due filter; nil where the job has none to load, or Due.
	Filter *DueFilter
	// Never are limits that no setting in the ranges keeps.
	Never []Fault // the nearest that each comes, one for each kind of check
	// Conflict are limits that cannot be kept together, when there are such.
	Conflict *Conflict
	// Solved counts the variants that were looked at, most of them only until a call state passed a limit; States counts the call
	// states that were solved for it.
	Solved, States int
	// Proved is true when the search is complete, so that nothing in the ranges is better on the grid of steps. It rests on every limited
	// value moving one way only with each setting.
	Proved bool

	hopeless map[Check]bool // the checks of Never, in all places and states
	most     int            // call states that may be solved
}

// counts reports whether a check is one that some setting keeps and that was not given up.
func (t *Tuning) counts(c Check) bool {
	if t.hopeless[c] {
		return false
	}
	switch class := verdict.ClassOf(c.Name); {
	case t.Dropped >= DropComfort:
		return gravest(c)
	case t.Dropped >= DropGuidelines:
		return gravest(c) || class == verdict.Comfort
	}
	return true
}

// keeps reports whether every limit that counts holds.
func (t *Tuning) keeps(p *Report) bool {
	for c := range p.beyond(t.Goal.Cautions) {
		if t.counts(c) {
			return false
		}
	}
	return true
}

// Window is the range of one setting within which all limits hold.
type Window struct {
	Path     string
	From, To float64 // in the setting's unit, From < To
	Unit     string
	// Low and High are the checks that end it; nil where the range itself does.
	Low, High *Fault
}

// Tight reports whether a window is narrower than one mark of what is set by hand, where either end
// is a limit.
func (w *Window) Tight() bool {
	return (w.Low != nil || w.High != nil) && w.To-w.From < markOf(w.Unit)*(1-1e-9)
}

// Leeway is what a setting that is off by some degrees of blade does.
type Leeway struct {
	Path        string
	Value       string
	Degrees     float64 // −5 closes, +5 opens
	Report      *Report
	Faults      []Fault // that the setting itself does not have
	StaticMoves float64 // Pa, of the greatest external static
}

// Conflict is a smallest set of limits that cannot be kept together.
type Conflict struct {
	Checks []Check
	// Beyond is, for each check, the least by which it is passed while the others are kept: with two checks, the width of the conflict.
	// NaN when the search for it was cut short.
	Beyond []float64
	// At shows each check as it stands there.
	At     []verdict.Finding
	Proved bool
}

const (
	mostMoves   = 6
	mostStates  = 40_000 // call states that are solved when nobody says
	leastSolved = 300    // variants, however many call states they have
	bladeStep   = 5.0    // degrees
	fullBlade   = 90.0
)

// Tune looks for the settings that meet every limit in every call state and serve a priority best.
//
// The settings are searched on the grid of their steps, which are the marks that they are set to, by branch and bound: what is passed at every corner of a box of settings is passed everywhere in it, and a box whose corners bound the priority
// away from the best known holds nothing better. Lists (taps, sizes) are taken one by one.
//
// Limits that cannot all be kept are given up by class: guidelines first, then comfort, never the hard ones and never the zoning. When
// these exclude one another nothing is proposed.
func (s *Study) Tune(v Variant, goal Goal) (*Tuning, error) {
	if len(goal.Moves) < 1 || len(goal.Moves) > mostMoves {
		return nil, question("tuning moves one to %d settings, not %d", mostMoves, len(goal.Moves))
	}
	for _, m := range goal.Moves {
		if err := m.Check(); err != nil {
			return nil, err
		}
	}
	if !slices.Contains(Priorities(), goal.Priority) {
		return nil, question("there is no priority %q", goal.Priority)
	}
	before, err := s.Report(v)
	if err != nil {
		return nil, err
	}
	g, err := s.Read(v)
	if err != nil {
		return nil, err
	}
	if goal.Due && !loadable(g.Job) {
		return nil, question("the job has no filter with a clean drop that could be due")
	}
	goal.Moves = slices.Clone(goal.Moves)
	for i := range goal.Moves {
		goal.Moves[i] = linked(g, goal.Moves[i])
	}
	t := &Tuning{Goal: goal, Before: before, hopeless: map[Check]bool{}}
	if t.most = goal.Most * len(before.States); goal.Most <= 0 {
		t.most = max(mostStates, leastSolved*len(before.States))
	}
	p, err := s.newProbes(v, &goal, goal.Priority.objective(before))
	if err != nil {
		return nil, err
	}
	err = s.searchGrid(t, p)
	if err != nil {
		return nil, err
	}
	t.Variant = v
	if t.Infeasible {
		t.Variant, t.Report, t.States = v, before, len(p.order)
		return t, s.remedies(v, t)
	}
	for i, m := range goal.Moves {
		t.Variant = m.set(t.Variant, t.Values[i])
	}
	if t.Report, err = s.Report(t.Variant); err != nil {
		return nil, err
	}
	t.Meets = t.Dropped == DropNone && t.keeps(t.Report)
	if t.keeps(t.Report) && !goal.nested {
		for k, m := range goal.Moves {
			if !m.Continuous() {
				continue
			}
			w, err := t.window(p, k)
			if err != nil {
				return nil, err
			}
			t.Windows = append(t.Windows, w)
		}
	}
	if !goal.nested {
		if err = t.leeway(p); err == nil && !goal.Due {
			err = s.dueFilter(g, t)
		}
	}
	if t.States = len(p.order); err == nil && t.Dropped > DropNone {
		err = s.remedies(v, t)
	}
	return t, err
}

// with are the values that were found with another for one move.
func (t *Tuning) with(k int, value string) point {
	at := slices.Clone(point(t.Values))
	at[k] = value
	return at
}

// window finds the range of a setting within which every limit holds, around the value that was found. A state in order at both ends of a range
// is so between them; the others are asked.
func (t *Tuning) window(p *probes, k int) (Window, error) {
	m := t.Goal.Moves[k]
	inside, _, _ := number(t.Values[k])
	a, b := m.X(0), m.X(m.Len()-1)
	w := Window{Path: m.Path, From: min(a, b), To: max(a, b), Unit: m.Unit()}
	for _, end := range []*float64{&w.From, &w.To} {
		faults, states, err := t.passed(p, t.with(k, m.At(*end)), p.everyState(), true)
		if err != nil {
			return w, err
		}
		if len(faults) == 0 {
			continue
		}
		good, bad, err := bracket.Edge(func(x float64) (bool, error) {
			faults, _, err := t.passed(p, t.with(k, m.At(x)), states, false)
			return len(faults) == 0, err
		}, inside, *end, kneeWidth*math.Abs(b-a))
		if err != nil {
			return w, err
		}
		if faults, _, err = t.passed(p, t.with(k, m.At(bad)), states, true); err != nil {
			return w, err
		}
		if end == &w.From {
			w.Low = &faults[0]
		} else {
			w.High = &faults[0]
		}
		*end = good
	}
	return w, nil
}

// passed lists the checks that count which a point passes in some states, and the states in which it does: all of them, or the first.
func (t *Tuning) passed(p *probes, at point, states []int, all bool) (faults []Fault, where []int, err error) {
	for _, s := range states {
		cells, err := p.at(s, []point{at})
		if err != nil {
			return nil, nil, err
		}
		had := len(faults)
		for _, f := range cells[0].faults {
			if t.counts(f.Check) {
				faults = append(faults, f)
			}
		}
		if len(faults) > had {
			where = append(where, s)
			if !all {
				return faults, where, nil
			}
		}
	}
	if len(p.groups) == 0 || len(faults) > 0 && !all {
		return faults, where, nil
	}
	house, err := p.house(at)
	for _, f := range house {
		if t.counts(f.Check) {
			faults = append(faults, f)
		}
	}
	return faults, where, err
}

// leeway solves the tuned variant with each damper position 5 degrees of blade off, either way.
func (t *Tuning) leeway(p *probes) error {
	base := t.Report.beyond(t.Goal.Cautions)
	static := worstStatic(t.Report)
	var points []point
	for k, m := range t.Goal.Moves {
		if !m.positions() {
			continue
		}
		x, _, _ := number(t.Values[k])
		for _, degrees := range []float64{-bladeStep, +bladeStep} {
			y := m.bladeOff(x, degrees)
			t.Leeway = append(t.Leeway, Leeway{Path: m.Path, Value: m.At(y), Degrees: degrees})
			points = append(points, t.with(k, m.At(y)))
		}
	}
	reports, err := p.reports(points)
	if err != nil {
		return err
	}
	for i, r := range reports {
		l := &t.Leeway[i]
		l.Report, l.StaticMoves = r, worstStatic(r)-static
		for _, f := range r.Faults(t.Goal.Cautions) {
			if _, had := base[f.Check]; !had {
				l.Faults = append(l.Faults, f)
			}
		}
	}
	return nil
}

// positions tells whether a continuous setting is the position of a damper.
func (s Span) positions() bool { return s.Continuous() && (s.Unit() == "%" || s.inDegrees()) }

// The units of a span of degrees, with the end that they count from.
const (
	degreesFromOpen = "deg from open"
	degreesFromShut = "deg from shut"
)

// inDegrees reports whether the values of a span are degrees of blade.
func (s Span) inDegrees() bool { return s.Unit() == degreesFromOpen || s.Unit() == degreesFromShut }

// bladeOff is a position with the blade so many degrees further open, in the span's unit.
func (s Span) bladeOff(x, degrees float64) float64 {
	switch s.Unit() {
	case degreesFromOpen:
		return min(max(x-degrees, 0), fullBlade)
	case degreesFromShut:
		return min(max(x+degrees, 0), fullBlade)
	}
	return min(max(x+100*degrees/fullBlade, 0), 100)
}

func worstStatic(p *Report) float64 {
	worst := math.Inf(-1)
	for i := range p.States {
		if v := p.Value(i, "external static", ""); v > worst {
			worst = v
		}
	}
	return worst
}
