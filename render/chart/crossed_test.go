package chart_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/render/chart"
	"spillway/solver/state/statetest"
)

// No text of a chart stands over a bar or a line (faint ones for comparison aside, over which its halo stands), in any call state of any example: what a reader may expect of a chart.
func TestTextsKeepClearOfLines(t *testing.T) {
	for _, name := range []string{"first-look", "two-floor", "two-floor-si", "noisy-bedroom", "three-zone", "four-zone"} {
		t.Run(name, func(t *testing.T) {
			outcomes := statetest.SolveAll(t, networktest.Graph(t, name, ""))
			for i, o := range outcomes {
				for _, f := range everyChart(outcomes, i, quantity.IP) {
					if f != nil {
						assert.Empty(t, chart.Crossed(f), "%s, %s", o.State.Name, f.Title)
					}
				}
			}
		})
	}
}
