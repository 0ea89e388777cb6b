package verdict_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// Moving a limit across a value moves the level of its finding, and the margin has the sign that it says.
func TestLevelFollowsTheLimit(t *testing.T) {
	const name = "cooling: bedrooms"
	base := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", ""), name)
	for _, c := range []struct {
		check, where, key string
		value             float64 // in the unit of the key
		unit              string
		least             bool
	}{
		{"external static", "", "max-static", base.Blower.ExternalStatic / quantity.InchWater, " inwc", false},
		{"airflow per ton", "", "least-airflow-per-ton", base.Blower.Airflow / quantity.CFM / 3, " cfm", true},
		{"register face velocity", "bed-2", "supply-face-velocity", register(t, base, "bed-2").FaceVelocity / quantity.FPM, " fpm", false},
		{"coil frost", "", "least-evaporating", base.Equipment.EvaporatingStrip*1.8 + 32, " F", true},
		{"room noise", "bed 2", "bedroom-noise", roomOf(t, base, "bed 2").NC, "", false},
	} {
		t.Run(c.check, func(t *testing.T) {
			judge := func(share float64) verdict.Finding {
				value := quoted(c.value*share, c.unit)
				if c.check == "room noise" {
					value = quoted(valueBeside(c.check, c.value, share), "")
				}
				o := *base
				o.Graph = networktest.Graph(t, "noisy-bedroom", "", "limits."+c.key+"=["+value+", "+value+"]")
				return finding(t, verdict.Judge(&o), c.check, c.where)
			}
			within, beyond := 1.02, 0.98
			if c.least {
				within, beyond = beyond, within
			}
			f := judge(beyond)
			assert.Equal(t, verdict.Fault, f.Level)
			assert.Negative(t, f.Margin)
			assert.NotEmpty(t, f.Remedy)
			inOrder := *base
			inOrder.Graph = networktest.Graph(t, "noisy-bedroom", "", "limits."+c.key+"="+quoted(valueBeside(c.check, c.value, within), c.unit))
			for _, g := range verdict.Judge(&inOrder) { // a check with many places shows only the places that are not in order
				if g.Check == c.check && g.Where == c.where {
					assert.NotEqual(t, verdict.Fault, g.Level)
				}
			}
		})
	}
}

// valueBeside is a limit a little to one side of a value; of a noise 10 NC, past the 8 by which a fault must be sure.
func valueBeside(check string, value, share float64) float64 {
	if check == "room noise" {
		return value + (share-1)*500
	}
	return value * share
}

// A job's own noise target goes before the defaults: a caution beyond it, a fault 5 NC on, where even the low end of the band, 8 NC under the
// estimate, is past the target. A room's before its zone's.
func TestNoiseTargets(t *testing.T) {
	nc := roomOf(t, statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", ""), "cooling: bedrooms"), "bed 2").NC
	service := verdict.OK
	if nc > 40 {
		service = verdict.Caution
	}
	for _, c := range []struct {
		name  string
		set   []string
		level verdict.Level
		limit float64
	}{
		{"room just above", []string{`room."bed 2".noise-target=` + quoted(nc+1, "")}, verdict.OK, nc + 1},
		{"room just below", []string{`room."bed 2".noise-target=` + quoted(nc-1, "")}, verdict.Caution, nc - 1},
		{"room far below", []string{`room."bed 2".noise-target=` + quoted(nc-7, "")}, verdict.Caution, nc - 7},
		{"even the low end past", []string{`room."bed 2".noise-target=` + quoted(nc-9, "")}, verdict.Fault, nc - 4},
		{"zone", []string{"zone.bedrooms.noise-target=" + quoted(nc-1, "")}, verdict.Caution, nc - 1},
		{"room before zone", []string{"zone.bedrooms.noise-target=20", `room."bed 2".noise-target=` + quoted(nc-1, "")}, verdict.Caution, nc - 1},
		{"use", []string{`room."bed 2".use=service`}, service, 40},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", "", c.set...), "cooling: bedrooms")
			for _, f := range verdict.Judge(o) {
				if f.Check == "room noise" && f.Where == "bed 2" {
					assert.Equal(t, c.level, f.Level)
					assert.InDelta(t, c.limit, f.Limit, 1e-3)
					return
				}
			}
			assert.Equal(t, verdict.OK, c.level, "only a room in order may go unnamed")
		})
	}
}

// What RoomNoise tells a chart is what Judge holds a room to: the limit of each finding is a step of its room's, and a room that sleeps is
// held to less than one that cooks (common practice).
func TestRoomNoiseIsWhatJudgeUses(t *testing.T) {
	seen := 0
	for _, set := range []string{"", `room."bed 2".noise-target=20`} {
		o := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", "", slices.DeleteFunc([]string{set}, func(s string) bool { return s == "" })...), "cooling: bedrooms")
		limits := verdict.RoomNoise(o)
		require.Len(t, limits, len(o.Rooms))
		by := map[string]verdict.Limit{}
		for i, l := range limits {
			by[o.Rooms[i].Name] = l
		}
		for _, f := range verdict.Judge(o) {
			if l, ok := by[f.Where]; ok && f.Check == "room noise" {
				seen++
				assert.True(t, f.Limit == l.Caution || f.Limit == l.Fault, "%s: %g is neither %g nor %g", f.Where, f.Limit, l.Caution, l.Fault)
			}
		}
		if set != "" {
			assert.InDelta(t, 20, by["bed 2"].Caution, 1e-12)
			continue
		}
		assert.Less(t, by["bed 2"].Fault, by["kitchen"].Fault)
	}
	assert.GreaterOrEqual(t, seen, 2)
}

// A maker's rating wins: its band is narrower, and the rated NC at the rated flow in the maker's own room comes out.
func TestMakersRatingWins(t *testing.T) {
	g := networktest.Graph(t, "noisy-bedroom", "", `supply.bed-2.register={ size = "8x4 in", free-area = "60 %", noise = { nc = 32, at = "189 cfm" } }`)
	o := statetest.Quick(t, g, "cooling: bedrooms")
	r := register(t, o, "bed-2")
	assert.True(t, r.Rated)
	flow := r.FaceVelocity * g.Elements[g.Registers[6].Element].Spec.(*network.OpeningSpec).Section.Area() / quantity.CFM
	assert.InDelta(t, 32+60*math.Log10(flow/189), r.Catalogue, 0.6, "the bare 60 log law, the room 10 dB under the power")
	assert.InDelta(t, 4, r.NC-r.NCLow, 0.1)
	assert.InDelta(t, 8, r.NCHigh-r.NC, 0.1)
}

// California's rule asks for the airflow in every zonal control mode of a single-speed system; of a staged one only with all zones
// calling at the highest stage (Title 24 Part 6, 2013, as published).
func TestCaliforniaRulePerState(t *testing.T) {
	for _, c := range []struct {
		example string
		states  map[string]bool // judged?
	}{
		{"two-floor", map[string]bool{"design-cooling: loft": true, "design-cooling: all zones": true, "heating: loft": false}},
		{"three-zone", map[string]bool{}},
	} {
		g := networktest.Graph(t, c.example, "", `limits.rules=["california zonal"]`)
		s, err := state.New(g)
		require.NoError(t, err)
		judged := 0
		for _, cs := range state.States(g) {
			o, err := s.Quick().Solve(cs)
			require.NoError(t, err)
			var airflow *verdict.Finding
			for _, f := range verdict.Judge(o) {
				if f.Check == "california zonal airflow" {
					airflow = &f
				}
			}
			want := cs.Mode == network.Cooling && (cs.Stages <= 1 || len(cs.Calling) == len(g.Job.Zones) && cs.Stage == cs.Stages)
			if told, ok := c.states[cs.Name]; ok {
				assert.Equal(t, told, want, "the test's own rule, %s", cs.Name)
			}
			require.Equal(t, want, airflow != nil, cs.Name)
			if airflow == nil {
				continue
			}
			judged++
			// 350 cfm of air to and from the dwelling per nominal ton.
			dwelling := o.Blower.Airflow * (1 - o.Bypass) / quantity.CFM
			tons := o.Blower.Airflow / quantity.CFM / (airflow.Value * quantity.TonOfCooling / quantity.CFM) * (1 - o.Bypass)
			assert.Equal(t, dwelling/tons < 350, airflow.Level == verdict.Fault, cs.Name)
			assert.Contains(t, airflow.Source, "confirm the edition in force")
		}
		assert.NotZero(t, judged, c.example)
	}
}

// Findings come worst first, and the margin of each is its distance to the limit on the good side.
func TestFindingsAreOrderedAndConsistent(t *testing.T) {
	rank := map[verdict.Level]int{verdict.OK: 0, verdict.Caution: 1, verdict.Fault: 2}
	for _, name := range []string{"first-look", "two-floor", "three-zone", "noisy-bedroom"} {
		g := networktest.Graph(t, name, "")
		s, err := state.New(g)
		require.NoError(t, err)
		for _, cs := range state.States(g) {
			o, err := s.Quick().Solve(cs)
			require.NoError(t, err)
			last := 2
			for _, f := range verdict.Judge(o) {
				assert.LessOrEqual(t, rank[f.Level], last)
				last = rank[f.Level]
				assert.False(t, math.IsNaN(f.Value) || math.IsInf(f.Value, 0), "%s %s", cs.Name, f.Check)
				if !math.IsNaN(f.Limit) {
					assert.InDelta(t, math.Abs(f.Value-f.Limit), math.Abs(f.Margin), 1e-9)
					slack := 0.0
					if f.Quantity == verdict.Velocity && f.Class == verdict.Guideline {
						slack = 0.05 * f.Limit // nobody predicts or reads a velocity better (our choice)
					}
					assert.Equal(t, f.Level != verdict.OK, f.Margin < -slack, "%s: %s at %s", cs.Name, f.Check, f.Where)
				}
				if f.Level == verdict.OK {
					assert.Empty(t, f.Remedy+f.Safety)
				} else {
					assert.NotEmpty(t, f.Remedy)
				}
			}
		}
	}
}

// The caution of a kind of fault goes with every fault of that kind.
func TestSafetyGoesWithItsFault(t *testing.T) {
	o := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", "", "equipment.heating.output=90 kBtu/h"), "heating: bedrooms")
	f := finding(t, verdict.Judge(o), "temperature rise", "")
	assert.Equal(t, verdict.Fault, f.Level)
	assert.Equal(t, verdict.Safety(verdict.HotFurnace), f.Safety)
	assert.Contains(t, f.Safety, "Never alter")
}

// A filter's face velocity is the actual airflow over its nominal size: 1,000 cfm through 16 x 25 in. is 360 fpm, over the 300 of the
// Air-Conditioning Systems Design Manual (1993), Table 5-2; twice the face is in order. Without a size nothing is judged.
func TestFilterAndCoilVelocity(t *testing.T) {
	const name = "cooling: all zones"
	for _, c := range []struct {
		size  string
		level verdict.Level
	}{{"16x25 in", verdict.Fault}, {"32x25 in", verdict.OK}} {
		o := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", "", "equipment.filter.size="+c.size, "equipment.coil.size="+c.size), name)
		for _, part := range []string{"filter", "coil"} {
			f := finding(t, verdict.Judge(o), part+" velocity", part)
			area := 16 * 25 / 144.0
			if c.size == "32x25 in" {
				area *= 2
			}
			i := o.Graph.ElementNamed(part)
			require.GreaterOrEqual(t, i, 0)
			cfm := o.Elements[i].Flow / o.Elements[i].Density / quantity.CFM
			assert.InEpsilon(t, cfm/area, f.Value/quantity.FPM, 1e-6)
			if part == "filter" {
				assert.Equal(t, c.level, f.Level)
			}
		}
	}
	for _, f := range verdict.Judge(statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", ""), name)) {
		assert.NotContains(t, []string{"filter velocity", "coil velocity"}, f.Check)
	}
}

// A cold jet from a sidewall register well under the ceiling is free, and judged by its fall: over the height above people's heads (1.8 m).
func TestJetDrop(t *testing.T) {
	sidewall := func(height string) []string {
		return []string{`room."main bed".ceiling=12 ft`,
			`supply.main-bed.register={ size = "10x6 in", pattern = "high sidewall", reach = "14 ft", height = "` + height + `" }`}
	}
	o := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", "bleed", sidewall("8 ft")...), "cooling: all zones")
	r := register(t, o, "main-bed")
	assert.False(t, r.Attached)
	for _, f := range verdict.Judge(o) {
		if f.Check == "jet drop" {
			assert.InDelta(t, r.JetDrop/(8*0.3048-1.8), f.Value, 1e-9)
			assert.Equal(t, r.JetDrop > 8*0.3048-1.8, f.Level == verdict.Caution)
			return
		}
	}
	t.Fatal("a free cold jet is judged by its fall")
}

// Air that enters at 70 °F is as far from the least of 60 °F as from the most of 80 °F. Rounding, a
// millionth of a millionth of a degree either way, must not change which of the two is listed first.
func TestOrderOfEqualFindingsIgnoresRounding(t *testing.T) {
	fahrenheit := func(f float64) float64 { return (f - 32) / 1.8 }
	order := func(entering float64) (names []string) {
		found := []verdict.Finding{
			{Check: "most", Level: verdict.OK, Value: entering, Limit: fahrenheit(80), Bounds: verdict.AtMost, Quantity: quantity.KindTemperature},
			{Check: "least", Level: verdict.OK, Value: entering, Limit: fahrenheit(60), Bounds: verdict.AtLeast, Quantity: quantity.KindTemperature},
		}
		verdict.Sort(found)
		for _, f := range found {
			names = append(names, f.Check)
		}
		return names
	}
	for _, rounding := range []float64{0, 1e-12, -1e-12} {
		assert.Equal(t, []string{"most", "least"}, order(fahrenheit(70)+rounding), "%g", rounding)
	}
	assert.Equal(t, []string{"least", "most"}, order(fahrenheit(69)), "a real difference orders them")
}
