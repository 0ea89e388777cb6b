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

const (
	handbook = "Handbook of fundamentals 2021 SI, duct design"
	steel009 = 0.09 * mm // galvanised round, current friction chart
	steel012 = 0.12 * mm // as in the handbook's examples
	rough03  = 0.0003 * foot
	rough05  = 0.0005 * foot
	flexWall = 0.9 * mm
)

// roundDuct is a round duct with its sum of coefficients.
func roundDuct(diameter, length, roughness, local float64, a air.State) *Duct {
	duct := must(NewDuct(DuctData{Area: circle(diameter), Length: length, Roughness: roughness, Local: local, Air: a}))
	return &duct
}

func circle(diameter float64) float64 { return math.Pi / 4 * diameter * diameter }

// Velocity pressure and Reynolds number as the trade's constants give them.
func TestPublishedVelocityPressureAndReynolds(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	area := circle(10 * inch)
	pressure := must(NewLocal(1, area, air.Standard()))
	q := air.StandardDensity * area * 4005 * fpm
	// 4005 belongs to water at 62.3 lb/ft³, 249.089 Pa to water at 4 °C: 0.2 %.
	published(t, "velocity pressure at 4005 fpm, in.w.c.", handbook+", VP = (V/4005)²", 1, dropOf(pressure, q)/inwc, 0.0025)

	duct := roundDuct(10*inch, 1, 0, 0, air.Standard())
	published(t, "Re of 10 in. at 1000 fpm", "HVAC systems duct design manual 4th ed., Re = 8.56 D V", 85600,
		duct.Reynolds(air.StandardDensity*area*1000*fpm), 200)
	metric := roundDuct(0.25, 1, 0, 0, handbookAir())
	published(t, "Re of 250 mm at 5 m/s", handbook+", eq. 21, Re = 66.4 D V", 83000,
		metric.Reynolds(1.204*circle(0.25)*5), 100)
}

// Thermal gravity, printed to 1 Pa.
func TestPublishedBuoyancy(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	published(t, "stack of 15 m at -34 °C, Pa", handbook+", Example 1-2 (eq. 14)", -40, Buoyancy(1.204, 1.477, 15), 0.5)
	published(t, "stack of 15 m at 540 °C, Pa", handbook+", Example 3-4 (eq. 14)", 113, Buoyancy(1.204, 0.434, 15), 0.5)
}

// Sizing guide: diameters for a stated friction, ε 0.12 mm. The diameters are printed to 2 mm, mostly rounded down to
// even numbers, which is up to 0.8 % of a diameter of 230 mm and five times that in friction: hence 4.1 %.
func TestPublishedSizingGuide(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	frictions := []float64{0.4, 0.8, 1.0, 1.2, 1.6}
	for _, row := range []struct {
		flow      float64 // L/s
		diameters [5]float64
	}{
		{240, [5]float64{312, 270, 258, 248, 234}},
		{470, [5]float64{402, 348, 332, 320, 302}},
		{1420, [5]float64{608, 530, 506, 488, 460}},
		{4720, [5]float64{958, 834, 796, 768, 726}},
	} {
		for i, want := range frictions {
			duct := roundDuct(row.diameters[i]*mm, 1, steel012, 0, handbookAir())
			published(t, fmt.Sprintf("%g L/s in %g mm, Pa/m", row.flow, row.diameters[i]), handbook+", Table 13",
				want, dropOf(duct, 1.204*row.flow*ls), 0.041*want)
		}
	}
}

// Section losses of the handbook's examples; tolerance half the last digit and the handbook's own rounding of velocity.
func TestPublishedFriction(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	thin := handbookAir()
	thin.Density = 0.978
	for _, c := range []struct {
		name             string
		diameter, length float64
		roughness, flow  float64
		air              air.State
		want, within     float64
		source           string
	}{
		{"200 mm, 860 L/s, Pa/m", 200, 1, 0.09, 860, handbookAir(), 40, 0.5, handbook + ", Example 9 Table 19"},
		{"125 mm, 290 L/s, Pa/m", 125, 1, 0.09, 290, handbookAir(), 54, 0.6, handbook + ", Example 9 Table 19"},
		{"180 mm, 580 L/s, Pa/m", 180, 1, 0.09, 580, handbookAir(), 32, 0.5, handbook + ", Example 9 Table 19"},
		{"355 mm, 1440 L/s, Pa/m", 355, 1, 0.09, 1440, handbookAir(), 6, 0.5, handbook + ", Example 9 Table 19"},
		{"250 mm, 470 L/s, 1.8 m, ε 0.12 mm, Pa", 250, 1.8, 0.12, 470, handbookAir(), 7.7, 0.1, handbook + ", Example 6"},
		{"200 mm, 380 L/s, 1.5 m, 1655 m up, Pa", 200, 1.5, 0.12, 380, thin, 11, 0.5, handbook + ", Example 8"},
	} {
		duct := roundDuct(c.diameter*mm, c.length, c.roughness*mm, 0, c.air)
		published(t, c.name, c.source, c.want, dropOf(duct, c.air.Density*c.flow*ls), c.within)
	}

	// An unbranded calculation sheet: hydraulic diameter with the true velocity.
	rect := must(NewDuct(DuctData{Area: 0.35 * 0.2, Diameter: 2 * 0.35 * 0.2 / 0.55, Length: 1, Roughness: steel009, Air: handbookAir()}))
	q := 1.204 * 500 * ls
	published(t, "350x200 mm, 500 L/s, Re", "unbranded calculation sheet", 1.208e5, rect.Reynolds(q), 300)
	published(t, "350x200 mm, 500 L/s, f", "unbranded calculation sheet", 0.0191, FrictionFactor(rect.Reynolds(q), rect.rough), 1e-4)
	published(t, "350x200 mm, 500 L/s, Pa/m", "unbranded calculation sheet", 2.3, dropOf(&rect, q), 0.05)

	course := roundDuct(28*inch, 1, rough03, 0, air.Standard())
	published(t, "28 in., 6000 CFM, f", "course notes on applied fluids, HVAC part", 0.01545,
		FrictionFactor(course.Reynolds(air.StandardDensity*6000*cfm), course.rough), 2e-5)
}

// Readings off friction charts, in.w.c. per 100 ft: a chart is read to about 6 %; the two older charts were drawn for
// rougher duct (ε 0.0005 ft).
func TestPublishedChartReadings(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	for _, c := range []struct {
		diameter, flow, roughness, want, within float64
		source                                  string
	}{
		{28, 6000, rough03, 0.08, 0.06, "course notes on applied fluids, HVAC part"},
		{10, 400, rough03, 0.09, 0.06, "textbook duct example"},
		{9, 280, rough03, 0.08, 0.07, "textbook duct example"},
		{6, 120, rough03, 0.12, 0.06, "textbook duct example"},
		{20, 4000, rough05, 0.23, 0.08, "older handbook friction chart"},
		{60, 100000, rough05, 0.4, 0.06, "older handbook friction chart"},
	} {
		duct := roundDuct(c.diameter*inch, 1, c.roughness, 0, air.Standard())
		published(t, fmt.Sprintf("%g in., %g CFM, in.w.c./100 ft", c.diameter, c.flow), c.source,
			c.want, dropOf(duct, air.StandardDensity*c.flow*cfm)/in100, c.within*c.want)
	}
}

// House sizes, computed from the formula with ν 1.506e-5 m²/s by a separate program: an arithmetic check, not a
// published one. Smooth (ε 0.0003 ft) and flexible (0.003 ft).
func TestHouseSizesAgreeWithSeparateArithmetic(t *testing.T) {
	separate := air.State{Density: 1.2014, Viscosity: 1.506e-5 * 1.2014}
	for _, c := range []struct{ diameter, flow, smooth, flex float64 }{
		{4, 50, 0.1707, 0.2428},
		{5, 75, 0.1198, 0.1669},
		{6, 100, 0.0830, 0.1131},
		{7, 150, 0.0816, 0.1115},
		{8, 200, 0.0717, 0.0975},
		{10, 400, 0.0853, 0.1179},
		{12, 800, 0.1248, 0.177},
		{14, 1200, 0.1238, 0.1758},
		{16, 1600, 0.1093, 0.1545},
		{18, 2000, 0.0926, 0.1298},
	} {
		for roughness, want := range map[float64]float64{rough03: c.smooth, 10 * rough03: c.flex} {
			duct := roundDuct(c.diameter*inch, 1, roughness, 0, separate)
			assert.InDelta(t, want, dropOf(duct, 1.2014*c.flow*cfm)/in100, 1.0e-4, "%g in., %g CFM, ε %g", c.diameter, c.flow, roughness)
		}
	}
}

// Flexible duct, 250 mm, 1.8 m, 470 L/s, by compression. The printed factors have two digits (up to 3 %), and so have
// the drops made from them.
func TestPublishedFlexibleDuct(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	for _, c := range []struct{ compression, factor, drop float64 }{
		{0, 1.0, 11.4}, {4, 1.7, 19.5}, {15, 3.5, 40.0}, {30, 5.9, 68.9},
	} {
		factor, _ := catalog.FlexCorrection(c.compression, 0.25)
		name := fmt.Sprintf("flexible duct compressed %g %%", c.compression)
		assert.InDelta(t, c.factor, factor, 0.15, name) // evidence in catalog
		duct := must(NewDuct(DuctData{Area: circle(0.25), Length: 1.8, Roughness: flexWall, Multiplier: factor, Air: handbookAir()}))
		published(t, name+", Pa", handbook+", Example 6", c.drop, dropOf(&duct, 1.204*470*ls), 0.037*c.drop)
	}
}
