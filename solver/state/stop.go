package state

import "spillway/network"

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
