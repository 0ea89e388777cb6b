package clock

import (
	"fmt"
	"math"

	"spillway/solver/air"
)

// Moisture is what a zone has to do with water vapor. It follows the temperatures and does not act
// on them.
type Moisture struct {
	Capacity     float64 // kg of dry air that would hold as much as air, contents and walls do; > 0
	Infiltration float64 // kg/s of outdoor air, ≥ 0
}

// Coil is how the coil of a Machine holds water: it fills, then drains; while air passes and the
// compressor rests, it gives water back at a rate that falls with the root of what is left, so that
// the rate falls evenly in time (Henderson and Rengarajan 1996, second-hand).
type Coil struct {
	// Retains is how long the coil at its steady rate gathers water before any drains, s; 0: none
	// stays.
	Retains float64
	// Evaporates is how fast a full wet coil gives water back to moving air while the compressor
	// rests, over its steady rate.
	Evaporates float64
}

const (
	vaporHeat = 1061 * 2326.0 // J/kg from vapor to water, 1,061 Btu/lb
	// moistureStep is the longest step, s: rooms take hours, and the midpoint rule is within a
	// millionth of their change.
	moistureStep = 120.0
	// humidAir is the relative humidity above which a zone counts as humid (common practice).
	humidAir = 0.60
)

// moisture is the vapor in a house: humidity ratios of the zones, and water on the coil.
type moisture struct {
	w, half, flow []float64 // kg/kg; kg/kg at half a step; kg/kg per s
	water         float64   // kg on the coil
	start         float64   // kg in the zones at the start of the count
}

func (h *House) checkMoisture() error {
	for i, z := range h.Zones {
		m := z.Moisture
		if !(m.Capacity >= 0) || !(m.Infiltration >= 0) ||
			(m.Capacity > 0) != (h.Zones[0].Moisture.Capacity > 0) {
			return fmt.Errorf("zone %d has moisture %+v; every zone has a capacity or none", i+1, m)
		}
	}
	return nil
}

// moist reports whether the house's humidity is followed.
func (r *run) moist() bool { return r.h.Zones[0].Moisture.Capacity > 0 }

// vapor is the water in the zones, kg.
func (r *run) vapor() float64 {
	sum := 0.0
	for i, z := range r.h.Zones {
		sum += z.Moisture.Capacity * r.wet.w[i]
	}
	return sum
}

// bookMoisture takes the vapor through a piece, by the midpoint rule.
//
//	C dW/dt = inf (W_out − W) + gains + Σ exchange (W_j − W) + m (W_supply − W)
//	W_supply = W_return − F max(0, W_return − W_coil) + (what the coil gives back)/Σ m
func (r *run) bookMoisture(m *modes, length float64, burning bool) {
	x := &r.wet
	parts := math.Ceil(length / moistureStep)
	h := length / parts
	for range int(parts) {
		r.vaporRates(m, burning, x.w, x.flow)
		for i := range x.w {
			x.half[i] = x.w[i] + h/2*x.flow[i]
		}
		removed, gained := r.vaporRates(m, burning, x.half, x.flow)
		if removed < 0 { // the coil gives back no more than it holds
			if back := x.water / h; -removed > back {
				excess := (-removed - back) / r.airMass(m)
				for i := range x.w {
					x.flow[i] -= m.supply.Rate[i] / air.SpecificHeatDry * excess /
						r.h.Zones[i].Moisture.Capacity
				}
				removed = -back
			}
		}
		for i := range x.w {
			x.w[i] += h * x.flow[i]
		}
		r.bookWater(m, h, removed, gained)
	}
}

// bookWater books a step's water: what the coil took (kg/s, negative where it gave back) and what
// came in.
func (r *run) bookWater(m *modes, h, removed, gained float64) {
	x, l := &r.wet, r.ledger
	machine := l.machine(r.season)
	l.VaporIn += gained * h
	if removed != 0 {
		l.VaporTaken += removed * h
		room := 0.0
		if s := m.supply; s != nil && s.Latent > 0 {
			room = r.side.Coil.Retains * s.Latent / vaporHeat
		}
		x.water += removed * h
		if drain := x.water - room; removed > 0 && drain > 0 {
			x.water -= drain
			machine.Water += drain
		}
		x.water = math.Max(0, x.water)
		if removed < 0 {
			machine.Evaporated -= removed * h
		}
	}
	for i := range x.w {
		zone := &l.Zones[i]
		zone.vapor += x.w[i] * h
		vapor := x.w[i] / (x.w[i] + 0.621945) * r.pressure()
		if s, err := air.SaturationPressure(r.x.node[i]); err == nil {
			humidity := vapor / s
			zone.humidity += humidity * h
			zone.MostHumid = math.Max(zone.MostHumid, humidity)
			if humidity > humidAir {
				zone.Humid += h
			}
		}
	}
}

func (r *run) pressure() float64 {
	if r.h.Pressure > 0 {
		return r.h.Pressure
	}
	return 101325
}

// airMass is the air that a supply gives to the zones, kg/s.
func (r *run) airMass(m *modes) float64 {
	sum := 0.0
	for _, g := range m.supply.Rate {
		sum += g / air.SpecificHeatDry
	}
	return sum
}

// vaporRates are the rates of change of the zones' humidity at w, into flow; the water that the
// coil takes, kg/s, and what the zones gain from people and outdoors.
func (r *run) vaporRates(m *modes, burning bool, w, flow []float64) (removed, gained float64) {
	for i, z := range r.h.Zones {
		flow[i] = z.Moisture.Infiltration*(r.now.OutdoorHumidity-w[i]) + r.now.Vapor[i]
		gained += flow[i]
		if r.h.Exchange != nil {
			for j := range w {
				flow[i] += r.h.Exchange[i][j] * (w[j] - w[i])
			}
		}
	}
	if s := m.supply; s != nil {
		total, back := r.airMass(m), dot(m.share, w)
		supply, over, through := back, 0.0, 0.0
		switch {
		case burning && s.Contact > 0 && back > s.Surface:
			supply -= s.Contact * (back - s.Surface)
		case !burning && r.wet.water > 0 && r.side.Coil.Retains > 0 && s.Latent > 0:
			full := r.side.Coil.Retains * s.Latent / vaporHeat
			rate := r.side.Coil.Evaporates * s.Latent / vaporHeat
			supply += rate * math.Sqrt(math.Min(1, r.wet.water/full)) / total
		}
		removed = (back - supply) * total
		for i, g := range s.Rate {
			flow[i] += g / air.SpecificHeatDry * (supply - w[i])
		}
		// Zones that give back more than they get draw the rest from those that get more.
		for i, g := range s.Rate {
			if x := g/air.SpecificHeatDry - m.share[i]*total; x > 0 {
				over, through = over+x, through+x*w[i]
			}
		}
		for i, g := range s.Rate {
			if x := g/air.SpecificHeatDry - m.share[i]*total; x < 0 && over > 0 {
				flow[i] -= x * (through/over - w[i])
			}
		}
	}
	for i, z := range r.h.Zones {
		flow[i] /= z.Moisture.Capacity
	}
	return removed, gained
}
