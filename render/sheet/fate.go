package sheet

import (
	"fmt"
	"math"
	"spillway/network/quantity"

	"spillway/solver/state"
)

// duration prints a time in s in the unit that a person would choose.
func duration(seconds float64) string {
	switch {
	case math.IsNaN(seconds):
		return "-"
	case math.IsInf(seconds, 1):
		return string(state.Never)
	case seconds < 99.5:
		return fmt.Sprintf("%.0f s", seconds)
	case seconds < 99.95*60:
		return fmt.Sprintf("%.1f min", seconds/60)
	case seconds < 47.95*3600:
		return fmt.Sprintf("%.1f h", seconds/3600)
	}
	return quantity.Grouped(fmt.Sprintf("%.0f", seconds/86400)) + " days"
}

// supplyGiven tells whether the job gives the supply temperature of the state's weather.
func supplyGiven(o *state.Outcome) bool {
	for i := range o.Graph.Job.Weather {
		if w := &o.Graph.Job.Weather[i]; w.Name == o.State.Weather {
			return w.SupplyAirGiven
		}
	}
	return false
}
