package network_test

import (
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/graph"
	"gonum.org/v1/gonum/graph/multi"
	"gonum.org/v1/gonum/graph/topo"

	"spillway/network"
	"spillway/network/networktest"
)

// head is a job without ducts: its equipment, and what goes with any.
const head = headEquipment + headRest

const headEquipment = `
title = "test"
[equipment]
cooling = { capacity = "2 ton", tap = "high" }
blower  = { table = "generic psc 2 ton" }
filter  = { drop = "0.08 inwc", at = "800 cfm" }
coil    = { drop = "0.14 inwc", at = "800 cfm" }
`

const headRest = `
[zone]
a = { wants = "500 cfm", damper = "a" }
b = { wants = "300 cfm", damper = "b" }
[damper]
a = {}
b = {}
[return]
back = { to = "return plenum", grille = "20x16 in", size = "16 in", length = "12 ft" }
[supply]
`

func graphOf(t *testing.T, text string) *network.Graph {
	t.Helper()
	return networktest.Build(t, "test.toml", []byte(text), network.Options{})
}

// route follows the elements of a line, first to last.
func route(g *network.Graph, line string) []string {
	var names []string
	for _, e := range g.Elements {
		if e.Line == line {
			names = append(names, e.Name)
		}
	}
	return names
}

func TestBuildTakeoffsAlongATrunk(t *testing.T) {
	g := graphOf(t, head+`
trunk = { from = "supply plenum", size = "14 in", length = "20 ft" }
a     = { from = "trunk", size = "10 in", length = "10 ft", damper = "a", fittings = ["wye 45"], at = "8 ft", register = "14x8 in", zone = "a" }
b     = { from = "trunk", size = "8 in", length = "10 ft", damper = "b", fittings = ["straight on"], register = "12x6 in", zone = "b" }
`)
	assert.Equal(t, []string{"trunk", "trunk after a"}, route(g, "trunk"), "cut where the first zone leaves")
	assert.Equal(t, []string{"a damper", "a", "a register"}, route(g, "a"), "the damper sits at the beginning")
	piece := func(name string) *network.DuctSpec { return g.Elements[g.ElementNamed(name)].Spec.(*network.DuctSpec) }
	assert.InDelta(t, 8*0.3048, piece("trunk").Length, 1e-9)
	assert.InDelta(t, 12*0.3048, piece("trunk after a").Length, 1e-9)

	require.Len(t, g.Junctions, 1)
	j := g.Junctions[0]
	assert.Equal(t, "wye 45", j.Kind)
	assert.Equal(t, g.ElementNamed("trunk"), j.Common, "towards the blower")
	assert.Equal(t, g.ElementNamed("trunk after a"), j.Run)
	assert.Equal(t, g.ElementNamed("a damper"), j.Branch)
	assert.Equal(t, g.Elements[j.Common].To, j.Node)

	// b goes straight on into a smaller duct: no junction, but a transition.
	var names []string
	for _, l := range piece("b").Losses {
		names = append(names, l.Name)
	}
	assert.Contains(t, names, "transition")
}

func TestBuildLastTakeoffTakesAllTheAir(t *testing.T) {
	// With no straight leg behind it, the last takeoff is the end of a capped trunk: a plain loss, no junction.
	g := graphOf(t, head+`
trunk = { from = "supply plenum", size = "14 in", length = "20 ft" }
a     = { from = "trunk", size = "10 in", length = "10 ft", damper = "a", fittings = ["tee"], register = "14x8 in", zone = "a" }
b     = { from = "trunk", size = "8 in", length = "10 ft", damper = "b", fittings = ["tee"], register = "12x6 in", zone = "b" }
`)
	require.Len(t, g.Junctions, 1, "a branches off, b turns at the end")
	spec := g.Elements[g.ElementNamed("b")].Spec.(*network.DuctSpec)
	found := false
	for _, l := range spec.Losses {
		if strings.Contains(l.Name, "all air turning") {
			found = true
			// Plain tee, K = 1 + 0.3 v² with v = A_c/A_b on the trunk's velocity pressure (TP-410 form); on the branch's, K/v².
			v := (14.0 * 14) / (8 * 8)
			assert.InEpsilon(t, (1+0.3*v*v)/(v*v), l.Coefficient, 0.02)
		}
	}
	assert.True(t, found)
}

func TestBuildEntriesAndExits(t *testing.T) {
	g := graphOf(t, head+`
a = { from = "supply plenum", size = "10 in", length = "10 ft", damper = "a", fittings = ["bellmouth"], register = "14x8 in", zone = "a" }
b = { from = "supply plenum", size = "8 in", length = "10 ft", damper = "b", register = "12x6 in", zone = "b" }
`)
	losses := func(name string) map[string]float64 {
		m := map[string]float64{}
		for _, l := range g.Elements[g.ElementNamed(name)].Spec.(*network.DuctSpec).Losses {
			m[l.Name] = l.Coefficient
		}
		return m
	}
	assert.Contains(t, losses("a"), "bellmouth")
	assert.NotContains(t, losses("a"), "flush entry", "the entry is named")
	assert.InDelta(t, 0.5, losses("b")["flush entry"], 1e-9, "flush entry 0.50 (Principles of HVAC 9th ed., fitting supplement), assumed when none is named")
	assert.InDelta(t, 1.0, losses("back")["exit to return plenum"], 1e-9, "all velocity pressure is lost in still air")
	assert.Contains(t, assumptions(g), "supply.b.fittings")
}

func assumptions(g *network.Graph) string {
	var all []string
	for _, a := range g.Assumptions {
		all = append(all, a.Path)
	}
	return strings.Join(all, " ")
}

func TestBuildReturnsJoin(t *testing.T) {
	text := strings.Replace(head, `back = { to = "return plenum", grille = "20x16 in", size = "16 in", length = "12 ft" }`, `
drop = { to = "return plenum", size = "16 in", length = "12 ft" }
up   = { to = "drop", grille = "14x12 in", size = "12 in", length = "15 ft", fittings = ["straight on"] }
down = { to = "drop", grille = "20x14 in", size = "14 in", length = "6 ft", fittings = ["wye 45"] }`, 1)
	g := graphOf(t, text+`
a = { from = "supply plenum", size = "10 in", length = "10 ft", damper = "a", register = "14x8 in", zone = "a" }
b = { from = "supply plenum", size = "8 in", length = "10 ft", damper = "b", register = "12x6 in", zone = "b" }
`)
	require.Len(t, g.Junctions, 1)
	j := g.Junctions[0]
	assert.Equal(t, "wye 45", j.Kind)
	assert.Equal(t, g.ElementNamed("drop"), j.Common)
	assert.Equal(t, g.ElementNamed("up"), j.Run)
	assert.Equal(t, g.ElementNamed("down"), j.Branch)
	assert.Equal(t, g.Elements[j.Run].To, j.Node, "return air comes to the junction")
	assert.Equal(t, g.Elements[j.Common].From, j.Node)
}

// Graph structure of every job there is: names are unique, every element joins two nodes, everything is one piece, and the loops of
// the house (rooms back to the grilles) close through the blower.
func TestBuildEveryJob(t *testing.T) {
	for _, file := range networktest.Jobs(t) {
		data := networktest.File(t, file)
		for _, alternative := range networktest.Alternatives(t, data) {
			t.Run(path.Base(file)+" "+alternative, func(t *testing.T) {
				g := networktest.Build(t, file, data, network.Options{Alternative: alternative})
				sound(t, g)
				again, err := network.Build(g.Job)
				require.NoError(t, err)
				assert.Equal(t, g, again, "same job, same graph")
			})
		}
	}
}

func sound(t *testing.T, g *network.Graph) {
	seen := map[string]bool{}
	for _, n := range g.Nodes {
		require.False(t, seen[n.Name], "node %q twice", n.Name)
		seen[n.Name] = true
	}
	for _, e := range g.Elements {
		require.False(t, seen[e.Name], "%q twice", e.Name)
		seen[e.Name] = true
		require.NotEqual(t, e.From, e.To, e.Name)
		require.NotNil(t, e.Spec, e.Name)
	}
	for _, tables := range [][]network.Line{g.Job.Supply, g.Job.Return, g.Job.Bypass, g.Job.Dump} {
		for _, l := range tables {
			require.NotEmpty(t, route(g, l.Name), "line %q is built", l.Name)
		}
	}
	m := multigraph(g)
	require.Equal(t, len(g.Nodes), m.Nodes().Len())
	lines := 0
	for edges := m.Edges(); edges.Next(); {
		lines += len(linesOf(m.Lines(edges.Edge().From().ID(), edges.Edge().To().ID())))
	}
	require.Equal(t, len(g.Elements), lines)
	// One strongly connected piece holds the blower: air that leaves comes back.
	blower := g.Elements[g.Blower]
	for _, component := range topo.TarjanSCC(m) {
		in := map[int64]bool{}
		for _, n := range component {
			in[n.ID()] = true
		}
		if in[int64(blower.From)] {
			require.True(t, in[int64(blower.To)], "the blower's two sides belong to one loop")
		}
	}
	for _, j := range g.Junctions {
		for _, leg := range []int{j.Common, j.Run, j.Branch} {
			e := g.Elements[leg]
			require.True(t, e.From == j.Node || e.To == j.Node, "%s is a leg at %s", e.Name, g.Nodes[j.Node].Name)
		}
		require.Positive(t, j.CommonArea)
		require.Positive(t, j.RunArea)
		require.Positive(t, j.BranchArea)
	}
	for _, r := range g.Registers {
		require.NotEmpty(t, r.Zone, "register %s has a zone", r.Line)
	}
}

// multigraph is a graph of elements for the algorithms of gonum; node ids are indices into Nodes.
func multigraph(g *network.Graph) *multi.DirectedGraph {
	m := multi.NewDirectedGraph()
	for i := range g.Nodes {
		m.AddNode(multi.Node(i))
	}
	for i, e := range g.Elements {
		m.SetLine(multi.Line{F: multi.Node(e.From), T: multi.Node(e.To), UID: int64(i)})
	}
	return m
}

func linesOf(lines graph.Lines) []graph.Line {
	var all []graph.Line
	for lines.Next() {
		all = append(all, lines.Line())
	}
	return all
}
