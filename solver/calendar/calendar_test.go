package calendar_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/solver/calendar"
	"spillway/solver/clock"
	"spillway/solver/session"
	"spillway/solver/state"
)

// evening lets the loft recover from its set-back when the main floor has been warm all day.
var evening = []string{`zone.main.heat=["6:00 70 F", "22:00 64 F"]`, `zone.loft.heat=["6:00 68 F", "8:00 62 F", "18:00 68 F", "22:30 62 F"]`}

func open(t *testing.T, job, alternative string, set ...string) *session.Session {
	t.Helper()
	s, found, err := session.Open(job, networktest.Example(t, job), session.Options{Alternative: alternative, Set: set, Quick: true, NoStops: true})
	require.NoError(t, err, "%v", found)
	return s
}

func day(t *testing.T, row string, s *session.Session, mass float64) *calendar.Result {
	t.Helper()
	h, err := calendar.New(s, calendar.Options{Mass: mass})
	require.NoError(t, err)
	r, err := h.Day(row, clock.Options{})
	require.NoError(t, err)
	return r
}

// Over a day that repeats, what the air gives is what the envelope loses less the gains: UA (mean indoors −
// mean outdoors) · 24 h. The conductances are those of the design loads, 30 and 15 kBtu/h at 62 °F.
func TestDayLosesWhatItsConductancesSay(t *testing.T) {
	r := day(t, "design-heating", open(t, "two-floor", "", evening...), 1)
	out := 0.0
	for _, h := range r.Hours {
		out += h.Outdoor / 24
	}
	l := r.Ledger
	loss := 0.0
	for i, kbtuh := range []float64{30, 15} {
		loss += kbtuh * 293.07107 / (62 / 1.8) * (l.Zones[i].Mean - out) * 24 * 3600
	}
	assert.InEpsilon(t, loss, l.ToZones+l.Gains, 0.01)
	assert.Less(t, l.Balance(), 1e-10)
	assert.Less(t, math.Abs(l.Stored)/loss, 0.01, "the day has settled")
}

// A call from cold reaches the limit when "solve" says so: one exchanger behind a constant share of
// recirculated air is of the first order in both.
func TestLimitComesWhenSolveSays(t *testing.T) {
	s := open(t, "two-floor", "bypass-to-plenum")
	r := day(t, "design-heating", s, 1)
	seen := 0
	for _, cs := range s.States() {
		if cs.Weather != "design-heating" {
			continue
		}
		made, err := s.Solve(context.Background(), cs)
		require.NoError(t, err)
		zones := uint32(0)
		for i, z := range s.Graph().Job.Zones {
			for _, name := range cs.Calling {
				if name == z.Name {
					zones |= 1 << i
				}
			}
		}
		got := r.ToGuard(clock.Call{Season: clock.Heating, Zones: zones, Stage: 1})
		if want := made.Outcome.Equipment.TimeToLimit; math.IsInf(want, 1) {
			assert.True(t, math.IsInf(got, 1), cs.Name)
		} else {
			assert.InEpsilon(t, want, got, 0.02, cs.Name)
			seen++
		}
	}
	assert.Positive(t, seen)
}

// What the trade says of a bypass (common practice): it is in recovery from a set-back that the
// limit opens, when the small zone calls alone for long. Here a tenth or more of those calls trip,
// and in a day of constant set points, not a fifth as many. Dump and bleed keep the furnace from it
// altogether.
func TestBypassTripsInRecovery(t *testing.T) {
	share := func(r *calendar.Result, recovery bool) float64 {
		trips, calls := 0, 0
		for _, s := range r.Ledger.States {
			if s.Call.Zones != 2 {
				assert.Empty(t, s.Trips, "only the loft alone trips")
				continue
			}
			for _, trip := range s.Trips {
				if trip.Recovery == recovery {
					trips++
				}
			}
			for _, v := range s.Visits {
				if v.Recovery == recovery {
					calls++
				}
			}
		}
		return float64(trips) / float64(calls)
	}
	settled := share(day(t, "design-heating", open(t, "two-floor", "bypass-to-plenum"), 1), false)
	recovery := share(day(t, "design-heating", open(t, "two-floor", "bypass-to-plenum", evening...),
		1), true)
	assert.Less(t, settled, 0.05)
	assert.Greater(t, recovery, 0.1)
	assert.Greater(t, recovery, 5*settled)
	for _, other := range []string{"", "dump-zone"} {
		r := day(t, "design-heating", open(t, "two-floor", other, evening...), 1)
		assert.Equal(t, [2]int{}, r.Ledger.Heating.Opening, other)
	}
}

// Bleed through a stop warms the room that did not call (common practice).
func TestBleedWarmsTheSatisfiedZone(t *testing.T) {
	over := func(stop string) float64 {
		r := day(t, "design-heating", open(t, "two-floor", "", append([]string{"damper.loft.stop=" + stop}, evening...)...), 1)
		return r.Ledger.Zones[1].Over
	}
	assert.Greater(t, over("40 %"), 1.5*over("0 %"))
}

// A machine of three stages climbs to the last: 75 kBtu/h in the third carry a house of 70, which
// the second stage, 52, leaves 5 °F short. Every run begins in the first.
func TestStagesAreClimbedOneByOne(t *testing.T) {
	r := day(t, "design-heating", open(t, "four-zone", ""), 1)
	hours := map[int]float64{}
	for i := range r.Ledger.States {
		hours[r.Ledger.States[i].Call.Stage] += r.Ledger.States[i].Hours()
	}
	assert.Greater(t, hours[3], hours[1]+hours[2])
	assert.Positive(t, hours[1])
	for i := range r.Ledger.Zones {
		assert.InDelta(t, 21.11, r.Ledger.Zones[i].Mean, 1.2, "70 °F within 2 °F")
	}
}

// When the third stage gives way to the first the air leaves no warmer than before (common
// practice): the exchanger is that of the whole furnace, and the blower slows down over its ramp. A
// blower that were slow at once would open the limit.
func TestFallingBackToTheFirstStageTripsNothing(t *testing.T) {
	assert.Zero(t, day(t, "design-heating", open(t, "four-zone", ""), 1).Ledger.Heating.Opening[0])
	at := day(t, "design-heating", open(t, "four-zone", "", "equipment.heating.ramp=1 s"), 1)
	assert.Positive(t, at.Ledger.Heating.Opening[0])
}

// A heavier house takes longer to come back from a set-back; what it burns hardly changes.
func TestMassMovesTimesNotEnergy(t *testing.T) {
	s := open(t, "two-floor", "", evening...)
	slow := func(r *calendar.Result) float64 { return r.Ledger.Zones[0].Recoveries[0] }
	light, usual, heavy := day(t, "", s, 0.5), day(t, "", s, 1), day(t, "", s, 2)
	assert.Greater(t, slow(usual), 1.3*slow(light))
	assert.Greater(t, slow(heavy), 1.3*slow(usual))
	assert.InEpsilon(t, usual.Ledger.Heating.Input, light.Ledger.Heating.Input, 0.03)
	assert.InEpsilon(t, usual.Ledger.Heating.Input, heavy.Ledger.Heating.Input, 0.03)
}

// The look-up is within a thousandth of the states solved where they are needed, and solves few.
func TestLookUpIsNear(t *testing.T) {
	for _, row := range []string{"design-heating", "design-cooling"} {
		r := day(t, row, open(t, "two-floor", "bypass-to-plenum", evening...), 1)
		assert.Less(t, r.Error, 1e-3, row)
		assert.Less(t, r.Solved, 100, row)
		assert.Empty(t, r.Ledger.Failures)
	}
}

// Every default is told, and none that the file gives.
func TestEveryDefaultIsTold(t *testing.T) {
	told := func(set ...string) map[string]bool {
		h, err := calendar.New(open(t, "two-floor", "", set...), calendar.Options{})
		require.NoError(t, err)
		_, err = h.Day("", clock.Options{})
		require.NoError(t, err)
		paths := map[string]bool{}
		for _, a := range h.Assumptions {
			paths[a.Path] = true
			assert.NotEmpty(t, a.Why, a.Path)
		}
		return paths
	}
	silent := told()
	for path, value := range map[string]string{
		"zone.main.mass": "light", "zone.main.gains": "900 Btu/h", "zone.main.faces": "south", "zone.main.heat": "70 F", "zone.main.cool": "75 F",
		"thermostat.band": "0.5 F", "thermostat.anticipation": "0.8 F", "thermostat.lag": "6 min", "equipment.heating.start": "45 s",
		"equipment.heating.purge": "90 s", "equipment.heating.minimum-on": "2 min", "equipment.cooling.minimum-off": "5 min",
		"equipment.heating.efficiency": "92 %", "equipment.cooling.input": "3 kW", "year.range": "15 F",
	} {
		assert.True(t, silent[path], path)
		assert.False(t, told(path + "=" + value)[path], path)
	}
}

func TestRefusals(t *testing.T) {
	h, err := calendar.New(open(t, "two-floor", ""), calendar.Options{})
	require.NoError(t, err)
	assert.Equal(t, []string{"design-cooling", "mild-cooling", "design-heating"}, h.Rows())
	_, err = h.Day("summer", clock.Options{})
	var wrong *calendar.Error
	require.True(t, errors.As(err, &wrong))
	assert.EqualError(t, err, `there is no weather row "summer" that is heated or cooled`)

}

// A job that says nothing of its house but the air that it wants runs: its floor follows, and is
// told.
func TestFloorFollowsFromAir(t *testing.T) {
	h, err := calendar.New(open(t, "first-look", ""), calendar.Options{})
	require.NoError(t, err)
	r, err := h.Day("", clock.Options{})
	require.NoError(t, err)
	told := map[string]string{}
	for _, a := range h.Assumptions {
		told[a.Path] = a.Value
	}
	assert.Equal(t, "667 ft²", told["zone.day.floor"], "500 cfm")
	assert.Equal(t, "400 ft²", told["zone.bed.floor"], "300 cfm")
	assert.Positive(t, r.Ledger.Cooling.Starts)
}

// A machine that cannot keep up runs without a stop: its one run is as long as the day that counts,
// not as the settled days before it too, and it has its line although it never starts.
func TestMachineThatNeverStops(t *testing.T) {
	r := day(t, "design-heating", open(t, "two-floor", "", "equipment.heating.output=25 kBtu/h"), 1)
	assert.Equal(t, []clock.Season{clock.Heating}, r.Sides())
	m := r.Machine(clock.Heating)
	assert.Zero(t, m.Starts)
	assert.Equal(t, []float64{86400}, m.Runs)
	assert.InDelta(t, 86400, m.On, 1e-6)
	for _, s := range r.Ledger.States {
		assert.LessOrEqual(t, s.Longest(func(clock.Visit) bool { return true }), 86400.0)
	}
}

// A call's fates add up to the blower's air, in the order of Fates.
func TestFatesAddUp(t *testing.T) {
	r := day(t, "design-heating", open(t, "two-floor", "dump-zone", evening...), 1)
	require.Len(t, r.Ledger.Air, len(calendar.Fates))
	at := map[state.PathKind]float64{}
	for k, kind := range calendar.Fates {
		at[kind] = r.Ledger.Air[k]
	}
	assert.Positive(t, at[state.PathDump])
	assert.Zero(t, at[state.PathBypass])
	assert.Greater(t, at[state.PathWanted], at[state.PathDump])
}
