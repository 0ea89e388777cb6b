package state_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// The list of fields has no hole, every field belongs to one subject, and no key stands twice in the
// object of a subject.
func TestFieldsAreDescribedOnce(t *testing.T) {
	next := state.NoField + 1
	seen := map[state.FieldID]bool{}
	for of := range state.Subjects {
		for _, sys := range []quantity.System{quantity.IP, quantity.SI} {
			keys := map[string]bool{}
			for _, f := range state.Fields(of) {
				key := f.Key + f.Kind.Suffix(sys)
				assert.False(t, keys[key], "%d has %s twice", of, key)
				keys[key] = true
			}
		}
		for _, f := range state.Fields(of) {
			require.NotEmpty(t, f.Key, "field %d", f.ID)
			require.NotNil(t, f.Get, f.Key)
			assert.Equal(t, of, f.Of, f.Key)
			assert.False(t, seen[f.ID], f.Key)
			seen[f.ID] = true
		}
	}
	for id := next; int(id) <= len(seen); id++ {
		assert.True(t, seen[id], "field %d", id)
	}
}

// The noise of registers and of grilles is described once for both: the ids of each must name the
// fields that they stand for.
func TestNoiseFieldsStandUnderTheirIDs(t *testing.T) {
	for key, ids := range map[string][2]state.FieldID{
		"noise_below":     {state.RegisterNoiseBelow, state.GrilleNoiseBelow},
		"noise_low":       {state.RegisterNoiseLow, state.GrilleNoiseLow},
		"noise_high":      {state.RegisterNoiseHigh, state.GrilleNoiseHigh},
		"noise_band":      {state.RegisterNoiseBand, state.GrilleNoiseBand},
		"noise_outlet":    {state.RegisterOutletNoise, state.GrilleOutletNoise},
		"noise_duct":      {state.RegisterDuctNoise, state.GrilleDuctNoise},
		"noise_catalogue": {state.RegisterCatalogueNoise, state.GrilleCatalogueNoise},
		"noise_rated":     {state.RegisterNoiseRated, state.GrilleNoiseRated},
		"screen_low":      {state.RegisterScreenLow, state.GrilleScreenLow},
		"screen":          {state.RegisterScreen, state.GrilleScreen},
		"screen_high":     {state.RegisterScreenHigh, state.GrilleScreenHigh},
		"screen_beyond":   {state.RegisterScreenBeyond, state.GrilleScreenBeyond},
		"noise_text":      {state.RegisterNoiseText, state.GrilleNoiseText},
		"noise_from":      {state.RegisterNoiseFrom, state.GrilleNoiseFrom},
	} {
		assert.Equal(t, key, state.FieldOf(ids[0]).Key)
		assert.Equal(t, key, state.FieldOf(ids[1]).Key)
	}
	assert.Equal(t, quantity.KindNoise, state.FieldOf(state.GrilleNoise).Kind)
	assert.Equal(t, quantity.KindLoudness, state.FieldOf(state.GrilleNoiseDBA).Kind)
}

// Reading a number off an outcome costs no memory, and a field reads what the outcome holds.
func TestGetAllocatesNothing(t *testing.T) {
	o := statetest.Solve(t, networktest.Graph(t, "three-zone", ""), "cooling stage 1: studio")
	read := 0
	for of := range state.Subjects {
		for at := range o.Count(of) {
			for _, f := range state.Fields(of) {
				if f.Form == state.Text || f.Form == state.Word {
					continue
				}
				read++
				ref := state.Ref{Field: f.ID, At: at}
				assert.Zero(t, testing.AllocsPerRun(1, func() { o.At(ref) }), o.Name(ref))
			}
		}
	}
	assert.Greater(t, read, 1000)
	assert.Equal(t, o.Blower.Airflow, o.At(state.Ref{Field: state.BlowerAirflow}).Num)
	last := len(o.Registers) - 1
	at := state.Ref{Field: state.RegisterFaceVelocity, At: last}
	assert.Equal(t, o.Registers[last].FaceVelocity, o.At(at).Num)
	assert.Equal(t, o.Graph.Registers[last].Line+" register face velocity", o.Name(at))
}
