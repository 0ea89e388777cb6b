package sheet

import (
	"fmt"
	"math"
	"strings"

	"spillway/network"
	"spillway/solver/state"
)

// courseTimes are the instants of the printed time course, min.
var courseTimes = [...]float64{0, 1, 2, 5, 10, 20, 30}

// courseAt is the time course at one instant, s, in a straight line between its moments; ok is false outside it.
func courseAt(course []state.Moment, t float64) (m state.Moment, ok bool) {
	for i, next := range course {
		switch {
		case next.Time == t:
			return next, true
		case next.Time > t && i == 0:
			return state.Moment{}, false
		case next.Time > t:
			last := course[i-1]
			share := (t - last.Time) / (next.Time - last.Time)
			between := func(a, b float64) float64 { return a + share*(b-a) }
			return state.Moment{Time: t, Supply: between(last.Supply, next.Supply), Entering: between(last.Entering, next.Entering),
				Critical: between(last.Critical, next.Critical)}, true
		}
	}
	return state.Moment{}, false
}

// courseTable shows how the loop comes to rest from the start of the call. It stops where frost begins, since nothing is computed
// of a coil with frost on it.
func courseTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units).temperature
	critical := "limit sensor"
	end := math.Inf(1)
	if o.State.Mode == network.Cooling {
		critical = "coldest strip"
		if frostFate(o) == reached {
			end = o.Equipment.TimeToFrost
		}
	}
	t := table{columns: []column{{head: "Time course, min"}, {head: "entering " + m.label}, {head: "leaving " + m.label}, {head: critical + " " + m.label}}}
	for _, minutes := range courseTimes {
		if at, ok := courseAt(o.Equipment.Course, 60*minutes); ok && 60*minutes <= end {
			t.addPlain(fmt.Sprint(minutes), m.text(at.Entering), m.text(at.Supply), m.text(at.Critical))
		}
	}
	if len(t.rows) > 0 && !math.IsInf(end, 1) {
		t.add(cell{text: fmt.Sprintf("frost begins after %s; nothing is computed beyond that", duration(end)), tone: cautionTone})
	}
	block(b, &t, style)
}
