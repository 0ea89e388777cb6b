package heat

import (
	"math"

	"spillway/solver/air"
)

// Furnace is a heater of constant output: gas burner, electric element, or one stage of either (the caller picks the
// stage). Its output does not depend on the entering air.
//
//	rise = Q / (m cp)
//
// with m the dry-air mass flow and cp the specific heat per kg of dry air. In the trade's form rise = Q/(1.08 CFM) at
// standard air, which is the same equation with 1.08 Btu/(h·°F·CFM) = 60 · 0.075 lb/ft³ · 0.240 Btu/(lb·°F).
//
// The limits come from the rating plate; a zero limit means that none was given.
type Furnace struct {
	Output       float64 // W into the air
	LeastRise    float64 // K
	GreatestRise float64 // K
	LeavingLimit float64 // °C, greatest leaving temperature
}

// FurnaceState is a furnace at work. Margins are positive on the safe side and NaN where the plate gives no limit.
type FurnaceState struct {
	Rise          float64 // K
	Leaving       air.Moist
	LeastMargin   float64 // K, rise above the least
	MostMargin    float64 // K, rise below the greatest
	LeavingMargin float64 // K, leaving temperature below its limit
}

// At is the furnace with entering air at a mass flow, kg/s. Errors: no flow, negative output, a rise range that is none.
func (f Furnace) At(entering air.Moist, massFlow float64) (FurnaceState, error) {
	if err := f.check(); err != nil {
		return FurnaceState{}, err
	}
	if !(massFlow > 0) {
		return FurnaceState{}, badInput("furnace of %.0f W with an airflow of %g kg/s", f.Output, massFlow)
	}
	leaving := air.FromEnthalpy(entering.Enthalpy()+f.Output/massFlow, entering.HumidityRatio)
	s := FurnaceState{Leaving: leaving, Rise: leaving.Temperature - entering.Temperature,
		LeastMargin: math.NaN(), MostMargin: math.NaN(), LeavingMargin: math.NaN()}
	if f.LeastRise > 0 {
		s.LeastMargin = s.Rise - f.LeastRise
	}
	if f.GreatestRise > 0 {
		s.MostMargin = f.GreatestRise - s.Rise
	}
	if f.LeavingLimit != 0 {
		s.LeavingMargin = f.LeavingLimit - leaving.Temperature
	}
	return s, nil
}

// CheckPlate compares the plate with itself and with the design airflow, all zones open: an error names the figures when
// output and airflow cannot give a rise in the stated range, or when the leaving limit is passed before any air
// recirculates.
func (f Furnace) CheckPlate(entering air.Moist, designFlow float64) error {
	s, err := f.At(entering, designFlow)
	if err != nil {
		return err
	}
	switch {
	case s.LeastMargin < 0 || s.MostMargin < 0:
		return badInput("output %.0f W at %.3f kg/s is a rise of %.1f K, outside the plate's %.1f to %.1f K",
			f.Output, designFlow, s.Rise, f.LeastRise, f.GreatestRise)
	case s.LeavingMargin < 0:
		return badInput("leaving air of %.1f °C with all zones open is above the limit of %.1f °C", s.Leaving.Temperature, f.LeavingLimit)
	}
	return nil
}

func (f Furnace) check() error {
	switch {
	case !(f.Output >= 0) || math.IsInf(f.Output, 0):
		return badInput("furnace output %g W", f.Output)
	case !(f.LeastRise >= 0 && f.GreatestRise >= 0) || f.GreatestRise > 0 && f.LeastRise > f.GreatestRise:
		return badInput("rise range %g to %g K", f.LeastRise, f.GreatestRise)
	}
	return nil
}

// Airflow is the dry-air mass flow, kg/s, that a measured rise (K) implies at an output (W) and specific heat
// (J/(kg·K), see air.Moist), with its relative standard uncertainty from the relative uncertainty of the output and the
// uncertainty (K) of each of the two thermometers:
//
//	m = Q / (cp rise),   u(m)/m = √( (u(Q)/Q)² + 2 (u(T)/rise)² )
//
// The formula is the temperature-rise method of field practice; it needs a well-mixed plenum. Errors: a rise or output
// that is not positive.
func Airflow(output, rise, specificHeat, outputUncertainty, thermometerUncertainty float64) (massFlow, relativeUncertainty float64, err error) {
	if !(output > 0 && rise > 0 && specificHeat > 0) {
		return 0, 0, badInput("airflow from %g W, a rise of %g K and %g J/(kg·K)", output, rise, specificHeat)
	}
	u := math.Hypot(outputUncertainty, math.Sqrt2*thermometerUncertainty/rise)
	return output / (specificHeat * rise), u, nil
}

// FanRise is how much a fan warms the air, K, when its electric power (W) ends in the air (motor in the airstream):
// P/(m cp). 0 without flow.
func FanRise(power, massFlow, specificHeat float64) float64 {
	if !(massFlow > 0) {
		return 0
	}
	return power / (massFlow * specificHeat)
}
