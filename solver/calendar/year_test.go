package calendar_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/solver/calendar"
	"spillway/solver/clock"
	"spillway/solver/session"
)

func year(t testing.TB, s *session.Session, hours []calendar.Hour) *calendar.Result {
	t.Helper()
	h, err := calendar.New(s, calendar.Options{Hours: hours})
	require.NoError(t, err)
	r, err := h.Year(clock.Options{})
	require.NoError(t, err)
	return r
}

// A synthetic year has the mean and the design temperatures of the file: 1 % of its hours are beyond either.
// With Seattle's, its heating degree days are near those of the airport's normals of 1981 to 2010 (4,697,
// as printed by the city's utility); design temperatures of 29 and 82 °F from memory.
func TestSyntheticYearIsTheFiles(t *testing.T) {
	r := year(t, open(t, "two-floor", "", "weather.design-heating.outdoor=29 F", "weather.design-cooling.outdoor=82 F", "year.mean=52 F", "year.range=15 F",
		"year.swing=5 F"), nil)
	var all []float64
	mean, degreeDays := 0.0, 0.0
	for day := range 365 {
		of := 0.0
		for hour := range 24 {
			x := r.Hours[24*day+hour].Outdoor*1.8 + 32
			all = append(all, x)
			mean += x / 8760
			of += x / 24
		}
		degreeDays += max(0, 65-of)
	}
	slices.Sort(all)
	assert.InDelta(t, 52, mean, 0.01)
	assert.InDelta(t, 29, all[87], 0.1)
	assert.InDelta(t, 82, all[8672], 0.1)
	assert.InEpsilon(t, 4697, degreeDays, 0.12)
}

// Over a year what the air gives is what the envelope loses less the gains, and the identity of the means
// holds: UA (mean indoors − mean outdoors) · 8,760 h, here by the design loads of 30 and 15 kBtu/h at 62 °F.
// The machine keeps a switch of the seasons: it heats in January and cools in July.
func TestYearLosesWhatItsConductancesSay(t *testing.T) {
	r := year(t, open(t, "two-floor", ""), nil)
	out := 0.0
	for _, h := range r.Hours {
		out += h.Outdoor / 8760
	}
	l := r.Ledger
	loss := 0.0
	for i, kbtuh := range []float64{30, 15} {
		loss += kbtuh * 293.07107 / (62 / 1.8) * (l.Zones[i].Mean - out) * 8760 * 3600
	}
	assert.InEpsilon(t, loss, l.ToZones+l.Gains, 0.005)
	assert.Less(t, l.Balance(), 1e-10)
	assert.InDelta(t, 8760*3600, l.Time, 1e-3)
	assert.Equal(t, []clock.Season{clock.Heating, clock.Cooling}, r.Sides())
	for _, begun := range l.Cooling.Begun {
		assert.True(t, begun > 60*86400 && begun < 320*86400, "cooling on day %.0f", begun/86400)
	}
}

// A year from a file: either unit, leap years, and what is wrong by its line.
func TestReadHours(t *testing.T) {
	var b strings.Builder
	b.WriteString("hour, temperature_f, sun\n")
	for k := range 8784 {
		fmt.Fprintf(&b, "%d, %g, 50\n", k, 50+20*math.Sin(float64(k)/100))
	}
	hours, err := calendar.ReadHours([]byte(b.String()))
	require.NoError(t, err)
	require.Len(t, hours, 8760)
	assert.InDelta(t, 10, hours[0].Outdoor, 1e-9)
	assert.Equal(t, 0.5, hours[0].Sun)
	assert.InDelta(t, (50+20*math.Sin(14.40)-32)/1.8, hours[1416].Outdoor, 1e-9, "29 February is left out")
	r := year(t, open(t, "two-floor", ""), hours)
	assert.Positive(t, r.Ledger.Heating.Starts)

	for text, want := range map[string]string{
		"":                               "line 1: EOF",
		"hour,temp\n1,2\n":               `line 1: no column is called "temperature_f" or "temperature_c"`,
		"temperature_c\n12\n\"x\"\n":     `line 3: temperature_c is "x"; write a number from -60 to 60`,
		"temperature_c\n12\n99\n":        `line 3: temperature_c is "99"; write a number from -60 to 60`,
		"temperature_c,sun\n12\n":        "line 2: wrong number of fields",
		"temperature_c,sun\n12,-3\n":     `line 2: sun is "-3"; write a number from 0 to 120`,
		"temperature_c\n12\n13\n":        "2 hours; a year has 8760",
		"temperature_c\n12\nNaN\n":       `line 3: temperature_c is "NaN"; write a number from -60 to 60`,
		"\ufeffTemperature_C\n12\nInf\n": `line 3: Temperature_C is "Inf"; write a number from -60 to 60`,
	} {
		_, err := calendar.ReadHours([]byte(text))
		assert.ErrorContains(t, err, want, "%q", text)
	}
}

func TestYearRefusesWhatNoYearHas(t *testing.T) {
	for _, mean := range []string{"20 F", "85 F"} {
		h, err := calendar.New(open(t, "two-floor", "", "year.mean="+mean), calendar.Options{})
		require.NoError(t, err)
		_, err = h.Year(clock.Options{})
		assert.ErrorContains(t, err, "mean")
	}
}

// BenchmarkYear is a year of two, three and four zones with the call states that it needs, on one core. The
// metrics say what the time goes into.
func BenchmarkYear(b *testing.B) {
	for _, job := range []string{"two-floor", "three-zone", "four-zone"} {
		b.Run(job, func(b *testing.B) {
			var set []string
			if job != "two-floor" {
				set = floors(b, job)
			}
			s, found, err := session.Open(job, networktest.Example(b, job), session.Options{Quick: true, NoStops: true, Set: set})
			require.NoError(b, err, "%v", found)
			var r *calendar.Result
			b.ResetTimer()
			for range b.N {
				r = year(b, s, nil)
			}
			b.ReportMetric(float64(r.Ledger.Pieces), "pieces")
			b.ReportMetric(float64(r.Ledger.Decompose), "matrices")
			b.ReportMetric(float64(r.Solved), "states")
		})
	}
}

// floors gives every zone of a job without one a floor area.
func floors(t testing.TB, job string) []string {
	t.Helper()
	s, _, err := session.Open(job, networktest.Example(t, job), session.Options{})
	require.NoError(t, err)
	var set []string
	for _, z := range s.Graph().Job.Zones {
		if z.Floor == 0 {
			set = append(set, "zone."+z.Name+".floor=900 ft2")
		}
	}
	return set
}
