package catalog_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/catalog"
)

// Unbranded relief damper sheet, test without a duct: starts to open at 0.075 in. of water, full open at 0.30. With the
// arm at 30 degrees, the 4 o'clock position of an unbranded distributor's instruction, and up to 38.5, the moment balance
// has the blade between 75 and 80 degrees there, where stops are. That is plausible, not a measured curve: none is known.
func TestReliefRatioIsWithinPractice(t *testing.T) {
	for _, arm := range []float64{29, 30, 35, 38.5} {
		full := catalog.ReliefOpening(0.30*inwc, 0.075*inwc, arm, 90)
		assert.InDelta(t, 77.5, full, 2.5, "arm at %g degrees", arm)
	}
}

func TestComputedRelief(t *testing.T) {
	balance := "computed from the moment balance, 0.25 in. of water, arm at 30 degrees"
	opening := func(pressure float64) float64 {
		return catalog.ReliefOpening(pressure*inwc, 0.25*inwc, catalog.ReliefArmAngle, 90)
	}
	// Flow of a round damper at a drop in in. of water, cfm, by V = 4005 sqrt(Δp/ζ).
	flow := func(diameter, pressure float64) float64 {
		zeta := catalog.ReliefZeta(opening(pressure), catalog.ReliefLeakArea)
		return math.Pi / 4 * diameter * diameter / 144 * 4005 * math.Sqrt(pressure/zeta)
	}
	run(t, []check{
		// The pressures are rounded to 0.001 in. of water, the flow at 0.50 to three digits.
		{"15 degrees", balance, 15, opening(0.289), 0.2},
		{"30 degrees", balance, 30, opening(0.333), 0.1},
		{"45 degrees", balance, 45, opening(0.394), 0.1},
		{"60 degrees, at the default ratio", balance, 60, opening(0.25 * catalog.ReliefOpenRatio), 0.1},
		{"8 in. at 0.30", balance + ", cfm", 35, flow(8, 0.30), 0.5},
		{"8 in. at 0.50", balance + ", cfm", 499, flow(8, 0.50), 1},
		{"10 in. at 0.35", balance + ", cfm", 174, flow(10, 0.35), 0.5},
		{"12 in. at 0.25, shut", balance + ", cfm", 19, flow(12, 0.25), 0.5},
		{"12 in. at 0.50", balance + ", cfm", 1120, flow(12, 0.50), 5},
		{"thin plate, 20 degrees from open", "computed, thin plate", 1.32, catalog.ThinPlateZeta(1-math.Sin(20*math.Pi/180), 0), 0.005},
		{"thin plate, 60 degrees from open", "computed, thin plate", 129, catalog.ThinPlateZeta(1-math.Sin(60*math.Pi/180), 0), 0.5},
	})
}

func TestReliefOpensWithPressure(t *testing.T) {
	previous := -1.0
	for p := 60.0; p < 200; p++ {
		phi := catalog.ReliefOpening(p, 60, catalog.ReliefArmAngle, catalog.ReliefFullOpen)
		if phi < catalog.ReliefFullOpen {
			assert.Greater(t, phi, previous)
		}
		previous = phi
	}
	assert.InDelta(t, catalog.ReliefFullOpen, catalog.ReliefOpening(1e4, 60, catalog.ReliefArmAngle, catalog.ReliefFullOpen), 0)
	assert.Zero(t, catalog.ReliefOpening(60, 60, 30, 75))
	assert.Zero(t, catalog.ReliefOpening(-100, 60, 30, 75))
	assert.Zero(t, catalog.ReliefOpening(math.NaN(), 60, 30, 75))
	loss := math.Inf(1)
	for phi := 0.0; phi <= 90; phi++ {
		zeta := catalog.ReliefZeta(phi, catalog.ReliefLeakArea)
		assert.Less(t, zeta, loss)
		loss = zeta
	}
	assert.InDelta(t, 0.19, loss, 1e-12)
}
