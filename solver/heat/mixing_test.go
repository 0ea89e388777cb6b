package heat

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The rows of the band: a mixing box has an effectiveness E of 0.12 to 0.65 (Robinson, ASHRAE Transactions; abstract, read), u = 1 − E
// of 0.35 to 0.88, which the first row holds; the other rows are inference. Between them nothing jumps.
func TestMixingRows(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		name                       string
		turns, diameters, velocity float64
		want                       Mixing
	}{
		{"return plenum, coil or filter within a diameter", 0, 0, inf, Mixing{0.5, 0.3, 0.9}},
		{"2 to 4 diameters and one elbow, a strong jet", 1, 3, 0.8, Mixing{0.3, 0.15, 0.6}},
		{"the same, a weak jet", 1, 3, 0.5, Mixing{0.45, 0.2, 0.8}},
		{"8 to 10 diameters and two elbows", 2, 9, 0.2, Mixing{0.15, 0.05, 0.35}},
		{"more of both adds nothing", 5, 40, 1, Mixing{0.15, 0.05, 0.35}},
		{"straight duct alone hardly mixes: COV 143 % at 19 diameters (read)", 0, 19, 1, Mixing{0.5, 0.3, 0.9}},
	} {
		got := UnmixedBefore(c.turns, c.diameters, c.velocity)
		assert.InDeltaSlice(t, []float64{c.want.Usual, c.want.Low, c.want.High}, []float64{got.Usual, got.Low, got.High}, 1e-12, c.name)
	}
	box := UnmixedBefore(0, 0, inf)
	assert.LessOrEqual(t, box.Low, 1-0.65)
	assert.GreaterOrEqual(t, box.High, 1-0.12)
	after := box.PastBlower()
	assert.InDeltaSlice(t, []float64{0.2, 0, 0.5}, []float64{after.Usual, after.Low, after.High}, 1e-12, "u 0.2 (0 to 0.5) at a furnace's limit")
}

// Width of the strip, w = r/(r + u (1 − r)): computed from the formula.
func TestStripWidth(t *testing.T) {
	for _, c := range []struct{ r, u, w float64 }{
		{0.10, 0.3, 0.27}, {0.10, 0.6, 0.16}, {0.20, 0.3, 0.45}, {0.20, 0.6, 0.29}, {0.32, 0.3, 0.61}, {0.32, 0.6, 0.44},
	} {
		assert.InDelta(t, c.w, StripWidth(c.r, c.u), 0.006, "r %g, u %g", c.r, c.u)
	}
	assert.Equal(t, 1.0, StripWidth(0.3, 0))
	assert.Zero(t, StripWidth(0, 0.3))
}

// A strip takes at most 0.05 of entering less evaporating from a coil, some 1 to 2 °F at 30 °F: inference from 8.7 % of capacity, the most
// that uneven air cost a three-circuit coil (abstract, read).
func TestCoilShareIsSmall(t *testing.T) {
	assert.InDelta(t, 0.05*StripWidth(0.1, 0.3)/0.3, CoilShare(0.1, 0.3), 1e-12, "a narrow strip")
	assert.InDelta(t, 0.05, CoilShare(0.32, 0.3), 1e-12, "a wide one")
	assert.Equal(t, CoilShare(0.1, 0.3), CoilShare(0.1, 0.9))
	assert.Less(t, CoilShare(1, 1)*30, 2.6)
}

// What unmixed air does never falls as more of it is unmixed or more recirculates, vanishes with either, and the inverses find the share that
// they are asked for.
func TestStripsAreMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, u := rapid.Float64Range(1e-6, 0.95).Draw(t, "r"), rapid.Float64Range(0, 1).Draw(t, "u")
		more := rapid.Float64Range(0, 1).Draw(t, "more")
		for name, f := range map[string]func(r, u float64) float64{"sensor": SensorShare, "coil": CoilShare} {
			at := f(r, u)
			assert.GreaterOrEqual(t, f(r, u+more*(1-u)), at-1e-15, name)
			assert.GreaterOrEqual(t, f(r+more*(0.95-r), u), at-1e-15, name)
			assert.Zero(t, f(r, 0), name)
			assert.Zero(t, f(0, u), name)
			assert.GreaterOrEqual(t, at, 0.0, name)
		}
		assert.LessOrEqual(t, SensorShare(r, u), u)
		if s := SensorShare(r, u); s > 1e-9 {
			back := UnmixedForSensor(r, s)
			assert.InDelta(t, s, SensorShare(r, back), 1e-9)
			assert.LessOrEqual(t, back, u*(1+1e-9), "the least share that does it")
		}
		if c := CoilShare(r, u); c > 1e-9 && u < 0.299 { // flat from 0.3 on
			assert.InDelta(t, c, CoilShare(r, UnmixedForCoil(r, c)), 1e-9)
		}
		assert.True(t, math.IsNaN(UnmixedForSensor(r, SensorShare(r, 1)*1.001)), "out of reach")
		assert.True(t, math.IsNaN(UnmixedForCoil(r, 0.0501)), "out of reach")
	})
}
