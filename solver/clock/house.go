package clock

import (
	"fmt"
	"math"
)

// House is what the simulation needs to know of a house and its controls. All is SI.
type House struct {
	Zones      []Zone
	Between    [][]float64 // W/K between the air of two zones, symmetric, zero diagonal; nil: none
	Thermostat Thermostat
	Heating    *Machine // nil: the house is not heated
	Cooling    *Machine
	Panel      Panel
	Exchange   [][]float64 // kg/s of air between two zones for their Moisture, symmetric; nil: none
	Pressure   float64     // Pa; 0: sea level
}

// Zone is one thermostat's part of the house: a node of air with its contents, and one of mass.
type Zone struct {
	Air       float64 // J/K, air and contents, > 0
	Mass      float64 // J/K, > 0
	AirLoss   float64 // W/K from the air to outdoors (windows, leakage), ≥ 0
	MassLoss  float64 // W/K from the mass to outdoors (opaque walls), ≥ 0
	AirToMass float64 // W/K, > 0
	Moisture  Moisture
}

// Conductance is the steady loss of the zone to outdoors, W/K.
func (z *Zone) Conductance() float64 {
	return z.AirLoss + z.MassLoss*z.AirToMass/(z.MassLoss+z.AirToMass)
}

// Thermostat is a sensor that lags the air and is warmed (in heating) or cooled a little while it calls.
type Thermostat struct {
	Lag          float64 // s, > 0
	Band         float64 // K between the start and the end of a call, > 0
	Anticipation float64 // K, ≥ 0; it must exceed Band for the thermostat to cycle by itself
}

// Panel is the zone panel's timing. The zone dampers stay where they were until the purge is over.
type Panel struct {
	StageDelay float64 // s in each stage of a run until the next; 0: not by time
	// StageDroop is how far a calling sensor is on the wrong side of its set point, K, when the
	// next stage runs at once; 0: not by droop. With neither, the first stage runs alone.
	StageDroop float64
	// Changeover is how long the machine rests after a run before one of the other season, s.
	Changeover float64
}

// Machine is the heating or cooling side: how it starts and stops and what stops it.
type Machine struct {
	Lag        float64 // s until 63 % of the capacity reaches the air, unless a Supply has its own; > 0
	OffLag     float64 // s until 63 % of what it holds is lost, with the blower off; > 0
	Start      float64 // s from the call to the burner or compressor: dampers, prover, ignition
	Purge      float64 // s for which the blower runs on
	MinimumOn  float64 // s of a run
	MinimumOff float64 // s from the end of the purge to the next start
	// BlowerDelay is how long the burner or compressor runs before the blower does, s. What it
	// makes meanwhile stays in the machine.
	BlowerDelay float64
	// Ramp is how long the blower takes from the airflow of one stage to that of another, s.
	Ramp   float64
	Guards []Guard // what stops the burner or compressor while the blower runs
	// IceClosed is the ice that closes the coil, kg; 0: ice is not followed.
	IceClosed float64
	Coil      Coil
}

// Ice on a coil. It grows while the coil is below freezing, with all latent heat freezing too; it melts at
// once in a stream of room air, and slowly from the casing's heat with the blower off.
const (
	freezing  = 1220 * 2326.0       // J/kg from vapor to ice, 1,220 Btu/lb (published values of both heats, added)
	meltBlown = 270 * 0.4536 / 3600 // kg/s in 1,200 cfm of 75 °F air: 1.08 · 1,200 · 43 · 0.7 / 144 (our estimate)
	meltStill = 3.0 * 0.4536 / 3600 // kg/s with the blower off: 10 Btu/(h·°F) of casing (our choice)
	IceStep   = 0.25                // of IceClosed, by which call states are solved anew
	icedShare = 0.25                // of IceClosed, from which a coil counts as iced (our choice)
)

// Guard is a switch that stops the machine at a temperature: the high limit of a furnace, or a
// leaving-air cut-out of the panel. The temperature that it feels is Supply.Guards of its place.
type Guard struct {
	Name   string
	Opens  float64 // °C: above it in heating, below it in cooling
	Closes float64 // °C, nearer the room than Opens
	Hold   float64 // s for which it stays open at least
	CutOut bool    // a cut-out of the panel, not a limit of the machine
}

// Season is what the machine may do.
type Season int8

// The seasons; the sign is that of the heat. Auto leaves it to the thermostats: each zone calls for
// heating below one set point and for cooling above another, and the panel changes over between
// runs.
const (
	Cooling Season = -1
	Auto    Season = 0
	Heating Season = +1
)

func (s Season) String() string {
	if s == Cooling {
		return "cooling"
	}
	return "heating"
}

// Call is what the panel asks of the machine.
type Call struct {
	Season Season
	Zones  uint32 // bit i: zone i calls
	Stage  int    // from 1
}

// Has reports whether zone i calls.
func (c Call) Has(i int) bool { return c.Zones>>i&1 == 1 }

// Supply is what the air does in a Call, with the machine at its full capacity.
type Supply struct {
	Rate     []float64 // W/K per zone, m cp of the air that it is given, ≥ 0
	Rise     []float64 // K per zone, the air it is given above the return air; negative in cooling
	Return   []float64 // share of the return air that leaves each zone; nil: what it is given
	Guards   []float64 // K per Guard, what it feels above the return air
	Output   float64   // W that the machine gives to the air, or takes from it, > 0
	Input    float64   // W of fuel or of electricity for the compressor
	Blower   float64   // W, NaN when not known
	Airflow  []float64 // m³/s of standard air by fate, in an order that the Source defines
	Lag      float64   // s; 0: the machine's
	Latent   float64   // W beside Output that condenses water, at the humidity that the supply was solved for, ≥ 0
	Contact  float64   // share of the return air that is dried to Surface; 0: dry
	Surface  float64   // kg/kg at the coil's surface
	Coil     float64   // K, the evaporating temperature above the return air; 0: not known
	NextPass bool      // a higher stage may run in this call
}

// Conditions are the temperatures at which a Supply is needed.
type Conditions struct {
	Outdoor float64 // °C
	Return  float64 // °C, the air that the zones give back
	// Iced is how far ice closes the coil, in steps of IceStep, below 1.
	Iced float64
}

// Source says what the ducts give in a call. Equal pointers mean equal supplies: matrices are kept by
// pointer, so a Source gives the same one for conditions that it does not tell apart. A call that it
// cannot answer is an error, which holds the machine off and is booked as unsolved time.
type Source interface {
	At(call Call, at Conditions) (*Supply, error)
}

// Interval is what holds for one step of the climate.
type Interval struct {
	Season  Season
	Outdoor float64   // °C
	Set     []float64 // °C per zone; of heating in Auto
	Cool    []float64 // °C per zone, of cooling in Auto; above Set
	ToAir   []float64 // W of gains per zone into the air
	ToMass  []float64 // W of gains per zone into the mass

	OutdoorHumidity float64   // kg/kg
	Vapor           []float64 // kg/s per zone from people and the like
}

// Climate is weather, sun, people and set points, step by step.
type Climate interface {
	// At fills in the step k, from 0. The slices have room for every zone.
	At(k int, into *Interval)
}

// check returns what no house can have.
func (h *House) check() error {
	n := len(h.Zones)
	if n == 0 || n > 32 {
		return fmt.Errorf("%d zones; a house has 1 to 32", n)
	}
	for i, z := range h.Zones {
		if !positive(z.Air, z.Mass, z.AirToMass) || !(z.AirLoss >= 0) || !(z.MassLoss >= 0) || !positive(z.AirLoss+z.MassLoss) {
			return fmt.Errorf("zone %d has no capacity, no loss or no coupling to its mass: %+v", i+1, z)
		}
	}
	if h.Between != nil {
		if len(h.Between) != n {
			return fmt.Errorf("couplings of %d zones for %d", len(h.Between), n)
		}
		for i := range h.Between {
			for j := range h.Between {
				k := h.Between[i][j]
				if !(k >= 0) || math.IsInf(k, 1) || k != h.Between[j][i] || i == j && k != 0 {
					return fmt.Errorf("the coupling of zones %d and %d is %g W/K", i+1, j+1, k)
				}
			}
		}
	}
	if err := h.checkMoisture(); err != nil {
		return err
	}
	t := h.Thermostat
	if !positive(t.Lag, t.Band) || !(t.Anticipation >= 0) {
		return fmt.Errorf("a thermostat of %g s, %g K and an anticipation of %g K", t.Lag, t.Band, t.Anticipation)
	}
	for _, s := range []Season{Heating, Cooling} {
		if m := h.machine(s); m != nil {
			if err := m.check(s); err != nil {
				return fmt.Errorf("%v: %w", s, err)
			}
		}
	}
	return nil
}

func (m *Machine) check(s Season) error {
	if !positive(m.Lag, m.OffLag) {
		return fmt.Errorf("lags of %g and %g s", m.Lag, m.OffLag)
	}
	for _, x := range []float64{m.Start, m.Purge, m.MinimumOn, m.MinimumOff, m.BlowerDelay,
		m.Ramp} {
		if !(x >= 0) || math.IsInf(x, 1) {
			return fmt.Errorf("a time of %g s", x)
		}
	}
	if m.MinimumOn+m.MinimumOff+m.Start+m.Purge <= 0 {
		return fmt.Errorf("no minimum time at all; a thermostat could switch without end")
	}
	for _, g := range m.Guards {
		if !(float64(s)*(g.Opens-g.Closes) > 0) || !(g.Hold >= 0) {
			return fmt.Errorf("%s opens at %g °C, closes at %g °C and holds for %g s", g.Name, g.Opens, g.Closes, g.Hold)
		}
	}
	return nil
}

func (h *House) machine(s Season) *Machine {
	if s == Cooling {
		return h.Cooling
	}
	return h.Heating
}

func positive(values ...float64) bool {
	for _, x := range values {
		if !(x > 0) || math.IsInf(x, 1) {
			return false
		}
	}
	return true
}
