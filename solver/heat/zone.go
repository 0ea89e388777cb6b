package heat

import "math"

// Zone is the air of a zone, or of a zone with its mass, as one node:
//
//	C dT/dt = UA (T_out − T) + G + g (T_supply − T)
//
// with g the capacity rate m cp of the air it is given (times the share of time it is given), G gains. Capacity
// chooses the question: the fast node (air, furniture and wallboard skin: five to ten times the air's own capacity)
// for minutes to hours, the whole house's for a night. Both defaults are from memory and our choice; show them as
// inputs.
type Zone struct {
	Capacity    float64 // J/K
	Conductance float64 // W/K to outdoors
	// Load is the sensible heat, W, that the zone must be given at its setpoint to stay there: positive in heating,
	// negative in cooling.
	Load float64
}

// Bleed is air given to a satisfied zone.
type Bleed struct {
	CapacityRate float64 // W/K, m cp while it blows
	Duty         float64 // share of the time it blows, 0 to 1
	Supply       float64 // °C
	Setpoint     float64 // °C, the zone's temperature at the start
}

// Drift says where a zone goes from its setpoint. Temperatures relative to the setpoint, positive warmer.
type Drift struct {
	Rate         float64 // K/s at the start
	Offset       float64 // K, where it ends
	TimeConstant float64 // s
}

// Drift of a satisfied zone under bleed:
//
//	offset = (g (T_s − T₀) − L)/(UA + g),   τ = C/(UA + g),   rate = (g (T_s − T₀) − L)/C,   g = m cp · duty
//
// L the load at the setpoint (W, positive when the zone needs heat). The exact solution of the node's equation.
// Without conductance and bleed the zone has no end: offset and time constant are infinite (offset 0 when nothing
// drives it).
//
// Errors: figures that cannot be.
func (z Zone) Drift(b Bleed) (Drift, error) {
	switch {
	case !(z.Capacity > 0) || !(z.Conductance >= 0) || !finite(z.Load):
		return Drift{}, badInput("zone of %g J/K, %g W/K and a load of %g W", z.Capacity, z.Conductance, z.Load)
	case !(b.CapacityRate >= 0) || !(b.Duty >= 0 && b.Duty <= 1) || !finite(b.Supply-b.Setpoint):
		return Drift{}, badInput("bleed of %g W/K for %g of the time at %g °C", b.CapacityRate, b.Duty, b.Supply)
	}
	g := b.CapacityRate * b.Duty
	drive := g*(b.Supply-b.Setpoint) - z.Load
	d := Drift{Rate: drive / z.Capacity, TimeConstant: z.Capacity / (z.Conductance + g), Offset: drive / (z.Conductance + g)}
	if z.Conductance+g == 0 {
		d.TimeConstant, d.Offset = math.Inf(1), 0
		if drive != 0 {
			d.Offset = math.Copysign(math.Inf(1), drive)
		}
	}
	return d, nil
}

// NeutralBleed is the capacity rate m cp, W/K, of bleed that just covers a load (W, positive when the zone needs heat):
//
//	m cp = L/(duty (T_s − T₀))
//
// NaN when the air cannot help: it is at the zone's temperature, on the wrong side of it, or never blows.
func NeutralBleed(load, duty, supply, setpoint float64) float64 {
	if load == 0 {
		return 0
	}
	c := load / (duty * (supply - setpoint))
	if !(c > 0) || math.IsInf(c, 1) {
		return math.NaN()
	}
	return c
}

// Typical heat capacities and conductance of a house per m² of floor. From memory and our choice (light frame 2.5 to 5
// Btu/°F per ft², fast node 0.67 to 1 Btu/°F per ft², 0.15 to 0.25 Btu/(h·°F) per ft²): assumptions to show, not facts.
const (
	WholeCapacityPerArea = 3.75 * 1899.10 / (0.3048 * 0.3048)  // J/(K·m²)
	FastCapacityPerArea  = 1.0 * 1899.10 / (0.3048 * 0.3048)   // J/(K·m²): seven times the air at 8 ft
	ConductancePerArea   = 0.20 * 0.527528 / (0.3048 * 0.3048) // W/(K·m²)
)
