package schematic

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/state"
)

func sceneOf(t require.TestingT, o *state.Outcome, opt Options) *Scene {
	sc, err := Lay(o.Graph).Scene(o, opt)
	require.NoError(t, err)
	return sc
}

// clear checks that no label lies over another label, a ribbon, a damper or a register, and that all lie on the paper.
func clear(t assert.TestingT, sc *Scene, what string) {
	assert.Empty(t, sc.Crowded, "%s: labels without room", what)
	boxes := make([]Box, len(sc.Labels))
	for i, l := range sc.Labels {
		boxes[i] = l.Box()
		on := boxes[i].X0 >= 0 && boxes[i].Y0 >= 0 && boxes[i].X1 <= sc.Width && boxes[i].Y1 <= sc.Height
		assert.True(t, on, "%s: %q lies off the paper", what, l.Text)
		for j := range i {
			assert.False(t, boxes[i].overlaps(boxes[j]), "%s: %q lies over %q", what, l.Text, sc.Labels[j].Text)
		}
	}
	for _, o := range sc.obstacles() {
		for i, b := range boxes {
			assert.False(t, b.overlaps(o), "%s: %q lies over a duct or a part", what, sc.Labels[i].Text)
		}
	}
}

func TestNoLabelLiesOverAnything(t *testing.T) {
	for name, h := range map[string]*house{"two floors": twoFloors(), "nested": nested()} {
		for _, sys := range []quantity.System{quantity.IP, quantity.SI} {
			for _, z := range h.g.Job.Zones {
				clear(t, sceneOf(t, h.outcome(z.Name), Options{Units: sys, Sentence: "Some air goes where nobody asked for it."}), fmt.Sprint(name, sys, z.Name))
			}
		}
	}
}

func TestNoLabelLiesOverAnythingInGeneratedHouses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		registers := rapid.IntRange(2, 60).Draw(t, "registers")
		zones := rapid.IntRange(1, min(6, registers)).Draw(t, "zones")
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		h := forestOf(registers, zones, rng.IntN)
		clear(t, sceneOf(t, h.outcome("zone 1"), Options{Sentence: "Some air."}), "generated")
	})
}

func TestTwoHundredRegistersFit(t *testing.T) {
	for seed := range uint64(5) {
		h := forestOf(200, 8, rand.New(rand.NewPCG(seed, 2)).IntN)
		sc := sceneOf(t, h.outcome("zone 1", "zone 3"), Options{})
		clear(t, sc, fmt.Sprint("seed ", seed))
		assert.Len(t, h.g.Registers, count(sc.Grilles, func(g Grille) bool { return !g.Return }), "every register is drawn")
	}
}

func count[T any](s []T, ok func(T) bool) int {
	n := 0
	for _, v := range s {
		if ok(v) {
			n++
		}
	}
	return n
}

// Same topology, same places: only widths, colours and numbers may differ between states.
func TestEveryStateHasTheSamePlaces(t *testing.T) {
	h := twoFloors()
	a, b := sceneOf(t, h.outcome("loft"), Options{}), sceneOf(t, h.outcome("main"), Options{})
	require.Len(t, b.Grilles, len(a.Grilles))
	for i := range a.Grilles {
		assert.InDelta(t, (a.Grilles[i].X0+a.Grilles[i].X1)/2, (b.Grilles[i].X0+b.Grilles[i].X1)/2, 1e-9, a.Grilles[i].Name)
		assert.InDelta(t, (a.Grilles[i].Y0+a.Grilles[i].Y1)/2, (b.Grilles[i].Y0+b.Grilles[i].Y1)/2, 1e-9, a.Grilles[i].Name)
	}
	for i := range a.Bands {
		assert.Equal(t, a.Bands[i].Box, b.Bands[i].Box)
	}
}

func TestWidthsFollowTheAirflow(t *testing.T) {
	for name, h := range map[string]*house{"two floors": twoFloors(), "nested": nested()} {
		o := h.outcome(h.g.Job.Zones[0].Name)
		sc := sceneOf(t, o, Options{})
		for _, r := range sc.Ribbons {
			if r.Element < 0 {
				assert.InDelta(t, o.Blower.Airflow*sc.Scale, r.Width, 1e-9)
				continue
			}
			assert.InDelta(t, math.Abs(o.Elements[r.Element].Airflow)*sc.Scale, r.Width, 1e-9, "%s: %s", name, r.Name)
		}
	}
}

func TestStrandsAddUp(t *testing.T) {
	o := twoFloors().outcome("loft")
	for _, r := range sceneOf(t, o, Options{}).Ribbons {
		left, middle, right := r.split()
		assert.InDelta(t, r.Width, right-left, 1e-9)
		surplus := middle - left
		if r.OnRight {
			surplus = right - middle
		}
		assert.InDelta(t, r.Surplus, surplus, 1e-9)
		if r.Element >= 0 {
			assert.InDelta(t, o.Elements[r.Element].Surplus, surplus/r.Width*math.Abs(o.Elements[r.Element].Airflow), 1e-9, r.Name)
		}
	}
}

// end is a cut across a ribbon: where it stands and what it spans.
type end struct{ x, top, bottom float64 }

// Where ducts meet, the end of one is exactly the beginnings of the others: same face, same span, no gap and no overlap.
func TestRibbonsMeet(t *testing.T) {
	for name, h := range map[string]*house{"two floors": twoFloors(), "nested": nested()} {
		for _, z := range h.g.Job.Zones {
			o := h.outcome(z.Name)
			sc := sceneOf(t, o, Options{})
			assert.Empty(t, sc.Hubs, "%s, %s calls: all air parts in its own direction", name, z.Name)
			starts, ends := map[int][]end{}, map[int][]end{} // by node, in the direction away from the equipment
			first, last := map[int]int{}, map[int]int{}      // a damper parts an element's ribbon in two
			for i, r := range sc.Ribbons {
				if _, ok := first[r.Element]; !ok {
					first[r.Element] = i
				}
				last[r.Element] = i
			}
			for i, r := range sc.Ribbons {
				if r.Element < 0 || r.Still {
					continue
				}
				e := h.g.Elements[r.Element]
				if e.Side == network.BypassSide || h.g.Nodes[e.From].Kind == network.HouseAir || h.g.Nodes[e.To].Kind == network.Outdoors {
					continue
				}
				inner, outer := e.From, e.To
				if e.Side == network.ReturnSide {
					inner, outer = outer, inner
				}
				span := func(p point) end { return end{p.X, p.Y - r.Width/2, p.Y + r.Width/2} }
				if d := h.before[inner]; d >= 0 && h.g.Elements[d].Kind == network.KindDamper {
					inner = h.g.Elements[d].From // the duct begins before the damper that stands in it
				}
				if i == first[r.Element] {
					starts[inner] = append(starts[inner], span(r.Path[0]))
				}
				if tip := r.Path[len(r.Path)-1]; i == last[r.Element] && r.Path[len(r.Path)-2].Y == tip.Y {
					ends[outer] = append(ends[outer], span(tip))
				}
			}
			met := 0
			for node, from := range ends {
				to := starts[node]
				if len(to) == 0 || node == h.g.NodeNamed("return box") {
					continue
				}
				require.Len(t, from, 1, h.g.Nodes[node].Name)
				top, bottom, sum := math.Inf(1), math.Inf(-1), 0.0
				for _, s := range to {
					assert.InDelta(t, from[0].x, s.x, 0.01, "%s: face at %s", name, h.g.Nodes[node].Name)
					top, bottom, sum = min(top, s.top), max(bottom, s.bottom), sum+s.bottom-s.top
				}
				tolerance := 0.02 + 5*sc.Scale*cfm // a leak at the node is left out of starts
				assert.InDelta(t, from[0].top, top, tolerance, h.g.Nodes[node].Name)
				assert.InDelta(t, from[0].bottom, bottom, tolerance, h.g.Nodes[node].Name)
				assert.InDelta(t, from[0].bottom-from[0].top, sum, tolerance, h.g.Nodes[node].Name)
				met++
			}
			assert.GreaterOrEqual(t, met, 3, "joints checked in %s", name)
		}
	}
}

func TestArrowsTurnWithTheAir(t *testing.T) {
	direction := func(q float64) point {
		h := newHouse(500, "a")
		h.grille("hall", network.ReturnPlenum)
		h.duct("run", network.SupplyPlenum)
		h.register("back", "run", "a", 100, q)
		h.register("on", "run", "a", 100, 300)
		h.register("last", "run", "a", 100, 100)
		sc := sceneOf(t, h.outcome("a"), Options{})
		for _, r := range sc.Ribbons {
			if r.Name != "back" {
				continue
			}
			at := r.Path[len(r.Path)-1]
			for _, a := range sc.Arrows {
				if math.Abs(a.At.X-at.X) < 0.5 {
					return a.To
				}
			}
		}
		require.Fail(t, "no arrow on the register's duct")
		return point{}
	}
	assert.Equal(t, point{0, -1}, direction(80), "up to the register")
	assert.Equal(t, point{0, 1}, direction(-80), "down from the register")
}

// Where air from two sides goes into a third, widths cannot be stacked: a header is drawn instead.
func TestReversedBranchGetsAHub(t *testing.T) {
	h := newHouse(500, "a")
	h.grille("hall", network.ReturnPlenum)
	h.duct("run", network.SupplyPlenum)
	h.register("back", "run", "a", 100, -60)
	h.register("on", "run", "a", 100, 400)
	sc := sceneOf(t, h.outcome("a"), Options{})
	assert.Len(t, sc.Hubs, 1)
	assert.Equal(t, 1, count(sc.Labels, func(l Label) bool { return l.Text == "−60 / 100 cfm" }), "a register that draws in says so")
}

func TestBypassIsALoopUnderTheEquipment(t *testing.T) {
	h := twoFloors()
	o := h.outcome("loft")
	sc := sceneOf(t, o, Options{})
	plan := Lay(h.g).l
	deepest, left, right := 0.0, math.Inf(1), 0.0
	for _, r := range sc.Ribbons {
		if r.Name != "relief" {
			continue
		}
		for _, p := range r.Path {
			deepest, left, right = max(deepest, p.Y), min(left, p.X), max(right, p.X)
		}
		assert.Equal(t, r.Width, r.Surplus, "all of it is surplus")
	}
	assert.Greater(t, deepest, plan.axis+cabinetHalf)
	assert.Less(t, left, plan.returnX)
	assert.Greater(t, right, plan.supplyX)
}

func TestLedgerStripRepeatsTheSplit(t *testing.T) {
	o := twoFloors().outcome("loft")
	sc := sceneOf(t, o, Options{})
	require.Len(t, sc.Ledger, len(o.Ledger.Paths))
	sum := 0.0
	for i, s := range sc.Ledger {
		share := (s.X1 - s.X0) / (sc.Strip.X1 - sc.Strip.X0)
		assert.InDelta(t, o.Ledger.Paths[i].Airflow/o.Ledger.Blower, share, 1e-9)
		assert.Equal(t, o.Ledger.Paths[i].Kind != state.PathWanted, s.Surplus)
		sum += s.X1 - s.X0
	}
	assert.InDelta(t, sc.Strip.X1-sc.Strip.X0, sum, 1e-6)
}

func TestBandsSayWhoCalls(t *testing.T) {
	sc := sceneOf(t, twoFloors().outcome("loft"), Options{})
	require.Len(t, sc.Bands, 3)
	assert.Equal(t, "loft: calling · gets 655, wants 520 cfm", sc.Bands[0].Text)
	assert.Equal(t, "main: satisfied · 180 cfm bleeds in", sc.Bands[1].Text)
	assert.True(t, sc.Bands[2].Dump)
	assert.Equal(t, "Cooling · only the loft zone calls", sc.Title)
}

func TestColourClasses(t *testing.T) {
	for _, c := range []struct {
		q    Quantity
		sys  quantity.System
		v    float64
		want int
	}{
		{Velocity, quantity.IP, 0, 0},
		{Velocity, quantity.IP, 250 * quantity.FPM, 2},
		{Velocity, quantity.IP, 5000 * quantity.FPM, classes - 1},
		{Velocity, quantity.SI, 1.6, 3},
		{Velocity, quantity.IP, math.NaN(), -1},
		{Velocity, quantity.IP, math.Inf(1), -1},
		{Static, quantity.SI, 60, 2},
		{Static, quantity.IP, 0.55 * quantity.InchWater, 5},
		{Temperature, quantity.IP, 10, 0}, // 50 °F
		{Temperature, quantity.IP, 30, 3}, // 86 °F
		{Temperature, quantity.SI, 31, 4},
	} {
		assert.Equal(t, c.want, c.q.class(c.v, c.sys), "%v %v %v", c.q, c.sys, c.v)
	}
}

func TestDrawRefusesWhatDoesNotFit(t *testing.T) {
	assert.ErrorIs(t, Draw(nil, nil, Options{}), ErrNoGraph)
	assert.ErrorIs(t, Draw(nil, &state.Outcome{}, Options{}), ErrNoGraph)
	assert.Error(t, Draw(nil, &state.Outcome{Graph: twoFloors().g}, Options{}))
	_, err := Lay(nested().g).Scene(twoFloors().outcome(), Options{})
	assert.ErrorContains(t, err, "another graph")
}

// The ruler of the legend is as wide as a ribbon of that airflow, in either system of units.
func TestRulerMeasuresRibbons(t *testing.T) {
	o := loftCalls(t, "")
	for _, c := range []struct {
		system quantity.System
		flow   float64 // of the ruler, m³/s
	}{{quantity.IP, 100 * quantity.CFM}, {quantity.SI, 50 * quantity.LitrePerS}} {
		sc, err := Lay(o.Graph).Scene(o, Options{Units: c.system})
		require.NoError(t, err)
		ruler := sc.Legend.Ruler.Y1 - sc.Legend.Ruler.Y0
		checked := 0
		for _, r := range sc.Ribbons {
			if r.Element < 0 || r.Still {
				continue
			}
			if q := math.Abs(o.Elements[r.Element].Airflow); q > 50*quantity.CFM {
				assert.InEpsilon(t, r.Width/q, ruler/c.flow, 1e-6, r.Name)
				checked++
			}
		}
		assert.Greater(t, checked, 3)
	}
}
