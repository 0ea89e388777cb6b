package heat

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network/evidencetest"
	"spillway/solver/air"
)

// threeTon is the worked example: 36,000 Btu/h gross, sensible ratio 0.75, 1200 CFM.
func threeTon(t testing.TB) Estimates {
	t.Helper()
	e, err := NewEstimates(CoilRating{TotalCapacity: 36000 * btuh, SensibleRatio: 0.75, MassFlow: dryMass(1200)})
	require.NoError(t, err)
	return e
}

func room(t testing.TB, f, humidity float64) air.Moist {
	t.Helper()
	m, err := air.FromRelativeHumidity(celsius(f), humidity, air.StandardPressure)
	require.NoError(t, err)
	return m
}

// A fit to rating data is meant to be 1 at the rating point; how near it comes is a property of the published
// coefficients and catches a wrong digit in any of them.
func TestPublishedCurvesAtTheirRatingPoint(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	for _, c := range []*CoolingCurve{GenericCurve(), SingleSpeedCurve()} {
		f := c.At(celsius(67), celsius(95), 1)
		published(t, c.Name+", capacity", c.Source+"; 1 at the rating point by definition of the fit", 1, f.Capacity, 0.02)
		published(t, c.Name+", EIR", c.Source+"; 1 at the rating point by definition of the fit", 1, f.EIR, 0.02)
		assert.False(t, f.Outside)
		assert.False(t, f.Clamped)
	}
	published(t, "heat pump heating capacity", nrel+"; 1 at the rating point 70/47 °F by definition of the fit", 1, heatPumpCapacity(70, 47), 0.02)
	published(t, "heat pump heating EIR", nrel+"; 1 at the rating point 70/47 °F by definition of the fit", 1, heatPumpEIR(70, 47), 0.02)
}

func TestComputedCapacityFactors(t *testing.T) {
	nrelCurve, generic := SingleSpeedCurve(), GenericCurve()
	outdoors := []float64{75, 82, 85, 95, 105, 115}
	for _, row := range []struct {
		wet    float64
		factor []float64
	}{
		{61, []float64{1.010, 0.982, 0.970, 0.927, 0.881, 0.832}},
		{63, []float64{1.030, 1.000, 0.987, 0.942, 0.893, 0.841}},
		{67, []float64{1.093, 1.060, 1.045, 0.994, 0.940, 0.883}},
		{71, []float64{1.186, 1.149, 1.133, 1.077, 1.018, 0.955}},
	} {
		for i, o := range outdoors {
			f := nrelCurve.At(celsius(row.wet), celsius(o), 1)
			computed(t, fmt.Sprintf("single speed %g/%g", row.wet, o), row.factor[i], f.Capacity, 6e-4)
		}
	}
	for _, c := range []struct{ ff, capacity, eir float64 }{
		{0.5, 0.892, 1.123}, {0.625, 0.925, 1.085}, {0.75, 0.954, 1.052}, {0.875, 0.979, 1.024}, {1, 1, 1}, {1.2, 1.025, 0.973},
	} {
		computed(t, "flow, capacity", c.capacity, nrelCurve.CapacityFlow.At(c.ff), 6e-4)
		computed(t, "flow, EIR", c.eir, nrelCurve.EIRFlow.At(c.ff), 6e-4)
	}
	for _, c := range []struct{ wet, factor float64 }{{50, 0.723}, {55, 0.792}, {59, 0.854}, {63, 0.924}, {67, 1}, {71, 1.083}} {
		computed(t, fmt.Sprintf("generic %g", c.wet), c.factor, generic.At(celsius(c.wet), celsius(95), 1).Capacity, 6e-4)
	}
	computed(t, "generic EIR", 1.0002, generic.At(celsius(67), celsius(95), 1).EIR, 1e-4)
	// Where the single-speed polynomial turns.
	for _, c := range []struct{ outdoor, wet float64 }{{75, 56.8}, {95, 58.15}, {115, 59.5}} {
		computed(t, "turning point", c.wet, nrelCurve.Capacity.vertex(c.outdoor), 0.06)
	}
}

// No curve gives more capacity to colder air or to less airflow: the property the clamps exist for.
func TestCapacityNeverRisesInColderAirOrLessAirflow(t *testing.T) {
	curves := []*CoolingCurve{GenericCurve(), SingleSpeedCurve()}
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom(curves).Draw(t, "curve")
		wet, outdoor := rapid.Float64Range(-20, 25).Draw(t, "wet bulb"), rapid.Float64Range(15, 48).Draw(t, "outdoor")
		ff := rapid.Float64Range(0.2, 3).Draw(t, "flow")
		at := c.At(wet, outdoor, ff).Capacity
		if colder := c.At(wet-0.5, outdoor, ff).Capacity; colder > at+1e-12 {
			t.Fatalf("%s: %g at %g °C, %g half a degree colder", c.Name, at, wet, colder)
		}
		if less := c.At(wet, outdoor, ff*0.95).Capacity; less > at+1e-12 {
			t.Fatalf("%s: %g at flow %g, %g below", c.Name, at, ff, less)
		}
	})
}

// The rated worked example, computed from the formula. Tolerances cover IP against SI specific heats (0.12 %).
func TestComputedCoilRating(t *testing.T) {
	coil := threeTon(t).Default
	adp, bf := coil.Rated()
	computed(t, "ADP, °F", 55.44, fahrenheit(adp), 0.1)
	computed(t, "bypass factor", 0.166, bf, 0.004)
	s, err := coil.At(ratedEntering(t), dryMass(1200), RatedOutdoor, air.StandardPressure)
	require.NoError(t, err)
	computed(t, "leaving, °F", 59.53, fahrenheit(s.Leaving.Temperature), 0.1)
	assert.InDelta(t, 0.75, s.SensibleRatio, 1e-4, "the rated split comes back")
	for _, c := range []struct{ shr, adp, bf float64 }{{0.70, 53.3, 0.285}, {0.73, 54.7, 0.213}, {0.78, 56.4, 0.098}, {0.80, 57.0, 0.053}} {
		k, err := NewCoil(CoilRating{TotalCapacity: 36000 * btuh, SensibleRatio: c.shr, MassFlow: dryMass(1200)}, GenericCurve())
		require.NoError(t, err)
		adp, bf := k.Rated()
		computed(t, fmt.Sprintf("ADP at sensible ratio %g", c.shr), c.adp, fahrenheit(adp), 0.12)
		computed(t, fmt.Sprintf("bypass factor at sensible ratio %g", c.shr), c.bf, bf, 0.005)
	}
}

// The input of a coil's machine is what its plate says at rating, and goes with the outdoor temperature by the curve: more heat against a
// warmer outdoors takes more work (common practice).
func TestPowerOfTheCoilsMachine(t *testing.T) {
	for _, curve := range []*CoolingCurve{GenericCurve(), SingleSpeedCurve()} {
		coil, err := NewCoil(CoilRating{TotalCapacity: 36000 * btuh, SensibleRatio: 0.75, MassFlow: dryMass(1200), EIR: 0.3}, curve)
		require.NoError(t, err)
		at := func(outdoor float64) CoilState {
			s, err := coil.At(ratedEntering(t), dryMass(1200), celsius(outdoor), air.StandardPressure)
			require.NoError(t, err)
			return s
		}
		rated, hot, mild := at(95), at(115), at(75)
		assert.InEpsilon(t, 0.3, rated.Power/rated.Total, 0.01)
		assert.Greater(t, hot.Power/hot.Total, 1.15*rated.Power/rated.Total)
		assert.Less(t, mild.Power/mild.Total, 0.9*rated.Power/rated.Total)
	}
}

// 15 kg of copper and aluminium in a coil of three tons are about 9 kJ/K (our estimate); steel apart, metals of a coil lie between
// copper's 385 and aluminium's 897 J/(kg·K) (any handbook).
func TestCoilMetal(t *testing.T) {
	perKilo := TypicalCoilMetal(36000*btuh) / 15
	assert.InDelta(t, 600, perKilo, 10)
	assert.True(t, 385 < perKilo && perKilo < 897)
}

func ratedEntering(t testing.TB) air.Moist {
	m, err := air.FromWetBulb(RatedDryBulb, RatedWetBulb, air.StandardPressure)
	require.NoError(t, err)
	return m
}

// Off design, 75 °F and 50 %, 95 °F outdoors, computed from the formula.
func TestComputedCoilAgainstAirflow(t *testing.T) {
	coil, in := threeTon(t).Default, room(t, 75, 0.5)
	for _, c := range []struct{ perTon, total, bf, adp, shr, leaving, evaporating float64 }{
		{450, 33790, 0.203, 51.5, 0.82, 56.3, 41.7},
		{400, 32966, 0.166, 50.9, 0.80, 54.9, 41.4},
		{350, 32142, 0.129, 50.1, 0.78, 53.3, 40.7},
		{300, 31318, 0.091, 48.8, 0.75, 51.2, 39.7},
		{250, 30494, 0.057, 46.8, 0.72, 48.4, 37.9},
		{200, 29670, 0.028, 43.4, 0.68, 44.2, 34.8},
		{150, 28846, 0.008, 36.8, 0.64, 37.1, 28.4},
	} {
		s, err := coil.At(in, dryMass(3*c.perTon), RatedOutdoor, air.StandardPressure)
		require.NoError(t, err)
		name := fmt.Sprintf("%g CFM/ton, ", c.perTon)
		computed(t, name+"total", c.total, s.Total/btuh, 10)
		computed(t, name+"BF", c.bf, s.BypassFactor, 0.005)
		computed(t, name+"ADP", c.adp, fahrenheit(s.Surface), 0.2)
		computed(t, name+"SHR", c.shr, s.SensibleRatio, 0.008)
		computed(t, name+"leaving", c.leaving, fahrenheit(s.Leaving.Temperature), 0.15)
		computed(t, name+"evaporating", c.evaporating, fahrenheit(s.Evaporating), 0.3)
		assert.Equal(t, c.perTon < 200, s.Factor.Outside)
	}
	dry, err := coil.At(room(t, 75, 0.25), dryMass(1200), RatedOutdoor, air.StandardPressure)
	require.NoError(t, err)
	assert.True(t, dry.Dry)
	assert.Equal(t, 1.0, dry.SensibleRatio)
	computed(t, "dry coil leaving, °F", 53.23, fahrenheit(dry.Leaving.Temperature), 0.1)
	// From memory: about 35 °F between return and evaporating temperature at 400 CFM/ton.
	s, err := coil.At(in, dryMass(1200), RatedOutdoor, air.StandardPressure)
	require.NoError(t, err)
	t.Logf("return less evaporating | from memory | 35 °F | %.1f", 75-fahrenheit(s.Evaporating))
	assert.InDelta(t, 35, 75-fahrenheit(s.Evaporating), 2)
}

// A published tip of the trade: set up so that 68 °F return air still leaves the evaporator just above 32 °F, that is at
// most 36 °F below the return, and expect the coil to fall about a degree per degree of return air. The model's own slope is flatter, 0.7, since its
// capacity falls with the return; the difference is logged and bounded.
func TestPublishedFrostTip(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	const source = "trade training notes on a 32 °F saturated suction"
	coil := threeTon(t).Default
	evaporating := func(f float64) float64 {
		s, err := coil.At(room(t, f, 0.5), dryMass(1200), RatedOutdoor, air.StandardPressure)
		require.NoError(t, err)
		return fahrenheit(s.Evaporating)
	}
	at := evaporating(68)
	t.Logf("return less evaporating at 68 °F | %s | at most 36 °F | %.1f", source, 68-at)
	assert.Greater(t, at, 32.0)
	assert.LessOrEqual(t, 68-at, 36.0)
	published(t, "fall of the coil per degree of return", source, 1, (evaporating(75)-evaporating(70))/5, 0.35,
		"a rule of thumb; the model's capacity falls with the return, so its coil falls less")
}

func TestComputedFrostTip(t *testing.T) {
	s, err := threeTon(t).Default.At(room(t, 70, 0.5), dryMass(1200), RatedOutdoor, air.StandardPressure)
	require.NoError(t, err)
	computed(t, "evaporating at 70 °F", 38.0, fahrenheit(s.Evaporating), 0.3)
}

// The table of cooling with a bypass, through the network solver: computed from the formula by another program with
// relaxation, so it checks both the coil and that the loop comes to the same rest.
func TestComputedCoolingWithBypass(t *testing.T) {
	e, in := threeTon(t), room(t, 75, 0.5)
	for _, c := range []struct {
		outdoor, r, edb, ewb, total, total2, shr, shr2, lat, lat2, evap, evap2 float64
	}{
		{95, 0, 75.0, 62.6, 32966, 33754, .80, .79, 54.9, 54.7, 41.4, 40.8},
		{95, 0.1, 72.9, 61.6, 32357, 33490, .78, .76, 53.8, 53.4, 40.6, 39.8},
		{95, 0.2, 70.5, 60.4, 31629, 33251, .75, .74, 52.4, 51.7, 39.6, 38.4},
		{95, 0.3, 67.7, 59.0, 30746, 33098, .73, .71, 50.8, 49.6, 38.4, 36.4},
		{95, 0.4, 64.5, 57.1, 29651, 33088, .70, .68, 48.6, 46.5, 36.9, 33.5},
		{95, 0.5, 60.5, 54.5, 28263, 33088, .68, .65, 45.9, 42.1, 34.7, 29.1},
		{75, 0.3, 67.1, 58.5, 34808, 35824, .70, .69, 48.7, 48.1, 34.9, 34.0},
		{75, 0.5, 59.0, 53.4, 32002, 35736, .66, .65, 42.9, 39.8, 30.4, 25.9},
	} {
		name := fmt.Sprintf("%g °F outdoors, share %g, ", c.outdoor, c.r)
		s := coolingLoop(t, e.Default, in, c.r, celsius(c.outdoor))
		computed(t, name+"entering", c.edb, fahrenheit(s.entering.Temperature), 0.15)
		computed(t, name+"wet bulb", c.ewb, fahrenheit(s.coil.WetBulb), 0.15)
		computed(t, name+"total", c.total, s.coil.Total/btuh, 10)
		computed(t, name+"SHR", c.shr, s.coil.SensibleRatio, 0.01)
		computed(t, name+"leaving", c.lat, fahrenheit(s.coil.Leaving.Temperature), 0.2)
		computed(t, name+"evaporating", c.evap, fahrenheit(s.coil.Evaporating), 0.35)
		second := coolingLoop(t, e.Second, in, c.r, celsius(c.outdoor))
		computed(t, name+"second total", c.total2, second.coil.Total/btuh, 10)
		computed(t, name+"second SHR", c.shr2, second.coil.SensibleRatio, 0.01)
		computed(t, name+"second leaving", c.lat2, fahrenheit(second.coil.Leaving.Temperature), 0.25)
		computed(t, name+"second evaporating", c.evap2, fahrenheit(second.coil.Evaporating), 0.5)
	}
}

type coolingRest struct {
	entering air.Moist
	coil     CoilState
}

func coolingNetwork(coil *Coil, in air.Moist, r, outdoor float64) *Network {
	flow := coil.rating.MassFlow
	return &Network{
		Pressure: air.StandardPressure,
		Nodes:    []Node{{Reservoir: true, State: in}, {}, {}},
		Branches: []Branch{
			{From: 0, To: 1, MassFlow: flow * (1 - r)},
			{From: 1, To: 2, MassFlow: flow, Device: Cooler{coil, outdoor}},
			{From: 2, To: 0, MassFlow: flow * (1 - r)},
			{From: 2, To: 1, MassFlow: flow * r},
		},
	}
}

func coolingLoop(t testing.TB, coil *Coil, in air.Moist, r, outdoor float64) coolingRest {
	n := coolingNetwork(coil, in, r, outdoor)
	sol, err := solve(n)
	require.NoError(t, err)
	s, err := coil.At(sol.Nodes[1].State, coil.rating.MassFlow, outdoor, air.StandardPressure)
	require.NoError(t, err)
	return coolingRest{sol.Nodes[1].State, s}
}

func TestImpossibleCoilsAreRefused(t *testing.T) {
	good := CoilRating{TotalCapacity: 10550, SensibleRatio: 0.75, MassFlow: 0.68}
	for _, c := range []struct {
		name   string
		change func(*CoilRating)
		says   string
	}{
		{"sensible ratio no coil reaches", func(r *CoilRating) { r.SensibleRatio = 0.87 }, "0.870"},
		{"sensible ratio at the ceiling", func(r *CoilRating) { r.SensibleRatio = 0.825 }, "0.825"},
		{"very low sensible ratio", func(r *CoilRating) { r.SensibleRatio = 0.3 }, "0.300"},
		{"low sensible ratio", func(r *CoilRating) { r.SensibleRatio = 0.6 }, "0.600"},
		{"no capacity", func(r *CoilRating) { r.TotalCapacity = 0 }, "capacity 0"},
		{"no airflow", func(r *CoilRating) { r.MassFlow = 0 }, "airflow 0"},
		{"suction above surface", func(r *CoilRating) { r.Evaporating = 20 }, "20.0"},
		{"three times the capacity", func(r *CoilRating) { r.TotalCapacity *= 5 }, "52750"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := good
			c.change(&r)
			_, err := NewCoil(r, GenericCurve())
			require.ErrorIs(t, err, ErrInput)
			t.Log(err)
			assert.Contains(t, err.Error(), c.says)
		})
	}
	_, err := NewCoil(good, nil)
	require.ErrorIs(t, err, ErrInput)
	coil, err := NewCoil(good, GenericCurve())
	require.NoError(t, err)
	_, err = coil.At(air.Moist{Temperature: 24, HumidityRatio: 0.009}, 0, 35, air.StandardPressure)
	require.ErrorIs(t, err, ErrInput)
	_, err = coil.At(air.Moist{Temperature: 24, HumidityRatio: 0.009}, 0.05, 35, air.StandardPressure)
	require.ErrorIs(t, err, ErrBeyondRange)
}

// Beyond the range the heat pump refuses, in figures; inside, warm air entering costs capacity and power.
func TestHeatPumpRefusesBeyondItsRange(t *testing.T) {
	p := HeatPump{RatedCapacity: 10000, RatedEIR: 0.3, Outdoor: celsius(47)}
	q, w, err := p.At(celsius(70))
	require.NoError(t, err)
	assert.InEpsilon(t, 10000, q, 0.02)
	assert.InEpsilon(t, 3000, w, 0.03)
	_, _, err = p.At(celsius(90))
	require.ErrorIs(t, err, ErrBeyondRange)
	assert.Contains(t, err.Error(), "90.0 °F")
	p.Outdoor = celsius(-20)
	_, _, err = p.At(celsius(70))
	require.ErrorIs(t, err, ErrBeyondRange)
	p.RatedCapacity = -1
	_, _, err = p.At(celsius(70))
	require.ErrorIs(t, err, ErrInput)
	// In a loop with a bypass the network solver finds the state, then passes the refusal on.
	n := furnaceLoop(0.4, celsius(70), 0, 0)
	n.Branches[1].Device = HeatPump{RatedCapacity: 8000, Outdoor: celsius(47)}
	_, err = solve(n)
	require.ErrorIs(t, err, ErrBeyondRange)
}

// A device out of its range takes part in the balance and is refused by Check: Balance and Check together are Solve.
func TestBalanceAsksNoDevice(t *testing.T) {
	e := threeTon(t)
	n := &Network{Pressure: air.StandardPressure,
		Nodes:    []Node{{Reservoir: true, State: air.Moist{Temperature: 24, HumidityRatio: 0.009}}, {}},
		Branches: []Branch{{From: 0, To: 1, MassFlow: 0.06, Device: Cooler{e.Default, 35}}, {From: 1, To: 0, MassFlow: 0.06}}}
	var s Solver
	sol, err := s.Balance(n)
	require.NoError(t, err)
	require.ErrorIs(t, s.Check(n), ErrBeyondRange)
	_, err = solve(n)
	require.ErrorIs(t, err, ErrBeyondRange)
	// What it gives is the end of the model: air that is touched leaves saturated at −40 °C, the rest passes.
	held, err := e.Default.Held(n.Nodes[0].State, 0.06, 35, n.Pressure)
	require.NoError(t, err)
	assert.InDelta(t, -40, held.Surface, 1e-6)
	assert.InEpsilon(t, held.Total, -sol.Branches[0].DeviceHeat, 1e-9)
	cold, err := air.Saturated(-40, n.Pressure)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.06*(1-held.BypassFactor)*(n.Nodes[0].State.Enthalpy()-cold.Enthalpy()), held.Total, 1e-9)
	// Within its range Held is At.
	at, err := e.Default.At(n.Nodes[0].State, 0.6, 35, n.Pressure)
	require.NoError(t, err)
	same, err := e.Default.Held(n.Nodes[0].State, 0.6, 35, n.Pressure)
	require.NoError(t, err)
	assert.Equal(t, at, same)
}
