package calendar

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/air"
	"spillway/solver/clock"
)

// Defaults of water vapor in a house.
const (
	// buffer is how many times the air's own vapor a furnished house takes up (from memory: 10 to
	// 15).
	buffer = 12
	// ceiling is the usual height of a room, m: 8 ft.
	ceiling = 2.44
	// airChange is outdoor air into a usual house, 1/s: 0.35 an hour (common practice: 0.2 to 0.7).
	airChange = 0.35 / 3600
	// vaporPerFloor is what people, kitchen and bath give, mean of a day, kg/s per m²: 18 lb a day
	// in 2,000 ft² (from memory: 12 to 25 lb of a family of four).
	vaporPerFloor = 18 * 0.45359237 / 86400 / (2000 * 0.3048 * 0.3048)
	// dewBelow is how far the dew point outdoors is below the day's lowest temperature, K (our
	// choice).
	dewBelow = 5 * degree
	// A coil gathers 1,000 s of its condensate before any drains, and gives back half as much again
	// at first (from memory: 720 to 1,400 s, 0.5 to 3).
	coilRetains, coilGives = 1000.0, 1.5
)

// moisture gives the zones their vapor and tells what is assumed of it.
func (h *House) moisture() {
	if h.clock.Cooling == nil {
		return
	}
	c := &h.clock
	c.Pressure = air.Pressure(float64(h.job.Site.Elevation))
	n := len(c.Zones)
	c.Exchange = make([][]float64, n)
	for i := range n {
		c.Exchange[i] = make([]float64, n)
		for j := range n {
			c.Exchange[i][j] = c.Between[i][j] / air.SpecificHeatDry
		}
		volume := h.zones[i].floor * ceiling * air.StandardDensity
		c.Zones[i].Moisture = clock.Moisture{Capacity: buffer * volume,
			Infiltration: airChange * volume}
	}
	c.Cooling.Coil = clock.Coil{Retains: coilRetains, Evaporates: coilGives}
	h.note("0.35 air changes an hour", "of outdoor air, for humidity alone (common practice: 0.2 "+
		"to 0.7)", "zone", "*", "air-change")
	h.note("18 lb of water a day in 2,000 ft²",
		"people, kitchen and bath, a family of four (from memory: 12 to 25 lb)", "zone", "*",
		"vapor")
	h.note("12 times the air's vapor", "what walls and furniture take up with it (from memory: 10 "+
		"to 15)", "zone", "*", "mass")
	h.note("1,000 s of condensate", "held by a coil before it drains; it gives back one and a "+
		"half times as fast at first while the blower runs alone (from memory: 720 to 1,400 s, "+
		"0.5 to 3)", "equipment", "coil")
}

// dewPoint tells the dew point outdoors that follows from the days' lowest temperatures.
func (h *House) dewPoint() {
	h.note(quantity.TemperatureSpan(dewBelow).Text(h.job.Units),
		"of the dew point outdoors below the day's lowest temperature (our choice)", "year",
		"dew-point")
}

// vapor is the humidity ratio of outdoor air by its temperature and dew point, °C.
func (h *House) vapor(outdoor, dew float64) float64 {
	w, err := air.SaturationHumidity(math.Min(outdoor, dew), h.pressure())
	if err != nil {
		return 0
	}
	return w
}

func (h *House) pressure() float64 { return air.Pressure(float64(h.job.Site.Elevation)) }

// fillVapor gives an interval the vapor of an hour.
func (h *House) fillVapor(into *clock.Interval, at, dew float64) {
	if h.clock.Cooling == nil {
		return
	}
	into.OutdoorHumidity = h.vapor(into.Outdoor, dew)
	hour := int(at/3600) % 24
	for i := range h.zones {
		into.Vapor[i] = vaporPerFloor * h.zones[i].floor * 24 * plugShape[hour]
	}
}

// coolest is the lowest of a day's temperatures.
func coolest(hours []Hour) float64 {
	low := math.Inf(1)
	for _, x := range hours {
		low = min(low, x.Outdoor)
	}
	return low
}
