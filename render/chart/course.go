package chart

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/state"
)

// Course shows the air of the equipment from the start of the call: what leaves it, what enters it, and the temperature that decides
// (the limit's sensor in heating, the coldest strip of the coil in cooling) with the line that it must not pass. It returns nil where
// no time course was computed.
func Course(o *state.Outcome, sys quantity.System) *Figure {
	e := &o.Equipment
	if len(e.Course) < 2 {
		return nil
	}
	p := paper{sys}
	supply, entering, critical := Line{Name: "leaving air", Style: Strong}, Line{Name: "entering air", Style: Dashed}, Line{Style: Surplus}
	for _, m := range e.Course {
		t := m.Time / 60
		supply.Points = append(supply.Points, XY{t, p.temperature(m.Supply)})
		entering.Points = append(entering.Points, XY{t, p.temperature(m.Entering)})
		critical.Points = append(critical.Points, XY{t, p.temperature(m.Critical)})
	}
	f := &Figure{
		X: Axis{Label: "minutes from the start of the call", Zero: true},
		Y: Axis{Label: "temperature, " + p.temperatureUnit()},
	}
	reach := math.NaN()
	switch o.State.Mode {
	case network.Heating:
		f.Title = "Furnace from the start of the call"
		critical.Name = "at the limit's sensor"
		if finite(e.Limit) {
			words := "limit opens"
			if !e.LimitGiven {
				words = "limit opens (usual, not given)"
			}
			f.Bands = append(f.Bands, Band{From: p.temperature(e.Limit), To: math.Inf(1), Level: Fault, Rule: p.temperature(e.Limit), Text: words + ", " + p.temperatureText(e.Limit)})
		}
		reach = e.TimeToLimit
		f.Desc = "The limit is not reached."
		if finite(reach) {
			f.Desc = fmt.Sprintf("The limit is reached after %s minutes.", number(reach/60, 1))
		}
	case network.Cooling:
		f.Title = "Coil from the start of the call"
		critical.Name = "evaporating temperature"
		f.Bands = append(f.Bands, Band{From: math.Inf(-1), To: p.temperature(0), Level: Caution, Rule: p.temperature(0), Text: "freezing, " + p.temperatureText(0)})
		reach = e.TimeToFrost
		f.Desc = "It stays above freezing."
		if finite(reach) {
			f.Desc = fmt.Sprintf("It is down at freezing after %s minutes, which is not yet ice.", number(reach/60, 1))
		}
	default:
		f.Title = "Air from the start of the call"
		critical.Points = nil
	}
	last := e.Course[len(e.Course)-1].Time / 60
	if finite(reach) && reach/60 <= last {
		f.Bands = append(f.Bands, Band{Upright: true, From: 1, To: 0, Level: Fault, Rule: reach / 60, Text: "after " + number(reach/60, 1) + " min"})
	}
	f.Lines = []Line{entering, critical, supply}
	f.X.From, f.X.To = 0, last
	f.Key = []Key{{Text: "leaving", Style: Strong}, {Text: "entering", Style: Dashed}}
	if len(critical.Points) > 0 {
		f.Key = append(f.Key, Key{Text: critical.Name, Style: Surplus})
	}
	return f
}
