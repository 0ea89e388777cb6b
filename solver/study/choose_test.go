package study

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/networktest"
)

// What the job lets one choose is what moves by default; * stands for every part that has such a
// value.
func TestDefaultMovesOfChoose(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "", `choose."damper.*.stop"=0 to 60 % step 20 %`,
		`choose."equipment.cooling.tap"=low, medium or high`)
	want := []Span{{Path: "damper.main.stop", From: "0 %", To: "60 %", Steps: 4},
		{Path: "equipment.cooling.tap", Steps: UsualSteps, List: []string{"low", "medium", "high"}}}
	got := DefaultMoves(g, 0)
	assert.Equal(t, want[0], got[0])
	assert.Len(t, got, 1+len(g.Job.Dampers))
	assert.Equal(t, want[1], got[len(got)-1])
	for _, m := range got {
		assert.NoError(t, m.Check())
	}
}
