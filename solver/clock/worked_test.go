package clock_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/clock"
)

// The worked days are a house of two zones that was computed by another program, in another language,
// whose equations were held to an 8th-order integrator; it shares no code with this one. The numbers
// are typed from its page. They are no measurements.

// Units of the trade.
const (
	btu   = 1055.05585262 // J
	btuh  = btu / 3600    // W
	btuF  = btu * 1.8     // J/K per Btu/°F
	uaIP  = btuh * 1.8    // W/K per Btu/(h °F)
	hours = 3600.0
	cfmIP = 1.08 * uaIP // W/K of 1 cfm, with the trade's 1.08
)

func celsius(f float64) float64    { return (f - 32) / 1.8 }
func fahrenheit(c float64) float64 { return c*1.8 + 32 }

// fixed is a source that knows every call's airflows, as cfm per zone and watts of the blower.
type fixed struct {
	cfm      map[uint32][]float64
	watts    map[uint32]float64
	output   float64 // Btu/h
	input    float64 // W
	capacity func(outdoor float64) float64
	made     map[string]*clock.Supply
}

func (f *fixed) At(c clock.Call, at clock.Conditions) (*clock.Supply, error) {
	share := 1.0
	if f.capacity != nil {
		share = f.capacity(fahrenheit(at.Outdoor))
	}
	key := fmt.Sprintf("%d %.9f", c.Zones, share)
	if s := f.made[key]; s != nil {
		return s, nil
	}
	cfm, ok := f.cfm[c.Zones]
	if !ok {
		return nil, fmt.Errorf("no airflows of %b", c.Zones)
	}
	total := 0.0
	for _, q := range cfm {
		total += q
	}
	s := &clock.Supply{Output: share * f.output * btuh, Input: f.input, Blower: f.watts[c.Zones]}
	rise := float64(c.Season) * share * f.output / (1.08 * total) / 1.8
	for _, q := range cfm {
		s.Rate = append(s.Rate, q*cfmIP)
		s.Rise = append(s.Rise, rise)
	}
	s.Guards = []float64{rise}
	if f.made == nil {
		f.made = map[string]*clock.Supply{}
	}
	f.made[key] = s
	return s, nil
}

// byHour is a climate of functions of the hour, in °F and Btu/h.
type byHour struct {
	season      clock.Season
	out         func(k int) float64
	set         []func(k int) float64
	sun, within []func(k int) float64
}

func (b *byHour) At(k int, into *clock.Interval) {
	into.Season, into.Outdoor = b.season, celsius(b.out(k))
	for i := range b.set {
		into.Set[i] = celsius(b.set[i](k))
		into.ToAir[i] = (0.4*b.sun[i](k) + b.within[i](k)) * btuh
		into.ToMass[i] = 0.6 * b.sun[i](k) * btuh
	}
}

func halfSine(peak, from, to float64) func(int) float64 {
	return func(k int) float64 {
		h := float64(k%24) + 0.5
		if h < from || h > to {
			return 0
		}
		return peak * math.Sin(math.Pi*(h-from)/(to-from))
	}
}

func either(when func(h int) bool, yes, no float64) func(int) float64 {
	return func(k int) float64 {
		if when(k % 24) {
			return yes
		}
		return no
	}
}

// twoZones is the house of both days: a day zone of 1,000 ft² and a night zone of 820.
func twoZones() *clock.House {
	zone := func(air, mass, airLoss, massLoss, between float64) clock.Zone {
		return clock.Zone{Air: air * btuF, Mass: mass * btuF, AirLoss: airLoss * uaIP, MassLoss: massLoss * uaIP, AirToMass: between * uaIP}
	}
	k := 100 * uaIP
	return &clock.House{
		Zones:      []clock.Zone{zone(500, 4000, 120, 60, 1600), zone(400, 3200, 90, 50, 1280)},
		Between:    [][]float64{{0, k}, {k, 0}},
		Thermostat: clock.Thermostat{Lag: 360, Band: 0.5 / 1.8, Anticipation: 0.8 / 1.8},
	}
}

var within = []func(int) float64{
	either(func(h int) bool { return h == 7 || h == 8 || h >= 17 && h < 22 }, 2400, 800),
	either(func(h int) bool { return h >= 22 || h < 7 }, 800, 300),
}

func heatingDay() (*clock.House, *fixed, *byHour) {
	h := twoZones()
	h.Heating = &clock.Machine{Lag: 90, OffLag: 600, Start: 45, Purge: 90, MinimumOn: 120, MinimumOff: 180,
		Guards: []clock.Guard{{Name: "limit", Opens: celsius(135), Closes: celsius(115)}}}
	return h, &fixed{
			cfm:    map[uint32][]float64{3: {560, 440}, 1: {620, 90}, 2: {110, 520}},
			watts:  map[uint32]float64{3: 500, 1: 440, 2: 430},
			output: 45000, input: 56250 * btuh,
		}, &byHour{
			season: clock.Heating,
			out:    func(k int) float64 { return 22 + 7*math.Cos(2*math.Pi*(float64(k%24)+0.5-15)/24) },
			set: []func(int) float64{
				either(func(h int) bool { return h >= 6 && h < 22 }, 70, 64),
				either(func(h int) bool { return h == 6 || h == 7 || h >= 18 && h < 22 }, 68, 62),
			},
			sun: []func(int) float64{halfSine(4000, 9, 17), halfSine(2000, 8, 12)}, within: within,
		}
}

// Hourly shares of the daily range below the day's highest temperature, from 0 h (ASHRAE, 2009 and
// later, second-hand).
var dailyRange = [24]float64{.82, .88, .92, .95, .98, 1, .98, .91, .74, .55, .38, .23, .13, .05, 0, 0, .06, .14, .24, .39, .50, .59, .68, .75}

func coolingDay() (*clock.House, *fixed, *byHour) {
	h := twoZones()
	h.Cooling = &clock.Machine{Lag: 75, OffLag: 600, Start: 15, MinimumOn: 300, MinimumOff: 300,
		Guards: []clock.Guard{{Name: "cut-out", Opens: celsius(42), Closes: celsius(55), Hold: 300, CutOut: true}}}
	return h, &fixed{
			cfm:    map[uint32][]float64{3: {460, 340}, 1: {500, 60}, 2: {80, 400}},
			watts:  map[uint32]float64{3: 400, 1: 340, 2: 330},
			output: 18000, input: 2000, capacity: func(out float64) float64 { return math.Round((1-0.005*(out-95))*1e9) / 1e9 },
		}, &byHour{
			season: clock.Cooling,
			out:    func(k int) float64 { return 95 - 20*dailyRange[k%24] },
			set: []func(int) float64{
				either(func(h int) bool { return h >= 7 && h < 22 }, 75, 79),
				either(func(h int) bool { return h >= 20 || h < 7 }, 74, 78),
			},
			sun: []func(int) float64{halfSine(4500, 11, 19), halfSine(3500, 6, 13)}, within: within,
		}
}

// state finds the time of a call state in a ledger.
func state(l *clock.Ledger, zones uint32) clock.StateTime {
	for _, s := range l.States {
		if s.Call.Zones == zones {
			return s
		}
	}
	return clock.StateTime{}
}

func trips(l *clock.Ledger) (all []clock.Trip) {
	for _, s := range l.States {
		all = append(all, s.Trips...)
	}
	return all
}

const second = 1.0 / 3600 // h

func TestWorkedHeatingDay(t *testing.T) {
	h, source, climate := heatingDay()
	start := []float64{celsius(64), celsius(62)}
	var events []clock.Event
	at := map[float64][2]float64{}
	l, err := clock.Run(h, source, climate, clock.Options{Steps: 24, Start: start,
		Event:       func(e clock.Event) { events = append(events, e) },
		SampleEvery: 3600,
		Sample:      func(s clock.Sample) { at[s.Time/hours] = [2]float64{fahrenheit(s.Air[0]), fahrenheit(s.Air[1])} }})
	require.NoError(t, err)

	want := []struct {
		hour  float64
		mode  clock.Mode
		zones uint32
	}{{.0483053, clock.Starting, 1}, {.0527054, clock.Starting, 3}, {.0608053, clock.On, 3}, {.1295686, clock.On, 1},
		{.1386437, clock.Purging, 0}, {.1636437, clock.Off, 0}, {.3540432, clock.Starting, 2}, {.3665432, clock.On, 2},
		{.3990938, clock.On, 3}, {.4232078, clock.On, 1}, {.4500140, clock.Purging, 0}, {.4750140, clock.Off, 0}}
	seen := changes(events)
	for i, w := range want {
		e := seen[i]
		assert.InDelta(t, w.hour, e.Time/hours, second, "event %d", i)
		assert.Equal(t, w.mode, e.Mode, "event %d", i)
		assert.Equal(t, w.zones, e.Calling, "event %d", i)
	}
	for hour, w := range map[float64][2]float64{3: {65.7352, 63.3031}, 6: {63.9570, 61.4644}, 9: {69.5961, 62.9173}, 12: {72.5255, 63.7149},
		15: {72.3257, 63.4571}, 18: {71.7272, 63.4693}, 21: {70.8137, 69.8767}} {
		assert.InDelta(t, w[0], at[hour][0], 1e-3, "zone 1 at %g h", hour)
		assert.InDelta(t, w[1], at[hour][1], 1e-3, "zone 2 at %g h", hour)
	}

	for zones, w := range map[uint32]float64{3: 2.32393, 1: 2.52117, 2: 1.89698} {
		assert.InDelta(t, w, state(l, zones).On/hours, second, "on, zones %b", zones)
	}
	assert.InDelta(t, .07563, state(l, 2).Limited/hours, second)
	assert.InDelta(t, 1.37651, state(l, 1).Purging/hours, second)
	assert.InDelta(t, .47500, state(l, 2).Purging/hours, second)
	assert.InDelta(t, .93750, l.Starting/hours, second)
	assert.InDelta(t, 14.39328, l.Off/hours, second)

	m := &l.Heating
	require.Len(t, m.Runs, 75)
	assert.InDelta(t, 5.454, mean(m.Runs)/60, 0.001)
	assert.InDelta(t, 22.487, most(m.Runs)/60, 0.001)
	require.Len(t, l.Zones[0].Calls, 68)
	require.Len(t, l.Zones[1].Calls, 56)
	assert.InDelta(t, 4.838, mean(l.Zones[0].Calls)/60, 0.001)
	assert.InDelta(t, 5.309, mean(l.Zones[1].Calls)/60, 0.001)

	for name, w := range map[string][2]float64{
		"input": {379242.2, m.Input / btu}, "delivered": {283878.9, m.Given / btu}, "lost": {18605.1, m.Lost / btu},
		"blower, Wh": {3929.42, m.Blower / hours}, "envelope": {-338697.5, l.Envelope / btu}, "gains": {67829.6, l.Gains / btu},
		"burner, h": {6.742083, m.On / hours},
	} {
		assert.InEpsilon(t, w[0], w[1], 1e-5, name)
	}
	assert.InDelta(t, 68.60354, fahrenheit(l.Zones[0].Mean), 1e-4)
	assert.InDelta(t, 64.13448, fahrenheit(l.Zones[1].Mean), 1e-4)
	opened := []float64{18.19489, 18.25472, 18.59706, 18.91465, 19.69660, 20.00483, 20.32260, 20.63659, 20.94473, 21.24545, 21.53851, 21.82724}
	found := trips(l)
	require.Len(t, found, len(opened))
	for i, w := range opened {
		assert.InDelta(t, w, found[i].Time/hours, second, "trip %d", i)
	}
	assert.Less(t, l.Balance(), 1e-11)
}

func TestWorkedHeatingDays(t *testing.T) {
	h, source, climate := heatingDay()
	l, err := clock.Run(h, source, climate, clock.Options{Steps: 48, Start: []float64{celsius(64), celsius(62)}})
	require.NoError(t, err)
	m := &l.Heating
	assert.Equal(t, 153, m.Starts)
	assert.InEpsilon(t, 13.217895, m.On/hours, 1e-5)
	assert.InEpsilon(t, 743506.6, m.Input/btu, 1e-5)
	assert.InEpsilon(t, 557015.2, m.Given/btu, 1e-5)
	assert.InEpsilon(t, 7773.21, m.Blower/hours, 1e-5)
	assert.Len(t, trips(l), 24)
}

func TestWorkedCoolingDay(t *testing.T) {
	h, source, climate := coolingDay()
	start := []float64{celsius(77), celsius(77)}
	at := map[float64][2]float64{}
	l, err := clock.Run(h, source, climate, clock.Options{Steps: 24, Start: start, SampleEvery: 3600,
		Sample: func(s clock.Sample) { at[s.Time/hours] = [2]float64{fahrenheit(s.Air[0]), fahrenheit(s.Air[1])} }})
	require.NoError(t, err)
	for zones, w := range map[uint32][2]float64{3: {1.76900, 0}, 1: {4.76722, .07343}, 2: {2.50316, 3.05517}} {
		s := state(l, zones)
		assert.InDelta(t, w[0], s.On/hours, second, "on, zones %b", zones)
		assert.InDelta(t, w[1], s.Limited/hours, second, "stopped, zones %b", zones)
	}
	assert.InDelta(t, .4, l.Starting/hours, second)
	assert.InDelta(t, 11.43202, l.Off/hours, second)
	m := &l.Cooling
	require.Len(t, m.Runs, 96)
	assert.InDelta(t, 7.605, mean(m.Runs)/60, 0.001)
	assert.InDelta(t, 57.693, most(m.Runs)/60, 0.001)
	assert.InEpsilon(t, 18078.8, m.Input/hours, 1e-5)
	assert.InEpsilon(t, 4187.67, m.Blower/hours, 1e-5)
	assert.InEpsilon(t, 156858.0, m.Given/btu, 1e-5)
	assert.InEpsilon(t, 12431.1, m.Lost/btu, 1e-4)
	assert.Len(t, state(l, 2).Trips, 63)
	assert.Len(t, state(l, 1).Trips, 3)
	assert.Equal(t, 66, m.CutOuts)
	assert.InDelta(t, 75.54381, fahrenheit(l.Zones[0].Mean), 1e-4)
	assert.InDelta(t, 75.81408, fahrenheit(l.Zones[1].Mean), 1e-4)
	for hour, w := range map[float64][2]float64{9: {75.4618, 76.3774}, 15: {74.7386, 77.6052}, 21: {75.3347, 74.3589}} {
		assert.InDelta(t, w[0], at[hour][0], 1e-3, "zone 1 at %g h", hour)
		assert.InDelta(t, w[1], at[hour][1], 1e-3, "zone 2 at %g h", hour)
	}
	assert.Less(t, l.Balance(), 1e-11)
}

// A cut-out that resets by temperature alone cycles shorter than one that holds.
func TestWorkedCoolingDaysWithoutHold(t *testing.T) {
	for hold, want := range map[float64][2]int{300: {117, 6}, 0: {169, 8}} {
		h, source, climate := coolingDay()
		h.Cooling.Guards[0].Hold = hold
		l, err := clock.Run(h, source, climate, clock.Options{Steps: 48, Start: []float64{celsius(77), celsius(77)}})
		require.NoError(t, err)
		assert.Equal(t, 188, l.Cooling.Starts)
		assert.Len(t, state(l, 2).Trips, want[0])
		assert.Len(t, state(l, 1).Trips, want[1])
	}
}

// The fifth day in a row, when the start is forgotten: how the alternatives and a mass that nobody
// knows compare.
func TestWorkedAlternatives(t *testing.T) {
	for name, c := range map[string]struct {
		one, two, watts []float64
		mass            float64
		runs, trips     int
		longest, input  float64
	}{
		"bypass":       {[]float64{620, 90}, []float64{110, 520}, []float64{500, 440, 430}, 1, 80, 13, 20.5, 363662},
		"no bypass":    {[]float64{690, 100}, []float64{125, 640}, []float64{500, 420, 410}, 1, 76, 0, 20.0, 363343},
		"bleed":        {[]float64{620, 330}, []float64{420, 520}, []float64{500, 480, 480}, 1, 69, 0, 22.5, 368158},
		"large bypass": {[]float64{500, 70}, []float64{80, 400}, []float64{500, 480, 480}, 1, 77, 90, 22.9, 357336},
		"half mass":    {[]float64{620, 90}, []float64{110, 520}, []float64{500, 440, 430}, 0.5, 95, 15, 15.2, 367544},
		"double mass":  {[]float64{620, 90}, []float64{110, 520}, []float64{500, 440, 430}, 2, 69, 9, 31.7, 363069},
	} {
		t.Run(name, func(t *testing.T) {
			h, source, climate := heatingDay()
			for i := range h.Zones {
				h.Zones[i].Air *= c.mass
				h.Zones[i].Mass *= c.mass
			}
			source.cfm[1], source.cfm[2] = c.one, c.two
			source.watts = map[uint32]float64{3: c.watts[0], 1: c.watts[1], 2: c.watts[2]}
			climate.shift(96)
			l, err := clock.Run(h, source, climate, clock.Options{Warm: 96, Steps: 24, Start: []float64{celsius(64), celsius(62)}})
			require.NoError(t, err)
			if name == "large bypass" {
				// The page's program opens the dampers of the run before where a call ends while
				// the machine starts, which happens once here, on the third day. Ours stay where
				// that call moved them: see TestCallEndedInStartKeepsItsDampers. With the page's
				// rule ours gives 77, 90 and 357,335.5.
				assert.InDelta(t, c.runs, len(l.Heating.Runs), 1)
				assert.InDelta(t, c.trips, len(trips(l)), 2)
				assert.InEpsilon(t, c.input, l.Heating.Input/btu, 1.1e-3)
				return
			}
			assert.Equal(t, c.runs, len(l.Heating.Runs))
			assert.Len(t, trips(l), c.trips)
			assert.InDelta(t, c.longest, most(l.Heating.Runs)/60, 0.06)
			assert.InEpsilon(t, c.input, l.Heating.Input/btu, 1e-5)
		})
	}
}

// A call that ends while the machine starts is served for the minimum run with the dampers that it
// moved, not with those of the run before (our choice: a panel moves dampers before it asks for
// heat).
func TestCallEndedInStartKeepsItsDampers(t *testing.T) {
	h, source, climate := heatingDay()
	source.cfm[1], source.cfm[2] = []float64{500, 70}, []float64{80, 400}
	var moved, before uint32 // the zones whose dampers are open, now and in the run before
	type run struct {
		at            float64
		moved, before uint32
	}
	var ended []run
	mode := clock.Off
	opt := clock.Options{Steps: 120, Start: []float64{celsius(64), celsius(62)}}
	opt.Event = func(e clock.Event) {
		if e.Mode == clock.On && mode == clock.Starting && e.Calling == 0 {
			ended = append(ended, run{e.Time, moved, before})
		}
		switch {
		case e.Mode == clock.Purging && mode != clock.Purging:
			before = moved
		case e.Mode != clock.Off && e.Mode != clock.Purging && e.Calling != 0:
			moved = e.Calling
		}
		mode = e.Mode
	}
	l, err := clock.Run(h, source, climate, opt)
	require.NoError(t, err)
	differ := 0
	for _, r := range ended {
		found := false
		for _, v := range state(l, r.moved).Visits {
			found = found || v.Start == r.at
		}
		assert.True(t, found, "zones %b at %g h", r.moved, r.at/hours)
		if r.moved != r.before {
			differ++
		}
	}
	assert.Positive(t, differ, "the case must occur")
}

// shift lets a climate be asked for hours from −k on.
func (b *byHour) shift(k int) {
	later := func(f func(int) float64) func(int) float64 { return func(h int) float64 { return f(h + k) } }
	b.out = later(b.out)
	for _, all := range [][]func(int) float64{b.set, b.sun} {
		for i := range all {
			all[i] = later(all[i])
		}
	}
	b.within = []func(int) float64{later(b.within[0]), later(b.within[1])}
}

// changes are the events that differ from the one before in what is compared.
func changes(events []clock.Event) []clock.Event {
	var out []clock.Event
	for i, e := range events {
		if i == 0 || e.Mode != events[i-1].Mode || e.Calling != events[i-1].Calling {
			out = append(out, e)
		}
	}
	return out
}

func mean(all []float64) float64 {
	sum := 0.0
	for _, x := range all {
		sum += x
	}
	return sum / float64(len(all))
}

func most(all []float64) float64 {
	high := 0.0
	for _, x := range all {
		high = max(high, x)
	}
	return high
}
