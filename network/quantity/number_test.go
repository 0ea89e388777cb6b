package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Shares past a limit: computed from the definition.
func TestExcess(t *testing.T) {
	for _, c := range []struct {
		name         string
		kind         Kind
		value, limit float64 // as written
		atLeast      bool
		want         float64
	}{
		{"NC 40 over 35", KindNoise, 40, 35, false, 0.5},
		{"0.60 over 0.50 in. w.c.", KindPressure, 0.60, 0.50, false, 0.2},
		{"85 over 80 °F", KindTemperature, 85, 80, false, 5 / 1.8 / 10},
		{"300 under 350 cfm/ton", KindFlowPerHeat, 300, 350, true, 50.0 / 350},
		{"30 under 36 °F", KindTemperature, 30, 36, true, 6 / 1.8 / 10},
		{"2 °F over a span of 3 °F", KindTemperatureSpan, 2, 3, false, -1.0 / 3},
		{"0 K over 0 K", KindTemperatureSpan, 0, 0, false, 0},
	} {
		value := c.value*c.kind.Factor(IP) + c.kind.Offset(IP)
		limit := c.limit*c.kind.Factor(IP) + c.kind.Offset(IP)
		assert.InDelta(t, c.want, c.kind.Excess(value, limit, c.atLeast), 1e-12, c.name)
	}
}

// One unit in SI, from the definitions of the units (foot, pound, conventional inch of water).
func TestFactors(t *testing.T) {
	for _, c := range []struct {
		kind Kind
		want float64
	}{
		{KindFlowPerHeat, 4.69686e-5 / 350}, {KindPowerPerFlow, 1228.95 / 0.58},
		{KindLoad, 293.07107}, {KindDensity, 16.0184634},
		{KindFriction, 249.089 / 30.48}, {KindDrift, 1 / 1.8 / 3600},
	} {
		assert.InEpsilon(t, c.want, c.kind.Factor(IP), 1e-5, c.kind.String())
	}
}

// Every kind, in both systems: what is printed reads back to within half of its last digit, no
// symbol leaves ASCII, and a number that does not apply is never a number.
func TestKindsAgreeWithThemselves(t *testing.T) {
	for k := KindLength; k <= KindNumber; k++ {
		for _, s := range []System{IP, SI} {
			for _, r := range k.Symbol(s) {
				if k <= KindInsulation {
					assert.Less(t, r, rune(128), "%s", k)
				}
			}
			assert.LessOrEqual(t, k.Rounded(s), k.Decimals(s), "%s", k)
			assert.GreaterOrEqual(t, k.Rounded(s), 0, "%s", k)
			assert.Equal(t, Absent, k.Number(math.NaN(), s), "%s", k)
		}
	}
	rapid.Check(t, func(r *rapid.T) {
		k := Kind(rapid.IntRange(int(KindLength), int(KindLoad)).Draw(r, "kind"))
		s := rapid.SampledFrom([]System{IP, SI}).Draw(r, "system")
		si := rapid.Float64Range(0.02, 0.98).Draw(r, "value") // within every kind, percent included
		text := k.Format(si, s)
		back, err := k.Parse(text, s)
		if k == KindInsulation && s == IP { // "R-8" is written with the unit first
			return
		}
		if assert.NoError(r, err, text) {
			half := 0.5000001
			for range k.Decimals(s) {
				half /= 10
			}
			assert.InDelta(r, si, back, half*k.Factor(s), text)
		}
	})
}

func TestNumberGroupsThousands(t *testing.T) {
	assert.Equal(t, "1,070", KindAirflow.Number(1070*CFM, IP))
	assert.Equal(t, "-12,345.68", Grouped("-12345.68"))
	assert.Equal(t, "0", KindAirflow.Number(-0.2*CFM, IP), "a rounded zero has no sign")
}
