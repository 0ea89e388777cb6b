package jet_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/solver/sound/jet"
)

func sqrt(x float64) float64            { return math.Sqrt(x) }
func power(x, exponent float64) float64 { return math.Pow(x, exponent) }

// loft is a 12 × 6 in. sidewall register, 2.2 m up, cooling a room 4 m deep; the drop follows the flow's square.
func loft(t testing.TB, flow float64) jet.Register {
	return jet.Register{Pattern: pattern(t, "high sidewall"), Flow: flow, Area: 72 * inch * inch, Drop: 2.5 * (flow / 0.05) * (flow / 0.05),
		Air: jet.Air{Supply: 13, Room: 24}, Reach: 4, Height: 2.2, Ceiling: 2.4, WantedFlow: 0.0566}
}

func assess(t testing.TB, r jet.Register) jet.Assessment {
	t.Helper()
	a, err := r.Assess()
	require.NoError(t, err)
	return a
}

// At its design flow the register crosses the room; at the bleed flow of a satisfied zone it throws short and dumps.
func TestRegisterDumpsAtBleed(t *testing.T) {
	design := assess(t, loft(t, 120*cfm))
	assert.False(t, design.Short)
	assert.Zero(t, design.Dumping)
	assert.Empty(t, design.Notes)

	bleed := assess(t, loft(t, 30*cfm))
	assert.True(t, bleed.Short)
	assert.Equal(t, jet.Separates|jet.Dies, bleed.Dumping)
	assert.Equal(t, "leaves the ceiling early, dies before half the room", bleed.Dumping.String())
	assert.InDelta(t, design.Throws.T025/4, bleed.Throws.T025, 1e-9)

	away := loft(t, 60*cfm)
	away.Away = true
	falls := assess(t, away)
	assert.NotZero(t, falls.Dumping&jet.Falls)
	assert.Zero(t, falls.Dumping&jet.Separates)
	assert.InDelta(t, jet.FreeShare*assess(t, loft(t, 60*cfm)).Throws.T025, falls.Throws.T025, 1e-9)

	warm := loft(t, 30*cfm)
	warm.Air = jet.Air{Supply: 40, Room: 20}
	assert.Zero(t, assess(t, warm).Dumping, "warm air does not dump")

	trickle := assess(t, loft(t, 4*cfm))
	require.Len(t, trickle.Notes, 1)
	assert.Equal(t, "flow over design flow", trickle.Notes[0].Quantity)
}

func TestRegisterStrikesTheFarWall(t *testing.T) {
	strong := loft(t, 300*cfm)
	strong.Reach, strong.WallArea = 3, 3*2.4
	a := assess(t, strong)
	assert.True(t, a.Long)
	require.Len(t, a.Notes, 2)
	assert.Equal(t, "throw to 0.25 m/s", a.Notes[1].Quantity)
}

// A jet from the floor ends at the ceiling, where it turns with K Q/(X √A) of speed; one across the room ends at the far wall.
func TestJetsEndAtWhatIsInTheWay(t *testing.T) {
	const foot = 0.3048
	floor := jet.Register{Pattern: pattern(t, "floor"), Flow: 213 * cfm, Area: 72 * inch * inch, Air: jet.Air{Supply: 21, Room: 21}, Reach: 4, Ceiling: 8 * foot}
	a := assess(t, floor)
	assert.Equal(t, jet.AtCeiling, a.End)
	assert.InDelta(t, 8*foot, a.Ending().T025, 1e-12)
	assert.Greater(t, a.Throws.T025, 8*foot, "and would carry farther")
	assert.InDelta(t, 2*213*cfm/(8*foot*sqrt(0.5*72*inch*inch)), a.EndSpeed, 1e-9)
	assert.LessOrEqual(t, a.Ending().T075, a.Ending().T050)

	across := loft(t, 300*cfm)
	b := assess(t, across)
	assert.Equal(t, jet.AtWall, b.End)
	assert.InDelta(t, across.Reach, b.Ending().T025, 1e-12)
	assert.Greater(t, b.EndSpeed, jet.SlowAir)

	weak := assess(t, loft(t, 60*cfm))
	assert.Equal(t, jet.Nothing, weak.End)
	assert.Zero(t, weak.EndSpeed)
	assert.Equal(t, weak.Throws, weak.Ending())
	down := jet.Register{Pattern: pattern(t, "ceiling slot, air curtain"), Flow: 0.1, Area: 0.02, Air: floor.Air, Reach: 4, Height: 2.4, Ceiling: 2.4}
	assert.Equal(t, "floor", assess(t, down).End.String())
}

// Draught: cold and fast is felt, the same air slowed and warmed by its way is not; heating is judged by speed alone.
func TestDraught(t *testing.T) {
	outlet := jet.Outlet{Flow: 0.06, Area: 0.037, K: 5.7}
	cold := jet.Air{Supply: 13, Room: 24}
	near, far := cold.DraughtAt(outlet, 1.5), cold.DraughtAt(outlet, 12)
	assert.False(t, near.Comfortable)
	assert.Less(t, near.Effective, jet.DraughtLow)
	assert.True(t, far.Comfortable)
	warm := jet.Air{Supply: 45, Room: 20}
	assert.False(t, warm.DraughtAt(outlet, 6).Comfortable)
	assert.True(t, warm.DraughtAt(outlet, 14).Comfortable)
	even := jet.Air{Supply: 20, Room: 20}
	assert.True(t, even.DraughtAt(outlet, 8).Comfortable)
	assert.False(t, even.DraughtAt(outlet, 2).Comfortable)
}

// Where the jet comes among people: each rule of the comment at Assess once.
func TestEntry(t *testing.T) {
	r := loft(t, 120*cfm)
	assert.InDelta(t, assess(t, r).Separation+0.4, assess(t, r).Entry.Distance, 1e-9, "separates inside the room, falls 0.4 m")
	r.Air = jet.Air{Supply: 40, Room: 20}
	assert.InDelta(t, 4.4, assess(t, r).Entry.Distance, 1e-9, "warm: across and down the far wall")
	r.Air, r.Away = jet.Air{Supply: 13, Room: 24}, true
	fallen := assess(t, r).Entry.Distance
	assert.InDelta(t, 0.4, r.Air.DropAt(r.Outlet(), fallen), 1e-9, "free: where it has fallen 0.4 m")
	floor := jet.Register{Pattern: pattern(t, "floor, wide"), Flow: 0.05, Area: 40 * inch * inch, Air: r.Air, Reach: 4, Ceiling: 2.4}
	assert.InDelta(t, 2.4+4+0.6, assess(t, floor).Entry.Distance, 1e-9, "floor: up, across, down")
	assert.Zero(t, assess(t, floor).Dumping)
	curtain := jet.Register{Pattern: pattern(t, "ceiling slot, air curtain"), Flow: 0.05, Area: 0.02, Air: r.Air, Reach: 4, Height: 2.4, Ceiling: 2.4}
	assert.InDelta(t, 0.6, assess(t, curtain).Entry.Distance, 1e-9, "down")
}

// At rest everything is finite and nothing is wrong with the register.
func TestRegisterAtRest(t *testing.T) {
	a := assess(t, loft(t, 0))
	assert.True(t, a.Idle)
	assert.False(t, a.Short)
	assert.Zero(t, a.Dumping)
	assert.True(t, a.Entry.Comfortable)
	assert.Equal(t, jet.Throws{}, a.Throws)
	assert.Equal(t, -jet.MaxArchimedes, a.Archimedes)
	assert.Equal(t, jet.MaxDrop, a.Drop)
	assert.Zero(t, a.Separation)
}

func TestErrors(t *testing.T) {
	good := loft(t, 0.05)
	for name, change := range map[string]func(*jet.Register){
		"NaN flow":          func(r *jet.Register) { r.Flow = math.NaN() },
		"no area":           func(r *jet.Register) { r.Area = 0 },
		"no pattern":        func(r *jet.Register) { r.Pattern = jet.Pattern{} },
		"no reach":          func(r *jet.Register) { r.Reach = 0 },
		"endless drop":      func(r *jet.Register) { r.Drop = math.Inf(1) },
		"NaN supply":        func(r *jet.Register) { r.Air.Supply = math.NaN() },
		"NaN room":          func(r *jet.Register) { r.Air.Room = math.NaN() },
		"under the floor":   func(r *jet.Register) { r.Height = -1 },
		"negative ceiling":  func(r *jet.Register) { r.Ceiling = -1 },
		"NaN design flow":   func(r *jet.Register) { r.WantedFlow = math.NaN() },
		"negative wall":     func(r *jet.Register) { r.WallArea = -2 },
		"endless wall":      func(r *jet.Register) { r.WallArea = math.Inf(1) },
		"endless flow":      func(r *jet.Register) { r.Flow = math.Inf(-1) },
		"negative constant": func(r *jet.Register) { r.Pattern.K = -1 },
	} {
		bad := good
		change(&bad)
		a, err := bad.Assess()
		require.Error(t, err, name)
		assert.Equal(t, jet.Assessment{}, a, name)
	}
	bad := good
	bad.Reach = -1
	_, err := bad.Assess()
	assert.EqualError(t, err, "jet: reach must lie between 0.001 and 100000, not -1")
	assert.Zero(t, jet.Outlet{Flow: 1, Area: 1, K: 5}.Throw(0))
}

// More air throws farther, falls less, clings longer; nothing jumps; nothing is ever infinite.
func TestJetsGrowWithFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := jet.Patterns()
		p, ok := jet.Lookup(names[rapid.IntRange(0, len(names)-1).Draw(t, "pattern")])
		require.True(t, ok)
		flow := math.Exp(rapid.Float64Range(math.Log(1e-9), math.Log(1)).Draw(t, "log flow"))
		loss := rapid.Float64Range(1, 1e4).Draw(t, "loss")
		register := jet.Register{Pattern: p, Area: rapid.Float64Range(0.005, 0.3).Draw(t, "area"),
			Air:   jet.Air{Supply: rapid.Float64Range(5, 60).Draw(t, "supply"), Room: rapid.Float64Range(10, 30).Draw(t, "room")},
			Reach: rapid.Float64Range(1, 10).Draw(t, "reach"), Height: rapid.Float64Range(0, 3).Draw(t, "height"), Ceiling: 3,
			Away: rapid.Bool().Draw(t, "away")}
		at := func(q float64) jet.Assessment {
			r := register
			r.Flow, r.Drop = q, loss*q*q
			a, err := r.Assess()
			require.NoError(t, err)
			for _, x := range []float64{a.Velocity, a.Throws.T025, a.ThrowRatio, a.Archimedes, a.Drop, a.Separation,
				a.Entry.Distance, a.Entry.Velocity, a.Entry.Effective} {
				require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%+v", a)
			}
			return a
		}
		slow, fast, near := at(flow), at(1.5*flow), at(flow*(1+1e-7))
		require.GreaterOrEqual(t, fast.Throws.T025, slow.Throws.T025)
		require.GreaterOrEqual(t, fast.Separation, slow.Separation)
		require.LessOrEqual(t, math.Abs(fast.Drop), math.Abs(slow.Drop))
		require.LessOrEqual(t, math.Abs(fast.Archimedes), math.Abs(slow.Archimedes))
		require.GreaterOrEqual(t, slow.Throws.T050, slow.Throws.T075)
		require.GreaterOrEqual(t, slow.Throws.T025, slow.Throws.T050)
		require.InEpsilon(t, slow.Throws.T025, near.Throws.T025, 1e-6)
		require.InDelta(t, slow.Drop, near.Drop, 1e-4)
		require.InDelta(t, slow.Entry.Velocity, near.Entry.Velocity, 1e-6*(1+slow.Velocity))
		require.Equal(t, slow.Entry, at(-flow).Entry)
		// Proportional to flow, whatever the outlet.
		require.InEpsilon(t, 1.5, fast.Throws.T025/slow.Throws.T025, 1e-9)
	})
}

func BenchmarkAssess(b *testing.B) {
	r := loft(b, 0.05)
	assess(b, r)
	b.ReportAllocs()
	for b.Loop() {
		_, _ = r.Assess()
	}
}

func TestNoAllocations(t *testing.T) {
	r := loft(t, 0.05)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		if _, err := r.Assess(); err != nil {
			panic(fmt.Sprint(err))
		}
	}))
}
