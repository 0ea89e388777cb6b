package main

import (
	"io"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/sheet"
	"spillway/solver/study"
)

// balance sets the hand dampers of all runs against each other.
func (c console) balance(name string, f *tuneFlags) error {
	s, v, g, err := c.openStudy(name, &f.studyFlags, study.Options{})
	if err != nil {
		return err
	}
	stateName := ""
	if len(f.states) > 0 {
		states, err := s.States(v)
		if err != nil {
			return c.studyError(name, v.Alternative, err)
		}
		if len(states) != 1 {
			return fail(wrongCall, "--balance takes one --state")
		}
		stateName = states[0].Name
	}
	found, err := s.Balance(v, stateName)
	if err != nil {
		return c.studyError(name, v.Alternative, err)
	}
	head := headOf(name, g, &f.studyFlags)
	err = f.print(c, sheet.Balance(head, found),
		func(w io.Writer) error { return sheet.BalanceJSON(w, head, found) },
		func(w io.Writer) error { return sheet.BalanceCSV(w, found) })
	if err != nil {
		return err
	}
	return c.keep(name, &f.keep, v.Alternative, "", found.Variant.Set, "")
}

// modulate shares the air of a variable-speed blower by demand.
func (c console) modulate(name string, f *tuneFlags) error {
	word := "cooling"
	if len(f.states) > 0 {
		word = f.states[0]
	}
	mode := network.Mode(strings.ToLower(strings.TrimSpace(word)))
	if len(f.states) > 1 || mode != network.Cooling && mode != network.Heating && mode != network.Fan {
		return fail(wrongCall, "with --ask, --state is the mode: cooling, heating or fan")
	}
	f.states = nil
	s, v, g, err := c.openStudy(name, &f.studyFlags, study.Options{})
	if err != nil {
		return err
	}
	var demands []study.Demand
	for _, text := range f.ask {
		zone, share, ok := strings.Cut(text, "=")
		x, err := quantity.KindFraction.Parse(strings.TrimSpace(share), g.Job.Units)
		if !ok || err != nil {
			return fail(wrongCall, "--ask: write ZONE=SHARE, such as \"living=80 %%\"")
		}
		demands = append(demands, study.Demand{Zone: strings.TrimSpace(zone), Share: x})
	}
	from, to, ok := strings.Cut(f.blower, "..")
	least, errLeast := quantity.KindAirflow.Parse(strings.TrimSpace(from), g.Job.Units)
	most, errMost := quantity.KindAirflow.Parse(strings.TrimSpace(to), g.Job.Units)
	if !ok || errLeast != nil || errMost != nil {
		return fail(wrongCall, "--ask needs --blower \"LEAST..MOST\", such as \"500..1600 cfm\"")
	}
	found, err := s.Modulate(v, mode, demands, least, most)
	if err != nil {
		return c.studyError(name, v.Alternative, err)
	}
	head := headOf(name, g, &f.studyFlags)
	err = f.print(c, sheet.Modulate(head, found),
		func(w io.Writer) error { return sheet.ModulateJSON(w, head, found) },
		func(w io.Writer) error { return sheet.ModulateCSV(w, head, found) })
	if err != nil {
		return err
	}
	return c.keep(name, &f.keep, v.Alternative, "", found.Variant.Set, "")
}
