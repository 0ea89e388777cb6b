package clock_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/clock"
)

// mild is a climate in which a house is heated at night and cooled by day. Mirrored, temperatures
// are as far below the middle of both set points as they were above.
type mild struct{ sign float64 }

const (
	middle  = 22.5 // °C
	halfGap = 1.5  // K
)

func (m mild) At(k int, into *clock.Interval) {
	into.Season = clock.Auto
	into.Outdoor = middle + m.sign*24*math.Sin(math.Pi*(float64(k)+0.5)/12)
	for i := range into.Set {
		into.Set[i], into.Cool[i] = middle-halfGap, middle+halfGap
		into.ToAir[i] = m.sign * 300 * float64(i+k%3-1)
		into.ToMass[i] = 0
	}
}

// alike heats and cools with the same power, all zones by their size.
type alike struct{ made map[clock.Call]*clock.Supply }

func (a *alike) At(c clock.Call, _ clock.Conditions) (*clock.Supply, error) {
	if s := a.made[c]; s != nil {
		return s, nil
	}
	s := &clock.Supply{Guards: []float64{}, Input: 3000, Blower: 400}
	for i := range 2 {
		rate := 20.0
		if c.Has(i) {
			rate = 250
		}
		s.Rate = append(s.Rate, rate)
		s.Rise = append(s.Rise, float64(c.Season)*18)
		s.Output += rate * 18
	}
	a.made[c] = s
	return s, nil
}

func bothWays(t *testing.T, sign, anticipation float64, log func(clock.Event)) *clock.Ledger {
	t.Helper()
	h := twoZones()
	h.Thermostat = clock.Thermostat{Lag: 300, Band: 0.3, Anticipation: anticipation}
	m := clock.Machine{Lag: 80, OffLag: 600, Start: 30, Purge: 60, MinimumOn: 120, MinimumOff: 180,
		BlowerDelay: 20}
	h.Heating, h.Cooling = &m, &m
	h.Panel = clock.Panel{Changeover: 1200}
	l, err := clock.Run(h, &alike{map[clock.Call]*clock.Supply{}}, mild{sign},
		clock.Options{Steps: 72, Event: log,
			Start: []float64{middle + sign*4, middle + sign*3}})
	require.NoError(t, err)
	return l
}

// Mirrored about the middle of its set points a house heats when it cooled, at the same times.
func TestSeasonsMirror(t *testing.T) {
	var one, other []clock.Event
	burning := func(into *[]clock.Event) func(clock.Event) {
		return func(e clock.Event) {
			if e.Mode == clock.On {
				*into = append(*into, e)
			}
		}
	}
	a := bothWays(t, +1, 0, burning(&one))
	b := bothWays(t, -1, 0, burning(&other))
	assert.Greater(t, a.Heating.Starts, 20)
	assert.Greater(t, a.Cooling.Starts, 20)
	assert.Equal(t, a.Heating.Starts, b.Cooling.Starts)
	assert.Equal(t, a.Cooling.Starts, b.Heating.Starts)
	assert.InEpsilon(t, a.Heating.Made, b.Cooling.Made, 1e-6)
	require.Len(t, other, len(one))
	for k := range one {
		assert.InDelta(t, one[k].Time, other[k].Time, 1e-3, "event %d", k)
		assert.Equal(t, one[k].Calling, other[k].Calling, "event %d", k)
	}
	for _, l := range []*clock.Ledger{a, b} {
		assert.Less(t, l.Balance(), 1e-10)
	}
}

// Between a run of one season and the next of the other the machine rests for the changeover at
// least, and a house that is never too warm is the same as one that is set to heating.
func TestChangeoverWaits(t *testing.T) {
	l := bothWays(t, +1, 0.45, nil)
	type run struct {
		at, long float64
		season   clock.Season
	}
	var runs []run
	for _, s := range []clock.Season{clock.Heating, clock.Cooling} {
		m := l.Heating
		if s == clock.Cooling {
			m = l.Cooling
		}
		for i := range m.Runs {
			runs = append(runs, run{m.Begun[i], m.Runs[i], s})
		}
	}
	changes := 0
	for _, a := range runs {
		for _, b := range runs {
			if a.season != b.season && b.at >= a.at {
				assert.GreaterOrEqual(t, b.at-a.at-a.long, 1200.0)
				changes++
			}
		}
	}
	assert.Greater(t, changes, 4)
	assert.Less(t, l.Balance(), 1e-10)
	for i := range l.Zones {
		assert.Less(t, l.Zones[i].Low, middle-halfGap)
		assert.Greater(t, l.Zones[i].High, middle+halfGap)
	}
}

// A burner that runs before its blower gives the air what it has made meanwhile: all that is made
// is given, left in the machine and lost, or still there. From cold, after d seconds, it holds
//
//	Q τ (1 − e^(−d/τ)), τ the time in which the standing machine loses its heat,
//
// of which the first piece with the blower on starts.
func TestBurnerRunsBeforeItsBlower(t *testing.T) {
	const d = 45.0
	h := twoZones()
	h.Heating = &clock.Machine{Lag: 90, OffLag: 600, BlowerDelay: d, MinimumOff: 1}
	source := &fixed{cfm: map[uint32][]float64{1: {620, 90}, 2: {110, 520}, 3: {560, 440}},
		watts: map[uint32]float64{}, output: 45000}
	h.Heating.Guards = []clock.Guard{{Name: "limit", Opens: 90, Closes: 60}}
	var modes []clock.Mode
	var times []float64
	climate := &steady{season: clock.Heating, out: -5, set: []float64{21, 20}, air: []float64{0, 0},
		mass: []float64{0, 0}}
	l, err := clock.Run(h, source, climate, clock.Options{Steps: 12, Start: []float64{20, 21},
		Event: func(e clock.Event) {
			modes, times = append(modes, e.Mode), append(times, e.Time)
		}})
	require.NoError(t, err)
	require.Equal(t, clock.Warming, modes[1])
	require.Equal(t, clock.On, modes[2])
	assert.InDelta(t, d, times[2]-times[1], 1e-6)
	assert.InDelta(t, float64(l.Heating.Starts)*d, l.Starting, d+1)
	assert.Less(t, l.Balance(), 1e-10)
	assert.InDelta(t, l.Heating.On*45000*btuh, l.Heating.Made, 1)

	h.Heating.MinimumOn = 60 // the run is the delay alone: what is lost is what it made
	short, err := clock.Run(h, source, climate, clock.Options{Step: times[1] + d, Steps: 1,
		Start: []float64{20, 21}})
	require.NoError(t, err)
	held := 45000 * btuh * 600 * -math.Expm1(-d/600)
	assert.InEpsilon(t, short.Heating.Made-held, short.Heating.Lost, 1e-4)
}

// staircase has three stages of 1, 2 and 3 kW whose airflow goes with them.
type staircase struct{ made map[clock.Call]*clock.Supply }

func (f *staircase) At(c clock.Call, _ clock.Conditions) (*clock.Supply, error) {
	if s := f.made[c]; s != nil {
		return s, nil
	}
	n := float64(c.Stage)
	s := &clock.Supply{Rate: []float64{60 * n, 40 * n}, Rise: []float64{30, 30},
		Guards: []float64{}, Output: 3000 * n,
		Lag: 120 / n, Blower: 50 * n * n * n,
		NextPass: c.Zones == 3 && c.Stage < 3}
	f.made[c] = s
	return s, nil
}

// The next stage runs when a sensor is short of its set point by the droop, not before; a blower on
// its way from one stage to another loses no energy.
func TestStageByDroop(t *testing.T) {
	run := func(droop, ramp float64) (*clock.Ledger, map[int]float64) {
		h := twoZones()
		h.Heating = &clock.Machine{Lag: 90, OffLag: 600, Purge: 30, MinimumOff: 120, Ramp: ramp}
		h.Panel.StageDroop = droop
		climate := &steady{season: clock.Heating, out: -2, set: []float64{21, 21}, air: []float64{0,
			0}, mass: []float64{0, 0}}
		first := map[int]float64{}
		l, err := clock.Run(h, &staircase{map[clock.Call]*clock.Supply{}}, climate,
			clock.Options{Steps: 24, Start: []float64{22, 22},
				Event: func(e clock.Event) {
					if _, seen := first[e.Stage]; !seen {
						first[e.Stage] = e.Time
					}
				}})
		require.NoError(t, err)
		assert.Less(t, l.Balance(), 1e-10, "droop %g, ramp %g", droop, ramp)
		return l, first
	}
	never, _ := run(0, 0)
	for _, s := range never.States {
		assert.Equal(t, 1, s.Call.Stage)
	}
	small, early := run(0.4, 0)
	_, late := run(1.2, 0)
	assert.Less(t, early[2], late[2])
	assert.Less(t, small.Zones[0].Short, never.Zones[0].Short,
		"the second stage keeps the house warm")
	ramped, _ := run(0.4, 60)
	assert.InEpsilon(t, small.Heating.Made, ramped.Heating.Made, 0.02)
	assert.Greater(t, ramped.Pieces, small.Pieces)
}
