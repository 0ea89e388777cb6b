package study

import (
	"slices"
	"strconv"
	"strings"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/quantity"
)

// Some settings appear in one element's spec and nowhere else. They are changed in a copy of the graph, without reading the file
// again; the copy shares with the original all that does not change. What is not exactly one of these forms, and whatever the reader
// would refuse or correct, goes through the reader.

// isQuick tells whether an override is of a kind that may be changed in the graph.
func isQuick(assignment string) bool {
	path, _, ok := strings.Cut(assignment, "=")
	if !ok {
		return false
	}
	if path = strings.TrimSpace(path); path == "leakage.supply" || path == "leakage.return" {
		return true
	}
	table, _, key, ok := splitPath(path)
	if !ok {
		return false
	}
	switch table {
	case "damper":
		return slices.Contains([]string{"stop", "open", "opens-at", "fully-open-at", "holds"}, key)
	case "bypass", "dump":
		return slices.Contains([]string{"opens-at", "fully-open-at", "holds", "balance", "compression", "sag", "unmixed"}, key)
	case "supply", "return":
		return slices.Contains([]string{"balance", "compression", "sag"}, key)
	case "equipment":
		return key == "loading"
	}
	return false
}

// splitPath takes TABLE.NAME.KEY apart. Quoted names are left to the reader.
func splitPath(path string) (table, name, key string, ok bool) {
	parts := strings.Split(strings.TrimSpace(path), ".")
	if len(parts) != 3 || strings.ContainsAny(path, `"'`) {
		return "", "", "", false
	}
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	return parts[0], parts[1], parts[2], true
}

// change is a copy of a graph in the making.
type change struct {
	graph *network.Graph
	job   *network.Job
}

func newChange(g *network.Graph) *change {
	job := *g.Job
	c := *g
	c.Job = &job
	c.Elements = slices.Clone(g.Elements)
	return &change{graph: &c, job: &job}
}

// apply changes one setting; false when it is none that is simple here.
func (c *change) apply(assignment string) bool {
	path, value, _ := strings.Cut(assignment, "=")
	path, value = strings.TrimSpace(path), strings.TrimSpace(value)
	switch path {
	case "leakage.supply":
		return c.leak(&c.job.Leakage.Supply, network.LeakOfSupply, value)
	case "leakage.return":
		return c.leak(&c.job.Leakage.Return, network.LeakOfReturn, value)
	}
	table, name, key, ok := splitPath(path)
	if !ok {
		return false
	}
	switch table {
	case "damper":
		return c.damper(name, key, value)
	case "bypass":
		return c.line(&c.job.Bypass, table, name, key, value)
	case "dump":
		return c.line(&c.job.Dump, table, name, key, value)
	case "supply":
		return c.line(&c.job.Supply, table, name, key, value)
	case "return":
		return c.line(&c.job.Return, table, name, key, value)
	case "equipment":
		return name == "filter" && c.loading(value)
	}
	return false
}

func (c *change) damper(name, key, value string) bool {
	i := slices.IndexFunc(c.job.Dampers, func(d network.Damper) bool { return d.Name == name })
	if i < 0 {
		return false
	}
	c.job.Dampers = slices.Clone(c.job.Dampers)
	d := &c.job.Dampers[i]
	switch key {
	case "stop", "open":
		position, ok := positionOf(value)
		if !ok || d.Drive == "barometric" || d.Drive == "constant pressure" || d.Drive == "backdraft" || d.Drive == "hand" && key == "stop" {
			return false
		}
		if key == "stop" {
			d.Stop = position
		} else {
			d.Open = &position
		}
		if d.Open != nil && d.Stop > *d.Open {
			return false // the reader has something to say about that
		}
		return c.edit(func(e *network.Element) bool {
			spec, ok := e.Spec.(*network.DamperSpec)
			if !ok || spec.Damper != name {
				return false
			}
			changed := *spec
			if key == "stop" {
				changed.Stop = position
			} else {
				changed.Open = position
			}
			e.Spec = &changed
			return true
		})
	}
	return c.weight(weight{"damper", name, &d.OpensAt, &d.FullyOpenAt, &d.Holds}, key, value, func(_ *network.Element, damper string) bool { return damper == name })
}

// line changes a setting of a line: a weighted or pressure-holding damper on it, a balance, or the lie of flexible duct.
func (c *change) line(lines *[]network.Line, table, name, key, value string) bool {
	i := slices.IndexFunc(*lines, func(l network.Line) bool { return l.Name == name })
	if i < 0 {
		return false
	}
	*lines = slices.Clone(*lines)
	l := &(*lines)[i]
	switch key {
	case "opens-at", "fully-open-at", "holds":
		return c.weight(weight{table, name, &l.OpensAt, &l.FullyOpenAt, &l.Holds}, key, value, func(e *network.Element, damper string) bool {
			return damper == "" && e.Line == name
		})
	case "balance":
		position, ok := positionOf(value)
		if !ok || l.Balance == nil {
			return false
		}
		l.Balance = &position
		return c.edit(func(e *network.Element) bool {
			spec, ok := e.Spec.(*network.DamperSpec)
			if !ok || e.Line != name || spec.Damper != "" || !spec.Hand {
				return false
			}
			changed := *spec
			changed.Open, changed.Stop = position, position
			e.Spec = &changed
			return true
		})
	case "compression", "sag":
		return c.flexible(l, key, value)
	case "unmixed":
		share, err := quantity.KindFraction.Parse(value, c.job.Units)
		if err != nil || table != "bypass" || !(share >= 0 && share <= 1) {
			return false
		}
		unmixed := quantity.Fraction(share)
		l.Unmixed = &unmixed
		return true
	}
	return false
}

// flexible changes how a run of flexible duct lies.
func (c *change) flexible(l *network.Line, key, value string) bool {
	material, ok := catalog.LookupMaterial(l.Material)
	if !ok || !material.Flexible {
		return false
	}
	if key == "compression" {
		share, err := quantity.KindFraction.Parse(value, quantity.IP)
		if err != nil || !(share > 0 && share <= 0.30) {
			return false
		}
		l.Compression = quantity.Fraction(share)
	} else {
		sag, err := strconv.ParseFloat(value, 64)
		if err != nil || !(sag >= 1 && sag <= 10) {
			return false
		}
		l.Sag = sag
	}
	multiplier, valid := catalog.FlexCorrection(100*float64(l.Compression), l.Size.Section.HydraulicDiameter())
	if !valid {
		return false
	}
	if l.Sag > 0 {
		multiplier *= l.Sag
	}
	return c.edit(func(e *network.Element) bool {
		spec, ok := e.Spec.(*network.DuctSpec)
		if !ok || e.Line != l.Name {
			return false
		}
		changed := *spec
		changed.Multiplier = multiplier
		e.Spec = &changed
		return true
	})
}

func (c *change) loading(value string) bool {
	factor, err := strconv.ParseFloat(value, 64)
	if err != nil || !(factor >= 1 && factor <= 10) || c.job.Equipment.Filter == nil {
		return false
	}
	filter := *c.job.Equipment.Filter
	filter.Loading = factor
	c.job.Equipment.Filter = &filter
	return c.edit(func(e *network.Element) bool {
		spec, ok := e.Spec.(*network.RatedSpec)
		if !ok || e.Kind != network.KindFilter {
			return false
		}
		changed := *spec
		changed.Factor = factor
		e.Spec = &changed
		return true
	})
}

// leak changes the share of the blower's air that a side leaks; every other way of writing a leak is the reader's.
func (c *change) leak(leak **network.Leak, of network.LeakOf, value string) bool {
	if *leak == nil || (*leak).Share == 0 {
		return false
	}
	amount, at, ok := strings.Cut(value, " of blower at ")
	share, err := quantity.KindFraction.Parse(amount, quantity.IP)
	if !ok || err != nil || !strings.Contains(amount, "%") || !(share > 0 && share <= 1) {
		return false
	}
	pressure, ok := pressureOf(at)
	if !ok {
		return false
	}
	changed := **leak
	changed.Share, changed.At = quantity.Fraction(share), quantity.Pressure(pressure)
	*leak = &changed
	whole := changed.Spec(c.graph.DesignAirflow, 0)
	return c.edit(func(e *network.Element) bool {
		part, ok := e.Spec.(*network.LeakSpec)
		if !ok || part.Of != of {
			return false
		}
		own := *part
		own.Coefficient, own.Exponent = whole.Coefficient*part.Share, whole.Exponent
		e.Spec = &own
		return true
	})
}

// weight is a weighted or pressure-holding damper: where it stands in the job, and its pressures there.
type weight struct {
	table, name        string
	opens, full, holds *quantity.Pressure
}

// weight changes a pressure of a weighted or pressure-holding damper. The full opening that the reader assumes follows the start as it does
// there, until it is given too. Whether the two are in order is asked when all settings are made: see finished.
func (c *change) weight(w weight, key, value string, is func(e *network.Element, damper string) bool) bool {
	pressure, ok := pressureOf(value)
	if !ok || c.isAssumed(w.table+".*.fully-open-at") {
		return false // of three dampers and more the reader says in one what it assumes
	}
	field := map[string]*quantity.Pressure{"opens-at": w.opens, "fully-open-at": w.full, "holds": w.holds}[key]
	if *field == 0 {
		return false // the part is not there yet, or has an arm
	}
	*field = quantity.Pressure(pressure)
	full := w.table + "." + w.name + ".fully-open-at"
	if key != "holds" && c.isAssumed(full) {
		c.job.Assumptions = slices.Clone(c.job.Assumptions)
		if key == "fully-open-at" {
			c.job.Assumptions = slices.DeleteFunc(c.job.Assumptions, func(a network.Assumption) bool { return a.Path == full })
		} else {
			*w.full = *w.opens * catalog.ReliefOpenRatio
			for i := range c.job.Assumptions {
				if a := &c.job.Assumptions[i]; a.Path == full {
					a.Value = w.full.Text(c.job.Units)
				}
			}
		}
	}
	return c.edit(func(e *network.Element) bool {
		switch spec := e.Spec.(type) {
		case *network.ReliefSpec:
			if key == "holds" || !is(e, spec.Damper) {
				return false
			}
			changed := *spec
			changed.OpensAt, changed.FullyOpenAt = float64(*w.opens), float64(*w.full)
			e.Spec = &changed
			return true
		case *network.RegulatorSpec:
			if key != "holds" || !is(e, spec.Damper) {
				return false
			}
			changed := *spec
			changed.Holds = pressure
			e.Spec = &changed
			return true
		}
		return false
	})
}

// finished is the changed graph; false when settings do not go together, of which the reader has something to say.
func (c *change) finished() (*network.Graph, bool) {
	for i := range c.graph.Elements {
		if spec, ok := c.graph.Elements[i].Spec.(*network.ReliefSpec); ok && spec.FullyOpenAt != 0 && spec.FullyOpenAt <= spec.OpensAt {
			return nil, false
		}
	}
	return c.graph, true
}

// isAssumed tells whether a value of the job is a default.
func (c *change) isAssumed(path string) bool {
	return slices.ContainsFunc(c.job.Assumptions, func(a network.Assumption) bool { return a.Path == path })
}

// edit lets f change elements (which are copies; f must replace a Spec, not write to it) and tells whether any was.
func (c *change) edit(f func(e *network.Element) bool) bool {
	any := false
	for i := range c.graph.Elements {
		any = f(&c.graph.Elements[i]) || any
	}
	return any
}

// positionOf reads "40 %" or "36 deg from shut" within their ranges; a bare number is the reader's to refuse.
func positionOf(text string) (network.Position, bool) {
	if !strings.Contains(text, "%") && !strings.Contains(text, "deg") {
		return 0, false
	}
	position, err := network.ParsePosition(text, quantity.IP)
	return position, err == nil && position >= 0 && position <= 1
}

// pressureOf reads a pressure with its unit, within what a damper can be set to.
func pressureOf(text string) (float64, bool) {
	const most = 500 // Pa
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		return 0, false // a bare number: its unit is the file's business
	}
	p, err := quantity.KindPressure.Parse(text, quantity.IP)
	return p, err == nil && p > 0 && p <= most
}
