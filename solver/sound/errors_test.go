package sound_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/sound"
	"spillway/solver/sound/validity"
)

// Impossible inputs are errors that name the part and the input; the message is checked where it is typical.
func TestErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, part := range map[string]source{
		"outlet, NaN flow":      sound.Outlet{Flow: nan, FaceArea: 0.1, Drop: 5},
		"outlet, no face":       sound.Outlet{Flow: 1, Drop: 5},
		"outlet, endless drop":  sound.Outlet{Flow: 1, FaceArea: 0.1, Drop: inf},
		"rated, NaN rating":     sound.Rated{NC: nan, RatedFlow: 1, Flow: 1, FaceArea: 0.1},
		"rated at no flow":      sound.Rated{NC: 20, Flow: 1, FaceArea: 0.1},
		"damper, negative area": sound.Damper{Flow: 1, Area: -1, Height: 1},
		"damper, no height":     sound.Damper{Flow: 1, Area: 1},
		"take-off, NaN main":    sound.TakeOff{BranchFlow: 1, BranchArea: 1, MainVelocity: nan},
	} {
		s, _, err := part.Power()
		require.Error(t, err, name)
		assert.Equal(t, sound.Spectrum{}, s, name)
	}
	for name, passage := range map[string]passage{
		"bare, no section":        sound.BareDuct{Length: 1},
		"bare, NaN length":        sound.BareDuct{Section: sound.RoundSection(0.2), Length: nan},
		"lined, negative length":  sound.LinedDuct{Section: sound.RoundSection(0.2), Length: -1, Lining: 0.03},
		"flex, no diameter":       sound.FlexDuct{Length: 1},
		"bend, unknown kind":      sound.Bend{Kind: 9, Width: 1},
		"split, more than all":    sound.Split{Branch: 2, All: 1},
		"duct end, no area":       sound.DuctEnd{},
		"room, no volume":         sound.Room{Distance: 1},
		"room, negative distance": sound.Room{Volume: 30, Distance: -1},
	} {
		_, _, err := passage.Loss()
		require.Error(t, err, name)
	}
	_, _, err := sound.Throttled(sound.InNeck, 0)
	require.Error(t, err)
	_, _, err = sound.Throttled(9, 2)
	require.Error(t, err)
	_, err = sound.Judge(sound.Opening{Own: sound.Even(inf)}, sound.Even(5))
	require.Error(t, err)
	_, err = sound.Judge(sound.Opening{Own: sound.Even(30), Borne: sound.Even(nan)}, sound.Even(5))
	require.Error(t, err)
	_, err = sound.Judge(sound.Opening{Own: sound.Even(30)}, sound.Even(nan))
	require.Error(t, err)

	_, _, err = sound.Outlet{Flow: 1, FaceArea: -2, Drop: 5}.Power()
	assert.EqualError(t, err, "sound of an outlet: area must lie between 1e-08 and 1e+06 m², not -2")
}

// Outside a formula's range there is still a number, and a note that says which input, which range and whose.
func TestNotes(t *testing.T) {
	_, notes, err := sound.Outlet{Flow: 0.3, FaceArea: 0.02, Drop: 300}.Power()
	require.NoError(t, err)
	require.Len(t, notes, 2)
	assert.Equal(t, "face velocity 15 m/s is outside 0.5 to 5 m/s of outlet noise (Reynolds; Long, 2nd ed., eqs. 13.27–13.33): extrapolated", notes[0].String())

	_, notes, err = sound.Damper{Flow: 0.001, Area: 0.03, Height: 0.2, Drop: 200}.Power()
	require.NoError(t, err)
	assert.Equal(t, []string{"damper loss coefficient", "damper blockage factor"}, quantities(notes))
	assert.True(t, notes[1].Clamped)

	_, notes, err = sound.TakeOff{BranchFlow: 0.15, BranchArea: 0.05, MainVelocity: 30}.Power()
	require.NoError(t, err)
	assert.Equal(t, []string{"main over branch velocity"}, quantities(notes))

	_, notes, err = sound.FlexDuct{Diameter: 0.4, Length: 6}.Loss()
	require.NoError(t, err)
	assert.Equal(t, []string{"flexible duct diameter", "flexible duct length"}, quantities(notes))

	_, notes, err = sound.LinedDuct{Section: sound.RectangularSection(2, 2), Length: 1, Lining: 0.01}.Loss()
	require.NoError(t, err)
	assert.Equal(t, []string{"lining thickness", "perimeter over area"}, quantities(notes))

	near, notes, err := sound.Room{Volume: 10, Distance: 0.1}.Loss()
	require.NoError(t, err)
	assert.Equal(t, []string{"room volume", "listener distance"}, quantities(notes))
	atHalf, _, err := sound.Room{Volume: 10, Distance: 0.5}.Loss()
	require.NoError(t, err)
	assert.Equal(t, atHalf, near)

	gain, notes, err := sound.Throttled(sound.InNeck, 20)
	require.NoError(t, err)
	assert.Equal(t, 24.0, gain)
	assert.Len(t, notes, 1)

	_, notes, err = sound.Rated{NC: 10, RatedFlow: 0.1, Flow: 0.5, FaceArea: 0.03}.Power()
	require.NoError(t, err)
	assert.Equal(t, []string{"catalogue NC", "flow over rated flow"}, quantities(notes))

	for _, quiet := range []source{
		sound.Outlet{Flow: 0.05, FaceArea: 0.026, Drop: 12}, sound.Damper{Flow: 0.15, Area: 0.0324, Height: 0.203, Drop: 40},
		sound.TakeOff{BranchFlow: 0.15, BranchArea: 0.04, MainVelocity: 5},
	} {
		_, notes, err := quiet.Power()
		require.NoError(t, err)
		assert.Empty(t, notes, "%T", quiet)
	}
}

func quantities(notes []validity.Note) []string {
	names := make([]string, 0, len(notes))
	for _, n := range notes {
		names = append(names, n.Quantity)
	}
	return names
}

// A register at rest in a room is silence, with every number finite, and no number on paper.
func TestJudgeAtRest(t *testing.T) {
	still, _, err := sound.Outlet{FaceArea: 0.026}.Power()
	require.NoError(t, err)
	j, err := sound.Judge(sound.Opening{Own: still, Borne: sound.Silence()}, loss(t, bedroom()))
	require.NoError(t, err)
	assert.True(t, j.NC.Below)
	for _, number := range []float64{j.NC.Number, j.DBA, j.Low, j.High, j.Outlet, j.Duct} {
		assert.False(t, math.IsNaN(number) || math.IsInf(number, 0))
	}
	assert.Equal(t, "<15", sound.ShownBand(j.Low, j.High))
}

// The band of an estimate, and the narrower one of a maker's rating; a rated outlet behind a loud damper has that of the
// estimate, and nothing jumps between.
func TestJudgeBands(t *testing.T) {
	room := loss(t, bedroom())
	own := power(t, sound.Outlet{Flow: 150 * cfm, FaceArea: 40 * inch * inch, Drop: 0.1125 * inwc})
	judge := func(borne float64, rated bool) sound.Judgement {
		j, err := sound.Judge(sound.Opening{Own: own, Borne: own.Raised(borne), Rated: rated}, room)
		require.NoError(t, err)
		return j
	}
	estimate, rated, drowned := judge(-60, false), judge(-60, true), judge(60, true)
	assert.InDelta(t, 8, estimate.NC.Number-estimate.Low, 1e-9)
	assert.InDelta(t, 12, estimate.High-estimate.NC.Number, 1e-9)
	assert.InDelta(t, 4, rated.NC.Number-rated.Low, 1e-3)
	assert.InDelta(t, 8, rated.High-rated.NC.Number, 1e-3)
	assert.InDelta(t, 8, drowned.NC.Number-drowned.Low, 1e-3)
	for louder := -60.0; louder < 60; louder += 0.3 {
		a, b := judge(louder, true), judge(louder+0.3, true)
		assert.GreaterOrEqual(t, b.High, a.High)
		assert.Less(t, math.Abs(b.Low-a.Low), 0.5)
	}
	assert.Equal(t, "30", sound.Shown(estimate.NC.Number))
	assert.Equal(t, "22 to 42", sound.ShownBand(estimate.Low, estimate.High))
	assert.Equal(t, "<15 to 27", sound.ShownBand(9, 27))
	assert.Equal(t, "60 to over 70", sound.ShownBand(60, 72))
	assert.Equal(t, "-", sound.Shown(math.NaN()))
}

// Still air has no loss coefficient.
func TestStillAir(t *testing.T) {
	assert.Zero(t, sound.Damper{Area: 0.03, Drop: 40, Height: 0.2}.Coefficient())
}

// A split between two registers instead of one at the same total flow: 18.1 dB less each, 15.1 together.
func TestComputedTwoRegistersForOne(t *testing.T) {
	half := sound.FlowGain(sound.OutletGrowth, 1, 0.5)
	published(t, "each of two registers", fromFormula, -18.1, half, 0.05)
	pair := sum(sound.Even(60+half), sound.Even(60+half))
	published(t, "both together", fromFormula, -15.1, pair[0]-60, 0.05)
	assert.Zero(t, sound.FlowGain(sound.OutletGrowth, 0, 1))
	assert.Equal(t, -200.0, sound.FlowGain(sound.OutletGrowth, 1, 0))
}
