package resist

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/catalog"
	"spillway/network/evidencetest"
	"spillway/solver/air"
)

// Leakage classes of dampers are from memory, 4 and 40 CFM/ft² at 1 in.w.c.; that class 1 is ζ = 1e6 is what a published
// model takes for a shut damper.
func TestPublishedShutDamper(t *testing.T) {
	evidencetest.Of(t, evidencetest.Memory)
	area := 1 * ft2
	shut := must(NewLocal(1e6, area, air.Standard()))
	q := flowOf(t, shut, inwc, 0, 1)
	published(t, "shut damper, ζ 1e6, at 1 in.w.c., CFM/ft²", "leakage class 1, from memory, against the default of ASHRAE 825-RP",
		4, q/air.StandardDensity/cfm, 0.01)

	// Computed from the formula: a 12 in. damper of class 3 (ζ 1e4) at 0.5 in.w.c. leaks 22.2 CFM.
	twelve := must(NewLocal(1e4, circle(12*inch), air.Standard()))
	assert.InDelta(t, 22.2, flowOf(t, twelve, 0.5*inwc, 0, 1)/air.StandardDensity/cfm, 0.1)
}

// Duct leakage of the handbook's example, printed to 1 L/s. The class is printed to one digit, so the
// flow may be 8 % off; case 2 needs 4 %.
func TestPublishedLeakage(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	for i, c := range []struct{ surface, static, class, want, within float64 }{
		{46.5, 750, 0.003, 10, 0.5}, {62.0, 250, 0.006, 14, 0.6}, {18.6, 250, 0.006, 4, 0.5}, {111.5, 250, 0.006, 24, 0.5},
	} {
		leak := must(NewLeak(c.class*c.surface*ls, catalog.DuctLeakageExponent, air.Standard()))
		q := flowOf(t, leak, c.static, 0, 1)
		published(t, fmt.Sprintf("duct leakage, case %d, L/s", i+1), "Handbook of Fundamentals 2021 (SI), chapter 21, Example 7", c.want,
			q/air.StandardDensity/ls, c.within)
	}
}

// Leakage classes of the trade and tests of houses: computed from the formula.
func TestLeakage(t *testing.T) {
	// 24 CFM/100 ft² at 1 in.w.c. is 5.39 at 25 Pa: computed from the formula.
	class24 := must(NewLeak(24*cfm*math.Pow(1/inwc, catalog.DuctLeakageExponent), catalog.DuctLeakageExponent, air.Standard()))
	assert.InDelta(t, 5.39, flowOf(t, class24, 25, 0, 1)/air.StandardDensity/cfm, 0.01)
	// A house tested at 25 Pa leaks (50/25)^0.6 = 1.52 times as much at 50 Pa: computed from the formula.
	house := must(NewLeak(1*math.Pow(25, -0.6), 0.6, air.Standard()))
	assert.InDelta(t, 1.52, flowOf(t, house, 50, 0, 10)/air.StandardDensity, 0.005)
}

// A coil row (10 fins per inch, 1 in. tube) carried from its 400 fpm point with the exponent 1.6, which is the mean of
// eleven rows; this row alone is a little less steep: within 8 %.
func TestPublishedCoil(t *testing.T) {
	evidencetest.Of(t, evidencetest.Fitted)
	area := 4 * ft2
	coil := must(NewCoil(Rating{Drop: 0.09 * inwc, Flow: 400 * fpm * area}, 1, air.Standard()))
	for _, c := range []struct{ velocity, want float64 }{{500, 0.12}, {600, 0.16}, {700, 0.21}} {
		assert.InDelta(t, c.want, dropOf(coil, air.StandardDensity*c.velocity*fpm*area)/inwc, 0.08*c.want) // evidence in catalog
	}
	wet := must(NewCoil(Rating{Drop: 0.2 * inwc, Flow: 1}, catalog.WetCoilFactor, air.Standard()))
	// Trade magazine: wet is about 0.05 in.w.c. above dry on a house coil.
	published(t, "wet coil, 0.20 dry, in.w.c.", "Arkansas HVACR NewsMagazine, May 2025, about +0.05", 0.25,
		dropOf(wet, air.StandardDensity)/inwc, 1e-3)
}

// A filter point carried to other velocities with the exponent 1.5 (from memory): computed from the formula.
func TestFilterScaling(t *testing.T) {
	area := 2.78 * ft2
	filter := must(NewFilter(Rating{Drop: 0.0274 * inwc, Flow: 400 * cfm}, 1, air.Standard()))
	at := func(velocity float64) float64 { return dropOf(filter, air.StandardDensity*velocity*fpm*area) / inwc }
	// 20x20x2 in. MERV 13 at 400 CFM, 144 fpm: trade magazine on low-drop filters; it is the rating itself.
	assert.InDelta(t, 0.0274, at(144), 2e-4)
	assert.InDelta(t, 0.082, at(300), 5e-4)
	assert.InDelta(t, 0.177, at(500), 1e-3)
	loaded := must(NewFilter(Rating{Drop: 0.0274 * inwc, Flow: 400 * cfm}, 2, air.Standard()))
	assert.InEpsilon(t, 2*at(300), dropOf(loaded, air.StandardDensity*300*fpm*area)/inwc, 1e-9)
}

// Registers and grilles by the grid formulas of Idelchik (from memory) at 75 % free area, against the design convention
// of 0.03 in.w.c. each; the velocities at which the formulas give it are ordinary ones.
func TestPublishedRegisterAndGrille(t *testing.T) {
	evidencetest.Of(t, evidencetest.Fitted)
	const f = 0.75
	area := 1 * ft2
	supply := catalog.SupplyZeta(f)
	register := must(NewLocal(supply-1, area, air.Standard())) // static drop: without the lost exit velocity pressure
	published(t, "supply register, 460 fpm neck, static in.w.c.", "design convention, worked example of duct sizing", 0.03,
		dropOf(register, air.StandardDensity*460*fpm*area)/inwc, 0.001)
	grille := must(NewLocal(catalog.ReturnZeta(f), area, air.Standard()))
	published(t, "return grille, 540 fpm, in.w.c.", "design convention, worked example of duct sizing", 0.03,
		dropOf(grille, air.StandardDensity*540*fpm*area)/inwc, 0.001)
	// A 4x10 in. register at 100 CFM loses 0.026 in.w.c. in total: computed from the formula.
	small := must(NewLocal(supply, 40*in2, air.Standard()))
	assert.InDelta(t, 0.026, dropOf(small, air.StandardDensity*100*cfm)/inwc, 5e-4)
}

// Transfer openings at 3 Pa, Rudd, Building America report RR-0005, printed to 0.1 in²; evidence in catalog.
func TestTransferOpening(t *testing.T) {
	plain := handbookAir()
	plain.Density = 1.2
	for _, c := range []struct{ area, flow float64 }{{27.0, 50}, {107.9, 200}} {
		opening := must(NewOrifice(c.area*in2, TransferOpening, plain))
		assert.InEpsilon(t, c.flow, flowOf(t, opening, 3, 0, 1)/plain.Density/cfm, 0.002)
	}
	// The slot under a 32 in. door cut 1/2 in. short passes 29.7 CFM at 3 Pa: computed from the formula.
	slot := must(NewOrifice(16*in2, TransferOpening, plain))
	assert.InDelta(t, 29.7, flowOf(t, slot, 3, 0, 1)/plain.Density/cfm, 0.1)
}

// The one published test of a relief damper (36x36 in., several blades): starts to open at 0.075 in.w.c. and 110 fpm,
// is fully open at 0.30 in.w.c. and 1150 fpm. The law is calibrated on both ends (leak, end-stop loss, arm angle), so
// this shows that it can stand for such a damper, not that it predicts one.
func TestPublishedReliefDamper(t *testing.T) {
	evidencetest.Of(t, evidencetest.Fitted)
	const source = "unbranded relief damper sheet, AMCA 500-D fig. 5.7A"
	area := 9 * ft2
	dynamic := func(velocity float64) float64 { return air.StandardDensity / 2 * math.Pow(velocity*fpm, 2) }
	startZeta, fullZeta := 0.075*inwc/dynamic(110), 0.30*inwc/dynamic(1150)
	published(t, "ζ at the start", source, 99, startZeta, 1)
	published(t, "ζ fully open", source, 3.64, fullZeta, 0.03)

	const stop, arm = 75.0, 39.0 // tan δ tan φ = 3, since the pressure quadruples
	blade := func(f float64) float64 { return math.Pow((0.707*math.Sqrt(1-f)+1-f)/f, 2) }
	openLoss := func(leak float64) float64 {
		return fullZeta - blade(leak+(1-leak)*(1-math.Cos(stop*math.Pi/180)))
	}
	low, high := 0.02, 0.5 // the leak that gives the coefficient at the start, by bisection
	for range 60 {
		if leak := (low + high) / 2; blade(leak)+openLoss(leak) > startZeta {
			low = leak
		} else {
			high = leak
		}
	}
	relief := must(NewRelief(ReliefData{
		SetPressure: 0.075 * inwc, ArmAngle: arm, Area: area, LeakFraction: low, MaxOpening: stop,
		OpenLoss: openLoss(low), Air: air.Standard(),
	}))
	perFpm := air.StandardDensity * area * fpm
	published(t, "flow when it starts, fpm", source, 110, relief.Flow(0.075*inwc)/perFpm, 2)
	published(t, "flow fully open, fpm", source, 1150, relief.Flow(0.30*inwc)/perFpm, 12)
	published(t, "pressure ratio over the travel", source, 4, (1+math.Tan(arm*math.Pi/180)*math.Tan(stop*math.Pi/180))/1, 0.05)
	assert.InDelta(t, 75, relief.OpeningAt(0.31*inwc), 0.1)
}

// Moment balance and flow of a house damper, computed from the formulas by a separate program.
func TestReliefAgreesWithSeparateArithmetic(t *testing.T) {
	data := ReliefData{SetPressure: 0.25 * inwc, ArmAngle: 30, Area: circle(12 * inch), LeakFraction: 0.02, Air: air.Standard()}
	relief := must(NewRelief(data))
	for _, c := range []struct{ arm, opening, drop float64 }{
		{15, 15, 0.268}, {15, 30, 0.289}, {15, 45, 0.317}, {15, 60, 0.366}, {15, 70, 0.434},
		{30, 15, 0.289}, {30, 30, 0.333}, {30, 45, 0.394}, {30, 60, 0.500}, {30, 70, 0.647},
		{45, 15, 0.317}, {45, 30, 0.394}, {45, 45, 0.500}, {45, 60, 0.683}, {45, 70, 0.937},
	} {
		other := data
		other.ArmAngle = c.arm
		// 0.0005 in.w.c. of rounding is up to a degree of blade near 15°.
		assert.InDelta(t, c.opening, must(NewRelief(other)).OpeningAt(c.drop*inwc), 0.9, "arm %g°, %g in.w.c.", c.arm, c.drop)
	}
	assert.Zero(t, relief.OpeningAt(0.25*inwc))
	for _, c := range []struct{ diameter, arm, drop, flow float64 }{
		{8, 30, 0.20, 7}, {8, 30, 0.25, 8}, {8, 30, 0.30, 35}, {8, 30, 0.35, 111}, {8, 30, 0.40, 223}, {8, 30, 0.50, 499},
		{10, 30, 0.20, 12}, {10, 30, 0.25, 13}, {10, 30, 0.30, 55}, {10, 30, 0.35, 174}, {10, 30, 0.40, 349}, {10, 30, 0.50, 780},
		{12, 30, 0.20, 17}, {12, 30, 0.25, 19}, {12, 30, 0.30, 79}, {12, 30, 0.35, 251}, {12, 30, 0.40, 502}, {12, 30, 0.50, 1120},
		{12, 15, 0.30, 261}, {12, 15, 0.35, 779}, {12, 15, 0.40, 1350}, {12, 15, 0.50, 2400},
	} {
		other := data
		other.Area, other.ArmAngle = circle(c.diameter*inch), c.arm
		flow := must(NewRelief(other)).Flow(c.drop*inwc) / air.StandardDensity / cfm
		assert.InDelta(t, c.flow, flow, 0.6+0.004*c.flow, "%g in., arm %g°, %g in.w.c.", c.diameter, c.arm, c.drop)
	}
}
