package main

import (
	"fmt"
	"strings"

	"spillway/network"
	"spillway/network/diag"
	"spillway/solver/state"
)

// chooseStates lists the call states of an installation that the flags ask for, in the installation's own order; all when they
// ask for none.
func chooseStates(g *network.Graph, wanted []string) ([]state.CallState, error) {
	all := state.States(g)
	if len(all) == 0 {
		return nil, fail(wrongCall, "the job has no call state: give it at least one weather row whose mode the equipment has")
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
