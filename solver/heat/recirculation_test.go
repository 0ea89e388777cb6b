package heat

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/solver/air"
)

// The closed forms against their table (return 70 °F), in °F.
func TestComputedRecirculationTable(t *testing.T) {
	shares := []float64{0, 0.1, 0.2, 0.25, 0.3, 0.4, 0.5}
	for _, row := range []struct {
		rise    float64
		leaving []float64
	}{
		{40, []float64{110, 114.4, 120.0, 123.3, 127.1, 136.7, 150}},
		{50, []float64{120, 125.6, 132.5, 136.7, 141.4, 153.3, 170}},
		{55, []float64{125, 131.1, 138.8, 143.3, 148.6, 161.7, 180}},
		{60, []float64{130, 136.7, 145.0, 150.0, 155.7, 170.0, 190}},
		{65, []float64{135, 142.2, 151.2, 156.7, 162.9, 178.3, 200}},
	} {
		c := Recirculation{Return: celsius(70), Rise: row.rise * fahr}
		for i, r := range shares {
			computed(t, fmt.Sprintf("leaving, rise %g, share %g", row.rise, r), row.leaving[i], fahrenheit(c.Leaving(r)), 0.06)
		}
	}
	c := Recirculation{Return: celsius(70), Rise: 50 * fahr}
	computed(t, "limit duty r .5", 0.75, c.LimitDuty(0.5, celsius(160), celsius(130)), 0.001)
	computed(t, "limit duty r .4", 0.71, Recirculation{celsius(70), 55 * fahr}.LimitDuty(0.4, celsius(150), celsius(120)), 0.005)
	computed(t, "limit duty without bypass", 0.76, Recirculation{celsius(70), 98.8 * fahr}.LimitDuty(0, celsius(160), celsius(130)), 0.005)
	assert.Equal(t, 1.0, c.LimitDuty(0.2, celsius(160), celsius(130)), "steady leaving below the limit")
	assert.True(t, math.IsInf(c.Leaving(1), 1))
}

// Common practice, no printed source: what every installer knows of a furnace with a 40 °F rise and
// 65 °F return, and that the bypass that raises the return from 65 to 70–75 °F carries an eighth to a
// quarter of the fresh air, 1/9 to 1/5 of the blower's.
func TestFactsOfTheTrade(t *testing.T) {
	for _, c := range []struct{ share, enters float64 }{{0, 65}, {1.0 / 9, 70}, {1.0 / 5, 75}, {3.0 / 5, 125}} {
		sol, err := solve(furnaceLoop(c.share, celsius(65), 40*fahr, 0))
		require.NoError(t, err)
		computed(t, "entering, °F", c.enters, fahrenheit(sol.Nodes[1].State.Temperature), 1e-9)
		computed(t, "leaving, °F", c.enters+40, fahrenheit(sol.Nodes[2].State.Temperature), 1e-9)
	}
}

// The network solver against the closed form: dry air, one loop.
func TestNetworkMeetsTheClosedForm(t *testing.T) {
	for _, r := range []float64{0, 0.1, 0.25, 0.5, 0.7, 0.95} {
		n := furnaceLoop(r, celsius(70), 50*fahr, 0)
		var s Solver
		sol, err := s.Solve(n)
		require.NoError(t, err)
		c := Recirculation{Return: celsius(70), Rise: 50 * fahr}
		assert.InDelta(t, c.Return+r*c.lift(r), sol.Nodes[1].State.Temperature, 1e-9)
		assert.InDelta(t, c.Leaving(r), sol.Nodes[2].State.Temperature, 1e-9)
		assert.InDelta(t, r, s.Recirculated(n, 1), 1e-12)
	}
}

// furnaceLoop is room → inlet → outlet → room with a bypass outlet → inlet that carries a share r of the blower's 0.5 kg/s.
func furnaceLoop(r, room, rise, humidity float64) *Network {
	const flow = 0.5
	state := air.Moist{Temperature: room, HumidityRatio: humidity}
	return &Network{
		Pressure: air.StandardPressure,
		Nodes:    []Node{{Reservoir: true, State: state}, {}, {}},
		Branches: []Branch{
			{From: 0, To: 1, MassFlow: flow * (1 - r)},
			{From: 1, To: 2, MassFlow: flow, Heat: flow * rise * state.SpecificHeat()},
			{From: 2, To: 0, MassFlow: flow * (1 - r)},
			{From: 2, To: 1, MassFlow: flow * r},
		},
	}
}

// More recirculation never cools a heating loop, and bleed (more air to the room instead) never warms it.
func TestMonotoneInRecirculation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0, 0.9).Draw(t, "share")
		b := a + rapid.Float64Range(0.001, 0.09).Draw(t, "more")
		rise := rapid.Float64Range(1, 50).Draw(t, "rise")
		w := rapid.Float64Range(0, 0.02).Draw(t, "humidity")
		leaving := func(r float64) float64 {
			sol, err := solve(furnaceLoop(r, 20, rise, w))
			if err != nil {
				t.Fatal(err)
			}
			return sol.Nodes[2].State.Temperature
		}
		if !(leaving(b) > leaving(a)) {
			t.Fatalf("share %g leaves at %g, share %g at %g", a, leaving(a), b, leaving(b))
		}
	})
}
