package state_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/sound"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// A 12x6 in. register in a bedroom of 33 m³ at 1.5 m by its free area: static loss on the face's velocity pressure, static drop at 360 and
// 500 fpm, NC at 300, 400, 500, 600, 700 and 900 fpm. Computed from the formulas of Idelchik, Reynolds and Schultz by hand, rounded to whole NC.
func TestComputedRegistersByFreeArea(t *testing.T) {
	const area = 72 * 0.0254 * 0.0254
	room, _, err := sound.Room{Volume: 33, Distance: 1.5}.Loss()
	require.NoError(t, err)
	for _, c := range []struct {
		free, xi, drop360, drop500 float64
		nc                         [6]float64
	}{
		{0.50, 8.0, 0.065, 0.125, [6]float64{16, 25, 33, 39, 43, 50}},
		{0.55, 6.2, 0.050, 0.096, [6]float64{13, 22, 30, 35, 40, 47}},
		{0.60, 4.8, 0.039, 0.075, [6]float64{10, 19, 26, 32, 36, 43}},
		{0.65, 3.8, 0.030, 0.059, [6]float64{6, 15, 22, 28, 33, 40}},
		{0.70, 2.9, 0.024, 0.046, [6]float64{3, 12, 19, 24, 30, 37}},
		{0.75, 2.3, 0.018, 0.035, [6]float64{0, 9, 16, 21, 26, 34}},
	} {
		xi := catalog.SupplyZeta(c.free) - 1
		drop := func(fpm float64) float64 { return xi * 1.2 / 2 * fpm * fpm * quantity.FPM * quantity.FPM }
		assert.InDelta(t, c.xi, xi, 0.06, "static loss at %g", c.free)
		assert.InDelta(t, c.drop360, drop(360)/quantity.InchWater, 0.0007, "static drop at 360 fpm, %g", c.free)
		assert.InDelta(t, c.drop500, drop(500)/quantity.InchWater, 0.0012, "static drop at 500 fpm, %g", c.free)
		for i, fpm := range []float64{300, 400, 500, 600, 700, 900} {
			own, _, err := sound.Outlet{Flow: fpm * quantity.FPM * area, FaceArea: area, Drop: drop(fpm)}.Power()
			require.NoError(t, err)
			assert.InDelta(t, c.nc[i], sound.RateNC(own.Less(room)).Number, 0.8, "%g fpm, free area %g", fpm, c.free)
		}
	}
	// A bare opening of that size at 500 fpm, which loses one velocity pressure: 21 dB and NC 6. Tables of velocity say 35 there, so they
	// hold the ducts and dampers of a room and not the noise of an outlet.
	v := 500 * quantity.FPM
	bare, _, err := sound.Outlet{Flow: v * area, FaceArea: area, Drop: 1.2 / 2 * v * v}.Power()
	require.NoError(t, err)
	assert.InDelta(t, 21, bare.Overall()+0.4, 0.5, "the octaves sum to 0.4 dB less")
	assert.InDelta(t, 6, sound.RateNC(bare.Less(room)).Number, 1) // from 21 dB, itself rounded
}

// The default free area is that of the drop and of the noise, and it gives the drop by which ducts are designed: 0.03 in. of water of static
// at 360 fpm, 100 cfm through a 4x10 in. register (common practice). Through the whole program.
func TestTradeDesignDropOfARegister(t *testing.T) {
	flow, low, high := 0.0, 100.0, 600.0
	var o *state.Outcome
	for range 30 {
		mid := (low + high) / 2
		o = house{airflow: fmt.Sprintf("%.6f cfm", mid), register: `"10x4 in"`}.solve(t)
		if flow = o.Registers[0].FaceVelocity / quantity.FPM; flow < 360 {
			low = mid
		} else {
			high = mid
		}
	}
	require.InDelta(t, 360, flow, 0.01)
	r, x := &o.Registers[0], &o.Elements[o.Graph.Registers[0].Element]
	static := x.Drop - x.Junction - x.Density*x.Velocity*x.Velocity/2
	assert.InDelta(t, 0.03, static/quantity.InchWater, 0.002)
	own, _, err := sound.Outlet{Flow: r.FaceVelocity * 40 * 0.0254 * 0.0254, FaceArea: 40 * 0.0254 * 0.0254, Drop: static}.Power()
	require.NoError(t, err)
	h := o.Graph.Job.RoomOf("bed", "one")
	loss, _, err := sound.Room{Volume: h.Volume(), Distance: h.Listener}.Loss()
	require.NoError(t, err)
	assert.InDelta(t, sound.RateNC(own.Less(loss)).Number, r.OutletNC, 1e-9, "noise hears the drop that the flow takes")
}

// In every example, alternative and state: when a dirtier filter leaves a register a little less air it is a little quieter, and never by more
// than half an NC for each percent; the band holds the estimate; where the noise comes from does not make it jump.
func TestNoiseFollowsTheFlow(t *testing.T) {
	compared := 0
	for name, g := range examples(t) {
		if g.Job.Equipment.Filter == nil {
			continue
		}
		s := statetest.Solver(t, g)
		for _, cs := range state.States(g) {
			before, err := s.Quick().Solve(cs)
			require.NoError(t, err, name)
			for _, factor := range []float64{1.02, 1.3} {
				other := withFilter(g, factor)
				o, err := statetest.Solver(t, other).Quick().Solve(cs)
				require.NoError(t, err, name)
				for k := range o.Registers {
					a, b := &before.Registers[k], &o.Registers[k]
					if !(a.FaceVelocity > 0.1 && b.FaceVelocity > 0.1) {
						continue
					}
					percent := math.Abs(math.Log(b.FaceVelocity/a.FaceVelocity)) / math.Log(1.01)
					if percent < 0.01 {
						continue
					}
					compared++
					where := fmt.Sprintf("%s %s %s %g", name, cs.Name, g.Registers[k].Line, factor)
					assert.Equal(t, b.FaceVelocity > a.FaceVelocity, b.OutletNC > a.OutletNC, where)
					assert.LessOrEqual(t, math.Abs(b.OutletNC-a.OutletNC), 0.5*percent+0.01, where)
					assert.InDelta(t, b.NC-b.NCLow, a.NC-a.NCLow, 0.5*percent+1e-9, where)
				}
			}
		}
	}
	assert.Greater(t, compared, 200)
}

// withFilter is the installation with the drop of its filter times a factor.
func withFilter(g *network.Graph, factor float64) *network.Graph {
	other := *g
	other.Elements = append([]network.Element{}, g.Elements...)
	for i := range other.Elements {
		if spec, ok := other.Elements[i].Spec.(*network.RatedSpec); ok && other.Elements[i].Kind == network.KindFilter {
			dirty := *spec
			dirty.Drop *= factor
			other.Elements[i].Spec = &dirty
		}
	}
	return &other
}

// At a held airflow a damper that closes is heard more at every register after it, without a jump, and named where it is what is heard most.
func TestNoiseGrowsAsADamperCloses(t *testing.T) {
	const job = `
[weather]
fan = { mode = "fan", indoor = "70 F", outdoor = "70 F" }
[equipment]
fan = { airflow = "300 cfm" }
[blower]
kind = "constant airflow"
static = [0.0, 6.0]
[blower.tap]
only = { airflow = [2000, 1900], watts = [500, 900] }
[zone]
one = { wants = "300 cfm", damper = "one" }
[damper]
one = { size = "10 in" }
[supply]
a = { from = "supply plenum", size = "10 in", length = "6 ft", damper = "one", register = "14x8 in", room = "bed" }
[return]
r = { to = "return plenum", size = "14 in", length = "6 ft", grille = "20x20 in" }
`
	at := func(open float64) *state.Register {
		g := networktest.Build(t, "x.toml", []byte(job), network.Options{Set: []string{fmt.Sprintf("damper.one.open=%.4f %%", open)}})
		o := statetest.Solve(t, g, "fan: one")
		r := &o.Registers[0]
		if r.DuctNC > r.OutletNC+3 {
			assert.Equal(t, network.KindDamper, g.Elements[r.From].Kind, "%g %% open", open)
		}
		return r
	}
	before := at(100)
	heardOfDamper := false
	for open := 98.0; open > 25; open -= 2 {
		r := at(open)
		assert.GreaterOrEqual(t, r.DuctNC, before.DuctNC-1e-6, "%g %% open", open)
		assert.GreaterOrEqual(t, r.NC, before.NC-1e-6, "%g %% open", open)
		near := at(open - 0.01)
		assert.InDelta(t, r.NC, near.NC, 0.1, "no jump at %g %% open", open)
		heardOfDamper = heardOfDamper || r.DuctNC > r.OutletNC+3
		before = r
	}
	assert.True(t, heardOfDamper, "the damper is what is heard in the end")
}

// Nothing jumps within one percent of the flow, from a breath to a roar: estimate, band and what it is made of.
func TestNoiseDoesNotJump(t *testing.T) {
	for _, register := range []string{`"10x6 in"`, `{ size = "10x6 in", noise = { nc = 25, at = "150 cfm" } }`, `{ size = "10x6 in", balance = "40 %" }`} {
		var before *state.Register
		for cfm := 60.0; cfm < 1500; cfm *= 1.01 {
			r := &house{airflow: fmt.Sprintf("%.6f cfm", cfm), register: register}.solve(t).Registers[0]
			if before != nil {
				assert.Greater(t, r.NC, before.NC, "%s at %g cfm", register, cfm)
				assert.Less(t, r.NC-before.NC, 0.5, "%s at %g cfm", register, cfm)
				assert.InDelta(t, before.NCLow, r.NCLow, 0.5, "%s at %g cfm", register, cfm)
				assert.InDelta(t, before.NCHigh, r.NCHigh, 0.5, "%s at %g cfm", register, cfm)
			}
			before = r
		}
	}
}

// A house in I-P units and the same in SI sound the same.
func TestNoiseIsTheSameInBothUnits(t *testing.T) {
	ip := house{register: `{ size = "10x6 in", pattern = "floor" }`}.solve(t)
	si := house{airflow: "188.7789773 l/s", register: `{ size = "254x152.4 mm", pattern = "floor" }`, length: "3.6576 m", size: "203.2 mm"}.solve(t)
	for k := range ip.Registers {
		a, b := &ip.Registers[k], &si.Registers[k]
		assert.InDelta(t, a.NC, b.NC, 1e-6)
		assert.InDelta(t, a.NCLow, b.NCLow, 1e-6)
		assert.InDelta(t, a.Throw, b.Throw, 1e-6)
		assert.Equal(t, a.ThrowEnd, b.ThrowEnd)
	}
}
