package network

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// Day is how long a day lasts, s.
const Day = 24 * 3600

// quarter is the step of a schedule, s: finer ones say nothing of a house.
const quarter = 900

// clockTime is a time of the day before a temperature: "6:00 70 F", "17:30 75".
var clockTime = regexp.MustCompile(`^\s*(\d{1,2}):(\d{2})\s+(.*)$`)

const scheduleExample = `write "6:00 70 F", or "70 F" for the whole day`

// schedule reads one set point with the time from which it holds.
func (r *reader) schedule(n *node) Scheduled {
	var s Scheduled
	value := *n
	if text, ok := n.leaf.(string); ok {
		if m := clockTime.FindStringSubmatch(text); m != nil {
			h, _ := strconv.Atoi(m[1])
			minute, _ := strconv.Atoi(m[2])
			if h > 23 || minute > 59 {
				r.fail(n.value, `times run from "0:00" to "23:45"`, "%q has no time of the day", text)
				return s
			}
			if minute*60%quarter != 0 {
				r.fail(n.value, "use whole quarters of an hour", "%q is not at a quarter of an hour", text)
				return s
			}
			s.From = quantity.Time(h*3600 + minute*60)
			value.leaf = m[3]
		} else if strings.Contains(text, ":") {
			r.fail(n.value, scheduleExample, "%q is not a time and a temperature", text)
			return s
		}
	}
	s.Temperature = quantity.Temperature(r.quantity(&value, quantity.KindTemperature, field{bounds: "indoor"}))
	return s
}

// Setpoint is the set point of a schedule at a time of the day, s; ok is false for an empty schedule.
func Setpoint(schedule []Scheduled, at float64) (t quantity.Temperature, ok bool) {
	if len(schedule) == 0 {
		return 0, false
	}
	t = schedule[len(schedule)-1].Temperature // of the evening before
	for _, s := range schedule {
		if float64(s.From) <= at {
			t = s.Temperature
		}
	}
	return t, true
}

// time checks what only a simulation in time uses.
func (c *checker) time() {
	for i := range c.job.Zones {
		z := &c.job.Zones[i]
		for k, list := range [][]Scheduled{z.Heat, z.Cool} {
			key := [...]string{"heat", "cool"}[k]
			for j := 1; j < len(list); j++ {
				if list[j].From <= list[j-1].From && !c.refusedWithin("zone", z.Name, key) {
					c.fail(c.item(j, "zone", z.Name, key), "list the set points by the time of the day, each time once", "the set points of zone %q are out of order", z.Name)
					break
				}
			}
		}
		if z.Mass != "" && !slices.Contains(Masses(), z.Mass) {
			c.unknown(c.at("zone", z.Name, "mass"), "mass", z.Mass, Masses())
		}
		if z.Faces != "" && !slices.Contains(Faces(), z.Faces) {
			c.unknown(c.at("zone", z.Name, "faces"), "direction", z.Faces, Faces())
		}
		refused := c.refusedWithin("zone", z.Name, "heat") || c.refusedWithin("zone", z.Name, "cool")
		for at := 0.0; at < Day && !refused; at += quarter {
			heat, heats := Setpoint(z.Heat, at)
			cool, cools := Setpoint(z.Cool, at)
			if heats && cools && cool <= heat {
				c.warn(c.name("zone", z.Name), "leave some degrees between the two", "zone %q is to be cooled to %s and heated to %s at the same time of the day",
					z.Name, cool.Text(c.system), heat.Text(c.system))
				break
			}
		}
	}
	for i := range c.job.Between {
		b := &c.job.Between[i]
		for j, name := range b.Zones {
			if c.zones[name] == nil {
				c.unknown(c.item(j, "between", b.Name, "zones"), "zone", name, c.zoneNames())
			}
		}
		if (len(b.Zones) != 2 || b.Zones[0] == b.Zones[1]) && !c.refusedWithin("between", b.Name, "zones") {
			c.fail(c.name("between", b.Name), `write zones = ["ONE", "OTHER"]`, "%q is not between two zones", b.Name)
		}
		if b.Doors > 20 {
			c.fail(c.at("between", b.Name, "doors"), "1 is an open doorway, 2 a wide opening or a stairwell", "%g doorways between two zones", b.Doors)
		}
	}
	t := &c.job.Thermostat
	if t.Anticipation != 0 && t.Band != 0 && t.Anticipation <= t.Band {
		c.warn(c.at("thermostat", "anticipation"), "make it larger than the band, or the thermostat does not cycle by itself",
			"an anticipation of %s within a band of %s", t.Anticipation.Text(c.system), t.Band.Text(c.system))
	}
	for k, m := range []*Machine{c.job.Equipment.Cooling, c.job.Equipment.Heating} {
		if m == nil {
			continue
		}
		side := [...]string{"cooling", "heating"}[k]
		if m.CutOut != nil && (side == "cooling") != (float64(*m.CutOut) < coldestReturn) {
			c.fail(c.at("equipment", side, "cut-out"), `cooling is cut out below, such as "42 F", heating above, such as "140 F"`, "a cut-out of %s in %s", m.CutOut.Text(c.system), side)
		}
	}
}

// coldestReturn tells cut-outs of cooling from those of heating, °C.
const coldestReturn = 15.0
