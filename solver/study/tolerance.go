package study

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/state"
)

// input is one thing that varies: the values that move together.
type input struct {
	name        string
	settings    []network.Setting
	low, high   float64
	path, unit  string // instead of settings: a value with a form of its own ("4 % of blower at 25 Pa"), and what follows its number
	coefficient string // instead of settings
	bell        bool
	way         way // what low and high are

	doubt *network.Doubt // instead of settings: a value with a doubt of its own
}

// way says what the ends of an input are.
type way int

const (
	between way = iota // values themselves
	about              // differences from the value in place
	part               // shares of the value in place
	times              // factors of the value in place
)

// DefaultTolerances are what is taken where a job has no [spread]: usual uncertainties, all of them
// our choice. Flexible duct is laid from relaxed to badly compressed, stops stand up to 5 degrees
// off (a standard deviation of 3), the filter is anything from clean to due, and coefficients
// scatter as the catalogue's notes say; blades by what their sets differ by at the angle they stand
// at. How much of a bypass's air arrives unmixed goes over its whole band.
//
// What is never quite as drawn is in it too: each run's loss (length, elbows, the opening at its
// end) by 15 % and all of them together by 5 %, the blower by 2.5 % and capacities by 1 %, as
// standard deviations. These are set so that the bands hold nine in ten of houses as they are
// built, which a generator of its own draws (TestBandsCoverHousesAsBuilt).
func DefaultTolerances(g *network.Graph) []network.Tolerance {
	list := []network.Tolerance{
		{Name: "fittings", Of: "coefficients.fittings", Share: 0.20},
		{Name: "damper blades", Of: "coefficients.dampers", Shape: network.BellShape},
		{Name: "shut dampers", Of: "coefficients.shut-dampers", Shape: network.BellShape},
		{Name: "junctions", Of: "coefficients.junctions", Shape: network.BellShape},
		{Name: "coil and filter", Of: "coefficients.parts", Share: 0.15},
		{Name: "leakage", Of: "coefficients.leakage", Share: 0.50},
	}
	list = append(list, neverAsDrawn(g)...)
	if len(g.Settings("supply.*.compression")) > 0 {
		list = append(list, network.Tolerance{Name: "flexible duct", Of: "supply.*.compression", From: "4 %", To: "15 %"})
	}
	if len(g.Settings("damper.*.stop")) > 0 {
		list = append(list, network.Tolerance{Name: "stops", Of: "damper.*.stop", By: "5 deg"})
	}
	if g.Job.Equipment.Filter != nil {
		list = append(list, network.Tolerance{Name: "filter", Of: "equipment.filter.loading", From: "1", To: "2.5"})
	}
	return append(list, mixingTolerances(g.Job, list)...)
}

// neverAsDrawn are the tolerances of what differs in every house from its drawing.
func neverAsDrawn(g *network.Graph) []network.Tolerance {
	list := []network.Tolerance{
		{Name: "blower", Of: "coefficients.blower", Share: 0.05, Shape: network.BellShape},
		{Name: "run", Of: network.RunCoefficients, Share: 0.30, Shape: network.BellShape,
			Each: true},
		{Name: "all runs", Of: network.RunCoefficients, Share: 0.10, Shape: network.BellShape},
	}
	for _, capacity := range []string{"equipment.cooling.capacity", "equipment.heating.output"} {
		if len(g.Settings(capacity)) > 0 {
			list = append(list, network.Tolerance{Name: strings.TrimPrefix(capacity, "equipment."),
				Of: capacity, Share: 0.02, Shape: network.BellShape})
		}
	}
	return list
}

// tolerancesOf are the tolerances of a job, or the usual ones where it has none.
func tolerancesOf(g *network.Graph) (list []network.Tolerance, assumed bool) {
	if len(g.Job.Spread) == 0 {
		return DefaultTolerances(g), true
	}
	return append(slices.Clone(g.Job.Spread), mixingTolerances(g.Job, g.Job.Spread)...), false
}

// mixingTolerances are the bands of how much of a bypass's air arrives unmixed (state.MixingBand), for every bypass of which neither the job
// gives a figure nor a tolerance is among those given. A job's own [spread] gets them too: that figure is the least known of all.
func mixingTolerances(job *network.Job, given []network.Tolerance) []network.Tolerance {
	var list []network.Tolerance
	for i := range job.Bypass {
		l := &job.Bypass[i]
		path := network.PathText("bypass", l.Name, "unmixed")
		low, high, ok := state.MixingBand(job, l)
		if !ok || slices.ContainsFunc(given, func(t network.Tolerance) bool { return t.Of == path || t.Of == "bypass.*.unmixed" }) {
			continue
		}
		name := "mixing"
		if len(job.Bypass) > 1 {
			name += " of " + l.Name
		}
		list = append(list, network.Tolerance{Name: name, Of: path, From: write(100*low, "%"), To: write(100*high, "%")})
	}
	return list
}

// inputs turns tolerances into what varies.
func inputs(g *network.Graph, tolerances []network.Tolerance) ([]input, error) {
	var list []input
	for _, t := range tolerances {
		in := input{name: t.Name, bell: t.Shape == network.BellShape}
		if kind, ok := strings.CutPrefix(t.Of, "coefficients."); ok {
			in.coefficient, in.low, in.high = kind, 1-float64(t.Share), 1+float64(t.Share)
			if t.Share == 0 {
				in.coefficient += scattered
				in.low, in.high = -2, 2 // standard deviations
			}
			if t.Of == network.RunCoefficients && t.Each {
				list = append(list, eachRun(g, in)...)
				continue
			}
			list = append(list, in)
			continue
		}
		found := g.Settings(t.Of)
		head, _, starred := strings.Cut(t.Of, "*")
		switch {
		case len(found) == 0 && starred && g.Job.Alternative != "":
			continue // [spread] is written for all alternatives, and this one has no such part
		case len(found) == 0 && starred:
			return nil, question("spread %q: the job has no value at %q", t.Name, t.Of)
		case len(found) == 0:
			in.path = t.Of
		}
		groups := [][]network.Setting{found}
		if t.Each && len(found) > 1 {
			groups = slices.Collect(slices.Chunk(found, 1))
		}
		for _, group := range groups {
			one := in
			one.settings = group
			if err := one.ends(t); err != nil {
				return nil, question("spread %q: %v", t.Name, err)
			}
			if len(groups) > 1 {
				one.name += " " + strings.TrimPrefix(group[0].Path, head)
			}
			list = append(list, one)
		}
	}
	return list, nil
}

// eachRun is an input for every supply and return line, each to itself.
func eachRun(g *network.Graph, in input) (list []input) {
	for _, lines := range [][]network.Line{g.Job.Supply, g.Job.Return} {
		for i := range lines {
			one := in
			one.name, one.coefficient = in.name+" "+lines[i].Name,
				in.coefficient+ofLine+lines[i].Name
			list = append(list, one)
		}
	}
	return list
}

// ofLine parts the kind of a coefficient from the line that it is of.
const ofLine = " of "

// ends reads between what an input varies.
func (in *input) ends(t network.Tolerance) (err error) {
	switch {
	case len(in.settings) == 0 && t.From != "":
		var other string
		if in.low, in.unit, err = number(t.From); err != nil {
			return err
		}
		if in.high, other, err = number(t.To); err != nil {
			return err
		}
		if other != in.unit {
			return question("%q and %q have different units", t.From, t.To)
		}
	case t.Factor != [2]float64{} && len(in.settings) > 0:
		in.way, in.low, in.high = times, t.Factor[0], t.Factor[1]
	case len(in.settings) == 0:
		return question("there is no value at %q", in.path)
	case t.From != "":
		if in.low, err = in.settings[0].Parse(t.From); err != nil {
			return err
		}
		if in.high, err = in.settings[0].Parse(t.To); err != nil {
			return err
		}
	case t.By != "":
		by, err := in.settings[0].ParseDifference(t.By)
		if err != nil {
			return err
		}
		in.way, in.low, in.high = about, -by, by
	default:
		in.way, in.low, in.high = part, -float64(t.Share), float64(t.Share)
	}
	in.low, in.high = min(in.low, in.high), max(in.low, in.high)
	return nil
}

// scattered ends the kind of coefficients that vary by standard deviations of their own, not by a factor.
const scattered = ", scattered"

// draw turns a number between 0 and 1 into a value between low and high.
func (in *input) draw(u float64) float64 {
	if in.way == times {
		return evenly(in.low, 1, in.high, u)
	}
	if !in.bell {
		return in.low + u*(in.high-in.low)
	}
	z := distuv.UnitNormal.Quantile(min(max(u, bellTail), 1-bellTail))
	return (in.low+in.high)/2 + z*(in.high-in.low)/4
}

// scaledBlower is a blower that moves so many times the air of its tables at each static.
func scaledBlower(spec *network.BlowerSpec, factor float64) *network.BlowerSpec {
	changed := *spec
	changed.Taps = slices.Clone(spec.Taps)
	for t := range changed.Taps {
		changed.Taps[t].Airflow = slices.Clone(spec.Taps[t].Airflow)
		for k := range changed.Taps[t].Airflow {
			changed.Taps[t].Airflow[k] *= factor
		}
	}
	return &changed
}

// scale multiplies all coefficients of a kind in a graph whose elements are its own, or sets how many standard deviations they lie off.
func scale(g *network.Graph, kind string, factor float64) {
	switch kind {
	case "junctions" + scattered:
		g.JunctionDeviation = factor
		return
	case "junctions":
		g.JunctionDeviation = (factor - 1) / catalog.NarrowJunctionDeviation // of a narrow branch, whose scatter is a share of its K
		return
	}
	kind, line, _ := strings.Cut(kind, ofLine)
	for i := range g.Elements {
		e := &g.Elements[i]
		switch spec := e.Spec.(type) {
		case *network.DuctSpec:
			changed := *spec
			switch {
			case kind == "fittings":
				changed.Local *= factor
			case kind == "runs" && (line == "" || line == e.Line):
				changed.Local *= factor
				changed.Multiplier *= factor
			default:
				continue
			}
			e.Spec = &changed
		case *network.OpeningSpec:
			if kind == "runs" && (line == "" || line == e.Line) {
				changed := *spec
				changed.FreeArea /= math.Sqrt(factor) // the loss goes with its square
				changed.Drop *= factor
				e.Spec = &changed
			}
		case *network.BlowerSpec:
			if kind == "blower" {
				e.Spec = scaledBlower(spec, factor)
			}
		case *network.DamperSpec:
			changed := *spec
			switch kind {
			case "dampers":
				changed.Factor = factor
			case "dampers" + scattered:
				changed.Deviation = factor
			case "shut-dampers" + scattered:
				changed.LeakDeviation = factor
			case "shut-dampers":
				changed.LeakDeviation = -2 * math.Log(factor) / catalog.DamperLeakageDeviation // of the leak, ζ goes with its square
			default:
				continue
			}
			e.Spec = &changed
		case *network.RatedSpec:
			if kind == "parts" {
				changed := *spec
				changed.Drop *= factor
				e.Spec = &changed
			}
		case *network.LeakSpec:
			if kind == "leakage" {
				changed := *spec
				changed.Coefficient *= factor
				e.Spec = &changed
			}
		}
	}
}
