package study

import (
	"math"
	"slices"

	"spillway/network"
	"spillway/solver/state"
)

// HandBalance is what balancing the registers against each other by hand dampers found.
type HandBalance struct {
	State   string
	Lines   []string  // the runs that end in registers
	Open    []float64 // how far the damper of each stands open, 0 to 1
	Before  []float64 // share of its want that each delivers with all dampers wide open
	After   []float64 // with the dampers as found, each set to a whole percent
	Ratio   float64   // the common share before rounding
	Variant Variant   // with the dampers as found
}

// Balance sets a hand damper in every run that ends in a register so that all registers deliver the same share of what they want in one
// call state, in which the zones of all of them should call; "" takes the first state in which all zones call. Runs without a hand
// damper get one. At least one stays wide open.
func (s *Study) Balance(v Variant, stateName string) (*HandBalance, error) {
	g, err := s.Read(v)
	if err != nil {
		return nil, err
	}
	states, err := s.States(v)
	if err != nil {
		return nil, err
	}
	if stateName == "" {
		for _, cs := range states {
			if len(cs.Calling) == len(g.Job.Zones) {
				stateName = cs.Name
				break
			}
		}
	}
	i := slices.IndexFunc(states, func(cs state.CallState) bool { return cs.Name == stateName })
	if i < 0 {
		return nil, question("there is no call state in which all zones call; name one")
	}
	base := v
	b := &HandBalance{State: stateName}
	for _, r := range g.Registers {
		if !r.Dump && slices.Contains(states[i].Calling, r.Zone) {
			b.Lines = append(b.Lines, r.Line)
			base = base.With(network.PathText("supply", r.Line, "balance"), "100 %")
		}
	}
	if len(b.Lines) < 2 {
		return nil, question("%q has fewer than two registers to balance", stateName)
	}
	if g, err = s.Read(base); err != nil {
		return nil, err
	}
	var list []throttle
	for _, line := range b.Lines {
		k := slices.IndexFunc(g.Registers, func(r network.Register) bool { return r.Line == line })
		e := slices.IndexFunc(g.Elements, func(e network.Element) bool {
			spec, ok := e.Spec.(*network.DamperSpec)
			return ok && spec.Damper == "" && e.LineID == g.Job.LineNamed(line)
		})
		if e < 0 || !(g.Registers[k].Wants > 0) {
			return nil, question("%q has no damper or wants nothing", line)
		}
		list = append(list, throttle{element: e, want: g.Registers[k].Wants, flow: func(o *state.Outcome) float64 { return o.Registers[k].Airflow }})
	}
	ratios := func(o *state.Outcome) []float64 {
		var out []float64
		for _, t := range list {
			out = append(out, t.flow(o)/t.want)
		}
		return out
	}
	with := func(position []float64) Variant {
		point := base
		for k, line := range b.Lines {
			point = point.With(network.PathText("supply", line, "balance"), write(100*position[k], "%"))
		}
		return point
	}
	solve := func(position []float64) (*state.Outcome, error) { return s.outcome(with(position), stateName) }
	open := make([]float64, len(list))
	for k := range open {
		open[k] = 1
	}
	first, err := solve(open)
	if err != nil {
		return nil, err
	}
	b.Before = ratios(first)
	position, _, rho, err := equalise(solve, list)
	if err != nil {
		return nil, err
	}
	b.Ratio = rho
	b.Variant = v
	for k, line := range b.Lines {
		b.Open = append(b.Open, math.Round(100*position[k])/100)
		b.Variant = b.Variant.With(network.PathText("supply", line, "balance"), write(100*b.Open[k], "%"))
	}
	last, err := solve(b.Open)
	if err != nil {
		return nil, err
	}
	b.After = ratios(last)
	return b, nil
}

// outcome solves one call state of a variant.
func (s *Study) outcome(v Variant, name string) (*state.Outcome, error) {
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
			return r.Outcomes[0], nil
		}
	}
	return nil, s.named(v, question("there is no call state %q", name))
}
