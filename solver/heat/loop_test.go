package heat

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/solver/air"
)

// steelLoop is the worked estimate: 64,000 Btu/h, 1200 CFM, 7 Btu/°F of steel, UA 213 Btu/(h·°F), return 70 °F.
func steelLoop(share float64) Loop {
	return Loop{MassFlow: dryMass(1200), SpecificHeat: tradeHeat, Share: share, Output: 64000 * btuh,
		Exchanger: Metal{Capacity: 7 * btuF, Conductance: 64000.0 / 300 * btuhF}, Return: celsius(70)}
}

// timeConstant is the closed form of the single-metal loop.
func timeConstant(l Loop) float64 {
	c := l.MassFlow * l.SpecificHeat
	e := -math.Expm1(-l.Exchanger.Conductance / c)
	return l.Exchanger.Capacity / c * (1/e + l.Share/(1-l.Share))
}

// fire follows the loop with the burner on and no limit.
func fire(l Loop, duration, step float64) ([]Sample, error) {
	c, err := l.Cycle(math.Inf(1), math.Inf(1), duration, step)
	return c.Samples, err
}

// The closed form of the linear loop at every sample: T_s = T_ret + rise/(1 − r) (1 − exp(−t/τ)).
func TestLoopMeetsTheClosedForm(t *testing.T) {
	for _, c := range []struct{ share, tau float64 }{{0, 128}, {0.25, 135}, {0.5, 148}} {
		l := steelLoop(c.share)
		tau := timeConstant(l)
		computed(t, fmt.Sprintf("time constant at share %g, s", c.share), c.tau, tau, 1)
		samples, err := fire(l, 900, 5)
		require.NoError(t, err)
		require.Len(t, samples, 181)
		rest, err := l.Steady()
		require.NoError(t, err)
		for _, s := range samples {
			want := l.Return + rest.Rise/(1-c.share)*-math.Expm1(-s.Time/tau)
			assert.InDelta(t, want, s.Leaving, 1e-9)
			assert.InDelta(t, s.Leaving, s.Supply, 1e-12, "no coil")
			assert.InDelta(t, l.Return+c.share*(s.Supply-l.Return), s.Entering, 1e-9)
		}
	}
	typical := TypicalExchanger(64000 * btuh)
	assert.InEpsilon(t, 7*btuF, typical.Capacity, 1e-4)
	assert.InEpsilon(t, 64000.0/300*btuhF, typical.Conductance, 1e-6)
}

// Times to a limit with τ = 110 s, rise 50 °F and return 70 °F, computed from the closed form.
func TestComputedTimesToLimit(t *testing.T) {
	for _, c := range []struct{ share, limit, seconds float64 }{
		{0.3, 140, 430}, {0.4, 140, 202}, {0.5, 140, 132}, {0.5, 160, 253}, {0.4, 160, math.Inf(1)}, {0.2, 140, math.Inf(1)},
	} {
		l := steelLoop(c.share)
		l.Output = 50 * fahr * l.MassFlow * l.SpecificHeat
		l.Exchanger.Capacity *= 110 / timeConstant(l)
		got, err := l.TimeTo(celsius(c.limit), math.Inf(1))
		require.NoError(t, err)
		if math.IsInf(c.seconds, 1) {
			assert.True(t, math.IsInf(got, 1), "share %g never reaches %g °F", c.share, c.limit)
			continue
		}
		computed(t, fmt.Sprintf("share %g to %g °F, s", c.share, c.limit), c.seconds, got, 1)
		exact := -110 * math.Log(1-(c.limit-70)*(1-c.share)/50)
		assert.InDelta(t, exact, got, 1e-5)
	}
}

// Cycling on the limit against the exact duty of the single-metal loop, on = τ ln((T∞ − T_c)/(T∞ − T_o)), off = τ ln((T_o −
// T_ret)/(T_c − T_ret)), and against the estimate by the mean temperature.
func TestLimitCycling(t *testing.T) {
	for _, c := range []struct{ share, rise, opens, closes, estimate float64 }{
		{0.5, 50, 160, 130, 0.75}, {0.4, 55, 150, 120, 0.71}, {0, 98.8, 160, 130, 0.76},
	} {
		l := steelLoop(c.share)
		l.Output = c.rise * fahr * l.MassFlow * l.SpecificHeat
		course, err := l.Cycle(celsius(c.opens), celsius(c.closes), 3600, 5)
		require.NoError(t, err)
		rest := 70 + c.rise/(1-c.share)
		tau := timeConstant(l)
		on := tau * math.Log((rest-c.closes)/(rest-c.opens))
		off := tau * math.Log((c.opens-70)/(c.closes-70))
		assert.InDelta(t, on, course.On, 1e-4)
		assert.InDelta(t, off, course.Off, 1e-4)
		assert.InDelta(t, tau*math.Log((rest-70)/(rest-c.opens)), course.FirstTrip, 1e-4)
		// Energy: over a full cycle the air carries away what the burner gives, whatever the metal did in between.
		assert.InEpsilon(t, course.Duty, (1-c.share)*(fahrenheit(course.MeanLeaving)-70)/c.rise, 1e-5)
		computed(t, "duty by the mean temperature", c.estimate, Recirculation{celsius(70), c.rise * fahr}.LimitDuty(c.share, celsius(c.opens), celsius(c.closes)), 0.006)
		assert.InDelta(t, c.estimate, course.Duty, 0.04, "the estimate is near the exact duty")
		for _, s := range course.Samples {
			assert.LessOrEqual(t, s.Sensor, celsius(c.opens)+1e-6)
		}
		assert.Greater(t, course.Trips, 5)
	}
	// A loop that settles below its limit never trips.
	course, err := steelLoop(0.2).Cycle(celsius(170), celsius(140), 3600, 10)
	require.NoError(t, err)
	assert.Zero(t, course.Trips)
	assert.Equal(t, 1.0, course.Duty)
	assert.True(t, math.IsInf(course.FirstTrip, 1))
}

// With coil metal and a room the loop has four lumps: the steady state, the stored heat and a second integrator (the
// adaptive one, on the equations as printed in Loop) must agree with the exponential.
func TestLoopWithCoilAndRoomMeetsTheIntegrator(t *testing.T) {
	l := steelLoop(0.45)
	l.FanHeat = 400
	l.Coil = Metal{Capacity: 9000, Conductance: 800}
	l.Room = &Room{Fast: 4e5, Mass: 6e6, Between: 600, Conductance: 90, Outdoor: -5, Gain: 300}
	l.Strip = 0.3
	samples, err := fire(l, 1800, 60)
	require.NoError(t, err)

	c := l.MassFlow * l.SpecificHeat
	e, ec := 1-math.Exp(-l.Exchanger.Conductance/c), 1-math.Exp(-l.Coil.Conductance/c)
	air := func(y []float64) (entering, leaving, supply float64) {
		// By fixed point, not by the closed form that Loop uses.
		supply = y[2]
		for range 200 {
			entering = (1-l.Share)*y[2] + l.Share*supply
			leaving = (entering+l.FanHeat/c)*(1-e) + e*y[0]
			supply = leaving + ec*(y[1]-leaving)
		}
		return entering, leaving, supply
	}
	g := newIntegrator(func(_ float64, y, dy []float64) error {
		entering, leaving, supply := air(y)
		dy[0] = (l.Output - e*c*(y[0]-entering-l.FanHeat/c)) / l.Exchanger.Capacity
		dy[1] = ec * c * (leaving - y[1]) / l.Coil.Capacity
		dy[2] = ((1-l.Share)*c*(supply-y[2]) - 600*(y[2]-y[3]) - 90*(y[2]+5) + 300) / l.Room.Fast
		dy[3] = 600 * (y[2] - y[3]) / l.Room.Mass
		return nil
	}, 1e-10, []float64{1e-9, 1e-9, 1e-9, 1e-9})
	y := []float64{l.Return, l.Return, l.Return, l.Return}
	h := 0.1
	for i, s := range samples[1:] {
		h, err = g.advance(float64(i)*60, float64(i+1)*60, y, h, nil)
		require.NoError(t, err)
		entering, leaving, supply := air(y)
		assert.InDelta(t, y[0], s.Exchanger, 1e-6)
		assert.InDelta(t, y[1], s.Coil, 1e-6)
		assert.InDelta(t, y[2], s.Room, 1e-6)
		assert.InDelta(t, y[3], s.Mass, 1e-6)
		assert.InDelta(t, leaving+0.3*(supply-entering), s.Sensor, 1e-6)
	}
	limit := samples[10].Sensor
	at, err := l.TimeTo(limit, 3600)
	require.NoError(t, err)
	assert.InDelta(t, samples[10].Time, at, 1e-3)
	_, err = l.TimeTo(limit, math.Inf(1))
	require.ErrorIs(t, err, ErrInput)
}

// A loop trips earlier, or not later, with more recirculation and with less mixing at the sensor.
func TestTimeToLimitIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		share := rapid.Float64Range(0, 0.8).Draw(t, "share")
		limit := celsius(rapid.Float64Range(110, 200).Draw(t, "limit"))
		a := steelLoop(share)
		b := steelLoop(share + 0.1)
		c := a
		c.Strip = rapid.Float64Range(0, 1).Draw(t, "unmixed")
		times := [3]float64{}
		for i, l := range []Loop{a, b, c} {
			x, err := l.TimeTo(limit, math.Inf(1))
			if err != nil {
				t.Fatal(err)
			}
			times[i] = x
		}
		if times[1] > times[0] || times[2] > times[0]+1e-6 {
			t.Fatal(times)
		}
	})
}

func TestLoopsThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Loop)
	}{
		{"no flow", func(l *Loop) { l.MassFlow = 0 }},
		{"all recirculated", func(l *Loop) { l.Share = 1 }},
		{"no metal", func(l *Loop) { l.Exchanger.Capacity = 0 }},
		{"NaN output", func(l *Loop) { l.Output = math.NaN() }},
		{"mixing figure", func(l *Loop) { l.Strip = -0.1 }},
		{"room without air", func(l *Loop) { l.Room = &Room{} }},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := steelLoop(0.3)
			c.change(&l)
			_, err := fire(l, 60, 1)
			require.ErrorIs(t, err, ErrInput)
		})
	}
	_, err := steelLoop(0.3).Cycle(60, 70, 60, 1)
	require.ErrorIs(t, err, ErrInput)
	_, err = fire(steelLoop(0.3), 1e9, 1)
	require.ErrorIs(t, err, ErrInput)
}

// The integrator on problems with known solutions: decay, oscillation, and its order.
func TestIntegratorOnKnownProblems(t *testing.T) {
	oscillator := func(_ float64, y, dy []float64) error { dy[0], dy[1] = y[1], -y[0]; return nil }
	g := newIntegrator(oscillator, 1e-10, []float64{1e-12, 1e-12})
	y := []float64{1, 0}
	_, err := g.advance(0, 10, y, 0.1, nil)
	require.NoError(t, err)
	assert.InDelta(t, math.Cos(10), y[0], 1e-8)
	assert.InDelta(t, -math.Sin(10), y[1], 1e-8)
	// One step of length h has an error that falls as h⁶.
	errorAt := func(h float64) float64 {
		y := []float64{1, 0}
		require.NoError(t, g.f(0, y, g.k[0]))
		_, err := g.step(0, y, h)
		require.NoError(t, err)
		return math.Hypot(g.next[0]-math.Cos(h), g.next[1]+math.Sin(h))
	}
	assert.InDelta(t, 6, math.Log2(errorAt(0.4)/errorAt(0.2)), 0.3)
}

func coolingLoopCourse(t *testing.T, share, room_, outdoor, perTon float64) CoolingLoop {
	coil := threeTon(t).Default
	return CoolingLoop{
		Coil: coil, Return: room(t, room_, 0.5), MassFlow: dryMass(3 * perTon), Outdoor: celsius(outdoor), Pressure: air.StandardPressure,
		Share: share, Capacity: TypicalCoilMetal(36000 * btuh), StartUp: 70,
	}
}

// The course of a cooling loop ends where the steady loop stands, wet or dry.
func TestCoolingCourseEndsAtRest(t *testing.T) {
	for _, c := range []struct {
		name            string
		share, humidity float64
	}{{"no bypass", 0, 0.5}, {"third", 0.33, 0.5}, {"half", 0.5, 0.5}, {"dry", 0.2, 0.2}} {
		for _, startUp := range []float64{0, 70} {
			l := coolingLoopCourse(t, c.share, 75, 95, 400)
			l.Return = room(t, 75, c.humidity)
			l.StartUp = startUp
			l.FanHeat = 300
			course, err := l.Run(3600, 60, -100)
			require.NoError(t, err)
			rest, entering, err := l.at(c.share)
			require.NoError(t, err)
			end := course.Samples[len(course.Samples)-1]
			assert.InDelta(t, rest.Surface, end.Surface, 1e-5, c.name)
			assert.InDelta(t, rest.Evaporating, end.Evaporating, 1e-5, c.name)
			assert.InDelta(t, rest.Total, end.Capacity, 0.05, c.name)
			assert.InDelta(t, entering.Temperature, end.Entering.Temperature, 1e-5, c.name)
			assert.InDelta(t, rest.Leaving.HumidityRatio, end.Supply.HumidityRatio, 1e-8, c.name)
			assert.Equal(t, rest.Dry, end.Dry, c.name)
		}
	}
}

// Frost comes where the steady loop says it must, sooner with more bypass, and not at all where the loop settles above.
func TestTimeToFrost(t *testing.T) {
	last := math.Inf(1)
	for _, share := range []float64{0.1, 0.35, 0.4, 0.45, 0.5, 0.55} {
		l := coolingLoopCourse(t, share, 72, 75, 350)
		limit, err := l.shareAtEvaporating(0)
		require.NoError(t, err)
		course, err := l.Run(3600, 30, 0)
		require.NoError(t, err)
		if share < limit {
			assert.True(t, math.IsInf(course.FrostAt, 1))
			continue
		}
		assert.Less(t, course.FrostAt, last)
		last = course.FrostAt
		// The samples bracket the instant.
		for _, s := range course.Samples {
			assert.Equal(t, s.Time >= course.FrostAt, s.Evaporating <= 1e-9, "share %g at %g s", share, s.Time)
		}
		// A cold strip frosts sooner.
		l.Strip = 0.3
		strip, err := l.Run(3600, 30, 0)
		require.NoError(t, err)
		assert.Less(t, strip.FrostAt, course.FrostAt)
	}
	require.False(t, math.IsInf(last, 1), "some share frosts")
}

// A room that warms back: its return falls as it is cooled, and the heat that left it went into the coil.
func TestCoolingCourseWithRoomBalances(t *testing.T) {
	l := coolingLoopCourse(t, 0.3, 75, 95, 400)
	l.Return = room(t, 75, 0.2) // dry, so that all heat is sensible
	l.StartUp = 0
	l.Room = &Room{Fast: 5e5}
	course, err := l.Run(600, 1, -100)
	require.NoError(t, err)
	taken := 0.0
	for i, s := range course.Samples[1:] {
		taken += (s.Capacity + course.Samples[i].Capacity) / 2
	}
	end := course.Samples[len(course.Samples)-1]
	stored := 5e5*(l.Return.Temperature-end.Room) + l.Capacity*(l.Return.Temperature-end.Surface)
	assert.InEpsilon(t, taken, stored, 1e-4)
	assert.True(t, end.Dry)
}

func TestCoolingLoopsThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*CoolingLoop)
	}{
		{"no coil", func(l *CoolingLoop) { l.Coil = nil }},
		{"all recirculated", func(l *CoolingLoop) { l.Share = 1 }},
		{"no metal", func(l *CoolingLoop) { l.Capacity = 0 }},
		{"negative start-up", func(l *CoolingLoop) { l.StartUp = -1 }},
		{"mixing figure", func(l *CoolingLoop) { l.Strip = 2 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := coolingLoopCourse(t, 0.3, 75, 95, 400)
			c.change(&l)
			_, err := l.Run(60, 1, 0)
			require.ErrorIs(t, err, ErrInput)
		})
	}
}

// With the leaving air at rest under the limit, and the sensor in a strip of unmixed air over it, the limit opens all the same.
func TestUnmixedStripAloneReachesTheLimit(t *testing.T) {
	l := steelLoop(0.4)
	l.Strip = 0.3
	steady, err := l.Steady()
	require.NoError(t, err)
	leaving, sensor := steady.Leaving(l.Share), steady.Leaving(l.Share)+0.3*steady.Rise
	between := (leaving + sensor) / 2
	reached, err := l.TimeTo(between, math.Inf(1))
	require.NoError(t, err)
	require.False(t, math.IsInf(reached, 1))
	// One metal: the sensor comes to its rest like the leaving air, by 1 − exp(−t/τ).
	want := -timeConstant(l) * math.Log(1-(between-l.Return)/(sensor-l.Return))
	assert.InEpsilon(t, want, reached, 1e-6)
	never, err := l.TimeTo(sensor+0.01, math.Inf(1))
	require.NoError(t, err)
	assert.True(t, math.IsInf(never, 1))
}

func BenchmarkTimeTo(b *testing.B) {
	l := steelLoop(0.5)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := l.TimeTo(celsius(160), math.Inf(1)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCoolingCourse(b *testing.B) {
	coil := threeTon(b).Default
	l := CoolingLoop{Coil: coil, Return: room(b, 72, 0.5), MassFlow: dryMass(1050), Outdoor: celsius(75), Pressure: air.StandardPressure,
		Share: 0.4, Capacity: 9000, StartUp: 70}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := l.Run(900, 10, 0); err != nil {
			b.Fatal(err)
		}
	}
}
