package state

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/heat"
)

// warmBypass is a heat pump with a bypass that is always open, upstairs 30 ft above it: more heat than
// the little air of its low tap needs, so that the warm column draws more air up, and less of it goes
// round, than supply air of the nominal 120 °F does.
const warmBypass = `
title = "a heat pump whose bypass is always open"
[weather]
mild = { mode = "heating", outdoor = "60 F", indoor = "70 F" }
[zone]
down = { wants = "500 cfm", damper = "down" }
up   = { wants = "400 cfm", damper = "up" }
[damper]
down = { size = "14 in", blade = "round", stop = "0 %%" }
up   = { size = "12 in", blade = "round", stop = "0 %%" }
[equipment]
heating = { kind = "heat pump", output = "50 kBtu/h", tap = "low" }
blower  = { table = "generic PSC 3 ton" }
filter  = { drop = "0.1 inwc", at = "1200 cfm" }
coil    = { drop = "0.2 inwc", at = "1200 cfm" }
[supply]
trunk = { from = "supply plenum", size = "14 in", length = "10 ft" }
down-trunk = { from = "trunk", size = "14 in", length = "20 ft", fittings = ["wye 45"], damper = "down" }
up-trunk = { from = "trunk", size = "12 in", length = "30 ft", damper = "up", rise = "30 ft" }
down-1 = { from = "down-trunk", size = "10 in", length = "20 ft", register = "14x8 in", room = "hall", zone = "down" }
up-1 = { from = "up-trunk", size = "10 in", length = "20 ft", register = "14x8 in", room = "loft", zone = "up" }
[return]
back = { to = "return plenum", size = "16 in", length = "10 ft", grille = "24x20 in" }
[bypass]
open = { from = "supply plenum", to = "return plenum", size = "10 in", length = "12 ft", balance = "%g %%" }
`

// A state is refused for where it ends, not for the air of the first iterations, which start from supply
// air of one nominal temperature. The model of the heat pump is good for 60 to 80 °F entering. Over the
// openings of the bypass here some states begin beyond it and end within: they are solved. Others begin
// within it and end beyond: they are refused, with the machine's name.
func TestRefusedOnlyForTheStateOfRest(t *testing.T) {
	const warmest = 80.0
	cooler, warmer, warm := 0, 0, 0
	for opening := 200; opening <= 400; opening += 2 {
		g := networktest.Build(t, "warm.toml", fmt.Appendf(nil, warmBypass, float64(opening)/10), network.Options{})
		s, err := New(g)
		require.NoError(t, err)
		for _, cs := range States(g) {
			first := firstEntering(t, s, cs)
			o, err := s.Quick().Solve(cs)
			if err != nil {
				require.ErrorIs(t, err, heat.ErrBeyondRange, cs.Name)
				assert.Contains(t, err.Error(), "blower: ", "the element is named")
				warm++
				if first < warmest {
					warmer++
				}
				continue
			}
			entering := o.Equipment.Entering*1.8 + 32
			assert.LessOrEqual(t, entering, warmest, "%s: %.2f °F", cs.Name, entering)
			if first > warmest {
				cooler++
			}
		}
	}
	assert.Positive(t, cooler, "begin beyond the model and end within")
	assert.Positive(t, warmer, "begin within the model and end beyond")
	assert.Greater(t, warm, warmer, "begin and end beyond")
}

// firstEntering is the air that the machine meets in the first iteration of flow and heat, °F.
func firstEntering(t *testing.T, s *Solver, cs CallState) float64 {
	t.Helper()
	c := &calculation{solver: s, workspace: newWorkspace(s), held: -1, ctx: t.Context()}
	require.NoError(t, c.begin(cs))
	c.takeAir()
	require.NoError(t, c.balance())
	_, _, err := c.carryHeat()
	require.NoError(t, err)
	return c.steady.Branches[c.solver.graph.Blower].In.Temperature*1.8 + 32
}

// The velocity of a bypass over that of the return air which it meets, by the mass flows and areas of
// the two before they join (computed from the formula).
func TestMixingTakesTheReturnAirBeforeItJoins(t *testing.T) {
	text := strings.Replace(fmt.Sprintf(warmBypass, 30.0), `to = "return plenum", size = "10 in", length = "12 ft"`,
		`to = "back", size = "10 in", length = "12 ft", fittings = ["wye 45"]`, 1)
	g := networktest.Build(t, "joins.toml", []byte(text), network.Options{})
	s, err := New(g)
	require.NoError(t, err)
	c := &calculation{solver: s, workspace: newWorkspace(s), held: -1, ctx: t.Context()}
	require.NoError(t, c.begin(States(g)[0]))
	c.takeAir()
	require.NoError(t, c.balance())
	flow := func(i int) float64 { return s.plan.signOf[i] * c.solution.Flow[s.plan.edgeOf[i]] }
	bypass, before := math.NaN(), math.NaN()
	for i := range g.Elements {
		switch e := &g.Elements[i]; {
		case e.Line == "open" && e.Kind == network.KindDuct:
			bypass = flow(i)
		case e.Line == "back" && e.Kind == network.KindGrille:
			before = flow(i)
		}
	}
	require.Positive(t, bypass)
	require.Positive(t, before)
	want := bypass / (10 * 10) / (before / (16 * 16))
	assert.InEpsilon(t, want, c.velocityRatio(&g.Job.Bypass[0], bypass), 1e-9)
}
