package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/quantity"
	"spillway/solver/state"
)

// A blower that can run at several airflows has all of them printed, the stable ones told from the unstable, with the one that
// everything else is for; and no airflow is then called certain.
func TestSeveralOperatingPoints(t *testing.T) {
	o := loftCalls()
	print := func() string {
		var b strings.Builder
		_ = Write(&b, &Document{Blocks: judged(&Report{Outcome: o}, quantity.IP, false)}, "text", Style{Width: 100})
		return strings.Join(strings.Fields(b.String()), " ")
	}
	assert.NotContains(t, print(), "airflows:", "one point")
	shown := o.Blower.Points[0]
	o.Blower.Points = []state.OperatingPoint{{Airflow: cfm(389), Static: inwc(0.61), Stable: true}, {Airflow: cfm(495), Static: inwc(0.66)}, shown}
	text := print()
	assert.Contains(t, text, "3 airflows: 389 cfm at 0.610 in. w.c. (stable); 495 cfm at 0.660 in. w.c. (unstable: the blower leaves it); 1,130 cfm at 0.623 in. w.c. (stable, shown)")
	assert.Contains(t, text, "Every figure and finding below is for 1,130 cfm")
	assert.NotContains(t, text, "certain to")
}
