package resist

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/air"
)

const standardDensity = air.StandardDensity

func TestFanPassesThroughItsRows(t *testing.T) {
	table := houseTable(1139, 1106, 1063, 1008, 943, 866, 779, 681, 571, 451)
	for i := range table {
		table[i].Watts = 560 - 20*float64(i)
	}
	backwards := make(FanTable, len(table))
	for i, row := range table {
		backwards[len(table)-1-i] = row
	}
	for name, rows := range map[string]FanTable{"static rising": table, "static falling": backwards} {
		fan := must(NewFan(rows, standardDensity))
		assert.Zero(t, fan.Drooped())
		for _, row := range table {
			q := row.Flow * standardDensity
			assert.InDelta(t, -row.Static, dropOf(fan, q), 1e-9, name)
			watts, known := fan.Watts(q)
			assert.True(t, known)
			assert.InDelta(t, row.Watts, watts, 1e-6, name)
		}
	}
}

// Beyond its rows a fan goes on straight and falling, says so, and holds its watts.
func TestFanOffItsTable(t *testing.T) {
	table := houseTable(1150, 1095, 1045, 1025, 950, 865, 775)
	table[0].Watts, table[6].Watts = 500, 400
	fan := must(NewFan(table, standardDensity))
	most, least := 1150*cfm*standardDensity, 775*cfm*standardDensity
	assert.False(t, fan.OffTable((most+least)/2))
	for _, q := range []float64{most * 1.01, most * 3, least * 0.99, 0, -1} {
		assert.True(t, fan.OffTable(q), "q = %g", q)
		_, slope := fan.Drop(q)
		assert.Positive(t, slope)
		_, further := fan.Drop(q + math.Copysign(1e-3, q-(most+least)/2))
		assert.InEpsilon(t, slope, further, 1e-9, "straight")
	}
	// No kink at either end: the first row's slope and the last's go on.
	for _, q := range []float64{most, least} {
		_, inside := fan.Drop(q + math.Copysign(1e-9, (most+least)/2-q))
		_, outside := fan.Drop(q - math.Copysign(1e-9, (most+least)/2-q))
		assert.InEpsilon(t, inside, outside, 1e-4)
	}
	low, _ := fan.Watts(-1)
	assert.InDelta(t, 400, low, 1e-9)
	_, known := must(NewFan(houseTable(1150, 1095), standardDensity)).Watts(0.5)
	assert.False(t, known)
}

// A table that bends sharply at its first rows has no fitted slope there; the fan goes on with half the first secant, not
// straight up.
func TestFanThatBendsSharplyAtItsEnd(t *testing.T) {
	fan := must(NewFan(houseTable(1000, 990, 900, 700), standardDensity))
	secant := 0.1 * inwc / (10 * cfm) // Pa per m³/s
	_, slope := fan.Drop(1010 * cfm * standardDensity)
	assert.LessOrEqual(t, slope*standardDensity, 2*secant)
}

// A level table is lowered to the least droop and stays a law with a finite slope.
func TestFanThatHoldsItsAirflow(t *testing.T) {
	fan := must(NewFan(houseTable(1200, 1200, 1200, 1200, 1200, 1190, 1150, 1070), standardDensity))
	assert.Equal(t, 4, fan.Drooped())
	const per01 = 1 * cfm // a CFM per 0.1 in.w.c.
	for i := range 5 {
		static := 0.1 * float64(i+1) * inwc
		want := 1200*cfm - per01*float64(i)
		assert.InDelta(t, want, fan.FlowAt(static)/standardDensity, 1e-9)
		drop, slope := fan.Drop(want * standardDensity)
		assert.InDelta(t, -static, drop, 1e-6)
		assert.LessOrEqual(t, slope*standardDensity, 1.000001/LeastDroop)
	}
}

func TestFanTableSaysWhichRows(t *testing.T) {
	for _, c := range []struct {
		name  string
		table FanTable
		want  []string
	}{
		{"flow rises", houseTable(1200, 1100, 1110, 900, 950), []string{"rows 2 and 3: flow rises", "rows 4 and 5: flow rises"}},
		{"static twice", FanTable{{Static: 50, Flow: 1}, {Static: 100, Flow: 0.8}, {Static: 50, Flow: 0.9}}, []string{"rows 1 and 3 have the same static, 50 Pa"}},
		{"one row", FanTable{{Static: 50, Flow: 1}}, []string{"at least 2 rows, has 1"}},
		{"negative flow", FanTable{{Static: 50, Flow: 1}, {Static: 60, Flow: -1}}, []string{"row 2: flow"}},
		{"no number", FanTable{{Static: math.NaN(), Flow: 1}, {Static: 60, Flow: 1}}, []string{"row 1: static"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := c.table.Check()
			for _, text := range c.want {
				assert.ErrorContains(t, err, text)
			}
			_, err = NewFan(c.table, standardDensity)
			assert.Error(t, err)
		})
	}
	assert.NoError(t, houseTable(1200, 1200, 1100).Check())
}

// A made-up curve with a stall dip: two turning points, one rising piece of two rows.
func TestStallFanShowsItsRise(t *testing.T) {
	var table FanTable
	for i, static := range []float64{200, 160, 150, 175, 180, 120, 0} {
		table = append(table, FanRow{Flow: 0.1 * float64(i), Static: static})
	}
	assert.Error(t, table.Check(), "no ordinary fan")
	fan, err := NewStallFan(table, standardDensity)
	require.NoError(t, err)
	rises := fan.Rises()
	require.Len(t, rises, 1)
	assert.InDelta(t, 0.2*standardDensity, rises[0].Low, 1e-12)
	assert.InDelta(t, 0.4*standardDensity, rises[0].High, 1e-12)
	breaks := fan.Breaks()
	require.Len(t, breaks, len(table))
	for i, q := range breaks {
		rise, _ := fan.Rise(q)
		assert.InDelta(t, table[i].Static, rise, 1e-9)
	}
	// Monotone between neighbouring breaks, falling beyond both ends, slopes true.
	for i := 1; i < len(breaks); i++ {
		sign := 0.0
		for k := range 101 {
			q := breaks[i-1] + (breaks[i]-breaks[i-1])*float64(k)/100
			_, slope := fan.Rise(q)
			if math.Abs(slope) > 1e-9 {
				assert.GreaterOrEqual(t, sign*slope, 0.0, "turns between breaks %d and %d", i-1, i)
				sign = math.Copysign(1, slope)
			}
		}
	}
	for _, q := range []float64{-1, -1e-6, breaks[6] + 1e-6, 5} {
		_, slope := fan.Rise(q)
		assert.Negative(t, slope)
		assert.True(t, fan.OffTable(q))
	}
	for q := -0.2; q < 1; q += 0.0137 {
		high, _ := fan.Rise(q + 1e-6)
		low, _ := fan.Rise(q - 1e-6)
		_, slope := fan.Rise(q)
		assert.InDelta(t, (high-low)/2e-6, slope, 1e-2, "q = %g", q)
	}
	// Rising from its very first row, as many industrial tables do: backwards flow is still opposed by more.
	rising, err := NewStallFan(FanTable{{Flow: 0, Static: 220}, {Flow: 0.2, Static: 240}, {Flow: 0.5, Static: 0}}, standardDensity)
	require.NoError(t, err)
	backwards, slope := rising.Rise(-0.1)
	assert.Negative(t, slope)
	assert.Greater(t, backwards, 220.0)
	falling, err := NewStallFan(houseTable(1150, 1095, 1045), standardDensity)
	require.NoError(t, err)
	assert.Empty(t, falling.Rises())
	_, err = NewStallFan(FanTable{{Flow: 0, Static: 10}, {Flow: 1, Static: 20}}, standardDensity)
	assert.ErrorContains(t, err, "row 2")
}

// Holds its flow, then its limit: the lesser rise of the two at every flow.
func TestConstantFlowHoldsAndGivesIn(t *testing.T) {
	limit := houseTable(1900, 1850, 1790, 1700, 1600, 1480, 1330, 1185, 1140, 1070)
	data := ConstantFlowData{Flow: 1200 * cfm, Limit: limit, InternalLoss: 0.25 * inwc, Efficiency: 0.3, Density: standardDensity}
	blower := must(NewConstantFlow(data))
	low := flowOf(t, blower, -0.1*inwc, 0, 2)
	high := flowOf(t, blower, -0.7*inwc, 0, 2)
	assert.InDelta(t, 1199, low/standardDensity/cfm, 0.01)
	assert.InDelta(t, 1193, high/standardDensity/cfm, 0.01)
	assert.False(t, blower.Limited(high))
	beyond := flowOf(t, blower, -0.9*inwc, 0, 2)
	assert.InDelta(t, 1140, beyond/standardDensity/cfm, 0.01)
	assert.True(t, blower.Limited(beyond))
	watts, known := blower.Watts(low)
	assert.True(t, known)
	assert.InDelta(t, low/standardDensity*0.35*inwc/0.3, watts, 1e-6) // W = Q (rise + internal) / efficiency
	// In thinner air it holds the same volume flow, and gives in sooner.
	thin := blower.At(0.98)
	assert.InDelta(t, 1199, flowOf(t, thin, -0.1*inwc, 0, 2)/0.98/cfm, 0.01)
	assert.True(t, thin.Limited(flowOf(t, thin, -0.7*inwc, 0, 2)))
	data.Limit = nil
	assert.False(t, must(NewConstantFlow(data)).Limited(0.1))
}
