package network

import (
	"spillway/network/units"
)

// bounds is the range of one kind of quantity in a job file, SI. Values outside least..most are nonsense and errors; values
// above odd are possible but so unusual in a house or a small commercial building that a wrong unit is likelier: cautions.
// The figures are our choice, wide of anything real.
type bounds struct{ least, most, odd float64 }

func boundsOf(kind units.Kind, limit string) bounds {
	switch limit {
	case "elevation":
		return bounds{-500, 5000, 4500} // from below any dry land to above any town
	case "signed":
		return bounds{-1000, 1000, 30}
	}
	switch kind {
	case units.KindLength:
		return bounds{0, 5000, 100}
	case units.KindSize:
		return bounds{0, 10, 3}
	case units.KindArea:
		return bounds{0, 1e5, 5000}
	case units.KindAirflow:
		return bounds{0, 100, 10}
	case units.KindVelocity:
		return bounds{0, 100, 25}
	case units.KindPressure:
		return bounds{0, 10000, 750}
	case units.KindTemperature:
		return bounds{-90, 200, 120}
	case units.KindTemperatureSpan:
		return bounds{0, 150, 80}
	case units.KindHeat:
		return bounds{0, 1e7, 3e5}
	case units.KindElectricity:
		return bounds{0, 1e5, 5000}
	case units.KindFraction:
		return bounds{0, 1, 1}
	case units.KindAngle:
		return bounds{0, 90, 90}
	case units.KindInsulation:
		return bounds{0, 50, 15}
	}
	return bounds{-1e12, 1e12, 1e12}
}

// quantity reads one quantity and holds it against the bounds of its kind.
func (r *reader) quantity(n *node, kind units.Kind, f field) float64 {
	value, ok := r.measure(n, kind)
	if !ok {
		return 0
	}
	b := boundsOf(kind, f.limit)
	switch {
	case value == 0 && f.limit == "positive":
		r.fail(n.value, "leave it out if it is not known", "%q is zero", n.name)
	case value < b.least && b.least == 0:
		r.fail(n.value, "", "%q is %s, below zero", n.name, kind.Short(value, r.system))
	case value < b.least || value > b.most:
		r.fail(n.value, "it must lie between "+kind.Short(b.least, r.system)+" and "+kind.Short(b.most, r.system),
			"%q is %s, which cannot be", n.name, kind.Short(value, r.system))
	case value > b.odd:
		r.warn(n.value, "is the unit right? "+kind.String()+` is written like "`+kind.Example(r.system)+`"`,
			"%q is %s, which is unusually much", n.name, kind.Short(value, r.system))
		return value
	default:
		return value
	}
	return 0
}

// measure reads a number with or without a unit.
func (r *reader) measure(n *node, kind units.Kind) (float64, bool) {
	var value float64
	var err error
	if text, ok := n.leaf.(string); ok {
		value, err = kind.Parse(text, r.system)
	} else if number, ok := plainNumber(n); ok {
		value, err = kind.FromNumber(number, r.system)
	} else {
		r.fail(n.value, `write "`+kind.Example(r.system)+`"`, "%q is %s, but %s is meant", n.name, n.what(), kind)
		return 0, false
	}
	if err != nil {
		r.unitError(n, err)
		return 0, false
	}
	return value, true
}

func (r *reader) unitError(n *node, err error) {
	fix := ""
	if e, ok := err.(*units.Error); ok {
		fix = e.Remedy()
		if e.Text == "" {
			r.fail(n.value, fix, "%q %s", n.name, e.Reason)
			return
		}
	}
	r.fail(n.value, fix, "%s", err)
}
