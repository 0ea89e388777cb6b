package state_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/diag"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// shortLoop is a house whose bypass is two feet of duct without leakage, so that the closed form of a recirculation loop holds in it.
const shortLoop = `
title = "loop"
[weather]
winter = { mode = "heating", outdoor = "10 F", indoor = "70 F" }
[equipment]
heating = { output = "54 kBtu/h", rise = ["35 F", "65 F"], leaving-limit = "170 F", tap = "medium" }
blower  = { table = "generic psc 3 ton" }
[zone]
a = { wants = "500 cfm", damper = "a", heat-loss = "20 kBtu/h", floor = "800 ft2" }
b = { wants = "500 cfm", damper = "b", heat-loss = "20 kBtu/h", floor = "800 ft2" }
[damper]
a = {}
b = {}
[supply]
a = { from = "supply plenum", size = "12 in", length = "20 ft", damper = "a", register = "20x8 in", zone = "a" }
b = { from = "supply plenum", size = "12 in", length = "20 ft", damper = "b", register = "20x8 in", zone = "b" }
[bypass]
loop = { from = "supply plenum", to = "return plenum", size = "12 in", length = "2 ft", opens-at = "OPENS inwc" }
[return]
r = { to = "return plenum", size = "18 in", length = "10 ft", grille = "24x20 in" }
`

func TestRecirculationFollowsTheClosedForm(t *testing.T) {
	// T_entering = T_return + r rise/(1 − r) and T_leaving = T_return + rise/(1 − r), r by mass, at the true steady state (mass and
	// energy balance of the loop; common practice).
	seen := map[int]bool{}
	for _, opens := range []string{"0.01", "0.03", "0.06", "0.10", "0.20", "0.60"} {
		text := []byte(replace(shortLoop, "OPENS", opens))
		g := networktest.Build(t, "loop.toml", text, network.Options{})
		for _, cs := range state.States(g) {
			o := statetest.Solve(t, g, cs.Name)
			e := o.Equipment
			r, rise := e.Recirculated, e.Rise
			seen[int(10*r)] = true
			ret := 70.0
			f := func(c float64) float64 { return c*1.8 + 32 }
			assert.InDelta(t, ret+r*rise*1.8/(1-r), f(e.Entering), 0.05, "%s, r = %.3f", cs.Name, r)
			assert.InDelta(t, ret+rise*1.8/(1-r), f(e.Leaving), 0.05)
			// The rise is the same whatever recirculates: output and fan heat over 1.08 cfm (standard air; the 1.08 of the trade is dry air, ours carries
			// 35 % relative humidity and 1.1 % more heat).
			want := (54000 + e.FanHeat/quantity.BtuPerHour) / (1.08 * o.Blower.Airflow / quantity.CFM)
			assert.InEpsilon(t, want, rise*1.8, 0.015)
			assert.InDelta(t, o.Bypass, r, 1e-6, "all of it through the bypass")
		}
	}
	assert.Greater(t, len(seen), 2, "the cases cover several shares")
}

func replace(text, old, by string) string {
	out := ""
	for i := 0; i < len(text); {
		if i+len(old) <= len(text) && text[i:i+len(old)] == old {
			out += by
			i += len(old)
			continue
		}
		out += text[i : i+1]
		i++
	}
	return out
}

func TestBleedDoesNotOverheatButBypassDoes(t *testing.T) {
	// What the student should see: with the small zone calling in heating, bled air comes back at room temperature, bypassed air does
	// not (common practice).
	bleed := statetest.Solve(t, networktest.Graph(t, "two-floor", ""), "heating: loft").Equipment
	plenum := statetest.Solve(t, networktest.Graph(t, "two-floor", "bypass-to-plenum"), "heating: loft").Equipment
	box := statetest.Solve(t, networktest.Graph(t, "two-floor", "bypass-to-return-box"), "heating: loft").Equipment
	dump := statetest.Solve(t, networktest.Graph(t, "two-floor", "dump-zone"), "heating: loft").Equipment
	assert.Zero(t, bleed.Recirculated)
	assert.Less(t, math.Abs(bleed.Entering-dump.Entering), 0.5)
	assert.Greater(t, plenum.Entering-bleed.Entering, 5.0)
	assert.True(t, math.IsInf(bleed.TimeToLimit, 1))
	assert.True(t, math.IsInf(dump.TimeToLimit, 1))
	// Whether the limit trips hangs on mixing in both: mixed it does not, at the unmixed end it does. Farther upstream less arrives unmixed.
	for name, e := range map[string]state.Equipment{"plenum": plenum, "box": box} {
		assert.Less(t, e.SensorLow, e.Limit, name)
		assert.Greater(t, e.SensorHigh, e.Limit, name)
		assert.InDelta(t, e.Limit, e.SensorAt(e.UnmixedAtSensor(e.Limit)), 1e-9, name)
	}
	assert.Less(t, box.Unmixed, plenum.Unmixed)
	assert.Less(t, box.UnmixedHigh, plenum.UnmixedHigh)
	// With half of it unmixed the burner cycles on its limit.
	half := statetest.Solve(t, networktest.Graph(t, "two-floor", "bypass-to-plenum", "bypass.relief.unmixed=50 %"), "heating: loft").Equipment
	assert.Less(t, half.BurnerDuty, 1.0)
	assert.Greater(t, half.TimeToLimit, 60.0, "minutes, not seconds")
	assert.Less(t, half.TimeToLimit, 1200.0, "and inside one call")
}

func TestMildDayIsWorstForTheCoil(t *testing.T) {
	// Frost risk is greatest in mild weather with a bypass (trade experience; the coil's capacity rises as it gets cooler outside).
	for _, alternative := range []string{"", "bypass-to-plenum", "bypass-to-return-box"} {
		g := networktest.Graph(t, "two-floor", alternative)
		design := statetest.Solve(t, g, "design-cooling: loft").Equipment
		mild := statetest.Solve(t, g, "mild-cooling: loft").Equipment
		assert.Less(t, mild.Evaporating, design.Evaporating, alternative)
	}
	with := statetest.Solve(t, networktest.Graph(t, "two-floor", "bypass-to-plenum"), "mild-cooling: loft").Equipment
	without := statetest.Solve(t, networktest.Graph(t, "two-floor", ""), "mild-cooling: loft").Equipment
	// A third of the air comes back cold: the entering air is some 8 K colder, and the evaporating temperature follows its wet bulb by about half
	// of that (thermal model, computed: 36.4 against 40.8 °F at 0.3 recirculated).
	assert.Less(t, with.FrostMargin, without.FrostMargin-2)
}

func TestDuctLossToAnAttic(t *testing.T) {
	// T_out = T_amb + (T_in − T_amb) exp(−A/(R m c_p)): a run in an attic warms the air on its way, the more the less air it carries.
	set := func(place string) *state.Outcome {
		return statetest.Solve(t, networktest.Graph(t, "two-floor", "", "supply.loft-bed.place="+place, "supply.loft-bed.insulation=r-6", "damper.loft.stop=20 %"), "design-cooling: main")
	}
	inside, attic := set("inside"), set("attic")
	k := -1
	for i, r := range attic.Graph.Registers {
		if r.Line == "loft-bed" {
			k = i
		}
	}
	require.GreaterOrEqual(t, k, 0)
	warm, cool := attic.Registers[k].Temperature, inside.Registers[k].Temperature
	require.Greater(t, warm, cool)
	g := attic.Graph
	duct := g.ElementNamed("loft-bed")
	spec := g.Elements[duct].Spec.(*network.DuctSpec)
	resistance := (6 + 0.8) * quantity.RValueIP // R-6 and films of
	ambient := (93.0-32)/1.8 + 25/1.8           // outdoors and the sun on the roof, our choice
	rate := attic.Elements[duct].Flow * 1022    // W/K; moist air of about 0.0088 kg/kg
	in := attic.Nodes[g.Elements[duct].From].Temperature
	want := ambient + (in-ambient)*math.Exp(-spec.Section.Perimeter()*spec.Length/resistance/rate)
	assert.InDelta(t, want, warm, 0.05)
}

func TestImpossibleEquipmentIsRefusedInItsPlace(t *testing.T) {
	for _, c := range []struct{ set, says string }{
		{"equipment.cooling.sensible=95 %", "beyond saturation"},
		{"equipment.cooling.sensible=30 %", "has no coil surface temperature"},
	} {
		g := networktest.Graph(t, "two-floor", "", c.set)
		_, err := state.New(g)
		require.Error(t, err)
		list, ok := diag.As(err)
		require.True(t, ok)
		assert.Contains(t, list[0].Summary, c.says)
		assert.Contains(t, list[0].Summary, "3.00 tons")
		assert.Equal(t, "--set", list[0].File)
	}
	// In the file itself the place is its line.
	g := networktest.Build(t, "steep.toml", []byte(replace(shortLoop, "OPENS", "0.1")+"\n[equipment.cooling]\ncapacity = \"3 ton\"\ntap = \"high\"\nsensible = \"96 %\"\n"), network.Options{})
	g.Job.Weather = append(g.Job.Weather, network.Weather{Name: "summer", Mode: network.Cooling})
	_, err := state.New(g)
	list, ok := diag.As(err)
	require.True(t, ok)
	assert.Positive(t, list[0].Line)
	assert.Contains(t, list[0].LineText, "96 %")
}

func TestDriftOfASatisfiedZone(t *testing.T) {
	g := networktest.Build(t, "loop.toml", []byte(replace(shortLoop, "OPENS", "0.6")), network.Options{})
	o := statetest.Solve(t, g, "heating: a")
	if o.State.Name == "" {
		t.Fatal("no state")
	}
	z := o.Zones[1]
	assert.InDelta(t, 20000, z.Load/quantity.BtuPerHour, 1, "design load at the design weather")
	assert.Negative(t, z.DriftRate, "a zone without heat cools")
	assert.True(t, math.IsNaN(o.Zones[0].DriftRate), "the calling zone has no drift")
	// Bleed that covers the load holds the zone where it is.
	rate := z.NeutralBleed
	require.False(t, math.IsNaN(rate))
	heat := rate * 1.2014 * 1006 * (z.SupplyTemperature - (70.0-32)/1.8)
	assert.InEpsilon(t, z.Load, heat, 1e-9)
}

// The time to frost and the margin to it are of one mind: the course of the colder estimate comes to the coldest strip that the state
// of rest has, in loops with a bypass and without.
func TestFrostCourseComesToTheMargin(t *testing.T) {
	seen, bypassed := 0, 0
	for _, name := range networktest.Examples(t) {
		for _, alternative := range networktest.Alternatives(t, networktest.Example(t, name)) {
			for _, o := range statetest.SolveAll(t, networktest.Graph(t, name, alternative)) {
				e := &o.Equipment
				if o.State.Mode != network.Cooling || len(e.Course) == 0 {
					continue
				}
				last := e.Course[len(e.Course)-1]
				assert.InDelta(t, e.EvaporatingStrip, last.Critical, 0.01, "%s %s, %s: half an hour, at τ of two or three minutes", name, alternative, o.State.Name)
				if e.FrostMargin < 0 {
					assert.Less(t, e.TimeToFrost, 1800.0, "%s %s, %s", name, alternative, o.State.Name)
				}
				seen++
				if e.Recirculated > 0.05 {
					bypassed++
				}
			}
		}
	}
	assert.Greater(t, seen, 20)
	assert.Greater(t, bypassed, 3)
}
