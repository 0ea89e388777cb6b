package study

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"spillway/network"
	"spillway/network/quantity"
)

// withDoubts adds the values that the job does not know exactly to what varies. A value with a
// doubt of its own varies by that alone, so a tolerance that gives it another value leaves it out;
// one that multiplies it is a common factor and stays.
func withDoubts(g *network.Graph, list []input, assumed bool) []input {
	doubts := g.Job.Doubts
	if len(doubts) == 0 {
		return list
	}
	has := func(path string) bool {
		return slices.ContainsFunc(doubts, func(d network.Doubt) bool { return d.Path == path })
	}
	var all []input
	for _, in := range list {
		if in.coefficient == "coefficients.leakage" || in.coefficient == "leakage" {
			if assumed && (has("leakage.supply") || has("leakage.return")) {
				continue
			}
		}
		if len(in.settings) > 0 && in.way != part && in.way != times {
			in.settings = slices.DeleteFunc(slices.Clone(in.settings),
				func(s network.Setting) bool { return has(s.Path) })
			if len(in.settings) == 0 {
				continue
			}
		}
		if in.path != "" && has(in.path) {
			continue
		}
		all = append(all, in)
	}
	for i := range doubts {
		all = append(all, input{name: doubts[i].Path, doubt: &doubts[i]})
	}
	return all
}

// DrawDoubt returns the value, SI, below which a share u of the values of a doubt lies.
//
// The span holds 95 of 100 values of a bell, whose ends are two standard deviations off; tails end
// at three. Of an even doubt it holds all, half of them on either side of the middle, and without
// regard to the middle where that is an end.
func DrawDoubt(d *network.Doubt, u float64) float64 {
	if n := len(d.Choices); n > 0 {
		return min(math.Floor(u*float64(n)), float64(n-1))
	}
	if d.Shape == network.BellShape {
		z := distuv.UnitNormal.Quantile(min(max(u, bellTail), 1-bellTail)) / 2
		end := d.High
		if z < 0 {
			end = d.Low
		}
		if d.Factor && d.Low > 0 {
			return d.Middle * math.Exp(math.Abs(z)*math.Log(end/d.Middle))
		}
		return d.Middle + math.Abs(z)*(end-d.Middle)
	}
	return evenly(d.Low, d.Middle, d.High, u)
}

// bellTail is the share of a bell beyond three standard deviations on one side.
const bellTail = 0.00135

// evenly draws between two ends, as often below the middle as above.
func evenly(low, middle, high, u float64) float64 {
	switch {
	case middle <= low || middle >= high:
		return low + u*(high-low)
	case u < 0.5:
		return low + 2*u*(middle-low)
	}
	return middle + (2*u-1)*(high-middle)
}

// drawn is one draw in the making: the variant, and the values that settings have in it.
type drawn struct {
	Variant
	values map[string]float64
}

// vary writes the overrides of one draw of all inputs: values in doubt first, so that a common
// factor finds them.
func vary(v Variant, list []input, u []float64) Variant {
	p := drawn{v, map[string]float64{}}
	for k := range list {
		if d := list[k].doubt; d != nil {
			x := DrawDoubt(d, u[k])
			p.values[d.Path] = x
			p.Variant = p.With(d.Override(x))
		}
	}
	for k := range list {
		if list[k].coefficient == "" && list[k].doubt == nil {
			list[k].assign(&p, list[k].draw(u[k]))
		}
	}
	return p.Variant
}

// assign writes the overrides of a draw.
func (in *input) assign(p *drawn, x float64) {
	if in.path != "" {
		p.Variant = p.With(in.path, write(x, in.unit))
		return
	}
	for i := range in.settings {
		s, si := &in.settings[i], x
		base := s.Value
		if own, ok := p.values[s.Path]; ok {
			base = own
		}
		switch in.way {
		case about:
			si = base + x
		case part:
			si = base * (1 + x)
		case times:
			si = base * x
		}
		if s.Kind == quantity.KindFraction {
			si = min(max(si, 0), 1)
		}
		p.values[s.Path] = si
		p.Variant = p.With(s.Path, s.Text(si))
	}
}
