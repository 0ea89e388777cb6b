package state_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

func damper(t testing.TB, o *state.Outcome, name string) state.Damper {
	t.Helper()
	for _, d := range o.Dampers {
		if d.Name == name {
			return d
		}
	}
	require.Failf(t, "no such damper", "%q", name)
	return state.Damper{}
}

func TestStatesOfAJob(t *testing.T) {
	names := func(g *network.Graph) []string {
		var list []string
		for _, cs := range state.States(g) {
			list = append(list, cs.Name)
		}
		return list
	}
	t.Run("two zones, one stage: each weather times three sets of calls", func(t *testing.T) {
		assert.Equal(t, []string{"cooling: day", "cooling: bed", "cooling: all zones"}, names(networktest.Graph(t, "first-look", ""))[:3])
	})
	t.Run("2^n-1 sets of n zones for each stage the panel allows", func(t *testing.T) {
		g := networktest.Graph(t, "four-zone", "")
		g.Job.Panel = network.Panel{}
		assert.Len(t, names(g), 2*3*15)
		g.Job.Panel.SecondStageNeeds = 3 // 4 sets of three and 1 of four may use stages 2 and 3
		assert.Len(t, names(g), 2*(15+5+5))
	})
}

func TestPanelSetsDampers(t *testing.T) {
	g := everyPart(t)
	east, west := statetest.Solve(t, g, "cooling: east"), statetest.Solve(t, g, "cooling: west")

	assert.Equal(t, 1.0, damper(t, east, "east-a damper").Position, "open when its zone calls")
	assert.InDelta(t, 68, damper(t, west, "east-a damper").Blade, 1e-9, "at its stop, given in degrees of blade, when not")
	assert.InDelta(t, 0.20, damper(t, east, "west damper").Position, 1e-9)
	assert.InDelta(t, 0.30, damper(t, west, "east-b damper").Position, 1e-9, "the call's own setting wins over the stop")
	assert.Equal(t, 0.0, damper(t, east, "dumped damper").Position)
	assert.Equal(t, 1.0, damper(t, west, "dumped damper").Position, "opened by the panel for this call")
	assert.Greater(t, path(west, state.PathDump, "lobby"), 10*path(east, state.PathDump, "lobby"))
	assert.InDelta(t, 0.70, damper(t, east, "room-2 balance").Position, 1e-9)
}

func TestConstantPressureDamperHolds(t *testing.T) {
	// A proportional controller stands between its set point and set point plus band, at the opening its band says (common
	// practice); when it is fully open or shut the pressure is outside.
	for _, holds := range []float64{0.02, 0.15, 0.22, 0.30, 0.9} {
		t.Run(fmt.Sprintf("%g inwc", holds), func(t *testing.T) {
			g := everyPart(t, fmt.Sprintf("damper.holder.holds=%g inwc", holds))
			for _, cs := range state.States(g) {
				o := statetest.Solve(t, g, cs.Name)
				sensed := o.Nodes[g.NodeNamed(network.SupplyPlenum)].Total / quantity.InchWater
				y := damper(t, o, "holder damper").Position
				switch {
				case y <= 0:
					assert.LessOrEqual(t, sensed, holds+1e-9)
				case y >= 1:
					assert.GreaterOrEqual(t, sensed, holds+0.02-1e-9)
				default:
					assert.InDelta(t, (sensed-holds)/0.02, y, 1e-6)
				}
			}
		})
	}
}

func TestMovedDampers(t *testing.T) {
	g := everyPart(t)
	o := statetest.Solve(t, g, "cooling: west")
	weight := damper(t, o, "weight damper")
	if weight.Drop > 0.30*quantity.InchWater {
		assert.Positive(t, weight.Position)
	} else {
		assert.Zero(t, weight.Position)
	}
	assert.True(t, weight.Moved)
	flap := damper(t, o, "flap damper")
	assert.Positive(t, flap.Airflow, "return air goes the right way")
	assert.Equal(t, 1.0, flap.Position)
}

func TestStopIsMonotone(t *testing.T) {
	// Opening a stop never raises the static across a blower whose curve falls, and never lowers its airflow (network theory:
	// Duffin, Rayleigh's monotonicity); the bleed rises with it.
	lastStatic, lastFlow, lastBleed := 1e9, 0.0, 0.0
	for stop := 0; stop <= 100; stop += 5 {
		o := statetest.Solve(t, networktest.Graph(t, "two-floor", "", fmt.Sprintf("damper.main.stop=%d %%", stop)), "design-cooling: loft")
		bleed := path(o, state.PathBleed, "main")
		assert.LessOrEqual(t, o.Blower.ExternalStatic, lastStatic+1e-9, "stop %d %%", stop)
		assert.GreaterOrEqual(t, o.Blower.Airflow, lastFlow-1e-12)
		assert.Greater(t, bleed, lastBleed)
		lastStatic, lastFlow, lastBleed = o.Blower.ExternalStatic, o.Blower.Airflow, bleed
	}
}

// stallJob has a blower whose curve dips: between 600 and 900 cfm more air comes with more static. Two dampers choose the system.
const stallJob = `
title = "stall"
[equipment]
cooling = { capacity = "3 ton", tap = "one" }
[blower]
static  = [0.20, 0.40, 0.50, 0.60, 0.70]
tap.one = { airflow = [1400, 1200, 600, 900, 300] }
[zone]
a = { damper = "a", wants = "500 cfm" }
b = { damper = "b", wants = "500 cfm" }
[damper]
a = {}
b = {}
[supply]
a = { from = "supply plenum", size = "10 in", length = "60 ft", damper = "a", register = "10x6 in", zone = "a" }
b = { from = "supply plenum", size = "10 in", length = "60 ft", damper = "b", register = "14x8 in", zone = "b" }
[bypass]
relief = { from = "supply plenum", to = "return plenum", size = "12 in", length = "4 ft", opens-at = "OPENS inwc", fully-open-at = "0.70 inwc" }
[return]
r = { to = "return plenum", size = "16 in", length = "10 ft", grille = "20x20 in" }
`

func TestStallReportsEveryOperatingPoint(t *testing.T) {
	multiple := 0
	for _, opens := range []string{"0.30", "0.36", "0.40", "0.42", "0.44", "0.46", "0.50"} {
		g := networktest.Build(t, "stall.toml", []byte(strings.ReplaceAll(stallJob, "OPENS", opens)), network.Options{})
		for _, cs := range state.States(g) {
			o := statetest.Solve(t, g, cs.Name)
			points := o.Blower.Points
			require.NotEmpty(t, points, "a blower with a rising piece reports its points")
			// Crossings of two curves of which one runs above the other on the left and below on the right: an odd number, stable and
			// unstable in turn.
			assert.Equal(t, 1, len(points)%2)
			for i, p := range points {
				assert.Equal(t, i%2 == 0, p.Stable)
			}
			assert.InDelta(t, points[len(points)-1].Airflow, o.Blower.Airflow, 1e-9, "the stable point of the greatest flow is used")
			assert.InDelta(t, points[len(points)-1].Static, o.Blower.ExternalStatic, 1e-6)
			assert.NotEmpty(t, o.Notes)
			// The other stable points are solved as well, whole.
			require.Len(t, o.Others, len(points)/2)
			for i, other := range o.Others {
				assert.InEpsilon(t, points[len(points)-3-2*i].Airflow, other.Blower.Airflow, 0.1, "its air has its own temperatures, which move it by some 5 %")
				assert.Less(t, other.Blower.Airflow, o.Blower.Airflow)
				assert.InDelta(t, other.Blower.Airflow, other.Ledger.Blower, 1e-9)
			}
			if len(points) > 1 {
				multiple++
			}
		}
	}
	assert.Positive(t, multiple, "somewhere the curves meet more than once")
}

func TestElevationKeepsMass(t *testing.T) {
	// At 5000 ft the air is 0.832 times as dense (Bureau of Reclamation, Design Guide for HVAC Systems, Table 6a): a blower at a
	// fixed speed moves nearly the same volume, so the standard airflow falls by about that ratio.
	low := statetest.Solve(t, networktest.Graph(t, "first-look", "", "site.elevation=0 ft"), "cooling: all zones")
	high := statetest.Solve(t, networktest.Graph(t, "first-look", "", "site.elevation=5000 ft"), "cooling: all zones")
	assert.InDelta(t, 0.832, high.Blower.Airflow/low.Blower.Airflow, 0.01)
	assert.InEpsilon(t, low.Blower.ActualAirflow, high.Blower.ActualAirflow, 0.01)
	ratio := high.Blower.ExternalStatic / low.Blower.ExternalStatic
	assert.Greater(t, ratio, 0.832, "pressures go with density, and viscosity, which does not fall, has its share")
	assert.Less(t, ratio, 0.90)
}
