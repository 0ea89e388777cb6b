package main

import (
	"fmt"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/diag"
	"spillway/solver/session"
	"spillway/solver/state"
)

// chooseStates lists the call states of an installation that the flags ask for, in the installation's own order; all when they
// ask for none.
func chooseStates(g *network.Graph, wanted []string) ([]state.CallState, error) {
	all, err := state.All(g)
	if err != nil {
		return namedStates(g, wanted, err)
	}
	if len(all) == 0 {
		return nil, fail(wrongCall, "%w", session.ErrNoStates)
	}
	if len(wanted) == 0 {
		return all, nil
	}
	names := make([]string, len(all))
	for i, s := range all {
		names[i] = s.Name
	}
	chosen := make([]bool, len(all))
	for _, word := range wanted {
		found, err := matchStates(names, word)
		if several := ofMode(all, word); err != nil && len(several) > 0 {
			found, err = several, nil
		}
		if err != nil {
			return nil, err
		}
		for _, i := range found {
			chosen[i] = true
		}
	}
	var out []state.CallState
	for i, s := range all {
		if chosen[i] {
			out = append(out, s)
		}
	}
	return out, nil
}

// namedStates finds the call states of a job that has too many to list. Each has to be named by its zones,
// "z1 + z2", with or without what stands before the colon; a part of a name will not do.
func namedStates(g *network.Graph, wanted []string, tooMany error) ([]state.CallState, error) {
	if len(wanted) == 0 {
		return nil, tooMany
	}
	var out []state.CallState
	for _, word := range wanted {
		found := callingOnly(g, word)
		if len(found) == 0 {
			return nil, fail(wrongCall, "there is no call state %q; the job has more than %d, so name its zones in full, such as %q",
				diag.Visible(word), state.MostStates, diag.Visible(g.Job.Zones[0].Name+" + "+g.Job.Zones[1].Name))
		}
		for _, s := range found {
			if !slices.ContainsFunc(out, func(o state.CallState) bool { return o.Name == s.Name }) {
				out = append(out, s)
			}
		}
	}
	return out, nil
}

// callingOnly lists the states that a word names by their zones, or by their whole name.
func callingOnly(g *network.Graph, word string) []state.CallState {
	folded := strings.ToLower(strings.TrimSpace(word))
	text := folded
	if _, zones, ok := strings.Cut(folded, ": "); ok {
		text = zones
	}
	parts := strings.Split(text, " + ")
	var zones []string
	for i := range g.Job.Zones {
		if name := g.Job.Zones[i].Name; text == "all zones" || slices.Contains(parts, strings.ToLower(name)) {
			zones = append(zones, name)
		}
	}
	if text != "all zones" && len(zones) != len(parts) {
		return nil // one of them is unknown, or two differ in letter case alone
	}
	found := state.Calling(g, zones...)
	if text == folded {
		return found
	}
	return slices.DeleteFunc(found, func(s state.CallState) bool { return strings.ToLower(s.Name) != folded })
}

// ofMode lists the states of a mode, for a word that is one: "cooling" means every weather and stage of it.
func ofMode(all []state.CallState, word string) []int {
	var found []int
	for i := range all {
		if string(all[i].Mode) == strings.ToLower(strings.TrimSpace(word)) {
			found = append(found, i)
		}
	}
	return found
}

// matchStates finds the states that a word means, blind to letter case: the one of that whole name, else all that have it behind
// the colon (these zones, in every weather and stage) or before it (this weather and stage, whoever calls), else the only one of
// which it is a part. A part that several states have is refused, with their names.
func matchStates(names []string, word string) ([]int, error) {
	folded := strings.ToLower(strings.TrimSpace(word))
	tests := []struct {
		fits    func(name string) bool
		several bool // all that fit are meant
	}{
		{func(name string) bool { return name == folded }, false},
		{func(name string) bool { _, zones, ok := strings.Cut(name, ": "); return ok && zones == folded }, true},
		{func(name string) bool { label, _, ok := strings.Cut(name, ": "); return ok && label == folded }, true},
		{func(name string) bool { return folded != "" && strings.Contains(name, folded) }, false},
	}
	for _, test := range tests {
		var found []int
		for i, name := range names {
			if test.fits(strings.ToLower(name)) {
				found = append(found, i)
			}
		}
		if len(found) == 1 || len(found) > 1 && test.several {
			return found, nil
		}
		if len(found) > 1 {
			several := make([]string, len(found))
			for k, i := range found {
				several[k] = names[i]
			}
			return nil, fail(wrongCall, "%q fits %d call states; give more of the name:\n  %s", diag.Visible(word), len(found), strings.Join(listed(several), "\n  "))
		}
	}
	hint := "the job has:"
	if near, ok := diag.Nearest(word, names); ok {
		hint = fmt.Sprintf("did you mean %q? The job has:", diag.Visible(near))
	}
	return nil, fail(wrongCall, "there is no call state %q; %s\n  %s", diag.Visible(word), hint, strings.Join(listed(names), "\n  "))
}

// mostListed is how many call states an error lists; a job with many zones has more than fit a screen.
const mostListed = 40

// listed makes names fit to print, not more than a screen can hold.
func listed(names []string) []string {
	var lines []string
	for i, n := range names {
		if i == mostListed {
			return append(lines, fmt.Sprintf("and %d more; spillway check lists them all", len(names)-i))
		}
		lines = append(lines, diag.Visible(n))
	}
	return lines
}
