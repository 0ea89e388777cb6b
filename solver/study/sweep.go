package study

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"spillway/solver/air/bracket"

	"spillway/solver/verdict"
)

// Sweep is what happens while one setting, or two, move through their ranges.
type Sweep struct {
	Spans    []Span
	Points   []Point // the last span moves fastest
	States   []string
	Measures []Measure
	// Series are the measures over the range, call state by call state. One setting only; of two, read the points.
	Series []Series
	// Checks are the values that were held against limits, with the limits. One setting only.
	Checks []Series
	// Knees are where a limit begins or ceases to be kept. One continuous setting only.
	Knees []Knee
	// Never are the limits that no setting in the range keeps, one for each kind of check, the worst.
	Never []Fault
}

// Point is one setting (or pair) and what came of it.
type Point struct {
	Values []string  // parallel to Spans, as the job file writes them
	X      []float64 // the same as numbers
	Report *Report
}

// Series is one number over the range in one call state, for a curve.
type Series struct {
	Name, Where string
	State       string
	Quantity    verdict.Quantity
	X, Y        []float64 // Y is NaN where it does not apply
	// Limits that the number is held against. A line without one has none.
	Limits []Limit
}

// Limit is a limit in a chart.
type Limit struct {
	Value float64
	Level verdict.Level // what passing it is
	Upper bool          // values above it pass it; else values below
}

// Knee is a place in the range where a limit begins or ceases to be kept.
type Knee struct {
	Fault         // the check, with its finding just beyond the limit
	X     float64 // in the span's unit
	Below bool    // the limit is passed below X; else above
	// Also counts the other call states and places in which the same limit is passed on the same side, nearer the end.
	Also int
}

// Sweep solves an installation at every value of one span, or at every pair of two.
func (s *Study) Sweep(v Variant, spans ...Span) (*Sweep, error) {
	if len(spans) < 1 || len(spans) > 2 {
		return nil, question("a sweep moves one setting or two, not %d", len(spans))
	}
	total := 1
	for _, span := range spans {
		if err := span.Check(); err != nil {
			return nil, err
		}
		if total *= span.Len(); total > mostSteps {
			return nil, question("the ranges have %d steps together, at most %d can be", total, mostSteps)
		}
	}
	w := &Sweep{Spans: spans, Points: make([]Point, total)}
	variants := make([]Variant, total)
	for i := range total {
		at, point := i, Variant{}
		point = v
		p := Point{Values: make([]string, len(spans)), X: make([]float64, len(spans))}
		for k := len(spans) - 1; k >= 0; k-- {
			j := at % spans[k].Len()
			at /= spans[k].Len()
			p.Values[k], p.X[k] = spans[k].Value(j), spans[k].X(j)
		}
		for k := range spans {
			point = spans[k].set(point, p.Values[k])
		}
		w.Points[i], variants[i] = p, point
	}
	reports, err := s.Reports(variants)
	if err != nil {
		return nil, err
	}
	for i := range reports {
		w.Points[i].Report = reports[i]
	}
	w.Measures = reports[0].Measures
	for i := range reports[0].States {
		w.States = append(w.States, reports[0].States[i].State.Name)
	}
	for _, p := range reports {
		if len(p.States) != len(w.States) || len(p.Measures) != len(w.Measures) {
			return nil, question("%s changes which call states or zones there are, which a sweep cannot show; use compare", spans[0].Path)
		}
	}
	w.never()
	if len(spans) == 1 {
		w.series()
		w.checks()
		if spans[0].Continuous() {
			return w, s.knees(v, w)
		}
	}
	return w, nil
}

// series reads the measures over the range.
func (w *Sweep) series() {
	for i, name := range w.States {
		for m := range w.Measures {
			line := Series{Name: w.Measures[m].Name, Where: w.Measures[m].Where, State: name, Quantity: w.Measures[m].Quantity}
			some := false
			for k := range w.Points {
				y := w.Points[k].Report.States[i].Values[m]
				some = some || !math.IsNaN(y)
				line.X, line.Y = append(line.X, w.Points[k].X[0]), append(line.Y, y)
			}
			if some {
				w.Series = append(w.Series, line)
			}
		}
	}
}

// allChecks lists every check that has a finding anywhere in the range, in order of first appearance.
func (w *Sweep) allChecks() []Check {
	seen := map[Check]bool{}
	var list []Check
	for k := range w.Points {
		for i := range w.Points[k].Report.States {
			st := &w.Points[k].Report.States[i]
			for _, f := range st.Findings {
				if c := (Check{State: st.State.Name, Name: f.Check, Where: f.Where}); !seen[c] {
					seen[c] = true
					list = append(list, c)
				}
			}
		}
	}
	return list
}

// checks reads the values that limits were held against. A check of many places has a finding only where one is out of order or nearest
// its limit; elsewhere the curve has a gap.
func (w *Sweep) checks() {
	for _, c := range w.allChecks() {
		line := Series{Name: c.Name, Where: c.Where, State: c.State}
		for k := range w.Points {
			y := math.NaN()
			if f := w.Points[k].Report.finding(c); f != nil {
				y, line.Quantity = f.Value, f.Quantity
				line.addLimit(*f)
			}
			line.X, line.Y = append(line.X, w.Points[k].X[0]), append(line.Y, y)
		}
		w.Checks = append(w.Checks, line)
	}
}

// addLimit notes the limit that a finding names: while in order the first one it would pass, else the one it passed.
func (l *Series) addLimit(f verdict.Finding) {
	if math.IsNaN(f.Limit) {
		return
	}
	limit := Limit{Value: f.Limit, Level: f.Level, Upper: f.Value > f.Limit}
	if f.Level == verdict.OK {
		limit.Level, limit.Upper = verdict.Caution, f.Value <= f.Limit
	}
	if !slices.Contains(l.Limits, limit) {
		l.Limits = append(l.Limits, limit)
	}
}

// never finds the checks that are at fault all over the range.
func (w *Sweep) never() {
	best := map[string]int{} // by kind of check: index into Never
	for _, first := range w.Points[0].Report.Faults(false) {
		always, worst := true, first
		for k := range w.Points {
			f := w.Points[k].Report.finding(first.Check)
			if f == nil || f.Level != verdict.Fault {
				always = false
				break
			}
			if f.Excess() < worst.Finding.Excess() {
				worst.Finding = *f // the nearest that the range comes to keeping it
			}
		}
		if !always {
			continue
		}
		k, again := best[first.Name]
		switch {
		case !again:
			best[first.Name] = len(w.Never)
			w.Never = append(w.Never, worst)
		case worst.Finding.Excess() > w.Never[k].Finding.Excess():
			w.Never[k] = worst
		}
	}
}

// knees brackets every change of level between neighbouring points and closes in on it by bisection.
func (s *Study) knees(v Variant, w *Sweep) error {
	type crossing struct {
		c      Check
		level  verdict.Level
		lo, hi float64
		below  bool // passed at lo
	}
	var crossings []crossing
	for _, c := range w.allChecks() {
		for _, level := range []verdict.Level{verdict.Fault, verdict.Caution} {
			for k := 1; k < len(w.Points); k++ {
				a, b := passed(w.Points[k-1].Report.level(c), level), passed(w.Points[k].Report.level(c), level)
				if a != b {
					crossings = append(crossings, crossing{c, level, w.Points[k-1].X[0], w.Points[k].X[0], a})
				}
			}
		}
	}
	knees := make([]Knee, len(crossings))
	span := w.Spans[0]
	width := math.Abs(w.Points[len(w.Points)-1].X[0] - w.Points[0].X[0])
	err := s.each(len(crossings), func(i int) error {
		b := crossings[i]
		var beyond *verdict.Finding
		lo, hi, err := bracket.Edge(func(x float64) (bool, error) {
			f, err := s.findingAt(span.at(v, x), b.c)
			is := f != nil && passed(f.Level, b.level)
			if is {
				beyond = f
			}
			return is == b.below, err
		}, b.lo, b.hi, kneeWidth*width)
		if err != nil {
			return err
		}
		if beyond == nil {
			end := lo
			if !b.below {
				end = hi
			}
			f, err := s.findingAt(span.at(v, end), b.c)
			if err != nil {
				return err
			}
			beyond = f
		}
		knees[i] = Knee{X: (lo + hi) / 2, Below: b.below == (lo < hi)}
		knees[i].Check = b.c
		if beyond != nil {
			knees[i].Finding = *beyond
			knees[i].Finding.Level = b.level
		}
		return nil
	})
	if err != nil {
		return err
	}
	w.Knees = foremost(knees)
	return nil
}

// kneeWidth is how near a knee is found, as a share of the range.
const kneeWidth = 1e-5

// passed tells whether a level is at least as bad as another.
func passed(level, limit verdict.Level) bool {
	return level == limit || level == verdict.Fault && limit == verdict.Caution
}

// findingAt solves one call state of a variant and looks up one check; nil when all is well.
func (s *Study) findingAt(v Variant, c Check) (*verdict.Finding, error) {
	p, err := s.reportState(v, c.State)
	if err != nil {
		return nil, err
	}
	return p.finding(c), nil
}

// reportState is the report of a variant in one call state only.
func (s *Study) reportState(v Variant, name string) (*Report, error) {
	g, states, b, err := s.graph(v)
	if err != nil {
		return nil, err
	}
	for i := range states {
		if states[i].Name == name {
			r, err := s.solveGraph(v, g, states[i:i+1], b)
			if err != nil {
				return nil, err
			}
			return newReport(r)
		}
	}
	return nil, s.named(v, fmt.Errorf("there is no call state %q", name))
}

// foremost keeps, of the knees of one kind of check, level and side, the one that leaves least of the range, and counts the rest.
func foremost(knees []Knee) []Knee {
	type kind struct {
		name  string
		level verdict.Level
		below bool
	}
	at := map[kind]int{}
	var kept []Knee
	for _, k := range knees {
		id := kind{k.Name, k.Finding.Level, k.Below}
		i, again := at[id]
		if !again {
			at[id] = len(kept)
			kept = append(kept, k)
			continue
		}
		also := kept[i].Also + 1
		if k.Below && k.X > kept[i].X || !k.Below && k.X < kept[i].X {
			kept[i] = k
		}
		kept[i].Also = also
	}
	slices.SortStableFunc(kept, func(a, b Knee) int {
		if a.Finding.Level != b.Finding.Level {
			if a.Finding.Level == verdict.Fault {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.X, b.X)
	})
	return kept
}
