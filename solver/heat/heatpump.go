package heat

import (
	"math"

	"spillway/solver/air"
)

// HeatPump is a single-speed air-source heat pump in heating:
//
//	capacity = rated · f(EDB, ODB),   EIR = rated · g(EDB, ODB)
//
// of the entering and outdoor dry bulbs (biquadratics in °F), rated at 70 °F entering and 47 °F outdoors.
//
// Source: NREL/TP-5500-56354 (Cutler, Winkler, Kruis, Christensen, Brandemuehl 2013), table 12 for capacity
// (second-hand). The fits' own ranges were not seen, nor any flow modifier: airflow does not enter, and
// defrost and supplementary heat are not modelled. Range accepted (our choice): entering 60 to 80 °F, outdoors −10 to
// 65 °F. Warmer entering air, which a bypass makes, lifts the condensing pressure; what the machine then does is not
// known to this model, and it refuses.
type HeatPump struct {
	RatedCapacity float64 // W at 70 °F entering, 47 °F outdoors
	RatedEIR      float64 // electric power over capacity there; 0: not known
	Outdoor       float64 // °C
}

var _ Device = HeatPump{}

// The fits (°F), see HeatPump. They are never changed.
var (
	heatPumpCapacityCurve = Biquadratic{0.566333415, -0.000744164, -0.0000103, 0.009414634, 0.0000506, -0.00000675}
	heatPumpEIRCurve      = Biquadratic{0.718398423, 0.003498178, 0.000142202, -0.005724331, 0.00014085, -0.000215321}
)

func heatPumpCapacity(entering, outdoor float64) float64 {
	return heatPumpCapacityCurve.At(entering, outdoor)
}

func heatPumpEIR(entering, outdoor float64) float64 { return heatPumpEIRCurve.At(entering, outdoor) }

// The rating point of heat pumps in heating, °C (70 °F entering, 47 °F outdoors).
const (
	HeatPumpEntering = (70.0 - 32) / 1.8
	HeatPumpOutdoor  = (47.0 - 32) / 1.8
)

// Accepted range, °F.
const (
	heatPumpColdestEntering, heatPumpWarmestEntering = 60.0, 80.0
	heatPumpColdestOutdoor, heatPumpWarmestOutdoor   = -10.0, 65.0
)

// At is the capacity (W) and electric power (W, 0 when the EIR is not known) with entering air of a dry bulb in °C.
// Errors: figures that cannot be; temperatures beyond the accepted range (ErrBeyondRange).
func (p HeatPump) At(entering float64) (capacity, power float64, err error) {
	if !(p.RatedCapacity > 0) || math.IsInf(p.RatedCapacity, 0) || !(p.RatedEIR >= 0) {
		return 0, 0, badInput("heat pump of %g W and energy input ratio %g", p.RatedCapacity, p.RatedEIR)
	}
	e, o := entering*1.8+32, p.Outdoor*1.8+32
	if !(e >= heatPumpColdestEntering && e <= heatPumpWarmestEntering) {
		return 0, 0, outOfRange("heat pump entering air at %.1f °C (%.1f °F), model good for %g to %g °F: recirculated warm air lifts the condensing pressure",
			entering, e, heatPumpColdestEntering, heatPumpWarmestEntering)
	}
	if !(o >= heatPumpColdestOutdoor && o <= heatPumpWarmestOutdoor) {
		return 0, 0, outOfRange("heat pump with %.1f °C (%.1f °F) outdoors, model good for %g to %g °F",
			p.Outdoor, o, heatPumpColdestOutdoor, heatPumpWarmestOutdoor)
	}
	capacity = p.capacity(entering)
	return capacity, capacity * p.RatedEIR * heatPumpEIR(e, o), nil
}

func (p HeatPump) capacity(entering float64) float64 {
	return p.RatedCapacity * heatPumpCapacity(entering*1.8+32, p.Outdoor*1.8+32)
}

// Exchange implements Device; beyond the range it extrapolates, for the solver's trials only.
func (p HeatPump) Exchange(entering air.Moist, _, _ float64) (heat, water float64, err error) {
	return p.capacity(entering.Temperature), 0, nil
}

// Check implements Device.
func (p HeatPump) Check(entering air.Moist, _, _ float64) error {
	_, _, err := p.At(entering.Temperature)
	return err
}
