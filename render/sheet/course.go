package sheet

import (
	"fmt"
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

// courseTable shows how the loop settles from the start of the call, a coil free of ice.
func courseTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units).temperature
	critical := "limit sensor"
	if o.State.Mode == network.Cooling {
		critical = "evaporating"
	}
	t := table{columns: []column{{head: "Time course, min"}, {head: "entering " + m.label}, {head: "leaving " + m.label}, {head: critical + " " + m.label}}}
	for _, minutes := range courseTimes {
		if at, ok := courseAt(o.Equipment.Course, 60*minutes); ok {
			t.addPlain(fmt.Sprint(minutes), m.text(at.Entering), m.text(at.Supply), m.text(at.Critical))
		}
	}
	if len(t.rows) > 0 && o.FrostFate() == state.Reached {
		t.add(cell{text: fmt.Sprintf("at freezing after %s; a coil free of ice is computed", duration(o.Equipment.TimeToFrost)), tone: cautionTone})
	}
	block(b, &t, style)
}
