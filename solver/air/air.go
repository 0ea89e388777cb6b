// Package air gives the properties of air that the rest of the solver needs: density, viscosity and pressure against
// elevation.
//
// Everything is SI: Pa, K or °C as named, kg/m³, Pa·s. The package knows nothing of ducts, equipment or units of the
// trade.
package air

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"
)

const (
	// GasConstant of dry air, J/(kg·K).
	GasConstant = 287.05
	// StandardPressure at sea level, Pa (1976 standard atmosphere).
	StandardPressure = 101325.0
	// StandardDensity is "standard air" of the trade, 0.075 lb/ft³ in kg/m³. A volume flow is quoted as standard air
	// when mass flow is divided by this density.
	StandardDensity = 1.2014
	// Gravity, m/s².
	Gravity = 9.81
	// zeroCelsius in kelvin.
	zeroCelsius = 273.15
)

// State is the air in one element: what a pressure law needs to know of it.
type State struct {
	Density   float64 // kg/m³
	Viscosity float64 // dynamic, Pa·s
}

// Standard is standard air at about 20 °C, the state in which ratings and catalogue coefficients are quoted.
func Standard() State { return State{Density: StandardDensity, Viscosity: Viscosity(20)} }

// At returns dry air at a temperature (°C) and an absolute pressure (Pa).
func At(celsius, pressure float64) State {
	return State{Density: Density(celsius, pressure), Viscosity: Viscosity(celsius)}
}

// Density of dry air by the ideal-gas law,
//
//	ρ = p / (R T)
//
// in kg/m³ at a temperature in °C and an absolute pressure in Pa.
func Density(celsius, pressure float64) float64 {
	return pressure / (GasConstant * (celsius + zeroCelsius))
}

// Pressure of the standard atmosphere at an elevation in metres, Pa:
//
//	p = 101325 (1 − 2.25577e-5 z)^5.2559
//
// 1976 standard atmosphere (troposphere), valid below 11 000 m.
func Pressure(elevation float64) float64 {
	return StandardPressure * math.Pow(1-lapse*elevation, lapsePower)
}

// Constants of the standard atmosphere (1/m) and of Sutherland's formula (Pa·s/√K, K).
const (
	lapse, lapsePower                = 2.25577e-5, 5.2559
	sutherlandFactor, sutherlandTemp = 1.458e-6, 110.4
)

func temperature(name string, low, high float64) formula.Symbol {
	return formula.Symbol{Name: name, Kind: quantity.KindTemperature, Low: low, High: high}
}

var atmospheric = formula.Symbol{Name: "p", Kind: quantity.KindPressure, Low: 60e3, High: 110e3}

// PressureFormula is Pressure.
func PressureFormula() *formula.Formula {
	return &formula.Formula{Name: "standard atmosphere at the elevation of the job (1976)",
		Text: formula.Write("# * (1 - # * z)^#", StandardPressure, lapse, lapsePower), Result: atmospheric,
		In:   []formula.Symbol{{Name: "z", Kind: quantity.KindLength, Low: -500, High: 5000}},
		Eval: func(in []float64) float64 { return Pressure(in[0]) }}
}

// DensityFormula is Density.
func DensityFormula() *formula.Formula {
	return &formula.Formula{Name: "ideal gas, dry air", Text: formula.Write("p / (# * (t + #))", GasConstant, zeroCelsius),
		Result: formula.Symbol{Name: "ρ", Kind: quantity.KindDensity}, In: []formula.Symbol{atmospheric, temperature("t", -50, 120)},
		Eval: func(in []float64) float64 { return Density(in[1], in[0]) }}
}

// ViscosityFormula is Viscosity.
func ViscosityFormula() *formula.Formula {
	return &formula.Formula{Name: "Sutherland's formula",
		Text:   formula.Write("# * (t + #)^1.5 / (t + # + #)", sutherlandFactor, zeroCelsius, zeroCelsius, sutherlandTemp),
		Result: formula.Symbol{Name: "μ", Kind: quantity.KindViscosity}, In: []formula.Symbol{temperature("t", -50, 120)},
		Eval: func(in []float64) float64 { return Viscosity(in[0]) }}
}

// Viscosity of air by Sutherland's formula,
//
//	μ = 1.458e-6 T^1.5 / (T + 110.4)
//
// in Pa·s with T in K; the argument is °C. At 20 °C it gives 1.813e-5.
func Viscosity(celsius float64) float64 {
	t := celsius + zeroCelsius
	return sutherlandFactor * t * math.Sqrt(t) / (t + sutherlandTemp)
}
