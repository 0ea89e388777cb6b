package air

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/air/bracket"
)

func TestSaturationAtZeroIsKept(t *testing.T) {
	assert.Equal(t, saturationPressure(0), saturationAtZero)
	assert.Less(t, saturationPressure(neverBoils), lowestPressure)
}

// The slopes that Newton's method uses against central differences.
func TestSaturationSlope(t *testing.T) {
	for celsius := -99.0; celsius < 200; celsius += 0.7 {
		const h = 1e-4
		want := (saturationPressure(celsius+h) - saturationPressure(celsius-h)) / (2 * h)
		assert.InEpsilon(t, want, saturationSlope(celsius, saturationPressure(celsius)), 1e-6, "%g °C", celsius)
	}
}

// The inverses by Newton's method against the guarded interpolation that needs no slopes, over all that the formulas cover.
func TestInversesAgreeWithSlopelessSearch(t *testing.T) {
	for _, pressure := range []float64{60e3, StandardPressure} {
		for celsius := -60.0; celsius <= 80; celsius += 1.3 {
			ws := saturationHumidity(celsius, pressure)
			for _, share := range []float64{0, 0.01, 0.1, 0.35, 0.6, 0.9, 0.999, 1} {
				m := Moist{Temperature: celsius, HumidityRatio: share * ws}
				want := celsius
				if share < 1 {
					var err error
					want, err = bracket.Root(func(wet float64) float64 { return humidityAtWetBulb(celsius, wet, pressure) - m.HumidityRatio },
						lowestTemperature, celsius, 0)
					require.NoError(t, err)
				}
				for _, guess := range []float64{celsius, want, want + 0.3, want - 4, -500, 500, 0} {
					got, err := m.WetBulbNear(guess, pressure)
					require.NoError(t, err, "%+v", m)
					if overlap := celsius > 0 && math.Abs(want) < 1; overlap { // two answers: ours is the one over water, and is one
						require.InDelta(t, m.HumidityRatio, humidityAtWetBulb(celsius, got, pressure), 1e-15)
						continue
					}
					require.InDelta(t, want, got, 2e-11, "%+v from %g at %g Pa", m, guess, pressure)
				}
				saturated := Moist{Temperature: celsius, HumidityRatio: ws}
				back, err := SaturationTemperature(saturated.Enthalpy(), pressure)
				require.NoError(t, err)
				require.InDelta(t, celsius, back, 1e-10)
				if pw := m.VapourPressure(pressure); pw > saturationPressure(lowestTemperature) {
					want, err := bracket.Root(func(t float64) float64 { return math.Log(saturationPressure(t) / pw) }, lowestTemperature, highestTemperature, 0)
					require.NoError(t, err)
					got, err := m.DewPoint(pressure)
					require.NoError(t, err)
					require.InDelta(t, want, got, 1e-10, "%+v", m)
				}
			}
		}
	}
}

func BenchmarkWetBulbSearch(b *testing.B) {
	m, err := FromRelativeHumidity(24, 0.5, StandardPressure)
	require.NoError(b, err)
	wet, err := m.WetBulb(StandardPressure)
	require.NoError(b, err)
	b.Run("slopeless search", func(b *testing.B) {
		for b.Loop() {
			_, _ = bracket.Root(func(wet float64) float64 { return humidityAtWetBulb(24, wet, StandardPressure) - m.HumidityRatio }, -100, 24, 0)
		}
	})
	b.Run("cold", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			_, _ = m.WetBulb(StandardPressure)
		}
	})
	b.Run("near", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			_, _ = m.WetBulbNear(wet+1e-4, StandardPressure)
		}
	})
}
