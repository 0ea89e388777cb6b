package clock_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/clock"
)

const (
	lb     = 0.45359237
	lbHour = lb / 3600
)

// damp gives a climate water in the air outdoors, kg/kg, and in the zones, kg/s.
type damp struct {
	clock.Climate
	out    float64
	within []float64
}

func (d damp) At(k int, into *clock.Interval) {
	d.Climate.At(k, into)
	into.OutdoorHumidity = d.out
	copy(into.Vapor, d.within)
}

// drying is a source whose coil dries a share of the air to a humidity.
type drying struct {
	clock.Source
	contact, surface, latent float64
}

func (d drying) At(c clock.Call, at clock.Conditions) (*clock.Supply, error) {
	s, err := d.Source.At(c, at)
	if err == nil {
		s.Contact, s.Surface, s.Latent = d.contact, d.surface, d.latent
	}
	return s, err
}

// The worked cooling day with its moisture, as an independent simulation has it: a matrix
// exponential for temperatures and water together. Its air carries 4.5 lb/h for each cfm, ours
// 4.495.
func TestComputedMoistureOfTheWorkedDay(t *testing.T) {
	h, source, climate := coolingDay()
	for i, m := range []clock.Moisture{{6000 * lb, 200 * lbHour}, {4800 * lb, 160 * lbHour}} {
		h.Zones[i].Moisture = m
	}
	mix := 100 * lbHour
	h.Exchange = [][]float64{{0, mix}, {mix, 0}}
	l, err := clock.Run(h, drying{source, 0.8, 0.0080, 0}, damp{climate, 0.0120,
		[]float64{0.9 * lbHour, 0.6 * lbHour}},
		clock.Options{Steps: 24, Start: []float64{celsius(77), celsius(77)},
			StartHumidity: []float64{0.010, 0.010}})
	require.NoError(t, err)
	assert.InEpsilon(t, 45.5701, l.VaporTaken/lb, 0.002, "lb")
	assert.InDelta(t, 0.010414, l.Zones[0].MeanRatio, 4e-6)
	assert.InDelta(t, 0.010590, l.Zones[1].MeanRatio, 4e-6)
	assert.Less(t, l.WaterBalance(), 1e-9)
	assert.InDelta(t, l.VaporTaken, l.Cooling.Water, 1e-9, "nothing stays on the coil")
}

// alternating is a machine that runs for a time and then moves air alone: a coil's worst case.
func alternating(t *testing.T, retains, gives, on, off float64) (taken, rate float64) {
	t.Helper()
	const contact, surface, inside, cfm = 0.8, 0.0090, 0.0110, 1000.0
	zone := clock.Zone{Air: 1e9, Mass: 1e9, AirLoss: 1e-6, AirToMass: 1,
		Moisture: clock.Moisture{Capacity: 1e9}} // so large that nothing changes in it
	h := &clock.House{Zones: []clock.Zone{zone}, Thermostat: clock.Thermostat{Lag: 360, Band: 0.3},
		Cooling: &clock.Machine{Lag: 1, OffLag: 600, MinimumOn: on, Purge: off, MinimumOff: 1e6,
			Coil: clock.Coil{Retains: retains, Evaporates: gives}}}
	s := clock.Supply{Rate: []float64{cfm * cfmIP}, Rise: []float64{-1e-9}, Guards: []float64{},
		Output:  1,
		Contact: contact, Surface: surface}
	rate = cfm * cfmIP / 1006 * contact * (inside - surface)
	s.Latent = rate * 1061 * 2326
	at := 24.0
	// The call ends at once, so that the run is as long as it has to be, and its purge as the rest.
	set := &sets{[]float64{at - 5, at + 5}}
	l, err := clock.Run(h, &always{s}, damp{set, inside, []float64{0}},
		clock.Options{Step: 1, Steps: int(on+off) - 1, Start: []float64{at},
			StartHumidity: []float64{inside}})
	require.NoError(t, err)
	require.Equal(t, 1, l.Cooling.Starts)
	assert.InDelta(t, on, l.Cooling.On, 0.01)
	return l.VaporTaken, rate
}

// sets is a climate with one set point in its first step and another after it.
type sets struct{ at []float64 }

func (s *sets) At(k int, into *clock.Interval) {
	into.Season, into.Outdoor = clock.Cooling, 24
	into.Set[0] = s.at[min(max(k, 0), 1)]
	into.ToAir[0], into.ToMass[0] = 0, 0
}

// What a full coil gives back while its blower runs on: g t − g² t² / (4 t_w) seconds of its steady
// rate until it is dry at 2 t_w / g (Henderson and Rengarajan 1996, by a transcription in an open
// program; computed here from the formula). A coil of 1,000 s and g = 1.5 whose fan always runs
// takes nothing away at half of the time or less.
func TestComputedCoilDriesWhileTheFanRuns(t *testing.T) {
	const wet, gives, on = 1000.0, 1.5, 1500.0
	for _, off := range []float64{60, 300, 900, 1400} {
		taken, rate := alternating(t, wet, gives, on, off)
		past := math.Min(off, 2*wet/gives)
		back := gives*past - gives*gives*past*past/(4*wet)
		assert.InDelta(t, on-back, taken/rate, 0.01*on, fmt.Sprintf("after %g s", off))
	}
	taken, rate := alternating(t, wet, gives, 900, 1400) // less than fills it, all of it given back
	assert.InDelta(t, 0, taken/rate, 9)
}
