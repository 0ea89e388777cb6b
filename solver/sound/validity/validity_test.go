package validity_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/sound/validity"
)

var speed = validity.Range{Quantity: "velocity", Low: 1, High: 5, Unit: "m/s", Of: "a formula"}

func TestRange(t *testing.T) {
	for name, c := range map[string]struct {
		value, clamped float64
		notes          int
	}{
		"inside":       {3, 3, 0},
		"low end":      {1, 1, 0},
		"high end":     {5, 5, 0},
		"under":        {0.5, 1, 1},
		"over":         {7, 5, 1},
		"without end":  {math.Inf(1), 5, 1},
		"negative end": {math.Inf(-1), 1, 1},
	} {
		got, notes := speed.Clamp(nil, c.value)
		assert.Equal(t, c.clamped, got, name)
		assert.Len(t, notes, c.notes, name)
		assert.Len(t, speed.Flag(nil, c.value), c.notes, name)
		assert.Equal(t, c.notes == 0, speed.Holds(c.value), name)
	}
}

func TestNoteReads(t *testing.T) {
	notes := speed.Flag(nil, 7)
	_, notes = validity.Range{Quantity: "ratio", Low: 0.5, High: 3, Of: "another"}.Clamp(notes, 12)
	require.Len(t, notes, 2)
	assert.Equal(t, "velocity 7 m/s is outside 1 to 5 m/s of a formula: extrapolated", notes[0].String())
	assert.Equal(t, "ratio 12 is outside 0.5 to 3 of another: the end of the range was used", notes[1].String())
}
