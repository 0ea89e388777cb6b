package state_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/sound"
	"spillway/solver/sound/jet"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// The words of the job file and the rows of the jet library are the same.
func TestThrowPatternsAgree(t *testing.T) {
	for _, name := range network.Patterns() {
		_, ok := jet.Lookup(name)
		assert.True(t, ok, name)
	}
	_, ok := jet.Lookup(network.DefaultPattern)
	assert.True(t, ok)
}

// Every opening of every example in every state has finite numbers, an opening at rest is silent, and a room is at least as loud as
// its loudest opening and at most 10 log n louder.
func TestNoiseIsFiniteEverywhere(t *testing.T) {
	for name, g := range examples(t) {
		s := statetest.Solver(t, g)
		for _, cs := range state.States(g) {
			o, err := s.Quick().Solve(cs)
			require.NoError(t, err, name)
			check := func(where string, n *state.Noise) {
				for _, x := range []float64{n.NC, n.Band, n.DBA, n.OutletNC, n.DuctNC, n.Catalogue, n.NCLow, n.NCHigh} {
					require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%s %s %s", name, cs.Name, where)
				}
				assert.Equal(t, n.NC < 15, n.NCBelow)
				assert.Less(t, n.NCLow, n.NC)
				assert.Greater(t, n.NCHigh, n.NC)
				from := g.Elements[n.From].Kind
				opening := from == network.KindRegister || from == network.KindGrille
				if math.Abs(n.OutletNC-n.DuctNC) > 3 { // near each other the governing band decides
					assert.Equal(t, n.OutletNC > n.DuctNC, opening, "%s %s %s: heard most of %s", name, cs.Name, where, g.Elements[n.From].Name)
				}
			}
			for k := range o.Registers {
				check(g.Registers[k].Line, &o.Registers[k].Noise)
				if o.Registers[k].Airflow > 0 {
					assert.Positive(t, o.Registers[k].Throw)
				}
			}
			for k := range o.Grilles {
				check("grille", &o.Grilles[k].Noise)
			}
			heard := 0
			for _, r := range o.Rooms {
				assert.Less(t, r.NCLow, r.NC)
				assert.Greater(t, r.NCHigh, r.NC)
				loudest, n := math.Inf(-1), 0
				for _, k := range r.Registers {
					loudest, n = max(loudest, o.Registers[k].DBA), n+1
				}
				for _, k := range r.Grilles {
					loudest, n = max(loudest, o.Grilles[k].DBA), n+1
				}
				heard += n
				assert.GreaterOrEqual(t, r.DBA, loudest-1e-9)
				assert.LessOrEqual(t, r.DBA, loudest+10*math.Log10(float64(n))+1e-9)
			}
			assert.Equal(t, len(o.Registers)+len(o.Grilles), heard, "every opening is heard in one room")
		}
	}
}

// oneRegister is a house of two zones in which register "a" can be varied; both zones' runs are bare duct.
const oneRegister = `
units = "ip"
[weather]
fan = { mode = "fan", indoor = "70 F", outdoor = "70 F" }
[equipment]
fan = { airflow = "%s" }
[blower]
kind = "constant airflow"
static = [0.0, 5.0]
[blower.tap]
only = { airflow = [2000, 1900], watts = [500, 900] }
[zone]
one = { wants = "200 cfm", damper = "one" }
two = { wants = "200 cfm", damper = "two" }
[damper]
one = { size = "8 in", stop = "100 %%" }
two = { size = "8 in", stop = "100 %%" }
[supply]
a = { from = "supply plenum", size = "%s", length = "%s", damper = "one", register = %s, room = "bed", %s }
b = { from = "supply plenum", size = "8 in", length = "12 ft", damper = "two", register = "10x6 in", room = "den" }
[return]
r = { to = "return plenum", size = "14 in", length = "6 ft", grille = "20x20 in" }
`

type house struct{ airflow, size, length, register, more string }

func (h house) solve(t testing.TB) *state.Outcome {
	t.Helper()
	fill := func(s *string, with string) {
		if *s == "" {
			*s = with
		}
	}
	fill(&h.airflow, "400 cfm")
	fill(&h.size, "8 in")
	fill(&h.length, "12 ft")
	fill(&h.register, `"10x6 in"`)
	fill(&h.more, `place = "inside"`)
	job := fmt.Sprintf(oneRegister, h.airflow, h.size, h.length, h.register, h.more)
	return statetest.Solve(t, networktest.Build(t, "house.toml", []byte(job), network.Options{}), "fan: all zones")
}

// Noise rises 15 to 18 dB per doubling of velocity: 50 to 60 log (rule of the trade). All flows double when the blower's does, and the
// drop of the register goes with the square.
func TestTradeNoisePerDoublingOfVelocity(t *testing.T) {
	slow, fast := house{airflow: "300 cfm"}.solve(t), house{airflow: "600 cfm"}.solve(t)
	a, b := &slow.Registers[0], &fast.Registers[0]
	ratio := b.FaceVelocity / a.FaceVelocity
	assert.InDelta(t, 2, ratio, 0.05)
	perDoubling := (b.Power.Overall() - a.Power.Overall()) / math.Log2(ratio)
	assert.GreaterOrEqual(t, perDoubling, 15.0)
	assert.LessOrEqual(t, perDoubling, 18.2)
	// A fifth more air is 4.8 dB (computed from 60 log).
	more := house{airflow: "360 cfm"}.solve(t)
	gain := more.Registers[0].Power.Overall() - a.Power.Overall()
	assert.InDelta(t, 4.8, gain, 0.3)
}

// A 4 x 10 in. register with a loss of 6.2 on its face (a free area that gives it): 150 cfm is NC 30 and 35 dBA in a 33 m³ bedroom at
// 1.5 m, NC 25.5 in the catalogue's room; at 200 cfm 38, 43 and 34 (computed from the formulas of Reynolds and Schultz with a round octave shape).
func TestComputedResidentialRegister(t *testing.T) {
	// The total loss is 7.2 for a static loss of 6.2: (1 + 0.707 √(1−f))/f = √7.2 at f = 0.547.
	for _, c := range []struct{ cfm, power, catalogue, nc, dba float64 }{
		{150, 44.2, 25.5, 30, 35},
		{200, 51.7, 34, 38, 43},
	} {
		flow, low, high := 0.0, 100.0, 1500.0
		var o *state.Outcome
		for range 40 {
			mid := (low + high) / 2
			o = house{airflow: fmt.Sprintf("%.9f cfm", mid), register: `{ size = "10x4 in", free-area = "54.7 %" }`}.solve(t)
			x := &o.Elements[o.Graph.Registers[0].Element]
			if flow = x.Flow / x.Density / quantity.CFM; flow < c.cfm {
				low = mid
			} else {
				high = mid
			}
		}
		require.InDelta(t, c.cfm, flow, 1e-3)
		r := &o.Registers[0]
		assert.InDelta(t, c.power, r.Power.Overall()+0.4, 0.5, "overall power; the octaves sum to 0.4 dB less")
		assert.InDelta(t, c.catalogue, r.Catalogue, 1)
		assert.InDelta(t, c.nc, r.NC, 1)
		assert.InDelta(t, c.dba, r.DBA, 1)
	}
}

// A damper at the face that takes as much pressure as the register makes it 9 dB louder; the same throttling at the head of the run
// hardly does, flexible duct between least of all (ASHRAE HVAC Applications 2019, ch. 49, Table 10; common practice).
func TestThrottlingAtTheFaceIsLouder(t *testing.T) {
	open := house{}.solve(t)
	target := open.Registers[0].Airflow * 0.7
	search := func(make func(percent float64) house) *state.Outcome {
		low, high := 5.0, 100.0
		for range 40 {
			mid := (low + high) / 2
			if make(mid).solve(t).Registers[0].Airflow < target {
				low = mid
			} else {
				high = mid
			}
		}
		return make(high).solve(t)
	}
	face := search(func(p float64) house {
		return house{register: fmt.Sprintf(`{ size = "10x6 in", balance = "%.6f %%" }`, p)}
	})
	head := search(func(p float64) house { return house{more: fmt.Sprintf(`balance = "%.6f %%"`, p)} })
	flexible := search(func(p float64) house {
		return house{size: "8 in flex", more: fmt.Sprintf(`balance = "%.6f %%"`, p)}
	})
	require.InEpsilon(t, target, face.Registers[0].Airflow, 1e-3)
	require.InEpsilon(t, target, head.Registers[0].Airflow, 1e-3)
	assert.Greater(t, face.Registers[0].OutletNC, head.Registers[0].OutletNC+9)
	assert.Greater(t, face.Registers[0].NC, flexible.Registers[0].NC+5)
	assert.Greater(t, head.Registers[0].DuctNC, flexible.Registers[0].DuctNC+5, "flexible duct takes the damper's noise away")
	assert.Greater(t, head.Registers[0].DuctNC, open.Registers[0].DuctNC, "the damper is heard through bare duct")
}

// What comes down the duct follows from the parts: damper, then duct, then the end of the duct, reckoned here one after the other with
// the library's published pieces.
func TestDuctNoiseFollowsThePath(t *testing.T) {
	for _, c := range []struct {
		name string
		h    house
		loss func() (sound.Spectrum, error)
	}{
		{"bare", house{more: `balance = "25 %"`}, func() (sound.Spectrum, error) {
			s, _, err := sound.BareDuct{Section: sound.RoundSection(8 * 0.0254), Length: 12 * 0.3048}.Loss()
			return s, err
		}},
		{"lined", house{more: `balance = "25 %", lined = "1 in"`}, func() (sound.Spectrum, error) {
			s, _, err := sound.LinedDuct{Section: sound.RoundSection(8 * 0.0254), Length: 12 * 0.3048, Lining: 0.0254}.Loss()
			return s, err
		}},
		{"flexible", house{size: "8 in flex", more: `balance = "25 %"`}, func() (sound.Spectrum, error) {
			s, _, err := sound.FlexDuct{Diameter: 8 * 0.0254, Length: 12 * 0.3048}.Loss()
			return s, err
		}},
		{"elbow", house{more: `balance = "25 %", fittings = ["elbow 90 smooth"]`}, func() (sound.Spectrum, error) {
			s, _, err := sound.BareDuct{Section: sound.RoundSection(8 * 0.0254), Length: 12 * 0.3048}.Loss()
			b, _, err2 := sound.Bend{Width: 8 * 0.0254}.Loss()
			for i := range s {
				s[i] += b[i]
			}
			return s, firstError(err, err2)
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := c.h.solve(t)
			g := o.Graph
			area := math.Pi / 4 * 0.2032 * 0.2032
			var power sound.Spectrum = sound.Silence()
			for i := range g.Elements {
				if g.Elements[i].Kind != network.KindDamper || g.Elements[i].Line != "a" {
					continue
				}
				x := &o.Elements[i]
				one, _, err := sound.Damper{Flow: x.Flow / x.Density, Drop: x.Drop, Area: area, Height: 0.2032}.Power()
				require.NoError(t, err)
				power = power.Plus(one)
			}
			// The two runs leave the plenum with equal areas: the split is before the dampers and takes nothing from them.
			loss, err := c.loss()
			require.NoError(t, err)
			end, _, err := sound.DuctEnd{Area: area}.Loss()
			require.NoError(t, err)
			room := g.Job.RoomOf("bed", "one")
			effect, _, err := sound.Room{Volume: room.Volume(), Distance: room.Listener}.Loss()
			require.NoError(t, err)
			want := sound.RateNC(power.Less(loss).Less(end).Less(effect)).Number
			assert.InDelta(t, want, o.Registers[0].DuctNC, 1e-9)
		})
	}
}

func firstError(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

// Behind a division the branch with half the area of all has 3 dB less of what came down the main (Long, eq. 14.17).
func TestDivisionTakesItsShare(t *testing.T) {
	job := func(branches string) string {
		return `
[weather]
fan = { mode = "fan", indoor = "70 F", outdoor = "70 F" }
[equipment]
fan = { airflow = "500 cfm" }
[blower]
kind = "constant airflow"
static = [0.0, 5.0]
[blower.tap]
only = { airflow = [2000, 1900], watts = [500, 900] }
[zone]
one = { wants = "400 cfm", damper = "one" }
[damper]
one = { size = "10 in", open = "30 %" }
[supply]
main = { from = "supply plenum", size = "10 in", length = "6 ft", damper = "one" }
` + branches + `
[return]
r = { to = "return plenum", size = "14 in", length = "6 ft", grille = "20x20 in" }
`
	}
	o := statetest.Solve(t, networktest.Build(t, "x.toml", []byte(job(`
a = { from = "main", size = "8 in", length = "6 ft", fittings = ["straight on"], register = "12x8 in", room = "bed" }
b = { from = "main", size = "8 in", length = "6 ft", fittings = ["wye 45"], register = "12x8 in", room = "den" }`)), network.Options{}), "fan: one")
	g := o.Graph
	area := func(inches float64) float64 { return math.Pi / 4 * inches * inches * 0.0254 * 0.0254 }
	var damper *state.Element
	for i := range g.Elements {
		if g.Elements[i].Kind == network.KindDamper {
			damper = &o.Elements[i]
		}
	}
	require.NotNil(t, damper)
	power, _, err := sound.Damper{Flow: damper.Flow / damper.Density, Drop: damper.Drop, Area: area(10), Height: 0.254}.Power()
	require.NoError(t, err)
	main, _, err := sound.BareDuct{Section: sound.RoundSection(0.254), Length: 6 * 0.3048}.Loss()
	require.NoError(t, err)
	branch, _, err := sound.BareDuct{Section: sound.RoundSection(8 * 0.0254), Length: 6 * 0.3048}.Loss()
	require.NoError(t, err)
	end, _, err := sound.DuctEnd{Area: area(8)}.Loss()
	require.NoError(t, err)
	room := g.Job.RoomOf("bed", "one")
	effect, _, err := sound.Room{Volume: room.Volume(), Distance: room.Listener}.Loss()
	require.NoError(t, err)
	all := 2 * area(8)
	step := (all - area(10)) / (all + area(10))
	share := 10*math.Log10(2) - 10*math.Log10(1-step*step)
	want := sound.RateNC(power.Less(main).Raised(-share).Less(branch).Less(end).Less(effect)).Number
	assert.InDelta(t, want, o.Registers[0].DuctNC, 1e-9)
	assert.InDelta(t, o.Registers[0].DuctNC, o.Registers[1].DuctNC, 0.5, "the take-off adds next to nothing in a house")
}

// Two equal registers in one room are 3.0 dB louder than one.
func TestTwoEqualRegistersAddThreeDecibels(t *testing.T) {
	o := house{}.solve(t)
	one := o.Rooms[0].DBA
	job := fmt.Sprintf(oneRegister, "400 cfm", "8 in", "12 ft", `"10x6 in"`, `place = "inside"`)
	both := statetest.Solve(t, networktest.Build(t, "house.toml", []byte(job), network.Options{Set: []string{"supply.b.room=bed"}}), "fan: all zones")
	require.Len(t, both.Rooms[0].Registers, 2)
	assert.InDelta(t, one+3.01, both.Rooms[0].DBA, 0.05)
}

// A zone run at 40 % of its flow throws 40 % as far (throw is proportional to flow at a fixed outlet, ASHRAE Fundamentals, ch. 20).
func TestThrowIsProportionalToFlow(t *testing.T) {
	register := `{ size = "12x6 in", pattern = "high sidewall", reach = "30 ft" }`
	full, part := house{airflow: "500 cfm", register: register}.solve(t), house{airflow: "200 cfm", register: register}.solve(t)
	a, b := &full.Registers[0], &part.Registers[0]
	flows := b.FaceVelocity / a.FaceVelocity
	assert.InDelta(t, 0.4, flows, 0.01)
	assert.InDelta(t, flows, b.FreeThrow/a.FreeThrow, 1e-9)
	// 12 x 6 in., 80 % of the face, K 5.7: the throw to 0.5 m/s is K Q/(v √A).
	q := a.FaceVelocity * 12 * 6 * 0.0254 * 0.0254
	assert.InDelta(t, 5.7*q/(0.5*math.Sqrt(0.8*12*6*0.0254*0.0254)), a.Throw050, 1e-9)
	assert.Equal(t, jet.AtWall, a.ThrowEnd, "and would carry past the wall")
	assert.InDelta(t, a.Reach, a.Throw, 1e-12)
	assert.InDelta(t, 30*0.3048, a.Reach, 1e-12)
	assert.True(t, a.PatternGiven)
}

// A register that is turned down in cooling dumps, the same one at its design air does not.
func TestTurndownDumps(t *testing.T) {
	const name = "cooling: bedrooms"
	dumps := func(o *state.Outcome, line string) bool {
		for k := range o.Registers {
			if o.Graph.Registers[k].Line == line {
				return o.Registers[k].Dumping != 0
			}
		}
		t.Fatalf("no register %s", line)
		return false
	}
	pattern := `supply.living-1.register={ size = "10x6 in", pattern = "high sidewall", reach = "17 ft" }`
	assert.False(t, dumps(statetest.Solve(t, networktest.Graph(t, "noisy-bedroom", "", pattern), "cooling: day"), "living-1"), "the zone calls")
	bleed := statetest.Solve(t, networktest.Graph(t, "noisy-bedroom", "bleed", pattern), name)
	assert.True(t, dumps(bleed, "living-1"), "bleed air falls into the room")
}

// Air that is drawn in through a register, or stands still, throws nothing.
func TestIdleRegisterThrowsNothing(t *testing.T) {
	g := networktest.Graph(t, "first-look", "")
	for _, cs := range state.States(g) {
		s := statetest.Solver(t, g)
		o, err := s.Quick().Solve(cs)
		require.NoError(t, err)
		for k := range o.Registers {
			r := &o.Registers[k]
			assert.Equal(t, r.Airflow <= 0, math.IsNaN(r.Throw))
		}
	}
}
