package catalog_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/catalog"
	"spillway/network/evidencetest"
)

func blowerTap(t *testing.T, blower, tap string) []catalog.BlowerPoint {
	t.Helper()
	b, ok := catalog.LookupBlower(blower)
	require.True(t, ok, blower)
	for _, curve := range b.Taps {
		if curve.Name == tap {
			return curve.Points
		}
	}
	require.Fail(t, "no such tap", tap)
	return nil
}

// The generic tables are smooth curves through one published table each; the tolerance is the greatest distance of the
// curve from the table.
func TestPublishedBlowerShapes(t *testing.T) {
	evidencetest.Of(t, evidencetest.Fitted)
	psc := "educational text on blower static and airflow, three taps, cfm"
	torque := "unbranded product sheet, five-tap 3-ton air handler, cfm"
	var checks []check
	for _, c := range []struct {
		blower, tap, source string
		tolerance           float64
		cfm                 []float64 // at 0.1, 0.2, ... in. of water
	}{
		{"generic psc 2.5 ton", "high", psc, 18, []float64{1150, 1095, 1045, 1025, 950, 865, 775}},
		{"generic psc 2.5 ton", "medium", psc, 14, []float64{890, 855, 835, 775, 715, 665, 605}},
		{"generic psc 2.5 ton", "low", psc, 11, []float64{640, 605, 565, 530, 485, 440, 360}},
		{"generic constant torque 3 ton", "high", torque, 11, []float64{1600, 1575, 1525, 1500, 1450, 1425, 1400, 1350, 1325, 1275}},
		{"generic constant torque 3 ton", "medium-high", torque, 13, []float64{1400, 1375, 1325, 1275, 1225, 1200, 1150, 1100, 1075, 1025}},
		{"generic constant torque 3 ton", "medium", torque, 13, []float64{1100, 1050, 1000, 950, 900, 850, 800, 725, 675, 625}},
		{"generic constant torque 3 ton", "medium-low", torque, 10, []float64{950, 900, 825, 775, 725, 650, 600, 550, 475, 425}},
	} {
		points := blowerTap(t, c.blower, c.tap)
		for i, published := range c.cfm {
			checks = append(checks, check{fmt.Sprintf("%s, %s, %.1f in", c.blower, c.tap, points[i].Static/inwc), c.source, published, points[i].Airflow / cfm, c.tolerance})
		}
	}
	run(t, checks)
}

// LBNL (AIR 28, 2006): common furnace blowers move about 2 cfm/W. "About" is taken as 0.25.
func TestPublishedBlowerPower(t *testing.T) {
	evidencetest.Of(t, evidencetest.Fitted)
	source := "LBNL, AIR 28 (2006), common furnace blower, cfm/W"
	run(t, []check{
		{"psc, high", source, 2, flowPerWatt(t, "generic psc 2.5 ton", "high"), 0.25},
		{"psc, medium", source, 2, flowPerWatt(t, "generic psc 2.5 ton", "medium"), 0.25},
		{"psc, low", source, 2, flowPerWatt(t, "generic psc 2.5 ton", "low"), 0.25},
	})
}

// Field data on 55 air handlers in an inspected programme span 2 to 6.5 cfm/W; the constructed powers of the electronic
// motors must lie there too.
func TestBlowerPowerWithinPublishedRange(t *testing.T) {
	for _, name := range []string{"generic constant torque 3 ton", "generic constant airflow 3 ton"} {
		b, ok := catalog.LookupBlower(name)
		require.True(t, ok)
		for _, tap := range b.Taps {
			assert.InDelta(t, (2+6.5)/2, flowPerWatt(t, name, tap.Name), (6.5-2)/2, "%s %s", name, tap.Name)
		}
	}
}

// flowPerWatt is the airflow per power, cfm/W, at the rated 0.5 in. of water.
func flowPerWatt(t *testing.T, blower, tap string) float64 {
	t.Helper()
	p := blowerTap(t, blower, tap)[4]
	return p.Airflow / cfm / p.Power
}

func TestBlowersFallStrictly(t *testing.T) {
	for _, name := range catalog.Names(catalog.Blowers) {
		b, ok := catalog.LookupBlower(name)
		require.True(t, ok)
		assert.Equal(t, catalog.OurChoice, b.Source.Mark, "a generic blower is constructed")
		previousTap := math.Inf(1)
		for _, tap := range b.Taps {
			assert.Less(t, tap.Points[0].Airflow, previousTap, "%s: taps go down", name)
			previousTap = tap.Points[0].Airflow
			for i := 1; i < len(tap.Points); i++ {
				assert.Greater(t, tap.Points[i].Static, tap.Points[i-1].Static, "%s %s", name, tap.Name)
				assert.Less(t, tap.Points[i].Airflow, tap.Points[i-1].Airflow, "%s %s", name, tap.Name)
				rises := tap.Points[i].Power > tap.Points[i-1].Power
				assert.Equal(t, b.Kind != catalog.MultiTap, rises, "%s %s: power rises with static, except of a multi-tap motor", name, tap.Name)
			}
			// Air power must not exceed electric power.
			for _, p := range tap.Points {
				assert.Less(t, p.Airflow*p.Static, 0.5*p.Power)
			}
		}
	}
	_, ok := catalog.LookupBlower("generic psc 7 ton")
	assert.False(t, ok)
	three, _ := catalog.LookupBlower("Generic PSC 3 ton")
	base, _ := catalog.LookupBlower("generic psc 2.5 ton")
	assert.InDelta(t, 1.2*base.Taps[0].Points[4].Airflow, three.Taps[0].Points[4].Airflow, 1e-12)
	assert.Contains(t, three.Source.Text, "scaled from generic psc 2.5 ton")
	assert.Equal(t, "multi-tap", base.Kind.String())
}

func TestPublishedVelocities(t *testing.T) {
	evidencetest.Of(t, evidencetest.Twice)
	advice := func(place string) catalog.VelocityAdvice {
		v, ok := catalog.LookupVelocity(place)
		require.True(t, ok, place)
		return v
	}
	source := "Air-Conditioning Systems Design Manual (1993), Table 5-2, residences, fpm, upper ends"
	run(t, []check{
		{"trunk, recommended", source, 900, advice("trunk").Recommended / fpm, 1e-9},
		{"trunk, maximum", source, 1200, advice("trunk").Maximum / fpm, 1e-9},
		{"branch, recommended", source, 600, advice("branch").Recommended / fpm, 1e-9},
		{"branch, maximum", source, 1000, advice("branch").Maximum / fpm, 1e-9},
		{"riser, maximum", source, 800, advice("branch riser").Maximum / fpm, 1e-9},
		{"filter face, maximum", source, 300, advice("filter face").Maximum / fpm, 1e-9},
		{"cooling coil face", source, 450, advice("cooling coil face").Recommended / fpm, 1e-9},
	})
	for _, place := range catalog.Names(catalog.Velocities) {
		v := advice(place)
		assert.Positive(t, v.Recommended+v.Maximum, place)
		if v.Maximum > 0 {
			assert.LessOrEqual(t, v.Recommended, v.Maximum, place)
		}
	}
}

// Filter and coil exponents against one measured pair each: the pair's own exponent must be near the default.
func TestPublishedCoilExponent(t *testing.T) {
	evidencetest.Of(t, evidencetest.Fitted)
	source := "unbranded dry-coil sheet, 10 fins per inch, in. of water from 0.09 at 400 fpm"
	drop := func(velocity float64) float64 { return 0.09 * math.Pow(velocity/400, catalog.CoilExponent) }
	run(t, []check{
		{"500 fpm", source, 0.12, drop(500), 0.012},
		{"600 fpm", source, 0.16, drop(600), 0.015},
		{"700 fpm", source, 0.21, drop(700), 0.015},
	})
}

func TestComputedFilterExponent(t *testing.T) {
	// A published point, 0.0274 in. of water at 144 fpm, scaled by the default exponent.
	drop := func(velocity float64) float64 { return 0.0274 * math.Pow(velocity/144, catalog.FilterExponent) }
	run(t, []check{
		{"300 fpm", "computed from the exponent", 0.082, drop(300), 0.001},
		{"500 fpm", "computed from the exponent", 0.177, drop(500), 0.001},
	})
}
