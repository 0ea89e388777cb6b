package study

import (
	"math"
	"slices"

	"spillway/solver/verdict"
)

// tuneOne finds one continuous setting by bisection to every limit's crossing.
func (s *Study) tuneOne(v Variant, t *Tuning) error {
	m := t.Goal.Moves[0]
	a, b := m.X(0), m.X(m.Len()-1)
	lo, hi := min(a, b), max(a, b)
	width := hi - lo
	ends, err := s.Reports([]Variant{m.at(v, lo), m.at(v, hi)})
	if err != nil {
		return err
	}
	t.Solved = 2
	atLow, atHigh := ends[0].beyond(t.Goal.Cautions), ends[1].beyond(t.Goal.Cautions)

	// Limits that both ends pass no setting keeps; one that only the low end passes bounds the setting from below, and so on.
	type bound struct {
		at    float64 // nearest value to the crossing at which the limit is kept
		check Check
	}
	below, above := bound{at: lo}, bound{at: hi}
	for _, f := range ends[0].Faults(t.Goal.Cautions) {
		if _, both := atHigh[f.Check]; both {
			t.hopeless[f.Check] = true
			t.addNever(nearer(f, ends[1]))
		}
	}
	crossing := func(c Check, kept, passed float64) (float64, error) {
		for math.Abs(passed-kept) > kneeWidth*width {
			mid := (kept + passed) / 2
			p, err := s.reportState(m.at(v, mid), c.State)
			if err != nil {
				return 0, err
			}
			t.Solved++
			if _, bad := p.beyond(t.Goal.Cautions)[c]; bad {
				passed = mid
			} else {
				kept = mid
			}
		}
		return kept, nil
	}
	bounds := make([]bound, 0, len(atLow)+len(atHigh))
	var lows []bool
	for k, p := range ends {
		for _, f := range p.Faults(t.Goal.Cautions) {
			if !t.hopeless[f.Check] {
				bounds, lows = append(bounds, bound{check: f.Check}), append(lows, k == 0)
			}
		}
	}
	for i := range bounds {
		kept, passed := lo, hi
		if lows[i] {
			kept, passed = hi, lo
		}
		if bounds[i].at, err = crossing(bounds[i].check, kept, passed); err != nil {
			return err
		}
		if lows[i] && bounds[i].at > below.at {
			below = bounds[i]
		}
		if !lows[i] && bounds[i].at < above.at {
			above = bounds[i]
		}
	}
	t.Proved = true
	if below.at > above.at {
		return s.conflictOfOne(v, t, below.at, above.at, below.check, above.check)
	}
	// A window: keep a little inside of its ends, and choose by the priority.
	aside := min(insideWindow*width, (above.at-below.at)/4)
	from, to := below.at, above.at
	if below.check != (Check{}) {
		from += aside
	}
	if above.check != (Check{}) {
		to -= aside
	}
	x, err := s.best(v, t, from, to)
	t.Values = []string{m.At(x)}
	return err
}

// nearer is the fault as it stands in whichever of two reports comes nearer to keeping it.
func nearer(f Fault, other *Report) Fault {
	if g := other.finding(f.Check); g != nil && excess(*g) < excess(f.Finding) {
		f.Finding = *g
	}
	return f
}

// addNever notes a limit that no setting keeps; of one kind of check the worst stands for all.
func (t *Tuning) addNever(f Fault) {
	for i := range t.Never {
		if t.Never[i].Name == f.Name {
			if excess(f.Finding) > excess(t.Never[i].Finding) {
				t.Never[i] = f
			}
			return
		}
	}
	t.Never = append(t.Never, f)
}

// best is the value within a window that serves the priority best. Where several do equally, the middle of the window does.
func (s *Study) best(v Variant, t *Tuning, from, to float64) (float64, error) {
	m := t.Goal.Moves[0]
	const points = 25
	step := (to - from) / (points - 1)
	if quantum := roundStep(m.Unit()); quantum > 0 && to-from > 4*quantum {
		// Values that can be read off a scale.
		from, to = math.Ceil(from/quantum)*quantum, math.Floor(to/quantum)*quantum
		step = max(quantum, math.Round(step/quantum)*quantum)
	}
	if step <= 0 {
		return (from + to) / 2, nil
	}
	var xs []float64
	var variants []Variant
	for k := 0; ; k++ {
		x := from + float64(k)*step
		if x > to+step*1e-9 {
			break
		}
		xs, variants = append(xs, x), append(variants, m.at(v, x))
	}
	reports, err := s.Reports(variants)
	if err != nil {
		return 0, err
	}
	t.Solved += len(reports)
	least := math.Inf(1)
	costs := make([]float64, len(xs))
	for k, p := range reports {
		costs[k] = t.Goal.Priority.together(t.Goal.Priority.objective(p))
		least = min(least, costs[k])
	}
	middle := (from + to) / 2
	best := -1
	for k, x := range xs {
		if costs[k] <= least+indifferent*math.Abs(least) && (best < 0 || math.Abs(x-middle) < math.Abs(xs[best]-middle)) {
			best = k
		}
	}
	return xs[best], nil
}

// indifferent is the part of an objective below which two settings serve it equally well.
const indifferent = 1e-3

// roundStep is the smallest step that people set, in a unit.
func roundStep(unit string) float64 {
	switch unit {
	case "%", "deg", "Pa":
		return 1
	case "inwc":
		return 0.01
	}
	return 0
}

// conflictOfOne writes down that one limit asks for at least low and another for at most high, which is less.
func (s *Study) conflictOfOne(v Variant, t *Tuning, low, high float64, needsLow, needsHigh Check) error {
	m := t.Goal.Moves[0]
	// Where the first is just kept, how far is the second beyond its limit, and the other way about?
	first, err := s.reportState(m.at(v, high), needsLow.State)
	if err != nil {
		return err
	}
	second, err := s.reportState(m.at(v, low), needsHigh.State)
	if err != nil {
		return err
	}
	t.Conflict = &Conflict{Checks: []Check{needsLow, needsHigh}, Proved: true}
	for i, p := range []*Report{first, second} {
		f := p.finding(t.Conflict.Checks[i])
		if f == nil {
			f = &verdict.Finding{Check: t.Conflict.Checks[i].Name, Where: t.Conflict.Checks[i].Where, Limit: math.NaN()}
		}
		t.Conflict.At = append(t.Conflict.At, *f)
		t.Conflict.Beyond = append(t.Conflict.Beyond, excess(*f))
	}
	// The best compromise lies between the two crossings: least beyond all limits together.
	const points = 41
	var xs []float64
	var variants []Variant
	for k := range points {
		x := high + (low-high)*float64(k)/(points-1)
		if quantum := roundStep(m.Unit()); quantum > 0 {
			x = math.Round(x/quantum) * quantum
		}
		if !slices.Contains(xs, x) {
			xs, variants = append(xs, x), append(variants, m.at(v, x))
		}
	}
	reports, err := s.Reports(variants)
	if err != nil {
		return err
	}
	t.Solved += len(reports)
	best := 0
	for k, p := range reports {
		if t.cost(p) < t.cost(reports[best]) {
			best = k
		}
	}
	t.Values = []string{m.At(xs[best])}
	return nil
}

// Reach finds the value of one setting at which a measure in one call state comes to a target, by bisection between the ends of its
// range; the measure must move one way only with the setting. It returns the value and the measure there. Tolerance is on the measure.
func (s *Study) Reach(v Variant, m Span, stateName, name, where string, target, tolerance float64) (x, reached float64, err error) {
	if err := m.Check(); err != nil {
		return 0, 0, err
	}
	if !m.Continuous() {
		return 0, 0, question("%s: a list has nothing between its values", m.Path)
	}
	read := func(x float64) (float64, error) {
		p, err := s.reportState(m.at(v, x), stateName)
		if err != nil {
			return 0, err
		}
		y := p.Value(0, name, where)
		if math.IsNaN(y) {
			return 0, question("%q has no %s of %q", stateName, name, where)
		}
		return y, nil
	}
	a, b := m.X(0), m.X(m.Len()-1)
	ya, err := read(a)
	if err != nil {
		return 0, 0, err
	}
	yb, err := read(b)
	if err != nil {
		return 0, 0, err
	}
	if (ya-target)*(yb-target) > 0 {
		return 0, 0, &OutOfReach{Path: m.Path, From: m.At(a), To: m.At(b), Least: min(ya, yb), Most: max(ya, yb), Target: target}
	}
	for range 200 {
		x = (a + b) / 2
		if reached, err = read(x); err != nil {
			return 0, 0, err
		}
		if math.Abs(reached-target) <= tolerance || x == a || x == b {
			return x, reached, nil
		}
		if (reached-target)*(ya-target) > 0 {
			a, ya = x, reached
		} else {
			b = x
		}
	}
	return x, reached, nil
}

// OutOfReach says that a target lies outside of what a range of a setting gives.
type OutOfReach struct {
	Path, From, To      string
	Least, Most, Target float64 // SI
}

func (e *OutOfReach) Error() string {
	return "from " + e.From + " to " + e.To + " of " + e.Path + " the target is not reached"
}
