package study

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/solver/state"
)

// input is one thing that varies: the values that move together.
type input struct {
	name        string
	paths       []string
	low, high   float64
	quantity    jobValue
	unit        string // of low and high, when the value has a form of its own ("4 % of blower at 25 Pa")
	coefficient string // instead of paths
	bell        bool
	way         way // what low and high are
}

// way says what the ends of an input are.
type way int

const (
	between way = iota // values themselves
	about              // differences from the value in place
	part               // shares of the value in place
)

// DefaultTolerances are what is taken where a job has no [spread]: usual uncertainties, all of them our choice. Flexible duct is
// laid from relaxed to badly compressed, stops stand up to 5 degrees off (a standard deviation of 3), the filter is anything from clean to
// due, and coefficients scatter as the catalogue's notes say; blades by what their sets differ by at the angle they stand at. How much of a
// bypass's air arrives unmixed goes over its whole band.
func DefaultTolerances(job *network.Job) []network.Tolerance {
	list := []network.Tolerance{
		{Name: "fittings", Of: "coefficients.fittings", Share: 0.20},
		{Name: "damper blades", Of: "coefficients.dampers", Shape: network.BellShape},
		{Name: "shut dampers", Of: "coefficients.shut-dampers", Shape: network.BellShape},
		{Name: "junctions", Of: "coefficients.junctions", Shape: network.BellShape},
		{Name: "coil and filter", Of: "coefficients.parts", Share: 0.15},
		{Name: "leakage", Of: "coefficients.leakage", Share: 0.50},
	}
	if len(expand(job, "supply.*.compression")) > 0 {
		list = append(list, network.Tolerance{Name: "flexible duct", Of: "supply.*.compression", From: "4 %", To: "15 %"})
	}
	if len(expand(job, "damper.*.stop")) > 0 {
		list = append(list, network.Tolerance{Name: "stops", Of: "damper.*.stop", By: "5 deg"})
	}
	if job.Equipment.Filter != nil {
		list = append(list, network.Tolerance{Name: "filter", Of: "equipment.filter.loading", From: "1", To: "2.5"})
	}
	return append(list, mixingTolerances(job, list)...)
}

// mixingTolerances are the bands of how much of a bypass's air arrives unmixed (state.MixingBand), for every bypass of which neither the job
// gives a figure nor a tolerance is among those given. A job's own [spread] gets them too: that figure is the least known of all.
func mixingTolerances(job *network.Job, given []network.Tolerance) []network.Tolerance {
	var list []network.Tolerance
	for i := range job.Bypass {
		l := &job.Bypass[i]
		path := "bypass." + quoted(l.Name) + ".unmixed"
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
func inputs(job *network.Job, tolerances []network.Tolerance) ([]input, error) {
	var list []input
	for _, t := range tolerances {
		if strings.HasPrefix(t.Of, "coefficients.") {
			in := input{name: t.Name, coefficient: strings.TrimPrefix(t.Of, "coefficients."), low: 1 - float64(t.Share), high: 1 + float64(t.Share),
				bell: t.Shape == network.BellShape}
			if t.Share == 0 {
				in.coefficient += scattered
				in.low, in.high = -2, 2 // standard deviations
			}
			list = append(list, in)
			continue
		}
		paths := expand(job, t.Of)
		if len(paths) == 0 && job.Alternative != "" && strings.Contains(t.Of, "*") {
			continue // [spread] is written for all alternatives, and this one has no such part
		}
		if len(paths) == 0 {
			return nil, question("spread %q: the job has no value at %q", t.Name, t.Of)
		}
		if !t.Each {
			paths = paths[:1]
		}
		for _, path := range paths {
			in, err := one(job, t, path)
			if err != nil {
				return nil, question("spread %q: %v", t.Name, err)
			}
			if t.Each && len(paths) > 1 {
				in.name += " " + strings.TrimPrefix(path, strings.SplitN(t.Of, "*", 2)[0])
			}
			if !t.Each {
				in.paths = expand(job, t.Of)
			}
			list = append(list, in)
		}
	}
	if len(list) == 0 {
		return nil, question("nothing varies: write a [spread] table")
	}
	return list, nil
}

func one(job *network.Job, t network.Tolerance, path string) (input, error) {
	in := input{name: t.Name, paths: []string{path}, bell: t.Shape == network.BellShape}
	q, ok := lookUp(job, path)
	in.quantity = q
	var err error
	switch {
	case !ok && t.From != "":
		// A value with a form of its own: a number and words.
		var other string
		if in.low, in.unit, err = number(t.From); err != nil {
			return in, err
		}
		if in.high, other, err = number(t.To); err != nil {
			return in, err
		}
		if other != in.unit {
			return in, question("%q and %q have different units", t.From, t.To)
		}
	case !ok:
		return in, question("there is no value at %q", path)
	case t.From != "":
		if in.low, err = q.parse(t.From, job.Units); err != nil {
			return in, err
		}
		if in.high, err = q.parse(t.To, job.Units); err != nil {
			return in, err
		}
	case t.By != "":
		by, err := q.parseSpan(t.By, job.Units)
		if err != nil {
			return in, err
		}
		in.way, in.low, in.high = about, -by, by
	default:
		in.way, in.low, in.high = part, -float64(t.Share), float64(t.Share)
	}
	if in.low > in.high {
		in.low, in.high = in.high, in.low
	}
	return in, nil
}

// scattered ends the kind of coefficients that vary by standard deviations of their own, not by a factor.
const scattered = ", scattered"

// draw turns a number between 0 and 1 into a value between low and high.
func (in *input) draw(u float64) float64 {
	if !in.bell {
		return in.low + u*(in.high-in.low)
	}
	const tail = 0.00135 // three standard deviations
	z := distuv.UnitNormal.Quantile(min(max(u, tail), 1-tail))
	return (in.low+in.high)/2 + z*(in.high-in.low)/4
}

// assign writes the overrides of a draw.
func (in *input) assign(v Variant, job *network.Job, x float64) Variant {
	for _, path := range in.paths {
		if in.unit != "" {
			v = v.With(path, write(x, in.unit))
			continue
		}
		q, si := in.quantity, x
		if in.way != between {
			own, ok := lookUp(job, path)
			if !ok {
				continue
			}
			q, si = own, own.si+x
			if in.way == part {
				si = own.si * (1 + x)
			}
		}
		if q.position || q.kind == quantity.KindFraction {
			si = min(max(si, 0), 1)
		}
		v = v.With(path, q.text(si))
	}
	return v
}

// scale multiplies all coefficients of a kind in a graph of one's own, or sets how many standard deviations they lie off.
func (c *change) scale(kind string, factor float64) {
	switch kind {
	case "junctions" + scattered:
		c.graph.JunctionDeviation = factor
		return
	case "junctions":
		c.graph.JunctionDeviation = (factor - 1) / catalog.NarrowJunctionDeviation // of a narrow branch, whose scatter is a share of its K
		return
	}
	c.edit(func(e *network.Element) bool {
		switch spec := e.Spec.(type) {
		case *network.DuctSpec:
			if kind == "fittings" {
				changed := *spec
				changed.Local *= factor
				e.Spec = &changed
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
				return true
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
		return true
	})
}
