package study

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/network/section"
)

// Two branches of a blower that moves 1,000 cfm in every state, at 900 fpm and 0.10 in. w.c. in 100
// ft at most: sized for what they want and for what they carry when they call alone. Sizes,
// velocities and frictions computed by hand with the usual fit of the chart of galvanized duct,
// 0.109136 Q^1.9 / D^5.02 (from memory), which is within a tenth of Colebrook's; the steel by
// pounds for each foot. B by its want stands at the edge: the fit says 0.106 in 12 in. and so takes
// 14, ours says 0.098.
func TestComputedTwoBranchesForEveryCall(t *testing.T) {
	steel := map[float64]float64{9: 1.55, 12: 2.06, 14: 2.40,
		16: 3.27} // lb/ft, see network/takeoff
	pounds := map[bool]float64{}
	for _, c := range []struct {
		name                  string
		cfm, inches, feet     float64
		fpm, friction         float64
		allStates, wantedOnly bool
	}{
		{"trunk", 1000, 16, 10, 716, 0.049, true, true},
		{"A by its want", 300, 9, 25, 679, 0.090, false, true},
		{"B by its want", 700, 12, 25, 891, 0.106, false, true},
		{"A alone", 600, 12, 25, 764, 0.079, true, false},
		{"B alone", 850, 14, 25, 795, 0.071, true, false},
	} {
		l := &network.Line{}
		l.Size.Section = section.NewRound(6 * quantity.Inch)
		rate := 0.10 * quantity.InchWater / (100 * quantity.Foot)
		sized, err := sizeLine("supply", l, c.cfm*quantity.CFM, rate, 1, quantity.IP)
		require.NoError(t, err)
		assert.InDelta(t, c.inches, sized.Size.Width/quantity.Inch, 1e-9, c.name)
		assert.InDelta(t, c.fpm, sized.Velocity/quantity.FPM, 0.6, c.name)
		per100 := sized.Friction * 100 * quantity.Foot / quantity.InchWater
		assert.InEpsilon(t, c.friction, per100, 0.10, c.name)
		for _, all := range []bool{true, false} {
			if all && c.allStates || !all && c.wantedOnly {
				pounds[all] += c.feet * steel[math.Round(sized.Size.Width/quantity.Inch)]
			}
		}
	}
	assert.InDelta(t, 131.4-25*(2.40-2.06), pounds[false], 0.1, "lb, by what is wanted")
	assert.InDelta(t, 144.2, pounds[true], 0.1, "lb, for every call")
}
