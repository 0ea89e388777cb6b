package study

import (
	"math"
	"slices"
	"spillway/solver/air/bracket"

	"spillway/solver/verdict"
)

// tuneOne finds one continuous setting by bisection to every limit's crossing.
func (s *Study) tuneOne(t *Tuning, p *probes) error {
	m := t.Goal.Moves[0]
	a, b := m.X(0), m.X(m.Len()-1)
	lo, hi := min(a, b), max(a, b)
	width := hi - lo
	ends, err := p.all(p.everyState(), []point{{m.At(lo)}, {m.At(hi)}})
	if err != nil {
		return err
	}
	t.Solved = 2

	// Limits that both ends pass no setting keeps; one that only the low end passes bounds the setting from below, and so on.
	type bound struct {
		at    float64 // nearest value to the crossing at which the limit is kept
		check Check
	}
	below, above := bound{at: lo}, bound{at: hi}
	for _, state := range ends {
		for _, f := range state[0].faults {
			if passedAt(state[1:], f.Check) {
				t.hopeless[f.Check] = true
				t.addNever(nearer(f, &state[1].StateReport))
			}
		}
	}
	for i, state := range ends {
		for k, end := range state {
			for _, f := range end.faults {
				if !t.counts(f.Check) {
					continue
				}
				kept, passed, nearest := hi, lo, below.at
				if k == 1 {
					kept, passed, nearest = lo, hi, above.at
				}
				// What is kept at the nearest crossing so far crosses beyond it.
				cells, err := p.at(i, []point{{m.At(nearest)}})
				if err != nil {
					return err
				}
				if !passedAt(cells, f.Check) {
					continue
				}
				kept, _, err = bracket.Edge(func(x float64) (bool, error) {
					cells, err := p.at(i, []point{{m.At(x)}})
					if err != nil {
						return false, err
					}
					t.Solved++
					return !passedAt(cells, f.Check), nil
				}, kept, passed, kneeWidth*width)
				if err != nil {
					return err
				}
				if k == 0 && kept > below.at {
					below = bound{kept, f.Check}
				}
				if k == 1 && kept < above.at {
					above = bound{kept, f.Check}
				}
			}
		}
	}
	t.Proved = true
	if below.at > above.at {
		return t.conflictOfOne(p, below.at, above.at, below.check, above.check)
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
	x, err := t.bestOfOne(p, from, to)
	t.Values = []string{m.At(x)}
	return err
}

// nearer is the fault as it stands there or in a report of the same state, whichever comes nearer to keeping it.
func nearer(f Fault, other *StateReport) Fault {
	if g := other.finding(f.Check); g != nil && g.Excess() < f.Finding.Excess() {
		f.Finding = *g
	}
	return f
}

// addNever notes a limit that no setting keeps; of one kind of check the worst stands for all.
func (t *Tuning) addNever(f Fault) {
	for i := range t.Never {
		if t.Never[i].Name == f.Name {
			if f.Finding.Excess() > t.Never[i].Finding.Excess() {
				t.Never[i] = f
			}
			return
		}
	}
	t.Never = append(t.Never, f)
}

// bestOfOne is the value within a window that serves the priority best. Where several do equally, the middle of the window does.
func (t *Tuning) bestOfOne(p *probes, from, to float64) (float64, error) {
	m := t.Goal.Moves[0]
	const most = 25
	step := (to - from) / (most - 1)
	if quantum := roundStep(m.Unit()); quantum > 0 && to-from > 4*quantum {
		// Values that can be read off a scale.
		from, to = math.Ceil(from/quantum)*quantum, math.Floor(to/quantum)*quantum
		step = max(quantum, math.Round(step/quantum)*quantum)
	}
	if step <= 0 {
		return (from + to) / 2, nil
	}
	var xs []float64
	var points []point
	for k := 0; ; k++ {
		x := from + float64(k)*step
		if x > to+step*1e-9 {
			break
		}
		xs, points = append(xs, x), append(points, point{m.At(x)})
	}
	cells, err := p.all(p.everyState(), points)
	if err != nil {
		return 0, err
	}
	t.Solved += len(points)
	least := math.Inf(1)
	costs := make([]float64, len(xs))
	for k := range points {
		var parts []aim
		for i := range cells {
			parts = append(parts, cells[i][k].parts...)
		}
		costs[k] = t.Goal.Priority.together(parts)
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
	case "%", "Pa", "deg", degreesFromOpen, degreesFromShut:
		return 1
	case "inwc":
		return 0.01
	}
	return 0
}

// conflictOfOne writes down that one limit asks for at least low and another for at most high, which is less.
func (t *Tuning) conflictOfOne(p *probes, low, high float64, needsLow, needsHigh Check) error {
	m := t.Goal.Moves[0]
	// Where the first is just kept, how far is the second beyond its limit, and the other way about?
	t.Conflict = &Conflict{Checks: []Check{needsLow, needsHigh}, Proved: true}
	for i, x := range []float64{high, low} {
		c := t.Conflict.Checks[i]
		cells, err := p.at(slices.Index(p.names, c.State), []point{{m.At(x)}})
		if err != nil {
			return err
		}
		f := cells[0].finding(c)
		if f == nil {
			f = &verdict.Finding{Check: c.Name, Where: c.Where, Limit: math.NaN()}
		}
		t.Conflict.At = append(t.Conflict.At, *f)
		t.Conflict.Beyond = append(t.Conflict.Beyond, f.Excess())
	}
	// The best compromise lies between the two crossings: least beyond all limits together.
	const points = 41
	var xs []float64
	var tried []point
	for k := range points {
		x := high + (low-high)*float64(k)/(points-1)
		if quantum := roundStep(m.Unit()); quantum > 0 {
			x = math.Round(x/quantum) * quantum
		}
		if !slices.Contains(xs, x) {
			xs, tried = append(xs, x), append(tried, point{m.At(x)})
		}
	}
	reports, err := p.reports(tried)
	if err != nil {
		return err
	}
	t.Solved += len(reports)
	best := 0
	for k, r := range reports {
		if t.cost(r) < t.cost(reports[best]) {
			best = k
		}
	}
	t.Values = []string{m.At(xs[best])}
	return nil
}

// Reach finds the value of one setting at which a measure in one call state comes to a target, by bisection between the ends of its
// range; the measure must move one way only with the setting. It returns the value, with no more decimals than the tolerance asks for, and the
// measure there. Tolerance is on the measure; where the measure jumps across the target, the value beside the jump is returned.
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
		if math.Abs(reached-target) <= tolerance {
			break
		}
		if x == a || x == b {
			return x, reached, nil
		}
		if (reached-target)*(ya-target) > 0 {
			a, ya = x, reached
		} else {
			b = x
		}
	}
	for scale := 1.; scale <= 1e6; scale *= 10 {
		short := math.Round(x*scale) / scale
		if short < min(m.X(0), m.X(m.Len()-1)) || short > max(m.X(0), m.X(m.Len()-1)) {
			continue
		}
		y, err := read(short)
		if err != nil {
			return 0, 0, err
		}
		if math.Abs(y-target) <= tolerance {
			return short, y, nil
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
