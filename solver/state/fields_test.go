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

// Every constant has a field of its own, of the subject that its name begins with.
func TestEveryNamedFieldIsDescribed(t *testing.T) {
	for id := state.NoField + 1; id <= state.PortStatic; id++ {
		require.NotNil(t, state.FieldOf(id), "field %d", id)
		assert.Equal(t, id, state.FieldOf(id).ID)
	}
	for id, key := range map[state.FieldID]string{
		state.BlowerPerTon:    "airflow_cfm_per_ton",
		state.RegisterNoise:   "noise_nc",
		state.GrilleNoise:     "noise_nc",
		state.ZoneDrift:       "drift_f_per_h",
		state.EquipmentSensor: "limit_sensor_f",
	} {
		f := state.FieldOf(id)
		assert.Equal(t, key, f.Key+f.Kind.Suffix(quantity.IP))
	}
	assert.Equal(t, state.OfGrille, state.Ref{Field: state.GrilleNoise}.Of())
	assert.Equal(t, state.OfRegister, state.Ref{Field: state.RegisterNoise}.Of())
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
