package air

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The tables of the U.S. Standard Atmosphere, 1976, by geopotential altitude (from memory): at sea level, at 5000 m and at 11 000 m.
func TestStandardAtmosphere(t *testing.T) {
	for _, c := range []struct {
		name                                      string
		elevation, celsius, pressure, density, mu float64
	}{
		{"sea level", 0, 15, 101325, 1.2250, 1.7894e-5},
		{"5000 m", 5000, -17.5, 54020, 0.73612, 1.6282e-5},
		{"11000 m", 11000, -56.5, 22632, 0.36391, 1.4216e-5},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.InEpsilon(t, c.pressure, Pressure(c.elevation), 5e-4)
			assert.InEpsilon(t, c.density, Density(c.celsius, c.pressure), 2e-4)
			assert.InEpsilon(t, c.mu, Viscosity(c.celsius), 2e-4)
		})
	}
}
