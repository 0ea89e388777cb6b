package verdict_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// The troubleshooter's evening on the noisy bedroom: which register, in which state, why, and what each remedy would do. All numbers come
// from solved variants of the example; nothing here is canned. That a doubled velocity is 15 to 18 dB louder is a rule of the trade
// (50 to 60 log); that surplus without a way out raises the static is common practice.
func TestTroubleshootersJourney(t *testing.T) {
	const alone, all = "cooling: bedrooms", "cooling: all zones"
	g := networktest.Graph(t, "noisy-bedroom", "")

	// Which state, which room: one room is at fault for noise, in the states in which the bedrooms call alone and in no other.
	s, err := state.New(g)
	require.NoError(t, err)
	loud := map[string][]string{}
	for _, cs := range state.States(g) {
		o, err := s.Quick().Solve(cs)
		require.NoError(t, err)
		for _, f := range verdict.Judge(o) {
			if f.Check == "room noise" && f.Level == verdict.Fault {
				loud[cs.Name] = append(loud[cs.Name], f.Where)
			}
		}
	}
	assert.Equal(t, map[string][]string{alone: {"bed 2"}, "heating: bedrooms": {"bed 2"}}, loud)

	a, b := statetest.Quick(t, g, alone), statetest.Quick(t, g, all)
	room := roomOf(t, a, "bed 2")
	assert.Equal(t, "bed-2", room.Loudest)
	f := finding(t, verdict.Judge(a), "room noise", "bed 2")
	assert.Contains(t, f.Remedy, "bed-2 is the loudest")

	// Why: the surplus raises the static, the static the velocity, the velocity the noise.
	assert.Greater(t, a.Ledger.Surplus, 3*b.Ledger.Surplus)
	assert.Greater(t, a.Blower.ExternalStatic, 1.2*b.Blower.ExternalStatic)
	assert.Equal(t, verdict.Fault, finding(t, verdict.Judge(a), "external static", "").Level)
	loudNow, before := register(t, a, "bed-2"), register(t, b, "bed-2")
	ratio := loudNow.FaceVelocity / before.FaceVelocity
	assert.Greater(t, ratio, 2.0, "face velocity against all zones")
	rise := loudNow.Power.Overall() - before.Power.Overall()
	assert.InDelta(t, 60*math.Log10(ratio), rise, 1.0, "60 log of the velocity")
	assert.Greater(t, roomOf(t, a, "bed 2").NC-math.Max(roomOf(t, b, "bed 2").NC, 15), 15.0, "at least so many NC against all zones")
	assert.Greater(t, loudNow.OutletNC, loudNow.DuctNC+10, "it is the register itself, not the damper")

	// Even the low end of its band is past what a bedroom may have, so it is a fault and not a caution; and the face is past the 500 to 750 fpm
	// that are usual in houses (from memory).
	assert.Greater(t, loudNow.NCLow, 30.0)
	assert.Equal(t, room.NCLow, f.Low)
	assert.Greater(t, loudNow.FaceVelocity, 750*quantity.FPM)

	// What each remedy does, one change each, against the file as it stands.
	type effect struct{ noise, static, loudCoil float64 }
	try := func(alternative string) (effect, *state.Outcome) {
		o := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", alternative), alone)
		return effect{
			noise:    roomOf(t, o, "bed 2").NC - room.NC,
			static:   (o.Blower.ExternalStatic - a.Blower.ExternalStatic) / quantity.InchWater,
			loudCoil: (o.Blower.Airflow - a.Blower.Airflow) / quantity.CFM,
		}, o
	}
	bigger, o := try("larger-register")
	assert.Less(t, bigger.noise, -10.0, "a larger register cures the noise")
	assert.Equal(t, verdict.Fault, finding(t, verdict.Judge(o), "external static", "").Level, "but not the cause")
	assert.Greater(t, bigger.static, -0.1)

	stop, o := try("bleed")
	assert.Less(t, stop.noise, -8.0, "a stop elsewhere takes the surplus away from the bedrooms")
	assert.Less(t, stop.static, -0.1)
	assert.Greater(t, stop.loudCoil, 100.0, "and the coil gets more air")
	assert.NotEqual(t, verdict.Fault, levelOf(o, "room noise", "bed 2"))

	bypass, o := try("bypass")
	assert.Less(t, bypass.noise, -3.0)
	assert.Greater(t, bypass.loudCoil, 50.0)
	assert.Less(t, o.Equipment.Entering, a.Equipment.Entering-2, "but cold air comes back to the coil")

	tap, o := try("lower-tap")
	assert.Less(t, tap.noise, -1.0)
	assert.Less(t, tap.static, -0.05)
	assert.Less(t, tap.loudCoil, 0.0, "but the coil gets less air still")
	assert.Equal(t, verdict.Fault, finding(t, verdict.Judge(o), "airflow per ton", "").Level)

	// The two that send the air elsewhere, together, are what a practitioner would do: quiet, and nothing at fault for noise.
	both := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", "bleed", `supply.bed-2.register={ size = "10x6 in" }`), alone)
	assert.Less(t, roomOf(t, both, "bed 2").NC, roomOf(t, o, "bed 2").NC-10)
	assert.Equal(t, verdict.OK, levelOf(both, "room noise", "bed 2"))
	t.Logf("bed 2 NC %.0f alone, %.0f with all zones; larger register %+.0f, stop %+.0f, bypass %+.0f, lower tap %+.0f NC", room.NC, roomOf(t, b, "bed 2").NC,
		bigger.noise, stop.noise, bypass.noise, tap.noise)
}

// levelOf is the level of a check at a place; a place that is not named is in order.
func levelOf(o *state.Outcome, check, where string) verdict.Level {
	for _, f := range verdict.Judge(o) {
		if f.Check == check && f.Where == where {
			return f.Level
		}
	}
	return verdict.OK
}
