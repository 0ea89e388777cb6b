package study

import "spillway/network"

// Changed returns a copy of a graph with settings PATH=VALUE changed in it, without reading the job file again; it shares with the original
// all that does not change. ok is false when a setting is none of those that stand in one part's figures alone (stops and openings of
// dampers, weights, balances, leakage, filter loading), or has a value that the reader would refuse or correct: those go through the reader.
func Changed(g *network.Graph, set []string) (changed *network.Graph, ok bool) {
	c := newChange(g)
	for _, assignment := range set {
		if !isQuick(assignment) || !c.apply(assignment) {
			return nil, false
		}
	}
	return c.finished()
}
