package clock_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/clock"
)

// steady is a climate that never changes, in SI.
type steady struct {
	season    clock.Season
	out       float64
	set       []float64
	air, mass []float64
}

func (s *steady) At(_ int, into *clock.Interval) {
	into.Season, into.Outdoor = s.season, s.out
	copy(into.Set, s.set)
	copy(into.ToAir, s.air)
	copy(into.ToMass, s.mass)
}

// A zone of air and mass without a machine follows the sum of two exponentials. The values are computed
// from the closed form of the two equations, in °F and hours.
func TestTwoNodesFollowTheClosedForm(t *testing.T) {
	zone := clock.Zone{Air: 500 * btuF, Mass: 4000 * btuF, AirLoss: 120 * uaIP, MassLoss: 60 * uaIP, AirToMass: 1600 * uaIP}
	assert.InEpsilon(t, 177.831*uaIP, zone.Conductance(), 1e-5)
	h := &clock.House{Zones: []clock.Zone{zone}, Thermostat: clock.Thermostat{Lag: 360, Band: 0.3}}
	got := map[float64]float64{}
	want := map[float64]float64{60: 69.805288, 360: 68.971901, 1800: 66.824062, 3600: 65.598183, 18000: 59.012303, 72000: 41.839880}
	_, err := clock.Run(h, nil, &steady{season: clock.Heating, out: celsius(20), set: []float64{celsius(70)}}, clock.Options{Steps: 21, SampleEvery: 60,
		Sample: func(s clock.Sample) { got[s.Time] = fahrenheit(s.Air[0]) }})
	require.NoError(t, err)
	for at, w := range want {
		assert.InDelta(t, w, got[at], 1e-6, "%g s", at)
	}
}

// A zone of one node that switches its heat by a bare dead band of 1 °F around 70 °F: how long it
// is on and off follows from t = C/UA ln((T∞ − T0)/(T∞ − T1)), computed here from the closed form.
// Its cycle rate is within 4e-5 of the parabola Q X (1 − X)/(C d) (form from memory).
func TestDeadBandFollowsTheClosedForm(t *testing.T) {
	const ua, c, q, quick = 300.0, 5000.0, 45000.0, 1e-4 // Btu/(h °F), Btu/°F, Btu/h, s
	for _, out := range []float64{50, 30, 10, -10} {
		lag := c / ua * hours
		free := out + q/ua
		on := lag * math.Log((free-69.5)/(free-70.5))
		off := lag * math.Log((70.5-out)/(69.5-out))

		zone := clock.Zone{Air: c * btuF, AirLoss: ua * uaIP, Mass: 1, AirToMass: 1e-6}
		h := &clock.House{Zones: []clock.Zone{zone},
			Thermostat: clock.Thermostat{Lag: quick, Band: 1 / 1.8},
			Heating:    &clock.Machine{Lag: quick, OffLag: quick, MinimumOff: quick}}
		const g = 1e-7                  // W/K
		rise := []float64{q * btuh / g} // K
		source := &always{clock.Supply{Rate: []float64{g}, Rise: rise, Output: 1}}
		climate := &steady{season: clock.Heating, out: celsius(out), set: []float64{celsius(70)}}
		l, err := clock.Run(h, source, climate, clock.Options{Steps: 48, Start: climate.set})
		require.NoError(t, err)
		runs, begun := l.Heating.Runs, l.Heating.Begun
		require.Greater(t, len(runs), 20)
		assert.InDelta(t, on, runs[10], 0.01, "on, s, at %g °F", out)
		assert.InDelta(t, off, begun[11]-begun[10]-runs[10], 0.01, "off, s, at %g °F", out)

		x, rate := on/(on+off), hours/(begun[11]-begun[10])
		assert.InEpsilon(t, q/c*x*(1-x), rate, 4e-5, "cycles per hour at %g °F", out)
	}
}

// own gives every zone that calls its own heat at once, and moves no air that mixes them.
type own struct {
	watts float64
	made  map[uint32]*clock.Supply
}

func (o *own) At(c clock.Call, _ clock.Conditions) (*clock.Supply, error) {
	if s := o.made[c.Zones]; s != nil {
		return s, nil
	}
	const g = 1e-7 // W/K
	s := &clock.Supply{Output: 1}
	for i := range 2 {
		rise := 0.0
		if c.Has(i) {
			rise = o.watts / g
		}
		s.Rate, s.Rise = append(s.Rate, g), append(s.Rise, rise)
	}
	if o.made == nil {
		o.made = map[uint32]*clock.Supply{}
	}
	o.made[c.Zones] = s
	return s, nil
}

// Two coupled zones of one node each that switch their own heat by a bare dead band: the events were
// computed apart, the first of them with 30 digits. A sensor and a machine of 0.1 ms stand in for
// none, which moves an event by about as much.
func TestTwoZonesSwitchOnTime(t *testing.T) {
	const quick = 1e-4
	zone := func(c, ua float64) clock.Zone {
		return clock.Zone{Air: c * btuF, AirLoss: ua * uaIP, Mass: 1, AirToMass: 1e-6}
	}
	k := 100 * uaIP
	h := &clock.House{Zones: []clock.Zone{zone(5000, 150), zone(3000, 120)}, Between: [][]float64{{0, k}, {k, 0}},
		Thermostat: clock.Thermostat{Lag: quick, Band: 1 / 1.8},
		Heating:    &clock.Machine{Lag: quick, OffLag: quick, MinimumOff: quick}}
	var events []clock.Event
	l, err := clock.Run(h, &own{watts: 20000 * btuh}, &steady{season: clock.Heating, out: celsius(20), set: []float64{celsius(70), celsius(68)}},
		clock.Options{Steps: 24, Start: []float64{celsius(70), celsius(68)}, Event: func(e clock.Event) { events = append(events, e) }})
	require.NoError(t, err)
	var calls []clock.Event
	for _, e := range events {
		if len(calls) == 0 && e.Calling != 0 || len(calls) > 0 && e.Calling != calls[len(calls)-1].Calling {
			calls = append(calls, e)
		}
	}
	for i, w := range []struct {
		hour  float64
		zones uint32
	}{{.271456865, 2}, {.326182968, 3}, {.479719450, 1}, {.731994618, 0}, {1.021657422, 2}, {1.229578893, 0}, {1.381236677, 1},
		{1.768038379, 3}, {1.788292851, 2}, {1.975274139, 0}} {
		assert.InDelta(t, w.hour, calls[i].Time/hours, 1e-6, "event %d", i)
		assert.Equal(t, w.zones, calls[i].Calling, "event %d", i)
	}
	assert.Len(t, calls, 110)
	for zones, w := range map[uint32]float64{1: 6.744139, 2: 4.044068, 3: 2.605058} {
		assert.InDelta(t, w, state(l, zones).On/hours, 1e-4, "zones %b", zones)
	}
}

// A thermostat in a room that does not feel it cycles by its anticipation alone; its cycle rate is near
// the parabola N = 4 Nmax X (1 − X) (times from the closed form).
func TestAnticipatorCycles(t *testing.T) {
	for _, c := range []struct{ a, off, on, idle float64 }{
		{0.8, 0, 8.7980, 8.7980}, {0.8, 0.10, 6.5917, 14.3874}, {0.8, 0.14, 6.0129, 23.5910},
		{3.0, 0, 60 / 14.86007 / 2, 60 / 14.86007 / 2}, {3.0, 1.0, 60 * .15445 / 7.69655, 60 * (1 - .15445) / 7.69655},
	} {
		h := &clock.House{Zones: []clock.Zone{{Air: 1e15, Mass: 1e15, AirLoss: 1, MassLoss: 1, AirToMass: 1}},
			Thermostat: clock.Thermostat{Lag: 360, Band: 0.5 / 1.8, Anticipation: c.a / 1.8},
			Heating:    &clock.Machine{Lag: 60, OffLag: 60, MinimumOff: 1e-3}}
		source := &fixed{cfm: map[uint32][]float64{1: {100}}, watts: map[uint32]float64{}, output: 1000}
		h.Heating.Guards = []clock.Guard{{Name: "never", Opens: 1e6, Closes: 1e5}}
		set := 20.0
		l, err := clock.Run(h, source, &steady{season: clock.Heating, out: 10, set: []float64{set}},
			clock.Options{Steps: 48, Warm: 24, Start: []float64{set + c.off/1.8}})
		require.NoError(t, err)
		calls := l.Zones[0].Calls
		require.Greater(t, len(calls), 20)
		length := calls[len(calls)/2]
		assert.InEpsilon(t, c.on*60, length, 1e-4, "a = %g, D = %g", c.a, c.off)
		rate := float64(len(calls)) / 48
		assert.InDelta(t, 60/(c.on+c.idle), rate, 0.03, "a = %g, D = %g", c.a, c.off)
		x := c.on / (c.on + c.idle)
		most := c.a / (4 * 0.1 * 0.5)
		if c.a > 2 { // the parabola is the limit of a large anticipation
			assert.InEpsilon(t, 4*most*x*(1-x), rate, 0.03)
		}
	}
}

// A machine that starts by a first-order lag gives less than its capacity over a run, by what the
// published degradation says: PLF = 1 − τ/t (1 − e^(−t/τ)) where nothing is left of the run before.
func TestStartCostsWhatTheFirstOrderSays(t *testing.T) {
	for _, tau := range []float64{30, 60, 75, 90} {
		h := &clock.House{Zones: []clock.Zone{{Air: 1e15, Mass: 1e15, AirLoss: 1, MassLoss: 1, AirToMass: 1}},
			Thermostat: clock.Thermostat{Lag: 360, Band: 0.5 / 1.8, Anticipation: 0.8 / 1.8},
			Heating:    &clock.Machine{Lag: tau, OffLag: 1, MinimumOff: 1}}
		h.Heating.Guards = []clock.Guard{{Name: "never", Opens: 1e6, Closes: 1e5}}
		l, err := clock.Run(h, &fixed{cfm: map[uint32][]float64{1: {100}}, output: 1000},
			&steady{season: clock.Heating, out: 10, set: []float64{20}}, clock.Options{Steps: 24, Warm: 3, Start: []float64{20}})
		require.NoError(t, err)
		on := 8.7980 * 60
		assert.InDelta(t, 1-tau/on*(1-math.Exp(-on/tau)), l.Heating.Given/l.Heating.Made, 2e-4)
	}
}

// A call that the ducts cannot answer holds the machine off and is booked; other calls go on.
func TestCallWithoutAnAnswerIsBooked(t *testing.T) {
	h, source, climate := heatingDay()
	delete(source.cfm, 2)
	l, err := clock.Run(h, source, climate, clock.Options{Steps: 24, Start: []float64{celsius(64), celsius(62)}})
	require.NoError(t, err)
	require.Len(t, l.Failures, 1)
	assert.Equal(t, uint32(2), l.Failures[0].Call.Zones)
	assert.EqualError(t, l.Failures[0].Err, "no airflows of 10")
	assert.Greater(t, l.Failures[0].Count, 3)
	assert.Greater(t, l.Unsolved, 1800.0)
	assert.Greater(t, state(l, 1).On, 3600.0)
	assert.Zero(t, state(l, 2).On)
	assert.Less(t, l.Balance(), 1e-11)
}

func TestRefusals(t *testing.T) {
	good, source, climate := heatingDay()
	run := func(change func(h *clock.House)) error {
		h, _, _ := heatingDay()
		change(h)
		_, err := clock.Run(h, source, climate, clock.Options{Steps: 1})
		return err
	}
	for want, change := range map[string]func(h *clock.House){
		"0 zones; a house has 1 to 32":                               func(h *clock.House) { h.Zones = nil },
		"zone 2 has no capacity, no loss or no coupling to its mass": func(h *clock.House) { h.Zones[1].Air = math.NaN() },
		"the coupling of zones 1 and 2 is 3 W/K":                     func(h *clock.House) { h.Between[0][1] = 3 },
		"a thermostat of 0 s":                                        func(h *clock.House) { h.Thermostat.Lag = 0 },
		"heating: lags of -1 and 600 s":                              func(h *clock.House) { h.Heating.Lag = -1 },
		"heating: limit opens at 40 °C, closes at 46":                func(h *clock.House) { h.Heating.Guards[0].Opens = 40 },
		"heating: no minimum time at all": func(h *clock.House) {
			h.Heating.Start, h.Heating.Purge, h.Heating.MinimumOn, h.Heating.MinimumOff = 0, 0, 0, 0
		},
	} {
		assert.ErrorContains(t, run(change), want)
	}
	_, err := clock.Run(good, source, climate, clock.Options{Steps: -1})
	assert.ErrorContains(t, err, "-1 steps")
	assert.False(t, errors.Is(err, clock.ErrChatter))
}
