package air

import (
	"spillway/network/quantity"
	"spillway/solver/internal/formula"
)

// Specific heats and the heat of vaporisation in the enthalpy formula, ASHRAE Handbook – Fundamentals 2017, ch. 1, eq.
// 30.
const (
	// SpecificHeatDry of dry air, J/(kg·K).
	SpecificHeatDry = 1006.0
	// SpecificHeatVapour of water vapour, J/(kg·K).
	SpecificHeatVapour = 1860.0
	// VaporisationHeat of water at 0 °C, J/kg.
	VaporisationHeat = 2501e3
)

// Moist is a state of moist air at a pressure given elsewhere. Quantities "per kg" are per kg of DRY air throughout,
// so that they mix and balance linearly.
//
// The zero value is bone-dry air at 0 °C. A state with more water than saturation holds (fog, which mixing two streams
// can make) is representable: mixing and enthalpy stay right with the liquid counted as vapour, RelativeHumidity
// exceeds 1, and WetBulb refuses it.
type Moist struct {
	Temperature   float64 // dry bulb, °C
	HumidityRatio float64 // kg of water per kg of dry air
}

// Enthalpy in J per kg of dry air, zero for dry air at 0 °C:
//
//	h = 1006 t + W (2 501 000 + 1860 t)
//
// ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 30.
func (m Moist) Enthalpy() float64 {
	return SpecificHeatDry*m.Temperature + m.HumidityRatio*(VaporisationHeat+SpecificHeatVapour*m.Temperature)
}

// FromEnthalpy is the state with an enthalpy in J/kg of dry air and a humidity ratio, the inverse of Enthalpy.
func FromEnthalpy(enthalpy, humidityRatio float64) Moist {
	t := (enthalpy - VaporisationHeat*humidityRatio) / (SpecificHeatDry + SpecificHeatVapour*humidityRatio)
	return Moist{Temperature: t, HumidityRatio: humidityRatio}
}

// SpecificHeat at constant pressure of the mixture, J/(kg of dry air · K): 1006 + 1860 W.
func (m Moist) SpecificHeat() float64 { return SpecificHeatDry + SpecificHeatVapour*m.HumidityRatio }

// VapourPressure is the partial pressure of the water vapour, Pa, at a total pressure in Pa:
//
//	pw = p W / (0.621945 + W)
//
// ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 20 solved for pw.
func (m Moist) VapourPressure(pressure float64) float64 {
	return pressure * m.HumidityRatio / (molarRatio + m.HumidityRatio)
}

// SpecificVolume in m³ per kg of dry air at an absolute pressure in Pa:
//
//	v = 287.042 T (1 + 1.607858 W) / p
//
// with T in K. ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 26.
func (m Moist) SpecificVolume(pressure float64) float64 {
	return moistGas * (m.Temperature + zeroCelsius) * (1 + molarInverse*m.HumidityRatio) / pressure
}

// Constants of SpecificVolume.
const moistGas, molarInverse = 287.042, 1.607858

// HumidityOf is the humidity ratio of air of a density (kg/m³) at a temperature (°C) and a pressure (Pa).
func HumidityOf(density, celsius, pressure float64) float64 {
	ratio := density * moistGas * (celsius + zeroCelsius) / pressure // (1 + W)/(1 + 1.607858 W)
	return (1 - ratio) / (molarInverse*ratio - 1)
}

const moistHandbook = "ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. "

func humidity(name string) formula.Symbol {
	return formula.Symbol{Name: name, Kind: quantity.KindNumber, Low: 0, High: 0.04}
}

// MoistDensityFormula is Moist.Density.
func MoistDensityFormula() *formula.Formula {
	return &formula.Formula{Name: "moist air", Source: moistHandbook + "11 and 26",
		Text:   formula.Write("(1 + W) * p / (# * (t + #) * (1 + # * W))", moistGas, zeroCelsius, molarInverse),
		Result: formula.Symbol{Name: "ρ", Kind: quantity.KindDensity}, In: []formula.Symbol{humidity("W"), atmospheric, temperature("t", -50, 120)},
		Eval: func(in []float64) float64 { return Moist{Temperature: in[2], HumidityRatio: in[0]}.Density(in[1]) }}
}

// EnthalpyFormula is Moist.Enthalpy.
func EnthalpyFormula() *formula.Formula {
	return &formula.Formula{Name: "dry air and vapour, from 0 °C", Source: moistHandbook + "30",
		Text:   formula.Write("# * t + W * (# + # * t)", SpecificHeatDry, VaporisationHeat, SpecificHeatVapour),
		Result: formula.Symbol{Name: "h", Kind: quantity.KindEnthalpy}, In: []formula.Symbol{temperature("t", -50, 120), humidity("W")},
		Eval: func(in []float64) float64 { return Moist{Temperature: in[0], HumidityRatio: in[1]}.Enthalpy() }}
}

// SpecificHeatText is Moist.SpecificHeat in words.
func SpecificHeatText() string { return formula.Write("# + # W", SpecificHeatDry, SpecificHeatVapour) }

// Density of the mixture, kg of moist air per m³: (1 + W)/v. ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 11.
func (m Moist) Density(pressure float64) float64 {
	return (1 + m.HumidityRatio) / m.SpecificVolume(pressure)
}

// RelativeHumidity is the vapour pressure over the saturation pressure at the dry bulb, 0 to 1 (above 1: fog).
// ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 12. An error outside the range of the formulas or for W < 0.
func (m Moist) RelativeHumidity(pressure float64) (float64, error) {
	if err := m.Check(pressure); err != nil {
		return 0, err
	}
	return m.VapourPressure(pressure) / saturationPressure(m.Temperature), nil
}

// Check reports whether the state lies in the range of the formulas: −100 to 200 °C, W ≥ 0, pressure near atmospheric.
// Fog passes. NaN does not.
func (m Moist) Check(pressure float64) error {
	if err := checkPressure(pressure); err != nil {
		return err
	}
	if !(m.Temperature >= lowestTemperature && m.Temperature <= highestTemperature) {
		return impossible("temperature %g °C outside %g to %g °C", m.Temperature, lowestTemperature, highestTemperature)
	}
	if !(m.HumidityRatio >= 0 && m.HumidityRatio <= 10) {
		return impossible("humidity ratio %g outside 0 to 10 kg/kg", m.HumidityRatio)
	}
	return nil
}
