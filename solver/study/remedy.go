package study

import (
	"slices"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/network/section"
)

// Remedy is a change to the installation with what it does, solved in every call state.
type Remedy struct {
	Set    []string // PATH=VALUE
	Report *Report
	// Values are the settings to go with the change: those that were found without it or, where none were, with which hard limits and
	// zoning hold after it; nil when none do.
	Values []string
	Tuned  *Report // with Values; nil without
}

// mostRemedies bounds how many changes are tried.
const mostRemedies = 12

// remedies prices the changes that may help where settings do not: each is solved in every call state as the job came, and with
// settings.
func (s *Study) remedies(v Variant, t *Tuning) ([]Remedy, error) {
	if t.Goal.nested {
		return nil, nil
	}
	g, err := s.Read(v)
	if err != nil {
		return nil, err
	}
	var list []Remedy
	for _, set := range changes(g) {
		if len(list) == mostRemedies {
			break
		}
		changed := v
		changed.Set = append(changed.Set[:len(changed.Set):len(changed.Set)], set...)
		r := Remedy{Set: set}
		if r.Report, err = s.Report(changed); err != nil {
			continue // the change does not fit this installation
		}
		if !t.Infeasible { // as it stands with the settings that were found
			for k, m := range t.Goal.Moves {
				changed = m.set(changed, t.Values[k])
			}
			r.Values = t.Values
			if r.Tuned, err = s.Report(changed); err != nil {
				return nil, err
			}
			list = append(list, r)
			continue
		}
		goal := t.Goal
		goal.nested, goal.Most = true, remedyShare
		found, err := s.Tune(changed, goal)
		if err != nil {
			return nil, err
		}
		if !found.Infeasible {
			r.Values, r.Tuned = found.Values, found.Report
		}
		list = append(list, r)
	}
	return list, nil
}

// remedyShare bounds the search behind one remedy, in variants.
const remedyShare = 60

// changes lists what may be changed in an installation, the cheapest first: the filter, taps, then the ducts of zones.
func changes(g *network.Graph) (list [][]string) {
	job := g.Job
	for _, side := range []struct {
		path string
		m    *network.Machine
	}{{"equipment.cooling", job.Equipment.Cooling}, {"equipment.heating", job.Equipment.Heating}} {
		if side.m == nil || side.m.Tap == "" || len(side.m.Stages) > 0 {
			continue
		}
		if lower := lowerTap(g, side.m.Tap); lower != "" {
			list = append(list, []string{side.path + ".tap=" + lower})
		}
	}
	if f := job.Equipment.Filter; f != nil && f.Drop > 0 && f.At > 0 {
		list = append(list, []string{"equipment.filter.at=" + quantity.KindAirflow.Format(2*float64(f.At), job.Units)})
	}
	wider := func(table string, l *network.Line) []string {
		text, ok := nextSize(l.Size.Section, job.Units)
		if !ok {
			return nil
		}
		return []string{table + "." + l.Name + ".size=" + text}
	}
	for i := range job.Return {
		if set := wider("return", &job.Return[i]); set != nil {
			list = append(list, set)
		}
	}
	for i := range job.Supply {
		l := &job.Supply[i]
		set := wider("supply", l)
		if set == nil || l.Register != nil {
			continue
		}
		for k := range job.Dampers {
			if d := &job.Dampers[k]; d.Name == l.Damper && d.Size.Area() > 0 {
				text, _ := nextSize(d.Size, job.Units)
				set = append(set, "damper."+d.Name+".size="+text)
			}
		}
		list = append(list, set)
	}
	return list
}

// lowerTap is the tap that moves the most air of those that move less than a tap; "" when there is none.
func lowerTap(g *network.Graph, tap string) string {
	spec, ok := g.Elements[g.Blower].Spec.(*network.BlowerSpec)
	if !ok {
		return ""
	}
	most := map[string]float64{}
	for i := range spec.Taps {
		most[spec.Taps[i].Name] = slices.Max(append([]float64{0}, spec.Taps[i].Airflow...))
	}
	best := ""
	for i := range spec.Taps {
		if name := spec.Taps[i].Name; most[name] < most[tap] && (best == "" || most[name] > most[best]) {
			best = name
		}
	}
	return best
}

// nextSize is the next larger size of a duct that is sold; ok is false for a shape that has none.
func nextSize(s section.Section, sys quantity.System) (text string, ok bool) {
	switch s.Shape {
	case section.Round:
		_, text = roundUp(s.Width*1.02, sys)
		return text, true
	case section.Rectangular:
		_, text = widen(s.Height, sys, func(made section.Section) bool { return made.Width > s.Width*1.001 })
		return text, true
	}
	return "", false
}
