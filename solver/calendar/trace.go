package calendar

import (
	"slices"

	"spillway/solver/clock"
)

// Trace is the course of a run, sampled at even times.
type Trace struct {
	Every   float64 // s
	Zones   []ZoneTrace
	Burning []bool      // burner or compressor on
	Fates   [][]float64 // m³/s of standard air by sample, as the package's Fates
	Trips   []TraceTrip // openings of guards
}

// ZoneTrace is the course of one zone.
type ZoneTrace struct {
	Air, Set []float64 // °C
	Calling  []bool
}

// TraceTrip is when a guard opened, s, and whether in recovery from a set-back.
type TraceTrip struct {
	Time     float64
	Recovery bool
}

// DayTrace is Day with its course, sampled at a fixed interval, s.
func (h *House) DayTrace(name string, every float64) (*Result, *Trace, error) {
	t := &Trace{Every: every, Zones: make([]ZoneTrace, len(h.zones))}
	r, err := h.Day(name, clock.Options{SampleEvery: every, Sample: func(s clock.Sample) {
		for i := range t.Zones {
			z := &t.Zones[i]
			z.Air, z.Set = append(z.Air, s.Air[i]), append(z.Set, s.Set[i])
			z.Calling = append(z.Calling, s.Calling>>i&1 == 1)
		}
		fates := make([]float64, len(Fates))
		if s.Supply != nil {
			copy(fates, s.Supply.Airflow)
		}
		t.Fates = append(t.Fates, fates)
		t.Burning = append(t.Burning, s.Mode == clock.On)
	}})
	if err != nil {
		return nil, nil, err
	}
	for _, s := range r.Ledger.States {
		for _, trip := range s.Trips {
			t.Trips = append(t.Trips, TraceTrip{trip.Time, trip.Recovery})
		}
	}
	slices.SortFunc(t.Trips, func(a, b TraceTrip) int {
		if a.Time < b.Time {
			return -1
		}
		return 1
	})
	return r, t, nil
}
