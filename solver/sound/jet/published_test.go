package jet_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/evidencetest"
	"spillway/solver/sound/jet"
)

const (
	inch = 0.0254
	cfm  = 4.719474e-4
	mm   = 1e-3

	fundamentals = "ASHRAE Handbook – Fundamentals (SI), ch. 20"
	fromFormula  = "computed from the formula"
)

// published compares one value with what a source prints, as evidence of the kind that the test declares.
// within is the tolerance in the units of the value: half the last printed digit, or what the comment at the call
// explains. Values of our own arithmetic go through it too, with fromFormula as the source, in tests named TestComputed.
func published(t *testing.T, name, source string, want, ours, within float64, why ...string) {
	t.Helper()
	evidencetest.Row{Case: name, Source: source, Want: want, Ours: ours, Within: within + 1e-9, Why: strings.Join(why, "")}.Check(t)
}

func pattern(t testing.TB, name string) jet.Pattern {
	t.Helper()
	p, ok := jet.Lookup(name)
	require.True(t, ok, name)
	return p
}

// High sidewall grille 300 × 450 mm with a core of 280 × 430 mm. The text says K = 5, its arithmetic and the table 5.7.
// Printed to whole metres.
func TestPublishedThrow(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	source := fundamentals + ", Example 1"
	sidewall := pattern(t, "high sidewall")
	outlet := jet.Outlet{Flow: 0.3, Area: sidewall.EffectiveArea(280 * mm * 430 * mm), K: sidewall.K}
	throws := outlet.Throws()
	published(t, "throw to 0.25 m/s before the factor 0.70, m", source, 22, outlet.Throw(jet.SlowAir), 0.5)
	published(t, "throw to 0.25 m/s, m", source, 15, throws.T025, 0.5)
	published(t, "throw to 0.50 m/s, m", source, 11, throws.T050, 0.5)
	published(t, "throw to 0.75 m/s, m", source, 7, throws.T075, 0.5)
}

// The generic constants of the table, typed a second time; the ordinary floor register is ours, between the table's two rows.
func TestPublishedThrowConstants(t *testing.T) {
	evidencetest.Of(t, evidencetest.Twice)
	want := map[string]float64{
		"high sidewall": 5.7, "high sidewall, wide": 4.2, "high sidewall linear, core under 100 mm": 4.4, "high sidewall linear, core over 100 mm": 5.0,
		"low sidewall up, straight": 4.5, "low sidewall up": 3.0, "low sidewall up, wide": 3.0, "baseboard up, straight": 4.0, "baseboard up": 2.0,
		"baseboard up, wide": 2.0, "floor, straight": 4.7, "floor, wide": 1.6, "ceiling, all round": 1.1, "ceiling, four-way": 3.8, "ceiling slot": 5.5,
		"ceiling slot, free": 3.9, "ceiling slot, air curtain": 6.0,
	}
	for _, name := range jet.Patterns() {
		if name == "floor" {
			continue
		}
		require.Contains(t, want, name)
		published(t, "K, "+name, fundamentals+", Table 1", want[name], pattern(t, name).K, 0)
	}
	floor := pattern(t, "floor")
	assert.Greater(t, floor.K, want["floor, wide"])
	assert.Less(t, floor.K, want["floor, straight"])
	assert.InDelta(t, 1.6, floor.K*(1-floor.Spread), 1e-9, "the low end of its band is the table's wide spread")
	_, ok := jet.Lookup("trapdoor")
	assert.False(t, ok)
}

// The exact SI coefficient of 0.07 °F per fpm is 7.66; the handbook prints 8.0. The corner of comfort that it draws,
// −3 °F and 70 fpm, comes out within the rounding of the two.
func TestPublishedDraft(t *testing.T) {
	evidencetest.Of(t, evidencetest.Twice)
	published(t, "θ at 0.35 m/s, no difference, against −0.07 (70 − 30) °F", fundamentals+", I-P form", -0.07*40/1.8, jet.EffectiveDraft(0, 70*0.00508), 0.15)
	published(t, "lower limit, −3 °F", fundamentals, -3/1.8, jet.DraughtLow, 0.05)
	published(t, "upper limit, +2 °F", fundamentals, 2/1.8, jet.DraughtHigh, 0.05)
	published(t, "velocity limit, 70 fpm", fundamentals, 70*0.00508, jet.DraughtVelocity, 0.006)
	journal := "ASHRAE Journal, April 1999"
	published(t, "cap when cooling, 50 fpm", journal, 50*0.00508, jet.CoolingVelocity, 0.005)
	published(t, "cap when heating, 30 fpm", journal, 30*0.00508, jet.HeatingVelocity, 0.005)
}

func TestComputedDraft(t *testing.T) {
	published(t, "θ at 1 K under the room and 0.25 m/s", fromFormula, -1.8, jet.EffectiveDraft(-1, 0.25), 1e-9)
	published(t, "θ in air that hardly moves, no difference", fromFormula, 0, jet.EffectiveDraft(0, 0.15), 1e-9)
}

// 1 % per °F: at 20 °F (11.1 K) over the room a jet goes 20 % farther up. That is where the published range ends, and the factor stays there.
func TestPublishedVerticalThrow(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	air := func(fahrenheit float64) jet.Air { return jet.Air{Supply: 21 + fahrenheit/1.8, Room: 21} }
	source := "ASHRAE Journal, April 1999, 1 % per °F"
	published(t, "warm air up, 10 °F", source, 1.10, air(10).VerticalFactor(jet.Up), 1e-9)
	published(t, "warm air up, 20 °F", source, 1.20, air(20).VerticalFactor(jet.Up), 1e-9)
	published(t, "warm air down, 20 °F", source, 0.80, air(20).VerticalFactor(jet.Down), 1e-9)
	published(t, "cold air up, 20 °F", source, 0.80, air(-20).VerticalFactor(jet.Up), 1e-9)
	assert.Equal(t, 1.0, air(20).VerticalFactor(jet.Horizontal))
	for _, degrees := range []float64{25, 60, 100} {
		assert.Equal(t, 1.20, air(degrees).VerticalFactor(jet.Up), "capped")
		assert.Equal(t, 0.80, air(-degrees).VerticalFactor(jet.Up), "capped")
		assert.Equal(t, 1, air(degrees).Beyond(jet.Up), "and said to reach farther")
		assert.Equal(t, -1, air(-degrees).Beyond(jet.Up))
		assert.Equal(t, -1, air(degrees).Beyond(jet.Down))
		assert.Zero(t, air(degrees).Beyond(jet.Horizontal))
	}
	assert.Zero(t, air(19).Beyond(jet.Up))
}

// Throws to 50 fpm of registers of houses, ft. The hand computation takes 50 fpm for 0.254 m/s where the program has the handbook's 0.25: 1.6 %.
func TestComputedRegisterThrows(t *testing.T) {
	const foot = 0.3048
	for _, c := range []struct {
		pattern       string
		width, height float64
		cfm, feet     float64
	}{
		{"floor, wide", 10, 4, 100, 6.0}, {"floor", 10, 4, 100, 7.5}, {"floor, straight", 10, 4, 100, 17.7},
		{"floor, wide", 12, 6, 213, 9.5}, {"floor", 12, 6, 213, 11.9}, {"floor, straight", 12, 6, 213, 28},
		{"floor, wide", 10, 6, 302, 14.8}, {"floor", 10, 6, 302, 18.5}, {"floor, straight", 10, 6, 302, 43.5},
		{"high sidewall, wide", 12, 6, 120, 11.2},
	} {
		p := pattern(t, c.pattern)
		throws := jet.Outlet{Flow: c.cfm * cfm, Area: p.EffectiveArea(c.width * c.height * inch * inch), K: p.K}.Throws()
		published(t, fmt.Sprintf("%s, %gx%g in., %g cfm, to 50 fpm, ft", c.pattern, c.width, c.height, c.cfm), fromFormula, c.feet, throws.T025/foot, 0.022*c.feet)
	}
	// Makers' sheets for a 4 × 10 in. floor register at 100 cfm have 6 to 9 ft (from memory).
	p := pattern(t, "floor")
	feet := jet.Outlet{Flow: 100 * cfm, Area: p.EffectiveArea(40 * inch * inch), K: p.K}.Throws().T025 / foot
	assert.GreaterOrEqual(t, feet, 6.0)
	assert.LessOrEqual(t, feet, 9.0)
}

func TestComputedHouseThrows(t *testing.T) {
	published(t, "handbook example, 0.75 m/s, three digits", fromFormula, 7.35,
		jet.Outlet{Flow: 0.3, Area: 0.8 * 280 * mm * 430 * mm, K: 5.7}.Throws().T075, 0.01)
	gross := 40 * inch * inch
	for _, c := range []struct {
		pattern          string
		cfm, area        float64
		fast, mean, slow float64
		within           float64
	}{
		{"floor, straight", 100, gross, 2.6, 3.9, 5.5, 0.06},
		{"floor, wide", 100, gross, 0.9, 1.3, 1.9, 0.06},
		{"floor, wide", 40, gross, 0.35, 0.53, 0.74, 0.01},
		{"high sidewall", 120, 72 * inch * inch, 2.2, 3.4, 4.7, 0.06},
	} {
		p := pattern(t, c.pattern)
		name := fmt.Sprintf("%s, %g cfm, ", c.pattern, c.cfm)
		throws := jet.Outlet{Flow: c.cfm * cfm, Area: p.EffectiveArea(c.area), K: p.K}.Throws()
		published(t, name+"to 0.75", fromFormula, c.fast, throws.T075, c.within)
		published(t, name+"to 0.50", fromFormula, c.mean, throws.T050, c.within)
		published(t, name+"to 0.25", fromFormula, c.slow, throws.T025, c.within)
	}
}

// Twelve by six inch sidewall register, 11 K colder than a room at 24 °C: the same outlet at three flows.
func TestComputedDrop(t *testing.T) {
	cold := jet.Air{Supply: 13, Room: 24}
	outlet := func(flow float64) jet.Outlet { return jet.Outlet{Flow: flow, Area: 0.0372, K: 5.7} }
	published(t, "throw to 0.5 m/s at 0.0566 m³/s", fromFormula, 3.35, outlet(0.0566).Throw(0.5), 0.01)
	published(t, "Archimedes at 0.0566 m³/s", fromFormula, -0.0302, cold.Archimedes(outlet(0.0566).Velocity(), 0.19287), 0.0002)
	published(t, "drop at 3 m at 0.0566 m³/s", fromFormula, 1.03, cold.DropAt(outlet(0.0566), 3), 0.03)
	published(t, "drop at 3 m at 60 cfm", fromFormula, 4.1, cold.DropAt(outlet(60*cfm), 3), 0.1)
	published(t, "drop at 3 m at 240 cfm", fromFormula, 0.26, cold.DropAt(outlet(240*cfm), 3), 0.01)
	published(t, "warm air rises as much", fromFormula, -1.03, jet.Air{Supply: 35, Room: 24}.DropAt(outlet(0.0566), 3), 0.03)
	// Our coefficient against Koestel's (1955), 0.065, remembered: equal at K = 4.1, within 40 % at 5.7.
	assert.InEpsilon(t, 0.065, 0.8/(3*4.1), 0.01)
	assert.InEpsilon(t, 0.065, 0.8/(3*5.7), 0.40)
	for _, c := range []struct{ cfm, want float64 }{{100, 0.0031}, {40, 0.019}} {
		o := jet.Outlet{Flow: c.cfm * cfm, Area: 0.0129, K: 1.6}
		published(t, fmt.Sprintf("floor register, Archimedes at %g cfm", c.cfm), fromFormula, -c.want, cold.Archimedes(o.Velocity(), 0.1136), 0.0003)
	}
}

func TestComputedSeparation(t *testing.T) {
	cold := jet.Air{Supply: 12.85, Room: 23.85} // 11 K under 297 K
	for _, c := range []struct{ flow, drop, want float64 }{{0.10, 10, 5.2}, {0.05, 2.5, 2.59}, {0.03, 0.9, 1.6}} {
		published(t, fmt.Sprintf("separation, %g m³/s, %g Pa", c.flow, c.drop), fromFormula, c.want,
			cold.Separation(jet.Outlet{Flow: c.flow, Area: 0.0372, K: 5.7}, c.drop), 0.06)
	}
	// The printed form, x in ft with C_s = 1.2, Q in cfm, Δp in inches: the conversion is right to its three digits.
	const k, flow, drop, difference, room = 5.7, 0.05, 2.5, 11.0, 297.0
	feet := 1.2 * sqrt(k) / sqrt(difference/room) * power(flow/cfm, 0.25) * power(drop/249.089, 0.375)
	published(t, "separation against the form in feet", fundamentals+", eq. 13, C_s from memory", feet*0.3048,
		cold.Separation(jet.Outlet{Flow: flow, Area: 0.0372, K: k}, drop), 0.01)
	assert.Equal(t, jet.MaxSeparation, jet.Air{Supply: 40, Room: 20}.Separation(jet.Outlet{Flow: 0.1, Area: 0.04, K: 5}, 10))
}

func TestComputedEntrainment(t *testing.T) {
	outlet := jet.Outlet{Flow: 0.1, Area: 0.04, K: 5}
	// Q_x/Q_o = 2 V_o/V_x, the other form of the same equation.
	published(t, "entrainment at 4 m", fundamentals+", eq. 10, as 2 V_o/V_x", 2*outlet.Velocity()/outlet.VelocityAt(4), outlet.Entrainment(4), 1e-9)
	assert.Equal(t, 1.0, outlet.Entrainment(0))
	assert.Equal(t, outlet.Velocity(), outlet.VelocityAt(0))
}
