package catalog_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/catalog"
	"spillway/network/evidencetest"
)

var tight = catalog.Setting{ClosedZeta: math.Inf(1)}

func TestRememberedDamperTables(t *testing.T) {
	evidencetest.Of(t, evidencetest.Memory)
	cd91, cr91, cr93, cr94 := "handbook fitting CD9-1", "handbook fitting CR9-1", "handbook fitting CR9-3", "handbook fitting CR9-4"
	with := func(kind catalog.BladeKind, theta float64, s catalog.Setting) float64 {
		s.ClosedZeta = math.Inf(1)
		return catalog.Zeta(kind, theta, s)
	}
	ring := func(ratio, theta float64) float64 {
		return with(catalog.RoundBlade, theta, catalog.Setting{BladeRatio: ratio})
	}
	flat := func(aspect, theta float64) float64 {
		return with(catalog.RectangularBlade, theta, catalog.Setting{Proportion: aspect})
	}
	run(t, []check{
		{"round, open", cd91, 0.19, ring(1, 0), 0.005},
		{"round, 30", cd91, 4.38, ring(1, 30), 0.005},
		{"round, 75", cd91, 2010, ring(1, 75), 5},
		{"round, 80", cd91, 10350, ring(1, 80), 5},
		{"ring 0.5, 40", cd91, 0.61, ring(0.5, 40), 0.005},
		{"ring 0.8, 60", cd91, 6.14, ring(0.8, 60), 0.005},
		{"ring 0.9, 85", cd91, 50.1, ring(0.9, 85), 0.05},
		{"rectangular H/W 0.2, 65", cr91, 100, flat(0.2, 65), 0.5},
		{"rectangular H/W 1, 40", cr91, 9.0, flat(1, 40), 0.05},
		{"rectangular H/W 2, 65", cr91, 155, flat(2, 65), 0.5},
		{"parallel 0.3, 70", cr93, 32, with(catalog.ParallelBlades, 70, catalog.Setting{Proportion: 0.3}), 0.5},
		{"parallel 1, 40", cr93, 5.4, with(catalog.ParallelBlades, 40, catalog.Setting{Proportion: 1}), 0.05},
		{"parallel 0.5, 60, the default", cr93, 18, with(catalog.ParallelBlades, 60, tight), 0.5},
		{"opposed 0.5, 60, the default", cr94, 122, with(catalog.OpposedBlades, 60, tight), 0.5},
		{"opposed 0.5, 50", cr94, 33, with(catalog.OpposedBlades, 50, catalog.Setting{Proportion: 0.5}), 0.5},
		{"opposed 1.5, 80", cr94, 1654, with(catalog.OpposedBlades, 80, catalog.Setting{Proportion: 1.5}), 0.5},
	})
}

func class(t *testing.T, name string) float64 {
	t.Helper()
	l, ok := catalog.LookupDamperLeakage(name)
	require.True(t, ok, name)
	return l.ClosedZeta()
}

func TestPublishedClosedDamper(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	run(t, []check{
		{"class 1, the default of simulations", "ASHRAE 825-RP, closed resistance", 1e6, class(t, "1"), 0.005e6},
	})
}

func TestRememberedDamperClasses(t *testing.T) {
	evidencetest.Of(t, evidencetest.Memory)
	source := "AMCA 500-D and 511, cfm per ft² at 1 in. of water"
	per := func(name string) float64 { return 4005 / math.Sqrt(class(t, name)) }
	run(t, []check{
		{"class 1A", source, 3, per("1A"), 1e-9},
		{"class 1", source, 4, per("class 1"), 1e-9},
		{"class 2", source, 10, per("Class 2"), 1e-9},
		{"class 3", source, 40, per("3"), 1e-9},
	})
}

func TestComputedClosedDamper(t *testing.T) {
	definition := "computed: share of 700 fpm at 0.25 in. of water"
	// Leakage of a 12 in. damper at 0.5 in. of water, cfm.
	leak := func(name string) float64 { return math.Pi / 4 * 4005 * math.Sqrt(0.5/class(t, name)) }
	run(t, []check{
		{"1 %", definition, 81800, catalog.LeakZeta(0.01), 50},
		{"2 %", definition, 20500, catalog.LeakZeta(0.02), 50},
		{"3 %, the default", definition, 9100, catalog.LeakZeta(catalog.DefaultDamperLeakage), 50},
		{"5 %", definition, 3270, catalog.LeakZeta(0.05), 5},
		{"10 %", definition, 818, catalog.LeakZeta(0.10), 0.5},
		{"class 3, 12 in.", "computed from the class", 22.2, leak("3"), 0.05},
		{"class 2, 12 in.", "computed from the class", 5.6, leak("2"), 0.06},
		{"20 cfm/ft², 12 in.", "computed from the class", 11.1, leak("backdraft"), 0.05},
		{"shut, default leak", definition, 9093, catalog.Zeta(catalog.RoundBlade, 90, catalog.Setting{}), 1},
	})
	assert.InDelta(t, catalog.LeakZeta(1e-4), catalog.LeakZeta(0), 0, "no damper is perfectly tight")
}

func settings() []catalog.Setting {
	var list []catalog.Setting
	for _, leak := range []float64{0, catalog.LeakZeta(0), catalog.LeakZeta(0.01), catalog.LeakZeta(0.10), 1e4, 1e6, math.Inf(1)} {
		for _, ratio := range []float64{0, 0.5, 0.55, 0.75, 0.9, 0.95, 0.99} {
			list = append(list, catalog.Setting{ClosedZeta: leak, BladeRatio: ratio})
		}
		for _, proportion := range []float64{0.1, 0.3, 0.4, 0.75, 1.2, 3} {
			list = append(list, catalog.Setting{ClosedZeta: leak, Proportion: proportion})
		}
		list = append(list, catalog.Setting{ClosedZeta: leak, OpenZeta: 0.05}, catalog.Setting{ClosedZeta: leak, OpenZeta: 2})
	}
	return list
}

var kinds = []struct {
	name string
	kind catalog.BladeKind
}{{"round", catalog.RoundBlade}, {"rectangular", catalog.RectangularBlade}, {"parallel", catalog.ParallelBlades}, {"opposed", catalog.OpposedBlades}}

func TestDampersCloseStrictly(t *testing.T) {
	for _, k := range kinds {
		blade, ok := catalog.LookupBlade(k.name)
		require.True(t, ok)
		require.Equal(t, k.kind, blade.Kind)
		for _, s := range settings() {
			previous := 0.0
			for i := 0; i <= 180; i++ {
				zeta := catalog.Zeta(k.kind, float64(i)/2, s)
				if !(zeta > previous) {
					t.Fatalf("%s %+v: ζ goes from %g to %g at %g degrees", k.name, s, previous, zeta, float64(i)/2)
				}
				previous = zeta
			}
			if !math.IsInf(s.ClosedZeta, 1) {
				assert.False(t, math.IsInf(previous, 0), "a shut damper with a leak passes air")
			}
			assert.InDelta(t, previous, catalog.Zeta(k.kind, 120, s), 0, "held to shut")
			assert.InDelta(t, catalog.Zeta(k.kind, 0, s), catalog.Zeta(k.kind, -5, s), 0, "held to open")
		}
	}
}

// The slope of what the damper passes, 1/sqrt(ζ), is continuous. The pieces of the curve meet at whole degrees; there the
// second difference over a step h is of order h², while a kink would leave order h. The first degrees of a blade that
// loses little are strongly bent, so the bound is the largest bend beside the knot.
func TestDampersHaveAContinuousSlope(t *testing.T) {
	const h = 1e-4
	for _, k := range kinds {
		for _, s := range settings() {
			passes := func(theta float64) float64 { return 1 / math.Sqrt(catalog.Zeta(k.kind, theta, s)) }
			bend := func(theta float64) float64 {
				return math.Abs(passes(theta+h)-2*passes(theta)+passes(theta-h)) / h
			}
			for theta := 1.0; theta < 90; theta++ {
				beside := max(bend(theta-2*h), bend(theta+2*h))
				assert.LessOrEqual(t, bend(theta), 1.01*beside+1e-7, "%s %+v at %g degrees", k.name, s, theta)
			}
		}
	}
}

func TestOpenLossReplacesTheTables(t *testing.T) {
	for _, k := range kinds {
		s := catalog.Setting{ClosedZeta: math.Inf(1), OpenZeta: 0.4}
		assert.InDelta(t, 0.4, catalog.Zeta(k.kind, 0, s), 1e-12, k.name)
		assert.InDelta(t, catalog.Zeta(k.kind, 40, tight)+0.4-catalog.Zeta(k.kind, 0, tight), catalog.Zeta(k.kind, 40, s), 1e-9, k.name)
	}
}

// A blade that fills 99 % of the duct leaves a ring of 2 % of the area: between the table's 90 % and the full blade.
func TestBladeSmallerThanDuct(t *testing.T) {
	shut := func(ratio float64) float64 {
		return catalog.Zeta(catalog.RoundBlade, 90, catalog.Setting{ClosedZeta: math.Inf(1), BladeRatio: ratio})
	}
	assert.InDelta(t, 52, shut(0.9), 1e-9)
	assert.Greater(t, shut(0.99), shut(0.95))
	assert.True(t, math.IsInf(shut(1), 1))
	// Computed: a thin ring of f = 1 - 0.8² gives 11.2.
	assert.InDelta(t, 11.2, shut(0.8), 0.3)
}

func TestBladeAngles(t *testing.T) {
	assert.InDelta(t, 0, catalog.BladeAngle(100), 0)
	assert.InDelta(t, 90, catalog.BladeAngle(0), 0)
	assert.InDelta(t, 67.5, catalog.BladeAngle(25), 1e-12)
	assert.InDelta(t, 33, catalog.PercentOpen(catalog.BladeAngle(33)), 1e-12)
}

func TestZetaAllocatesNothing(t *testing.T) {
	for _, k := range kinds {
		assert.Zero(t, testing.AllocsPerRun(100, func() { catalog.Zeta(k.kind, 63, catalog.Setting{Proportion: 0.7, BladeRatio: 0.95}) }), k.name)
	}
}

func BenchmarkZeta(b *testing.B) {
	for b.Loop() {
		catalog.Zeta(catalog.RoundBlade, 63, catalog.Setting{})
	}
}
