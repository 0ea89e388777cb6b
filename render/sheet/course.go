package sheet

import (
	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
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
func courseTable(o *state.Outcome) *doc.Table {
	critical := "limit sensor"
	if o.State.Mode == network.Cooling {
		critical = "evaporating"
	}
	degrees := func(head string) doc.Column {
		return doc.Column{Head: head, Kind: quantity.KindTemperature, Unit: true}
	}
	t := &doc.Table{Columns: []doc.Column{{Head: "Time course, min"}, degrees("entering"), degrees("leaving"), degrees(critical)}}
	for _, minutes := range courseTimes {
		if at, ok := courseAt(o.Equipment.Course, 60*minutes); ok {
			t.Add(doc.Count(int(minutes)), temperatureCell(at.Entering), temperatureCell(at.Supply), temperatureCell(at.Critical))
		}
	}
	if len(t.Rows) > 0 && o.FrostFate() == state.Reached {
		t.Line(doc.Cell{Spans: doc.Sayf("at freezing after {}; a coil free of ice is computed", doc.After(o.Equipment.TimeToFrost)), Tone: doc.Caution})
	}
	return t
}
