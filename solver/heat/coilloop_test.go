package heat

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/air"
	"spillway/solver/air/bracket"
)

// at is the coil at rest with a recirculated share (0 ≤ r < 1, by mass), and the air that enters it behind the fan.
func (c CoolingLoop) at(share float64) (CoilState, air.Moist, error) {
	if !(share >= 0 && share < 1) {
		return CoilState{}, air.Moist{}, badInput("recirculated share %g outside 0 to 1", share)
	}
	fresh := c.MassFlow * (1 - share)
	sol, err := solve(&Network{
		Pressure: c.Pressure,
		Nodes:    []Node{{Reservoir: true, State: c.Return}, {}, {}, {}},
		Branches: []Branch{
			{From: 0, To: 1, MassFlow: fresh},
			{From: 1, To: 2, MassFlow: c.MassFlow, Heat: c.FanHeat},
			{From: 2, To: 3, MassFlow: c.MassFlow, Device: Cooler{c.Coil, c.Outdoor}},
			{From: 3, To: 0, MassFlow: fresh},
			{From: 3, To: 1, MassFlow: c.MassFlow * share},
		},
	})
	if err != nil {
		return CoilState{}, air.Moist{}, err
	}
	entering := sol.Nodes[2].State
	s, err := c.Coil.At(entering, c.MassFlow, c.Outdoor, c.Pressure)
	return s, entering, err
}

// largestShare is how far shareAtEvaporating looks.
const largestShare = 0.8

// shareAtEvaporating is the recirculated share at which the evaporating temperature falls to a limit, °C (0 °C:
// frost). It is negative infinity when the coil is at or below the limit with no recirculation, and positive infinity
// when no share up to 0.8 reaches it. A loop driven beyond the coil model's reach counts as below the limit.
func (c CoolingLoop) shareAtEvaporating(limit float64) (float64, error) {
	s, _, err := c.at(0)
	if err != nil {
		return 0, err
	}
	if s.Evaporating <= limit {
		return math.Inf(-1), nil
	}
	margin := func(share float64) float64 {
		s, _, err := c.at(share)
		if err != nil {
			return -100
		}
		return s.Evaporating - limit
	}
	if margin(largestShare) > 0 {
		return math.Inf(1), nil
	}
	return bracket.Root(margin, 0, largestShare, 1e-9)
}

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
			loop := CoolingLoop{Coil: coil, Return: room(t, c.room, 0.5), MassFlow: dryMass(3 * c.perTon), Outdoor: celsius(c.outdoor), Pressure: air.StandardPressure}
			for j, limit := range []float64{36, 32} {
				want := [2][2]float64{{c.warn2, c.frost2}, {c.warn1, c.frost1}}[i][j]
				got, err := loop.shareAtEvaporating(celsius(limit))
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
		r, err := CoolingLoop{Coil: coil, Return: room(t, room_, 0.5), MassFlow: dryMass(1050), Outdoor: celsius(outdoor),
			Pressure: air.StandardPressure}.shareAtEvaporating(0)
		require.NoError(t, err)
		return r
	}
	assert.Less(t, share(75, 75), share(75, 95))
	assert.Less(t, share(70, 75), share(75, 75))
}
