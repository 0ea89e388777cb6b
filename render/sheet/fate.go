package sheet

import (
	"fmt"
	"math"
	"spillway/network/quantity"

	"spillway/network"
	"spillway/solver/state"
)

// fate says in one word whether a thing that time would bring comes about. The words are part of the machine interface.
type fate string

const (
	never   fate = "never"   // the state of rest stays clear of it
	reached fate = "reached" // after the time that stands beside
	later   fate = "later"   // the state of rest is beyond it, but the time course that was followed does not get there
	depends fate = "depends" // on how well recirculated air mixes
	unknown fate = "unknown" // nothing was computed that could tell
	noFate  fate = ""        // the question does not arise in this call
)

// word is the fate for JSON: null when the question does not arise.
func (f fate) word() any {
	if f == noFate {
		return nil
	}
	return string(f)
}

// limitFate tells whether the furnace's limit opens.
func limitFate(o *state.Outcome) fate {
	e := &o.Equipment
	switch {
	case o.State.Mode != network.Heating:
		return noFate
	case !e.Computed || math.IsNaN(e.TimeToLimit):
		return unknown
	case math.IsInf(e.TimeToLimit, 1):
		return never
	}
	return reached
}

// limitBand is the fate of the limit over the whole band of how well recirculated air mixes.
func limitBand(o *state.Outcome) fate {
	e, f := &o.Equipment, limitFate(o)
	switch {
	case f != never && f != reached:
		return f
	case e.SensorHigh <= e.Limit:
		return never
	case e.SensorLow <= e.Limit:
		return depends
	}
	return f
}

// frostFate tells whether the coil comes down to freezing. The margin is that of the colder of two estimates at rest, the time comes from a time
// course of limited length by one of them, so that they need not agree.
func frostFate(o *state.Outcome) fate {
	e := &o.Equipment
	switch {
	case o.State.Mode != network.Cooling:
		return noFate
	case !e.Computed || math.IsNaN(e.TimeToFrost) || math.IsNaN(e.FrostMargin):
		return unknown
	case !math.IsInf(e.TimeToFrost, 1):
		return reached
	case e.FrostMargin > 0:
		return never
	}
	return later
}

// swingFate tells whether a satisfied zone drifts by swing while the call runs.
func swingFate(z *state.Zone) fate {
	switch {
	case z.Calling || math.IsNaN(z.TimeToSwing):
		return noFate
	case math.IsInf(z.TimeToSwing, 1):
		return never
	}
	return reached
}

// callFate reports whether a satisfied zone drifts until it calls for the machine itself.
func callFate(z *state.Zone) fate {
	switch {
	case z.Calling || math.IsNaN(z.TimeToCall):
		return noFate
	case math.IsInf(z.TimeToCall, 1):
		return never
	}
	return reached
}

// duration prints a time in s in the unit that a person would choose.
func duration(seconds float64) string {
	switch {
	case math.IsNaN(seconds):
		return "-"
	case math.IsInf(seconds, 1):
		return string(never)
	case seconds < 99.5:
		return fmt.Sprintf("%.0f s", seconds)
	case seconds < 99.95*60:
		return fmt.Sprintf("%.1f min", seconds/60)
	case seconds < 47.95*3600:
		return fmt.Sprintf("%.1f h", seconds/3600)
	}
	return quantity.Grouped(fmt.Sprintf("%.0f", seconds/86400)) + " days"
}

// sweats tells whether the air of a register is below the dew point of its room, so that room air can condense on it; ok is false
// when either is not known.
func sweats(r *state.Register) (wet, ok bool) {
	if math.IsNaN(r.Temperature) || math.IsNaN(r.DewPoint) {
		return false, false
	}
	return r.Temperature < r.DewPoint, true
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
