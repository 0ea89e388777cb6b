package heat

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/air"
)

// The shares at which the evaporating temperature reaches 36 °F and 32 °F, single-speed clamped – generic, computed from the
// formula by another program. below marks "already below with no bypass".
func TestComputedFrostShares(t *testing.T) {
	const below = -1.0
	for _, c := range []struct {
		room, outdoor, perTon        float64
		warn2, warn1, frost2, frost1 float64
	}{
		{78, 95, 400, .43, .53, .52, .64}, {78, 95, 350, .38, .48, .47, .60}, {78, 95, 300, .31, .41, .42, .55},
		{78, 75, 400, .35, .36, .46, .52}, {78, 75, 350, .29, .30, .41, .47}, {78, 75, 300, .20, .20, .35, .39},
		{75, 95, 400, .32, .45, .44, .59}, {75, 95, 350, .26, .39, .39, .55}, {75, 95, 300, .19, .30, .33, .48},
		{75, 75, 400, .20, .23, .37, .44}, {75, 75, 350, .14, .15, .31, .39}, {75, 75, 300, .03, .04, .24, .30},
		{72, 75, 400, below, .03, .24, .34}, {72, 75, 350, below, below, .18, .27}, {72, 75, 300, below, below, .11, .17},
		{70, 75, 400, below, below, .14, .25}, {70, 75, 350, below, below, .07, .18}, {70, 75, 300, below, below, below, .07},
	} {
		e := threeTon(t)
		for i, coil := range []*Coil{e.Second, e.Default} {
			loop := CoilRecirculation{Coil: coil, Return: room(t, c.room, 0.5), MassFlow: dryMass(3 * c.perTon), Outdoor: celsius(c.outdoor), Pressure: air.StandardPressure}
			for j, limit := range []float64{36, 32} {
				want := [2][2]float64{{c.warn2, c.frost2}, {c.warn1, c.frost1}}[i][j]
				got, err := loop.ShareAtEvaporating(celsius(limit))
				require.NoError(t, err)
				name := fmt.Sprintf("%g °F room, %g °F outdoors, %g CFM/ton, %s, %g °F", c.room, c.outdoor, c.perTon, coil.Curve().Name, limit)
				if want == below {
					// The other program reads "<0"; the last digit of the coil decides cases near zero.
					assert.True(t, math.IsInf(got, -1) || got < 0.015, "%s: %g", name, got)
					continue
				}
				computed(t, name, want, got, 0.017)
			}
		}
	}
}

// Frost is nearer on a mild day and with cooler return air than on the design day.
func TestFrostIsNearestOnMildDays(t *testing.T) {
	coil := threeTon(t).Default
	share := func(room_, outdoor float64) float64 {
		r, err := CoilRecirculation{coil, room(t, room_, 0.5), dryMass(1050), celsius(outdoor), air.StandardPressure, 0}.ShareAtEvaporating(0)
		require.NoError(t, err)
		return r
	}
	assert.Less(t, share(75, 75), share(75, 95))
	assert.Less(t, share(70, 75), share(75, 75))
}
