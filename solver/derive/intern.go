package derive

import (
	"math"
	"strconv"
	"strings"
)

// interner shares steps that say the same: two that were made apart and agree in everything, inputs included, become one.
type interner struct {
	steps map[string]*Step
	one   map[*Step]*Step // a step → the one that stands for it
	of    map[*Step]int   // numbers of those that stand
}

func newInterner() *interner {
	return &interner{steps: map[string]*Step{}, one: map[*Step]*Step{}, of: map[*Step]int{}}
}

// share returns the step that stands for s, its inputs shared first.
func (n *interner) share(s *Step) *Step {
	if s == nil {
		return nil
	}
	if one, ok := n.one[s]; ok {
		return one
	}
	var b strings.Builder
	text := func(t string) { b.WriteString(t); b.WriteByte(0) }
	number := func(v float64) { b.WriteString(strconv.FormatUint(math.Float64bits(v), 36)); b.WriteByte(0) }
	text(s.Name)
	text(s.Symbol)
	number(s.Value)
	number(float64(s.Quantity))
	text(s.Words)
	text(s.Equation)
	text(string(s.Origin.Kind))
	text(s.Origin.Text)
	text(s.Origin.Place.File)
	text(strconv.Itoa(s.Origin.Place.Line))
	number(s.Origin.Low)
	number(s.Origin.High)
	for _, l := range s.Lines {
		text(l)
	}
	for i := range s.Inputs {
		s.Inputs[i].Step = n.share(s.Inputs[i].Step)
		text(s.Inputs[i].Symbol)
		text(strconv.Itoa(n.of[s.Inputs[i].Step]))
	}
	key := b.String()
	one, ok := n.steps[key]
	if !ok {
		if s.Defect = s.defect(); s.Defect != "" {
			s.Words += "; " + s.Defect
		}
		one = s
		n.steps[key] = s
		n.of[s] = len(n.of) + 1
		n.one[one] = one
	}
	n.one[s] = one
	return one
}
