package network

import (
	"fmt"
	"slices"
	"strings"

	"spillway/network/quantity"
)

// Readings may be written by call state, PLACE = VALUE:
//
//	outdoor = "88 F"
//	[state."cooling: bedrooms"]
//	"blower inlet" = "-0.35 inwc"
//	bed-2          = ["69 cfm", "72 cfm, field hood"]
//	filter         = "0.21 inwc +- 0.02 inwc"
//
// What was measured follows from the unit: a pressure is a static, or the drop where the place is a
// part; a temperature at "rise" is one. Each such line is read as the [reading] that it stands for.

// byState turns the tables of call states into readings. It returns them in the order of the file.
func (r *readingsReader) byState(states *node) []*node {
	places := map[string]int{} // in how many states
	for _, s := range states.children {
		for _, c := range s.children {
			places[c.name]++
		}
	}
	var list []*node
	for _, s := range states.children {
		if !s.table {
			r.fail(s.value, `write [state."cooling: all zones"] and PLACE = VALUE per line`,
				"%q is %s, but a table of readings is meant", s.name, s.what())
			continue
		}
		said := Reading{}
		before := len(r.found)
		r.state(&said, &node{key: s.key, byName: map[string]*node{"state": {name: "state",
			value: s.key, leaf: s.name}}})
		if len(r.found) > before {
			continue
		}
		for _, c := range s.children {
			items := itemsOf(c)
			for i, item := range items {
				name := c.name
				if len(items) > 1 {
					name += fmt.Sprintf(" (%d)", i+1)
				}
				if places[c.name] > 1 {
					name += ", " + said.State
				}
				if n := r.shortReading(c, item, said.State); n != nil {
					n.name = name
					list = append(list, n)
				}
			}
		}
	}
	return list
}

// shortReading is the reading that PLACE = VALUE stands for; nil when it was refused.
func (r *readingsReader) shortReading(place, item *node, state string) *node {
	text, ok := item.leaf.(string)
	if !ok {
		r.fail(item.value, `write "0.21 inwc", "120 cfm" or "120 cfm, field hood"`,
			"%q is %s, but a reading is meant",
			place.name, item.what())
		return nil
	}
	n := &node{name: place.name, key: place.key, value: item.value, table: true}
	put := func(key string, leaf any) {
		n.add(&node{name: key, key: place.key, value: item.value, leaf: leaf})
	}
	value, instrument, _ := strings.Cut(text, ",")
	w, err := quantity.ParseDoubt(value)
	switch {
	case err != nil:
		r.doubtError(item, err)
		return nil
	case w.Form == quantity.Within:
		value = w.Value
	case w.Form != quantity.Certain:
		r.fail(item.value, `write the reading, and its ± if you know it: "120 cfm +- 10 cfm"`,
			"%q is not what an instrument shows", text)
		return nil
	}
	value = strings.TrimSpace(value)
	kind, ok := r.measured(place.name, value)
	if !ok {
		r.fail(item.value, `write the unit: "0.21 inwc", "120 cfm", "600 fpm", "55 F", "410 W" or "38 dBA"`,
			"%q: what was measured?", text)
		return nil
	}
	var leaf any = value
	if kind == SoundReading {
		leaf, _ = leadNumber(value)
	}
	put(string(kind), leaf)
	at, where := "at", place.name
	if part, across := strings.CutPrefix(where, "across "); across || kind == DropReading {
		at, where = "across", part
	}
	if kind != RiseReading && kind != WattsReading {
		n.add(&node{name: at, key: place.key, value: place.key, leaf: where})
	}
	put("state", state)
	if with := strings.TrimSpace(instrument); with != "" {
		put("with", with)
	}
	if w.Form == quantity.Within {
		by, _ := kind.quantities()
		if sigma, ok := r.halfOf(by, w.By); ok {
			put("sigma", sigma)
		} else {
			r.fail(item.value, `write "120 cfm +- 10 cfm" or "120 cfm +- 8 %"`,
				"%q does not say how far", text)
			return nil
		}
	}
	return n
}

// halfOf writes half of the ± of a reading, which is its standard uncertainty.
func (r *readingsReader) halfOf(kind quantity.Kind, by string) (sigma any, ok bool) {
	x, ok := leadNumber(by)
	if !ok {
		return nil, false
	}
	if kind == quantity.Unknown {
		return x / 2, true
	}
	unit := strings.TrimLeft(strings.TrimSpace(by), "+-.0123456789")
	return formatShort(x/2) + unit, true
}

// measured is the kind of reading that a value with its unit at a place is.
func (r *readingsReader) measured(place, value string) (ReadingKind, bool) {
	unit := strings.ToLower(strings.TrimSpace(strings.TrimLeft(value, "+-.,0123456789 ")))
	if unit == "" {
		return "", false
	}
	is := func(kind quantity.Kind) bool { _, err := kind.Parse(value, r.system); return err == nil }
	switch {
	case slices.Contains([]string{"db", "dba", "db(a)"}, unit):
		return SoundReading, true
	case is(quantity.KindPressure) && (strings.HasPrefix(place, "across ") || r.onlyPart(place)):
		return DropReading, true
	case is(quantity.KindPressure):
		return StaticReading, true
	case is(quantity.KindAirflow):
		return AirflowReading, true
	case is(quantity.KindVelocity):
		return FaceReading, true
	case is(quantity.KindTemperature) && sameName(place, "rise"):
		return RiseReading, true
	case is(quantity.KindTemperature):
		return TemperatureReading, true
	case is(quantity.KindElectricity):
		return WattsReading, true
	}
	return "", false
}

// onlyPart reports whether a place is a part across which a drop is taken, and no place of a
// static.
func (r *readingsReader) onlyPart(place string) bool {
	for _, s := range r.g.Spots(StaticReading) {
		if sameName(s.Name, place) {
			return false
		}
	}
	for _, s := range r.g.Spots(DropReading) {
		if name := strings.TrimPrefix(s.Name, "across "); sameName(name, place) || sameName(name,
			place+" damper") {
			return true
		}
	}
	return false
}
