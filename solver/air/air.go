// Package air gives the properties of air that the rest of the solver needs: density, viscosity and pressure against
// elevation.
//
// Everything is SI: Pa, K or °C as named, kg/m³, Pa·s. The package knows nothing of ducts, equipment or units of the
// trade.
package air

import "math"

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
	return StandardPressure * math.Pow(1-2.25577e-5*elevation, 5.2559)
}

// Viscosity of air by Sutherland's formula,
//
//	μ = 1.458e-6 T^1.5 / (T + 110.4)
//
// in Pa·s with T in K; the argument is °C. At 20 °C it gives 1.813e-5.
func Viscosity(celsius float64) float64 {
	t := celsius + zeroCelsius
	return 1.458e-6 * t * math.Sqrt(t) / (t + 110.4)
}
