package state_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// Properties of junctions that only the whole program shows: reader, builder and state together.

// lineDrop is the pressure that the ducts of a line lose in all, without dampers and columns of air, Pa.
func lineDrop(o *state.Outcome, line string) float64 {
	sum := 0.0
	for i, e := range o.Graph.Elements {
		if e.Kind == network.KindDuct && e.Line == line {
			sum += o.Elements[i].Drop
		}
	}
	return sum
}

// freeArea gives every register and grille the free area that the separate calculations of the house have.
func freeArea(g *network.Graph, share float64) *network.Graph {
	for i := range g.Elements {
		if spec, ok := g.Elements[i].Spec.(*network.OpeningSpec); ok {
			changed := *spec
			changed.FreeArea = share
			g.Elements[i].Spec = &changed
		}
	}
	return g
}

// A feeder that goes straight on into a wider drop is charged its own air: shrinking it loads its own way and relieves the drop. With all the
// drop's air charged as if it came out of the small duct, the drop lost 0.588 in. w.c. where the 6 in. feeder stood.
func TestShrinkingAFeederRelievesTheDrop(t *testing.T) {
	before := math.Inf(1)
	for _, size := range []string{"14 in", "12 in", "10 in", "8 in", "6 in"} {
		g := networktest.Graph(t, "two-floor", "", "return.drop.size=20x12 in", "return.loft-grille.size="+size)
		o := statetest.Solve(t, freeArea(g, 0.75), "design-cooling: loft")
		drop := lineDrop(o, "drop")
		assert.LessOrEqual(t, drop, before+1e-9, size)
		before = drop
		if size == "6 in" {
			// An independent calculation of the mended network, with all leakage at the plenums and outdoors: 1,082 cfm at 0.50 in. w.c. With the
			// leaks spread less air finds its way past the ducts: 1,072 at 0.510 (regression).
			assert.InDelta(t, 1072, o.Blower.Airflow/quantity.CFM, 3)
			assert.InDelta(t, 0.51, o.Blower.ExternalStatic/quantity.InchWater, 0.003)
		}
	}
}

// Where the loft's surplus goes with a short bypass, by a separate calculation of this house (not published) in which each stream
// pays for its own way: 241 cfm too much into the loft, 165 round the bypass, 18.2 %, 83 °F in, 145 °F out. With the widening
// charged to all the drop's air and the shut damper's junction at 1.6 velocity pressures it was 206, 193, 21.5 %, 86 and 149. That calculation
// has all leakage at the plenums and outdoors; spread, some 20 cfm more go round the bypass (regression: 186 and 20.7 %).
func TestBypassOfTheMendedHouse(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "bypass-to-plenum", "return.drop.size=20x12 in")
	o := statetest.Solve(t, freeArea(g, 0.75), "heating: loft")
	assert.InDelta(t, 241, path(o, state.PathCalling, "loft"), 3)
	assert.InDelta(t, 186, path(o, state.PathBypass, "relief"), 3)
	assert.InDelta(t, 20.7, 100*o.Bypass, 0.3)
}

// Which of two feeders that meet at the start of a drop is called the straight one moves the pair of coefficients, not by more than sources
// differ: 0.3 velocity pressures of the drop.
func TestSwappingWhichFeederIsStraight(t *testing.T) {
	for _, size := range []string{"12 in", "14 in", "16 in"} {
		static := func(hall, loft string) (static, pv float64) {
			g := networktest.Graph(t, "two-floor", "", "return.hall-grille.size="+size, "return.loft-grille.size="+size,
				"return.hall-grille.fittings="+hall, "return.loft-grille.fittings="+loft)
			o := statetest.Solve(t, g, "design-cooling: loft")
			for i, e := range o.Graph.Elements {
				if e.Kind == network.KindDuct && e.Line == "drop" {
					x := o.Elements[i]
					return o.Blower.ExternalStatic, x.Density * x.Velocity * x.Velocity / 2
				}
			}
			require.Fail(t, "no drop")
			return 0, 0
		}
		one, pv := static(`["wye 45"]`, `["straight on", "elbow 90 smooth"]`)
		other, _ := static(`["straight on"]`, `["wye 45", "elbow 90 smooth"]`)
		assert.InDelta(t, one, other, 0.3*pv, size)
	}
}

// deadBranch is a house of one supply and one return path, each with a branch at a junction whose run is of another size. Without branches the same
// ducts go straight on.
func deadBranch(t *testing.T, sizes [2]string, branches bool) *network.Graph {
	t.Helper()
	text := `
[equipment]
cooling = { capacity = "3 ton", tap = "high" }
blower  = { table = "generic psc 3 ton" }
[zone]
all  = { damper = [] }
[supply]
trunk  = { from = "supply plenum", size = "SIZE0", length = "10 ft" }
onward = { from = "trunk", size = "SIZE1", length = "10 ft", fittings = ["straight on"], register = "20x12 in", zone = "all", wants = "600 cfm" }
[return]
back   = { to = "return plenum", size = "SIZE0", length = "10 ft" }
feeder = { to = "back", size = "SIZE1", length = "10 ft", fittings = ["straight on"], grille = "20x20 in", zone = "all" }
`
	if branches {
		text += `
[zone.none]
damper = ["out", "in"]
[damper]
out = { stop = "0 %", leakage = "0.01 %" }
in  = { stop = "0 %", leakage = "0.01 %" }
[supply.branch]
from = "trunk"
size = "8 in"
length = "9 ft"
fittings = ["tee"]
damper = "out"
register = "10x6 in"
zone = "none"
wants = "100 cfm"
[return.side]
to = "back"
size = "8 in"
length = "9 ft"
fittings = ["tee"]
damper = "in"
grille = "14x8 in"
zone = "none"
`
	}
	for i, s := range sizes {
		text = strings.ReplaceAll(text, fmt.Sprintf("SIZE%d", i), s)
	}
	return networktest.Build(t, "dead-branch.toml", []byte(text), network.Options{})
}

// With the branch dead a junction whose run has another size is the catalogue's reducer or expansion, once: the same house without the branch,
// to what the shut damper leaks.
func TestDeadBranchIsTheTransitionOnce(t *testing.T) {
	for _, sizes := range [][2]string{{"16 in", "12 in"}, {"20x12 in", "12 in"}, {"12 in", "16 in"}, {"14 in", "14 in"}} {
		with := statetest.Solve(t, deadBranch(t, sizes, true), "cooling: all")
		without := statetest.SolveAll(t, deadBranch(t, sizes, false))[0]
		supply := func(o *state.Outcome) float64 { return lineDrop(o, "trunk") + lineDrop(o, "onward") }
		back := func(o *state.Outcome) float64 { return lineDrop(o, "feeder") + lineDrop(o, "back") }
		assert.InEpsilon(t, supply(without), supply(with), 2e-3, "%v supply", sizes)
		assert.InEpsilon(t, back(without), back(with), 2e-3, "%v return", sizes)

		row, ok := catalog.LookupFitting("transition")
		require.True(t, ok)
		big, small := with.Graph.Job.Supply[0].Size.Section, with.Graph.Job.Supply[1].Size.Section
		out, _ := row.Between(big, small, 0)
		in, _ := row.Between(small, big, 0)
		for _, j := range with.Graph.Junctions {
			if sizes[0] == sizes[1] {
				assert.Zero(t, j.RunOut+j.RunIn)
				continue
			}
			assert.InEpsilon(t, out, j.RunOut, 1e-12, "%v", sizes)
			assert.InEpsilon(t, in, j.RunIn, 1e-12, "%v", sizes)
		}
		require.Len(t, with.Graph.Junctions, 2)
	}
}

// No duct that meets a junction has a transition of its own: the junction has it.
func TestNoTransitionBesideAJunction(t *testing.T) {
	seen := 0
	for _, path := range networktest.Jobs(t) {
		data := networktest.File(t, path)
		for _, alternative := range networktest.Alternatives(t, data) {
			g := networktest.Build(t, path, data, network.Options{Alternative: alternative})
			for _, j := range g.Junctions {
				seen++
				for _, e := range []int{j.Run, j.Common} {
					spec, ok := g.Elements[e].Spec.(*network.DuctSpec)
					if !ok {
						continue
					}
					for _, l := range spec.Losses {
						if l.Name != "transition" {
							continue
						}
						// A common leg may widen at its other end, where a line of one stream goes straight on into it.
						assert.Equal(t, j.Common, e, "%s %s: %s", path, alternative, g.Elements[e].Name)
						assert.Equal(t, g.Elements[j.Common].From == j.Node, false, "%s: %s", path, g.Elements[e].Name)
					}
				}
			}
		}
	}
	assert.Greater(t, seen, 100)
}

// stops from well open to shut, %.
var closing = []float64{20, 16, 12, 8, 5, 3, 2, 1, 0.5, 0}

// Closing a damper of a zone that does not call, down to shut, gives the others more air at each step and no jump at the last; and it never
// raises the loss that their junctions charge by more than their own air and its share explain.
func TestClosingAStopIsMonotoneForTheOthers(t *testing.T) {
	examples := networktest.Examples(t)
	if testing.Short() {
		examples = []string{"two-floor", "noisy-bedroom"}
	}
	walks := 0
	for _, name := range examples {
		for _, alternative := range networktest.Alternatives(t, networktest.Example(t, name)) {
			g := networktest.Graph(t, name, alternative)
			for _, cs := range state.States(g) {
				if len(cs.Calling) != 1 {
					continue
				}
				for _, d := range g.Job.Dampers {
					if !stopOfAnother(g, d, cs) {
						continue
					}
					walks++
					closeStop(t, name, alternative, cs.Name, d.Name)
				}
			}
		}
	}
	assert.GreaterOrEqual(t, walks, 8)
}

// stopOfAnother reports whether a damper stands at its stop in a call state.
func stopOfAnother(g *network.Graph, d network.Damper, cs state.CallState) bool {
	if d.Drive != "" && d.Drive != "two-position" && d.Drive != "modulating" {
		return false
	}
	serves := false
	for _, z := range g.Job.Zones {
		for _, n := range z.Damper {
			if n != d.Name {
				continue
			}
			serves = true
			if slices.Contains(cs.Calling, z.Name) {
				return false
			}
		}
	}
	return serves
}

func closeStop(t *testing.T, name, alternative, call, damper string) {
	var before *state.Outcome
	for _, stop := range closing {
		g := networktest.Graph(t, name, alternative, fmt.Sprintf("damper.%q.stop=%g %%", damper, stop))
		o := statetest.Quick(t, g, call)
		if before != nil {
			where := fmt.Sprintf("%s %s, %s, %s to %g %%", name, alternative, call, damper, stop)
			for k, z := range o.Zones {
				zone := g.Job.Zones[k].Name
				if !z.Calling {
					continue
				}
				// At one pressure a duct passes mass with the root of the density: what only makes the air warmer or colder (a bypass does)
				// is taken out. What is left of it, in the blower and the columns of air, is a part in two thousand.
				ease := math.Sqrt((z.SupplyTemperature + 273.15) / (before.Zones[k].SupplyTemperature + 273.15))
				was, is := before.Zones[k].Airflow/quantity.CFM, z.Airflow/quantity.CFM*ease
				assert.GreaterOrEqual(t, is, was*(1-5e-4), "%s: %s", where, zone)
				assert.LessOrEqual(t, is, was*1.12, "%s: %s", where, zone)
				if stop == 0 {
					assert.InDelta(t, was, is, 0.01*was, "%s: %s, the last half percent", where, zone)
				}
			}
			chargedByOwnAir(t, where, before, o)
		}
		before = o
	}
}

// chargedByOwnAir compares what the junctions take from branches in calling zones.
func chargedByOwnAir(t *testing.T, where string, before, after *state.Outcome) {
	share := func(o *state.Outcome, j network.Junction) (q, pv float64) {
		main := math.Max(math.Abs(o.Elements[j.Common].Flow), 1e-12)
		v := main / o.Elements[j.Common].Density / j.CommonArea
		return math.Abs(o.Elements[j.Branch].Flow) / main, o.Elements[j.Common].Density * v * v / 2
	}
	for _, j := range after.Graph.Junctions {
		q0, pv0 := share(before, j)
		q1, pv1 := share(after, j)
		if q0 < 0.9 || q1 < q0 || q1 > 1 {
			continue
		}
		k0, k1 := before.Elements[j.Branch].Junction/pv0, after.Elements[j.Branch].Junction/pv1
		a := j.BranchArea / j.CommonArea
		// The steepest published form there is K = v² − 2v cos α + 1: dK/dq up to 2/a².
		assert.LessOrEqual(t, math.Abs(k1), math.Abs(k0)+2.2/(a*a)*(q1-q0)+1e-3, "%s: %s, q %.3f to %.3f", where, after.Graph.Elements[j.Branch].Name, q0, q1)
	}
}
