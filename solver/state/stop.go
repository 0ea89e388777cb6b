package state

import (
	"slices"

	"spillway/network"
)

// StopMatters tells whether the stop of a damper has a say in a call state: not where its zone calls, or where the panel puts the damper
// elsewhere. Where it has none, the outcome is the same whatever the stop.
func StopMatters(g *network.Graph, cs CallState, damper string) bool {
	s := &setting{state: cs, call: panelCall(g.Job, cs.Mode, cs.Calling)}
	for i := range g.Elements {
		spec, ok := g.Elements[i].Spec.(*network.DamperSpec)
		if !ok || spec.Damper != damper {
			continue
		}
		shut, open := *spec, *spec
		shut.Stop, open.Stop = 0, 1
		if s.opening(&shut) != s.opening(&open) {
			return true
		}
	}
	return false
}

// Helped reports whether a rule of the panel opens, in a call state, dampers of zones that do not call, so that those zones help.
func Helped(job *network.Job, cs CallState) bool {
	call := panelCall(job, cs.Mode, cs.Calling)
	if call == nil {
		return false
	}
	open := slices.Clone(call.Open)
	for _, d := range call.Damper {
		if d.Position > 0 {
			open = append(open, d.Name)
		}
	}
	for i := range job.Zones {
		z := &job.Zones[i]
		if !slices.Contains(cs.Calling, z.Name) && slices.ContainsFunc(z.Damper, func(d string) bool { return slices.Contains(open, d) }) {
			return true
		}
	}
	return false
}
