package state_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/air"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

func fahrenheit(t float64) float64 { return (t - 32) / 1.8 } // to °C

// The limit's sensor after a bypass into the return plenum sees a strip of recirculated air, warmer by u of the rise of one pass: u is 0.5 of a
// mixing box (effectiveness 0.12 to 0.65: Robinson, abstract), of which the blower leaves 0.4 (inference), between nothing and all. A strip
// narrower than a tenth of the flow reaches it in part (our choice). In the short loop without leakage the rise of one pass is what the thermometers
// before and after the furnace read.
func TestSensorSeesTheUnmixedStrip(t *testing.T) {
	narrow := map[bool]int{}
	for _, opens := range []string{"0.01", "0.06", "0.10", "0.13", "0.16", "0.60"} {
		g := networktest.Build(t, "loop.toml", []byte(replace(shortLoop, "OPENS", opens)), network.Options{})
		for _, cs := range state.States(g) {
			e := statetest.Solve(t, g, cs.Name).Equipment
			assert.Equal(t, [3]float64{0.2, 0, 0.5}, [3]float64{e.Unmixed, e.UnmixedLow, e.UnmixedHigh})
			at := func(u float64) float64 {
				width := e.Recirculated / (e.Recirculated + u*(1-e.Recirculated))
				return e.Leaving + u*math.Min(1, width/0.1)*e.Rise
			}
			assert.InDelta(t, at(0.2), e.Sensor, 0.02, "%s, r = %.3f", cs.Name, e.Recirculated)
			assert.InDelta(t, at(0.5), e.SensorHigh, 0.05, "%s, r = %.3f", cs.Name, e.Recirculated)
			assert.Equal(t, e.Leaving, e.SensorLow)
			narrow[e.Recirculated/(e.Recirculated+0.2*(1-e.Recirculated)) < 0.1]++
		}
	}
	assert.Positive(t, narrow[true], "some strips are narrow")
	assert.Positive(t, narrow[false], "some wide")
}

// The course of a heating call ends where the steady state is: the loop's return air is what makes it so. The limit is out of reach.
func TestCourseComesToTheSteadyState(t *testing.T) {
	for _, opens := range []string{"0.01", "0.03", "0.60"} {
		g := networktest.Build(t, "loop.toml", []byte(replace(shortLoop, "OPENS", opens)), network.Options{Set: []string{"equipment.heating.leaving-limit=300 F"}})
		e := statetest.Solve(t, g, "heating: a").Equipment
		require.NotEmpty(t, e.Course)
		last := e.Course[len(e.Course)-1]
		assert.True(t, math.IsInf(e.TimeToLimit, 1))
		assert.InDelta(t, e.Leaving, last.Supply, 0.05, opens)
		assert.InDelta(t, e.Entering, last.Entering, 0.05, opens)
		assert.InDelta(t, e.Sensor, last.Critical, 0.05, opens)
	}
}

// A burner that trips its limit comes back when the sensor has cooled by 30 °F (automatic limits close 25 to 40 °F below: from memory).
// Where the file gives no limit it is 170 °F (usual range 165 to 200: common practice).
func TestLimitOpensAndCloses(t *testing.T) {
	loop := replace(shortLoop, "OPENS", "0.01")
	g := networktest.Build(t, "loop.toml", []byte(loop), network.Options{Set: []string{"equipment.heating.leaving-limit=130 F"}})
	e := statetest.Solve(t, g, "heating: a").Equipment
	require.False(t, math.IsInf(e.TimeToLimit, 1))
	tripped, least, most := false, math.Inf(1), math.Inf(-1)
	for _, m := range e.Course {
		tripped = tripped || m.Critical >= fahrenheit(130)-1e-6
		if tripped {
			least, most = math.Min(least, m.Critical), math.Max(most, m.Critical)
		}
	}
	assert.True(t, tripped)
	assert.InDelta(t, fahrenheit(130), most, 1e-3)
	assert.InDelta(t, fahrenheit(130-30), least, 1e-3)
	assert.True(t, e.LimitGiven)

	g = networktest.Build(t, "loop.toml", []byte(replace(loop, `, leaving-limit = "170 F"`, "")), network.Options{})
	e = statetest.Solve(t, g, "heating: a").Equipment
	assert.InDelta(t, fahrenheit(170), e.Limit, 1e-9)
	assert.False(t, e.LimitGiven)
}

// A coil is rated at 80 °F dry and 67 °F wet bulb, 95 °F outdoors and 400 cfm per ton (common practice); there it gives what its plate
// says. The colder of two estimates counts for frost, less the strip.
func TestCoilAtItsRating(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "bypass-to-plenum", "equipment.cooling.sensible=74 %")
	o := statetest.Solve(t, g, "mild-cooling: loft")
	e := o.Equipment
	require.NotNil(t, e.Coil)
	rated, err := air.FromWetBulb(fahrenheit(80), fahrenheit(67), air.StandardPressure)
	require.NoError(t, err)
	flow := 3 * 400 * quantity.CFM * air.StandardDensity
	s, err := e.Coil.Of.At(rated, flow, fahrenheit(95), air.StandardPressure)
	require.NoError(t, err)
	assert.InEpsilon(t, 3*quantity.TonOfCooling, s.Total, 0.005, "its own curve comes within half a percent of one at rating")
	assert.InDelta(t, 0.74, s.SensibleRatio, 0.004)

	assert.Greater(t, math.Abs(e.Evaporating-e.EvaporatingSecond), 0.1, "the estimates differ, or this shows nothing")
	colder := e.CoilSecond
	require.Less(t, e.EvaporatingSecond, e.Evaporating)
	assert.Positive(t, e.Unmixed)
	assert.Equal(t, 0.2, e.Unmixed)
	width := e.Recirculated / (e.Recirculated + 0.2*(1-e.Recirculated))
	assert.Greater(t, width, 0.3, "a wide strip")
	assert.InDelta(t, colder.Evaporating-0.05*0.2/0.3*(colder.Entering.Temperature-colder.Evaporating), e.EvaporatingStrip, 1e-9, "what the colder estimate loses")
	assert.InDelta(t, colder.Evaporating-0.05*(colder.Entering.Temperature-colder.Evaporating), e.StripHigh, 1e-9, "in full at 0.5 unmixed")
	assert.InDelta(t, e.EvaporatingStrip, e.FrostMargin, 1e-12, "above 0 °C")
	without := statetest.Solve(t, networktest.Graph(t, "two-floor", ""), "mild-cooling: loft").Equipment
	assert.Equal(t, math.Min(without.Evaporating, without.EvaporatingSecond), without.EvaporatingStrip, "no bypass, no strip")
}
