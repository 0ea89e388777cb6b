package study

import (
	"math"
)

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

// indifferent is the part of an objective below which two settings serve it equally well.
const indifferent = 1e-3

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
