package state_test

import (
	"math"
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

// A weighted damper that stays shut leaks as its class says: class 3 is 40 cfm per ft² at 1 in. of water (leakage classes of AMCA 500-D
// and 511: from memory), and by the square root of the pressure below it.
func TestShutWeightLeaksAsItsClass(t *testing.T) {
	text := replace(shortLoop, `opens-at = "OPENS inwc"`, `damper = "flap"`)
	text = replace(text, "[damper]\n", "[damper]\nflap = { drive = \"barometric\", opens-at = \"2 inwc\", leakage = \"class 3\" }\n")
	g := networktest.Build(t, "loop.toml", []byte(text), network.Options{})
	o := statetest.Solve(t, g, "heating: a")
	d := damper(t, o, "flap damper")
	require.Zero(t, d.Position)
	square := math.Pi / 4 // ft² of 12 in.
	assert.InEpsilon(t, 40*square*math.Sqrt(d.Drop/quantity.InchWater), d.Airflow/quantity.CFM, 0.04)
	assert.InDelta(t, 90, d.Blade, 1e-12, "degrees from open")
}

// A weighted damper's blade is told in degrees from open, like every other's, and its position in the same share of a quarter turn.
func TestBladeOfAWeightIsDegreesFromOpen(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "bypass-to-plenum")
	o := statetest.Solve(t, g, "design-cooling: loft")
	seen := false
	for _, d := range o.Dampers {
		if _, ok := g.Elements[d.Element].Spec.(*network.ReliefSpec); ok {
			seen = true
			assert.Greater(t, d.Position, 0.1, "it stands open in this call")
			assert.InDelta(t, 90*(1-d.Position), d.Blade, 1e-9)
		}
	}
	assert.True(t, seen)
}

// A blade across a flat duct has the loss of its own proportions, H/W (the row of the table for them).
func TestRectangularBladeHasItsOwnProportions(t *testing.T) {
	text := replace(shortLoop, "OPENS", "0.6")
	text = replace(text, "a = {}\n", "a = { blade = \"rectangular\", open = \"50 %\" }\n")
	text = replace(text, `size = "12 in", length = "20 ft", damper = "a"`, `size = "24x6 in", length = "20 ft", damper = "a"`)
	g := networktest.Build(t, "loop.toml", []byte(text), network.Options{})
	o := statetest.Solve(t, g, "heating: a")
	x := &o.Elements[damper(t, o, "a damper").Element]
	zeta := x.Drop / (x.Density * x.Velocity * x.Velocity / 2)
	flat := catalog.Zeta(catalog.RectangularBlade, 45, catalog.Setting{Proportion: 6.0 / 24})
	tall := catalog.Zeta(catalog.RectangularBlade, 45, catalog.Setting{Proportion: 24.0 / 6})
	require.Greater(t, math.Abs(tall/flat-1), 0.05, "the table tells them apart")
	assert.InEpsilon(t, flat, zeta, 0.01)
}

// A blade that is a standard deviation off its table loses e^s times as much, the gaps round it the same as before; shut only the gaps
// count. ζ = Δp/(ρV²/2) of the damper as solved against the catalogue's blade and gaps side by side (computed from the formula).
func TestDeviationOfABladeSparesItsGaps(t *testing.T) {
	text := replace(shortLoop, "OPENS", "0.6")
	for _, c := range []struct {
		open            string
		angle           float64
		blade, gaps, to float64 // deviations, and the share of the default leak
	}{{"40 %", 54, 1, 0, 1}, {"40 %", 54, -1, 0, 1}, {"40 %", 54, 0, 1, math.Exp(-0.5)}, {"5 %", 85.5, 1, -1, math.Exp(0.5)}} {
		g := networktest.Build(t, "loop.toml", []byte(replace(text, "a = {}\n", "a = { open = \""+c.open+"\" }\n")), network.Options{})
		for i := range g.Elements {
			if spec, ok := g.Elements[i].Spec.(*network.DamperSpec); ok {
				spec.Deviation, spec.LeakDeviation = c.blade, c.gaps
			}
		}
		o := statetest.Solve(t, g, "heating: a")
		x := &o.Elements[damper(t, o, "a damper").Element]
		zeta := x.Drop / (x.Density * x.Velocity * x.Velocity / 2)
		blade := catalog.Zeta(catalog.RoundBlade, c.angle, catalog.Setting{ClosedZeta: math.Inf(1)}) * math.Exp(c.blade*catalog.BladeDeviation(c.angle))
		want := math.Pow(1/math.Sqrt(blade)+c.to/math.Sqrt(catalog.LeakZeta(0.03)), -2)
		assert.InEpsilon(t, want, zeta, 0.01, "%+v", c)
	}
}

// Static and total differ by the velocity pressure, (V/4005)² in. of water for standard air (common practice), at every joint behind a duct
// that brings all the air there.
func TestStaticIsTotalLessVelocityPressure(t *testing.T) {
	o := statetest.Solve(t, networktest.Graph(t, "two-floor", ""), "design-cooling: all zones")
	g := o.Graph
	checked := 0
	for i, e := range g.Elements {
		if _, ok := e.Spec.(*network.DuctSpec); !ok || g.Nodes[e.To].Kind != network.Joint || o.Elements[i].Flow <= 0 {
			continue
		}
		into := 0
		for k, other := range g.Elements {
			if other.To == e.To && o.Elements[k].Flow > 0 || other.From == e.To && o.Elements[k].Flow < 0 {
				into++
			}
		}
		if into != 1 {
			continue
		}
		checked++
		x := &o.Elements[i]
		fpm := x.Velocity / quantity.FPM
		want := fpm / 4005 * fpm / 4005 * x.Density / 1.2014
		assert.InDelta(t, want, (o.Nodes[e.To].Total-o.Nodes[e.To].Static)/quantity.InchWater, 0.002*want+1e-9, e.Name)
	}
	assert.Greater(t, checked, 5)
}

// What a zone misses is what its registers miss, one by one: what another has too much is no help.
func TestShortfallIsRegisterByRegister(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "", "supply.kitchen.wants=60 cfm")
	mixed := false
	for _, cs := range state.States(g) {
		o := statetest.Solve(t, g, cs.Name)
		for i := range o.Zones {
			if !o.Zones[i].Calling {
				assert.Zero(t, o.Zones[i].Shortfall)
				continue
			}
			short, over := 0.0, 0.0
			for k, r := range g.Registers {
				if r.Zone == g.Job.Zones[i].Name {
					short += math.Max(0, r.Wants-o.Registers[k].Airflow)
					over += math.Max(0, o.Registers[k].Airflow-r.Wants)
				}
			}
			mixed = mixed || short > 0 && over > 0
			assert.InDelta(t, short, o.Zones[i].Shortfall, 1e-12, cs.Name)
		}
	}
	assert.True(t, mixed, "some zone has a register with too little and one with too much")
}

// boxed feeds one box from the plenum by two ducts of different width, and has a return that leaks more than the grille brings.
const boxed = `
title = "box"
[equipment]
cooling = { capacity = "2 ton", tap = "high" }
blower  = { table = "generic psc 2 ton" }
[zone]
a = { damper = "a" }
b = { damper = "b" }
[damper]
a = {}
b = { stop = "40 %" }
[box]
hall = {}
[supply]
wide   = { from = "supply plenum", to = "hall", size = "12 in", length = "10 ft" }
narrow = { from = "supply plenum", to = "hall", size = "8 in", length = "14 ft" }
left   = { from = "hall", size = "10 in", length = "10 ft", damper = "a", register = "14x8 in", zone = "a", wants = "WANTS cfm" }
right  = { from = "hall", size = "10 in", length = "12 ft", damper = "b", register = "14x8 in", zone = "b", wants = "400 cfm" }
[return]
back = { to = "return plenum", size = "16 in", length = "10 ft", grille = "20x16 in" }
[leakage]
return = "60 % of blower at 25 Pa"
`

// Air that comes to a box by two ways is mixed in it: either duct carries the same share of surplus. And all that was asked for at the
// blower came in by grille and leaks together, neither more nor less.
func TestStrandsMixInABoxAndAddUpAtTheReturn(t *testing.T) {
	for _, wants := range []string{"300", "2000"} {
		g := networktest.Build(t, "box.toml", []byte(replace(boxed, "WANTS", wants)), network.Options{})
		o := statetest.Solve(t, g, "cooling: a")
		share := func(line string) float64 {
			x := &o.Elements[g.ElementNamed(line)]
			return x.Surplus / math.Abs(x.Airflow)
		}
		assert.Positive(t, share("wide"))
		assert.InDelta(t, share("wide"), share("narrow"), 1e-9)
		asked := func(i int) float64 { return math.Abs(o.Elements[i].Airflow) - o.Elements[i].Surplus }
		in := asked(g.ElementNamed("wide")) + asked(g.ElementNamed("narrow"))
		out := asked(g.ElementNamed("left")) + asked(g.ElementNamed("right"))
		assert.InDelta(t, out, in, 1e-12)
		plenum, brought, clean := g.NodeNamed(network.ReturnPlenum), 0.0, 0.0
		for i, e := range g.Elements {
			if e.To == plenum && o.Elements[i].Flow > 0 || e.From == plenum && o.Elements[i].Flow < 0 {
				brought += asked(i)
			}
			if e.Kind == network.KindGrille {
				clean += math.Abs(o.Elements[i].Airflow)
			}
		}
		assert.InDelta(t, asked(g.Blower), brought, 1e-12, wants)
		if wants == "2000" {
			assert.Greater(t, asked(g.Blower), clean, "the leak brings a part of what is asked for")
		}
	}
}
