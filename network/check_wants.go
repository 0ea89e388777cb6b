package network

import (
	"fmt"
	"math"

	"spillway/network/quantity"
)

// Design temperature differences that turn a load into airflow, K, where neither zone nor rating plate gives one.
const (
	defaultHeatingRise = 50 * quantity.FahrenheitDeg // furnace (common practice)
	defaultCoolingDrop = 20 * quantity.FahrenheitDeg // supply 55 °F into a room at 75 °F (common practice)
)

// assignZones finds the zone of every line: its own, its room's, or that of the zone damper upstream.
func (c *checker) assignZones() {
	registers := map[string]int{}
	for _, ref := range c.order {
		if ref.table == "bypass" || ref.broken {
			continue
		}
		behind := ""
		if ref.table != "return" {
			behind = c.zoneUpstream(ref)
		}
		own := ref.Zone
		if room := c.rooms[ref.Room]; room != nil && room.Zone != "" && c.zones[room.Zone] != nil {
			if own != "" && own != room.Zone {
				c.fail(c.at(ref.table, ref.Name, "zone"), "keep one of the two", "%q is in zone %q but its room %q is in zone %q", ref.Name, own, ref.Room, room.Zone)
			}
			own = room.Zone
		}
		if own != "" && behind != "" && own != behind && ref.table == "supply" && c.zones[own] != nil {
			c.warn(c.name(ref.table, ref.Name), "is it tied to the right trunk?", "%q is in zone %q but hangs behind the damper of zone %q", ref.Name, own, behind)
		}
		if own == "" {
			own = behind
		}
		ref.Zone = own
		if ref.Register == nil {
			continue
		}
		if own == "" && ref.table == "supply" && c.unsure {
			continue
		}
		if own == "" && ref.table == "supply" {
			c.unsure = true // its zone may be the one that seems to have none
			c.fail(c.name(ref.table, ref.Name), `write zone = "NAME", or tie it behind a zone damper`, "the register of %q is in no zone", ref.Name)
			continue
		}
		if ref.table == "supply" {
			registers[own]++
		}
	}
	for i := range c.job.Zones {
		z := &c.job.Zones[i]
		if registers[z.Name] == 0 && !c.unsure {
			c.fail(c.name("zone", z.Name), fmt.Sprintf("write zone = %q in its supply lines, or tie them behind its damper", z.Name), "zone %q has no register", z.Name)
		}
	}
}

// zoneUpstream walks from a line towards the supply plenum to the first damper that belongs to one zone.
func (c *checker) zoneUpstream(ref *lineRef) string {
	for steps := 0; ref != nil && steps <= len(c.order); steps++ {
		if zone := c.zoneOfDamper(ref.Damper); ref.Damper != "" && zone != "" {
			return zone
		}
		next := c.lines[ref.From]
		if next == nil && c.boxes[ref.From] {
			for _, other := range c.order {
				if other.table == "supply" && other.To == ref.From {
					next = other
					break
				}
			}
		}
		ref = next
	}
	return ""
}

// outlet is a register with what decides its share of the air.
type outlet struct {
	*lineRef
	weight float64
}

// assignWants gives every supply register the air that it should deliver, and every zone the sum. A register's own figure
// holds; else its room's, shared by size among the room's registers; else what is left of the zone's, shared by the rooms'
// loads, or by size.
func (c *checker) assignWants() {
	for i := range c.job.Zones {
		z := &c.job.Zones[i]
		var outlets []outlet
		for _, ref := range c.order {
			if ref.table == "supply" && ref.Register != nil && ref.Zone == z.Name && !ref.broken {
				outlets = append(outlets, outlet{lineRef: ref})
			}
		}
		if len(outlets) == 0 {
			continue // reported
		}
		c.wantsOfRooms(z, outlets)
		c.wantsOfZone(z, outlets)
	}
}

// wantsOfRooms shares what rooms want among their registers that have no figure of their own.
func (c *checker) wantsOfRooms(z *Zone, outlets []outlet) {
	for i := range c.job.Rooms {
		room := &c.job.Rooms[i]
		var open []outlet
		left := float64(room.Wants)
		for _, o := range outlets {
			if o.Room != room.Name {
				continue
			}
			if o.Wants != 0 {
				left -= float64(o.Wants)
				continue
			}
			o.weight = faceArea(o)
			open = append(open, o)
		}
		if room.Wants == 0 && len(open) > 0 && z.Wants == 0 && (room.HeatLoss != 0 || room.HeatGain != 0) {
			load, why := c.loadAirflow(z, room.HeatLoss, room.HeatGain)
			room.Wants = quantity.Airflow(load)
			left += load
			c.assume(room.Wants.Text(c.system), why, "room", room.Name, "wants")
		}
		if room.Wants == 0 || len(open) == 0 {
			continue
		}
		c.share(open, left, fmt.Sprintf("share of room %q by size of register", room.Name))
	}
}

// wantsOfZone settles the zone's sum and the registers that are still without a figure.
func (c *checker) wantsOfZone(z *Zone, outlets []outlet) {
	sum := 0.0
	var open []outlet
	for _, o := range outlets {
		if o.Wants == 0 {
			open = append(open, o)
		}
		sum += float64(o.Wants)
	}
	if len(open) > 0 {
		c.unknownWants(z)
	}
	if z.Wants == 0 && len(open) == 0 {
		z.Wants = quantity.Airflow(sum)
		c.assume(z.Wants.Text(c.system), "sum of its registers", "zone", z.Name, "wants")
		return
	}
	if z.Wants == 0 {
		if c.given("zone", z.Name, "wants") && z.HeatLoss == 0 && z.HeatGain == 0 {
			return // refused already
		}
		if z.HeatLoss == 0 && z.HeatGain == 0 {
			c.fail(c.name("zone", z.Name), `write wants = "520 cfm", or heat-loss and heat-gain, or give wants to every register`,
				"zone %q does not say how much air it wants, and %q has no figure of its own", z.Name, open[0].Name)
			return
		}
		load, why := c.loadAirflow(z, z.HeatLoss, z.HeatGain)
		z.Wants = quantity.Airflow(load)
		c.assume(z.Wants.Text(c.system), why, "zone", z.Name, "wants")
	}
	if len(open) == 0 {
		const noticeable = 0.1
		if math.Abs(sum-float64(z.Wants)) > noticeable*float64(z.Wants) {
			c.warn(c.at("zone", z.Name, "wants"), "leave the zone's figure out to take the sum", "zone %q wants %s, but its registers want %s", z.Name, z.Wants.Text(c.system), quantity.Airflow(sum).Text(c.system))
		}
		return
	}
	why := "share of its zone by load of the room"
	for i := range open {
		room := c.rooms[open[i].Room]
		if room == nil || room.HeatLoss == 0 && room.HeatGain == 0 {
			why = "share of its zone by size of register"
		}
	}
	for i := range open {
		open[i].weight = faceArea(open[i])
		if why == "share of its zone by load of the room" {
			room := c.rooms[open[i].Room]
			load, _ := c.loadAirflow(z, room.HeatLoss, room.HeatGain)
			total := 0.0 // of the registers in the same room
			for _, o := range open {
				if o.Room == open[i].Room {
					total += faceArea(o)
				}
			}
			if total > 0 {
				open[i].weight = load * open[i].weight / total
			}
		}
	}
	c.share(open, float64(z.Wants)-sum, why)
}

func faceArea(o outlet) float64 {
	if sized(o.Register.Size) {
		return o.Register.Size.Area()
	}
	return 0
}

// share splits an airflow among registers by weight.
func (c *checker) share(open []outlet, left float64, why string) {
	total := 0.0
	for _, o := range open {
		total += o.weight
	}
	if total <= 0 {
		return // a register without a size; reported
	}
	if left <= 0 {
		c.fail(c.name(open[0].table, open[0].Name), "raise the wants of the zone or room, or give every register its own", "nothing is left for the register of %q: the others want it all", open[0].Name)
		return
	}
	for _, o := range open {
		o.Wants = quantity.Airflow(left * o.weight / total)
		c.assume(o.Wants.Text(c.system), why, o.table, o.Name, "wants")
	}
}

// loadAirflow turns a heat loss and a sensible heat gain into airflow,
//
//	q = Q / (ρ c_p ΔT)
//
// of standard air, the larger of heating and cooling, and says how.
func (c *checker) loadAirflow(z *Zone, loss, gain quantity.Heat) (airflow float64, why string) {
	rise, drop := float64(z.HeatingRise), float64(z.CoolingDrop)
	if rise == 0 && loss != 0 {
		rise = defaultHeatingRise
		reason := "usual for a furnace (common practice)"
		if h := c.job.Equipment.Heating; h != nil && len(h.Rise) == 2 {
			rise, reason = float64(h.Rise[0]+h.Rise[1])/2, "middle of the rating plate's range"
		}
		z.HeatingRise = quantity.TemperatureSpan(rise)
		c.assume(z.HeatingRise.Text(c.system), reason, "zone", z.Name, "heating-rise")
	}
	if drop == 0 && gain != 0 {
		drop = defaultCoolingDrop
		z.CoolingDrop = quantity.TemperatureSpan(drop)
		c.assume(z.CoolingDrop.Text(c.system), "supply air at 55 °F into a room at 75 °F (common practice)", "zone", z.Name, "cooling-drop")
	}
	heating, cooling := 0.0, 0.0
	if rise > 0 {
		heating = float64(loss) / (airPerDegree * rise)
	}
	if drop > 0 {
		cooling = float64(gain) / (airPerDegree * drop)
	}
	if heating > cooling {
		return heating, fmt.Sprintf("heat loss over 1.08 and a rise of %s; the larger of heating and cooling", quantity.TemperatureSpan(rise).Text(c.system))
	}
	return cooling, fmt.Sprintf("heat gain over 1.08 and a drop of %s; the larger of heating and cooling", quantity.TemperatureSpan(drop).Text(c.system))
}
