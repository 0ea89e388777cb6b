package sheet

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/state"
)

// What equipmentFacts say is rules of this program's printing; no published source speaks of it. The figures are those of the
// invented fixtures, so that each expected text can be checked by hand.

func factOf(t *testing.T, o *state.Outcome, sys quantity.System, head string) string {
	t.Helper()
	for _, it := range MachineFacts(o, sys).Items {
		if it.Head.Words == head {
			return doc.Plainly(it.Text, sys)
		}
	}
	return ""
}

func TestLimitInWords(t *testing.T) {
	for _, c := range []struct {
		name          string
		change        func(o *state.Outcome)
		fate          state.Fate
		limit, burner string
	}{
		{"reached by a default limit", func(*state.Outcome) {}, state.Reached,
			"REACHED after 4.2 min: it opens at 170 °F (default of ours; see the rating plate); without it the sensor would settle at 182 °F",
			"cycles on its limit and is on 83 % of the time"},
		{"never, the job's own limit", func(o *state.Outcome) {
			e := &o.Equipment
			e.Limit, e.LimitGiven, e.Sensor, e.TimeToLimit, e.BurnerDuty = fahrenheit(180), true, fahrenheit(146), math.Inf(1), 1
			e.SensorLow, e.SensorHigh = fahrenheit(146), fahrenheit(146)
		}, state.Never, "never: its sensor settles at 146 °F, 34.0 °F below the limit of 180 °F (the job's own)", ""},
		{"mixing decides, and at the usual figure it is reached", func(o *state.Outcome) {
			e := &o.Equipment
			e.Limit, e.LimitGiven, e.SensorLow = fahrenheit(176), true, fahrenheit(168)
		}, state.Reached, "trips if more than 10 % arrives unmixed (5 to 45 % expected): its sensor settles at 168 to 190 °F, and it opens at 176 °F (the job's own)",
			"at 18 % unmixed the limit opens after 4.2 min and leaves it on 83 % of the time"},
		{"supply temperature given, nothing computed", func(o *state.Outcome) {
			e := &o.Equipment
			e.Computed, e.Sensor, e.TimeToLimit, e.BurnerDuty = false, math.NaN(), math.NaN(), math.NaN()
		}, state.Unknown, "opens at 170 °F (default of ours; see the rating plate); whether it is reached is not known", ""},
		{"a heat pump has no such limit", func(o *state.Outcome) {
			o.Graph.Job.Equipment.Heating = &network.Machine{Kind: "heat pump"}
			o.Equipment.Sensor, o.Equipment.TimeToLimit = math.NaN(), math.NaN()
		}, state.Unknown, "not computed for a heat pump", ""},
		{"the duty of the cycle is not known", func(o *state.Outcome) { o.Equipment.BurnerDuty = math.NaN() }, state.Reached,
			"REACHED after 4.2 min: it opens at 170 °F (default of ours; see the rating plate); without it the sensor would settle at 182 °F", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := bothCall()
			c.change(o)
			assert.Equal(t, c.fate, o.LimitFate())
			assert.Equal(t, c.limit, factOf(t, o, quantity.IP, "limit"))
			assert.Equal(t, c.burner, factOf(t, o, quantity.IP, "burner"))
			assert.Equal(t, state.NotAsked, o.FrostFate())
		})
	}
}

func TestFrostInWords(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(e *state.Equipment)
		fate   state.Fate
		frost  string
	}{
		{"never", func(*state.Equipment) {}, state.Never, "never: it settles at 39 °F, 7.1 °F above freezing"},
		{"begins", func(e *state.Equipment) { e.EvaporatingStrip, e.FrostMargin, e.TimeToFrost = -1.5, -1.5, 169 }, state.Reached,
			"it evaporates at freezing after 2.8 min and settles at 29 °F, 2.7 °F below freezing, its fins 2 to 4 °F warmer; " + icing},
		{"on the edge", func(e *state.Equipment) { e.EvaporatingStrip, e.FrostMargin, e.TimeToFrost = 0.05, 0.05, 400 }, state.Reached,
			"on the edge: it evaporates at freezing after 6.7 min and settles at 32 °F, 0.1 °F above freezing; " + icing},
		{"not within the course", func(e *state.Equipment) { e.EvaporatingStrip, e.FrostMargin = -0.1, -0.1 }, state.Later,
			"not in the first half hour, but it settles at 32 °F, 0.2 °F below freezing"},
		{"no time course", func(e *state.Equipment) { e.TimeToFrost = math.NaN() }, state.Unknown,
			"how fast is not known; it settles at 39 °F, 7.1 °F above freezing"},
		{"not computed", func(e *state.Equipment) {
			nan := math.NaN()
			e.Computed, e.Evaporating, e.EvaporatingSecond, e.EvaporatingStrip, e.FrostMargin, e.TimeToFrost = false, nan, nan, nan, nan, nan
		}, state.Unknown, "whether the coil frosts is not known without its capacity"},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := loftCalls()
			c.change(&o.Equipment)
			assert.Equal(t, c.fate, o.FrostFate())
			assert.Equal(t, c.frost, factOf(t, o, quantity.IP, "frost"))
			assert.Equal(t, state.NotAsked, o.LimitFate())
		})
	}
}

func TestEquipmentInWords(t *testing.T) {
	cooling, heating := loftCalls(), bothCall()
	assert.Equal(t, "75 °F before the blower, wet bulb 63 °F", factOf(t, cooling, quantity.IP, "entering"))
	assert.Equal(t, "39 to 41 °F by two estimates of the rating", factOf(t, cooling, quantity.IP, "evaporating"))
	assert.Equal(t, "4 to 5 °C by two estimates of the rating", factOf(t, cooling, quantity.SI, "evaporating"))
	assert.Equal(t, "32.8 kBtu/h of 36.0 rated, 79 % of it sensible; fan heat 1.7 kBtu/h works against it", factOf(t, cooling, quantity.IP, "capacity"))
	cooling.Equipment.Dry = true
	assert.Contains(t, factOf(t, cooling, quantity.IP, "capacity"), "all of it sensible (the coil is dry)")
	assert.Empty(t, factOf(t, cooling, quantity.IP, "recirculated"), "nothing recirculates")

	assert.Equal(t, "80.0 °F, too much: the plate allows 35.0 to 65.0 °F", factOf(t, heating, quantity.IP, "rise"))
	heating.Equipment.Rise = 20 / 1.8
	assert.Equal(t, "20.0 °F, too little: the plate allows 35.0 to 65.0 °F", factOf(t, heating, quantity.IP, "rise"))
	heating.Equipment.Rise = 40 / 1.8
	assert.Equal(t, "22.2 K; the plate allows 19.4 to 36.1 K", factOf(t, heating, quantity.SI, "rise"))
	heating.Equipment.LeastRise = math.NaN()
	assert.Contains(t, factOf(t, heating, quantity.IP, "rise"), "no rating plate")
	assert.Contains(t, factOf(t, heating, quantity.IP, "output"), "fan heat not known (the blower's table has no watts)")
	assert.Equal(t, "18 % of it unmixed, assumed, 5 to 45 %: the limit's sensor sits 14.4 °F above well-mixed air (4.0 to 22.2 °F)", factOf(t, heating, quantity.IP, "mixing"))
	heating.Equipment.UnmixedLow, heating.Equipment.UnmixedHigh = 0.18, 0.18
	assert.Equal(t, "18 % of it unmixed, as the job gives it: the limit's sensor sits 14.4 °F above well-mixed air", factOf(t, heating, quantity.IP, "mixing"))

	// Honest about what was not computed.
	heating.Equipment.Computed = false
	assert.Contains(t, factOf(t, heating, quantity.IP, "leaving"), "assumed: the job gives no capacity")
	assert.Contains(t, factOf(t, heating, quantity.IP, "output"), "66.0 kBtu/h would hold that temperature")
	heating.Graph.Job.Weather = []network.Weather{{Name: heating.State.Weather, SupplyAirGiven: true}}
	assert.Contains(t, factOf(t, heating, quantity.IP, "leaving"), "from the temperature that the job gives, not computed")

	fan := loftCalls()
	fan.State.Mode = network.Fan
	assert.Equal(t, "1.7 kBtu/h", factOf(t, fan, quantity.IP, "fan heat"))
	assert.Empty(t, factOf(t, fan, quantity.IP, "limit")+factOf(t, fan, quantity.IP, "frost"))
}

func TestDuration(t *testing.T) {
	for seconds, want := range map[float64]string{0: "0 s", 45: "45 s", 99.6: "1.7 min", 251: "4.2 min", 5997: "1.7 h", 7200: "2.0 h", 86400 * 2: "2 days",
		86400 * 4000: "4,000 days", math.Inf(1): "never"} {
		assert.Equal(t, want, doc.After(seconds).Text(quantity.IP))
	}
	assert.Equal(t, "-", doc.After(math.NaN()).Text(quantity.IP))
}

// The JSON has null and a word for what never happens, and null alone for what has no meaning.
func TestJSONNeverAndNull(t *testing.T) {
	type state struct {
		Equipment map[string]any
		Zones     []map[string]any
		Registers []map[string]any
	}
	read := func(s *Sheet) []state {
		var b bytes.Buffer
		require.NoError(t, JSON(&b, s, true))
		var d struct{ States []state }
		require.NoError(t, json.Unmarshal(b.Bytes(), &d))
		return d.States
	}
	s := fixture()
	s.Reports[0].Outcome.Zones[0].TimeToSwing = math.Inf(1)
	got := read(s)
	cooling, heating := got[0], got[1]
	assert.Equal(t, "never", cooling.Equipment["frost"])
	assert.Nil(t, cooling.Equipment["time_to_frost_s"])
	assert.Nil(t, cooling.Equipment["limit"])
	assert.Nil(t, cooling.Equipment["limit_given"])
	assert.Nil(t, cooling.Equipment["unmixed"])
	assert.Equal(t, "never", cooling.Zones[0]["swing"])
	assert.Nil(t, cooling.Zones[0]["time_to_swing_s"])
	assert.InDelta(t, 3.1, cooling.Zones[0]["drift_f_per_h"], 1e-9)
	assert.Nil(t, cooling.Zones[1]["swing"])
	assert.Nil(t, cooling.Zones[1]["drift_f_per_h"])
	assert.Equal(t, true, cooling.Registers[0]["sweats"])
	assert.Equal(t, "reached", heating.Equipment["limit"])
	assert.InDelta(t, 251, heating.Equipment["time_to_limit_s"], 0)
	assert.Nil(t, heating.Equipment["frost"])
	assert.Nil(t, heating.Equipment["fan_heat_kbtu_h"], "the blower's table has no watts")
	assert.Nil(t, heating.Zones[1]["load_kbtu_h"])
	assert.Equal(t, false, heating.Registers[0]["sweats"])

	// An airless zone has no supply temperature; a register without a known dew point no risk.
	s.Reports[0].Outcome.Zones[0].Airflow = 0
	s.Reports[0].Outcome.Registers[0].DewPoint = math.NaN()
	got = read(s)
	assert.Nil(t, got[0].Zones[0]["supply_f"])
	assert.Nil(t, got[0].Registers[0]["sweats"])

	// The same in SI: a difference of 9 °F is 5 K, a temperature of 75.4 °F is 24.1 °C.
	s.Units = quantity.SI
	got = read(s)
	assert.InDelta(t, 43.4/1.8, got[0].Equipment["entering_c"], 1e-4)
	assert.InDelta(t, 7.1/1.8, got[0].Equipment["frost_margin_c"], 1e-5)
	assert.InDelta(t, 3.1/1.8, got[0].Zones[0]["drift_c_per_h"], 1e-5)
	assert.InDelta(t, 26*0.29307107, got[1].Zones[0]["delivered_kw"], 1e-4)
}

func TestCourseAt(t *testing.T) {
	course := bothCall().Equipment.Course
	at, ok := courseAt(course, 60)
	require.True(t, ok)
	assert.InDelta(t, fahrenheit(105), at.Supply, 1e-9, "half way from 70 to 140 °F")
	at, ok = courseAt(course, 251)
	require.True(t, ok)
	assert.InDelta(t, fahrenheit(170), at.Critical, 1e-9)
	for _, outside := range []float64{-1, 1801} {
		_, ok = courseAt(course, outside)
		assert.False(t, ok)
	}
	_, ok = courseAt(nil, 0)
	assert.False(t, ok)
}

// A coil at freezing is not yet iced: the table goes on, and says of what coil.
func TestCourseGoesOnAtFreezing(t *testing.T) {
	o := loftCalls()
	o.Equipment.TimeToFrost, o.Equipment.FrostMargin = 150, -1
	var b strings.Builder
	require.NoError(t, Write(&b, &Document{Blocks: []doc.Block{courseTable(o)}}, "text", Style{}))
	lines := strings.Split(strings.TrimSpace(b.String()), "\n")
	require.Len(t, lines, 6, "head, 0, 1, 2 and 5 min, and the word")
	assert.Contains(t, lines[5], "at freezing after 2.5 min; a coil free of ice is computed")
}

func TestSweatingLine(t *testing.T) {
	o := loftCalls()
	o.Registers[1].Temperature, o.Registers[1].DewPoint = fahrenheit(50), fahrenheit(57.2)
	var b strings.Builder
	require.NoError(t, Write(&b, &Document{Blocks: registerNotes(o, quantity.IP)}, "text", Style{}))
	assert.Contains(t, b.String(), "* colder than the room's dew point of 55 to 57 °F, by 7.2 °F at the worst")
	b.Reset()
	require.NoError(t, Write(&b, &Document{Blocks: registerNotes(bothCall(), quantity.IP)}, "text", Style{}))
	assert.Empty(t, b.String(), "warm air does not sweat")
}

// A spreadsheet must take a name for a text, and a program must get it back.
func TestCSVGuardsFormulas(t *testing.T) {
	for _, name := range []string{"=1+1", "+49 30", "-main", "@SUM(A1)", "'quoted", " =1", "\t=1", "\tx", "\rx", "＝1", "\u00a0=1"} {
		assert.Equal(t, "'"+name, guard(name), "%q", name)
	}
	for _, name := range []string{"", "loft", "a=b", "1st floor", " loft", "°", "bed-2"} {
		assert.Equal(t, name, guard(name), "%q", name)
	}
	s := fixture()
	s.Job.Title, s.Job.Zones[0].Name = "=cmd()", "-main"
	s.Reports[0].Outcome.Graph = s.Reports[1].Outcome.Graph
	s.Reports[1].Outcome.Graph.Job.Title = "=cmd()"
	s.Reports[1].Outcome.Graph.Job.Zones[0].Name = "@main"
	s.Reports[1].Outcome.Dampers[0].Name = "+d"
	s.Reports[0].Findings[0].Where = "=where"
	var b bytes.Buffer
	require.NoError(t, NewCSV(&b).Add(s))
	for line := range strings.Lines(b.String()) {
		for field := range strings.SplitSeq(strings.TrimSpace(line), ",") {
			if strings.HasPrefix(field, "-") {
				assert.Regexp(t, `^-[0-9.e-]+$`, field, "only numbers begin with a minus")
				continue
			}
			assert.NotRegexp(t, `^"?[=+@]`, field)
		}
	}
	assert.Contains(t, b.String(), "'=cmd()")
	assert.Contains(t, b.String(), "'@main")
	assert.Contains(t, b.String(), "'+d")
	assert.Contains(t, b.String(), "'=where")
}
