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

func (f Furnace) check() error {
	switch {
	case !(f.Output >= 0) || math.IsInf(f.Output, 0):
		return badInput("furnace output %g W", f.Output)
	case !(f.LeastRise >= 0 && f.GreatestRise >= 0) || f.GreatestRise > 0 && f.LeastRise > f.GreatestRise:
		return badInput("rise range %g to %g K", f.LeastRise, f.GreatestRise)
	}
	return nil
}
