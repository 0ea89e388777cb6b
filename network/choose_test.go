package network

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// [choose]: ranges with and without a step, and words.
func TestChoose(t *testing.T) {
	job, found := Read("s.toml", []byte(small+`
[choose]
"damper.day.stop" = "0 to 60 % step 5 %"
"damper.bed.stop" = "0..40 %"
"equipment.cooling.tap" = "low, medium or high"
"damper.*.open" = "20 % to 100 % step 20"
`), Options{})
	require.NotNil(t, job, found)
	require.Len(t, job.Choose, 4)
	stop, bed, tap, open := job.Choose[0], job.Choose[1], job.Choose[2], job.Choose[3]
	assert.Equal(t, [2]string{"0 %", "60 %"}, [2]string{stop.From, stop.To})
	assert.Equal(t, 13, stop.Steps())
	assert.Equal(t, [2]string{"0 %", "40 %"}, [2]string{bed.From, bed.To})
	assert.Zero(t, bed.Steps())
	assert.Equal(t, []string{"low", "medium", "high"}, tap.List)
	assert.Equal(t, 5, open.Steps())
	for text, want := range map[string]string{
		`"damper.day.stop" = "60 to 0 %"`:          "runs backwards",
		`"damper.day.stop" = "0 to 60 % step 0 %"`: "a step above zero",
		`"damper.day.stop" = "0 to 60 % step 5 F"`: "in its unit is meant",
		`"damper.day.stop" = "often"`:              "is not a range",
		`"damper.day.stop" = "low,"`:               "leaves nothing to choose",
		`stop = "0 to 60 %"`:                       "is not the path of a value",
	} {
		job, found := Read("s.toml", []byte(small+"\n[choose]\n"+text+"\n"), Options{})
		assert.Nil(t, job, text)
		assert.Contains(t, found.Error(), want, text)
	}
}
