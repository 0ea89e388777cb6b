package network

import (
	"slices"

	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
	"gonum.org/v1/gonum/graph/traverse"
)

// plenums is the node of a graph of lines that stands for both plenums; lines have their indices.
const plenums = -1

// circlesOf returns one circle of every strongly connected part of a graph of lines, each from its first line in file
// order on along next, in file order of those.
func circlesOf(ways graph.Directed, next [][]int) [][]int {
	part := make([]int, len(next)) // the part of a line that is on a circle, else 0
	for k, members := range topo.TarjanSCC(ways) {
		for _, n := range members {
			if i := int(n.ID()); i != plenums && (len(members) > 1 || slices.Contains(next[i], i)) {
				part[i] = k + 1
			}
		}
	}
	var circles [][]int
	done := map[int]bool{}
	for i, p := range part {
		if p == 0 || done[p] {
			continue
		}
		done[p] = true
		var trail []int
		for at := i; ; {
			if k := slices.Index(trail, at); k >= 0 {
				circles = append(circles, trail[k:])
				break
			}
			trail = append(trail, at)
			at = next[at][slices.IndexFunc(next[at], func(k int) bool { return part[k] == p })]
		}
	}
	return circles
}

// reachedFrom reports, of every line, whether a way leads to it from a node.
func reachedFrom(ways graph.Directed, from int) map[int]bool {
	reached := map[int]bool{}
	walk := traverse.BreadthFirst{Visit: func(n graph.Node) { reached[int(n.ID())] = true }}
	walk.Walk(ways, simple.Node(from), nil)
	return reached
}
