package state_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// Facts of the trade, held against the main job on the two-floor house. Common practice; no published source.

func TestTradeCoolingAirPerTon(t *testing.T) {
	// Cooling air is about 400 cfm per ton, so 2.5 to 3 tons move 1000 to 1200 cfm.
	for _, c := range []struct {
		tons   float64
		blower string
	}{{2.5, "generic psc 2.5 ton"}, {3, "generic psc 3 ton"}} {
		t.Run(fmt.Sprintf("%g tons", c.tons), func(t *testing.T) {
			g := networktest.Graph(t, "two-floor", "", "equipment.blower.table="+c.blower)
			o := statetest.Solve(t, g, "design-cooling: all zones")
			cfm := o.Blower.Airflow / quantity.CFM
			assert.InDelta(t, 400, cfm/c.tons, 50, "cfm per ton with everything open")
			assert.InDelta(t, 1100, cfm, 150)
		})
	}
}

func TestTradeHalfTonAboveLargestZone(t *testing.T) {
	// A single-stage two-zone system is commonly chosen about half a ton above its largest zone. With a zone of 2.5 tons (1000
	// cfm) on 3 tons, what that zone leaves over when it calls alone is then about half a ton of air, 200 cfm.
	g := networktest.Graph(t, "two-floor", "", "zone.main.wants=1000 cfm",
		"supply.kitchen.wants=208 cfm", "supply.living-1.wants=222 cfm", "supply.living-2.wants=222 cfm", "supply.dining.wants=208 cfm", "supply.hall.wants=140 cfm",
		"supply.main-trunk.size=16 in", "damper.main.size=16 in")
	o := statetest.Solve(t, g, "design-cooling: main")
	leftOver := (o.Ledger.Blower - o.Ledger.Asked) / quantity.CFM
	assert.InDelta(t, 0.5*400, leftOver, 0.35*400, "about half a ton of air")
}

func TestTradeStopThatSendsFourHundred(t *testing.T) {
	// A surplus of 400 cfm is a usual size for the smaller of two zones, and a stop of the other zone's damper can be found
	// that sends just that there. Bleed rises with the stop, so bisection finds it.
	bleed := func(stop float64) (float64, *state.Outcome) {
		g := networktest.Graph(t, "two-floor", "", fmt.Sprintf("damper.main.stop=%.6f %%", 100*stop))
		o := statetest.Solve(t, g, "design-cooling: loft")
		return path(o, state.PathBleed, "main"), o
	}
	low, high := 0.0, 1.0
	for range 40 {
		mid := (low + high) / 2
		if q, _ := bleed(mid); q < 400 {
			low = mid
		} else {
			high = mid
		}
	}
	q, o := bleed(high)
	assert.InDelta(t, 400, q, 0.5)
	assert.Greater(t, high, 0.25, "a stop that a damper can be set to")
	assert.Less(t, high, 0.75)
	_, shut := bleed(0)
	assert.Less(t, o.Blower.ExternalStatic, shut.Blower.ExternalStatic, "and it takes pressure off the blower")
	assert.Less(t, o.Registers[5].FaceVelocity, shut.Registers[5].FaceVelocity, "and velocity off the loft's registers")
}

func TestTradeBypassDuctsCarryTheSurplus(t *testing.T) {
	// Bypass and dump ducts of 8 to 12 in. carry such a surplus of about 400 cfm: at velocities that ducts take (under 1200 fpm),
	// and a weighted damper of that size can be set to pass it.
	for _, c := range []struct {
		alternative, line, state string
		kind                     state.PathKind
	}{
		{"bypass-to-plenum", "bypass.relief", "design-cooling: loft", state.PathBypass},
		{"dump-zone", "dump.hall-dump", "design-cooling: loft", state.PathDump},
	} {
		for _, size := range []int{8, 10, 12} {
			t.Run(fmt.Sprintf("%s %d in", c.alternative, size), func(t *testing.T) {
				most := 0.0
				var best *state.Outcome
				for _, opens := range []float64{0.02, 0.05, 0.1, 0.15, 0.2, 0.3} {
					g := networktest.Graph(t, "two-floor", c.alternative, fmt.Sprintf("%s.size=%d in", c.line, size), fmt.Sprintf("%s.opens-at=%g inwc", c.line, opens),
						fmt.Sprintf("%s.fully-open-at=%g inwc", c.line, 1.5*opens))
					o := statetest.Solve(t, g, c.state)
					for _, p := range o.Ledger.Paths {
						if p.Kind == c.kind && p.Airflow/quantity.CFM > most {
							most, best = p.Airflow/quantity.CFM, o
						}
					}
				}
				require.NotNil(t, best)
				assert.Greater(t, most, 300.0, "cfm that the duct can be made to carry")
				fpm := 400 * quantity.CFM / (0.7854 * float64(size*size) * quantity.SquareInch) / quantity.FPM
				assert.Less(t, fpm, 1200.0)
			})
		}
	}
}
