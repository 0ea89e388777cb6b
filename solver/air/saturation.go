package air

import (
	"errors"
	"fmt"
	"math"

	"spillway/network/quantity"
	"spillway/solver/air/bracket"
	"spillway/solver/internal/formula"
)

// ErrImpossible is wrapped by every error of this package: the state asked for does not exist, or lies outside the range
// of the formulas. The text names the quantity, its value and the range.
var ErrImpossible = errors.New("impossible air state")

const (
	// lowestTemperature and highestTemperature bound the saturation formulas, °C.
	lowestTemperature  = -100.0
	highestTemperature = 200.0
	// triplePoint of water, °C. The two saturation formulas are joined here, not at 0 °C: at 0.01 °C they agree, so the
	// joined curve stays increasing and a dew point near freezing has one answer.
	triplePoint = 0.01
	// molarRatio is the ratio of the molar masses of water and dry air (ASHRAE Handbook – Fundamentals 2017, ch. 1,
	// eq. 20).
	molarRatio = 0.621945
)

func impossible(format string, args ...any) error {
	return fmt.Errorf("%w: "+format, append([]any{ErrImpossible}, args...)...)
}

// SaturationPressure of water vapour over ice (below the triple point) or liquid water, Pa, at a temperature in °C.
//
//	ice:    ln p = −5674.5359/T + 6.3925247 − 9.677843e-3 T + 6.2215701e-7 T² + 2.0747825e-9 T³ − 9.484024e-13 T⁴ + 4.1635019 ln T
//	water:  ln p = −5800.2206/T + 1.3914993 − 4.8640239e-2 T + 4.1764768e-5 T² − 1.4452093e-8 T³ + 6.5459673 ln T
//
// with T in K. Hyland and Wexler's form, ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 5 and 6. Valid −100 to 200 °C;
// an error outside.
func SaturationPressure(celsius float64) (float64, error) {
	if !(celsius >= lowestTemperature && celsius <= highestTemperature) {
		return 0, impossible("temperature %g °C outside %g to %g °C", celsius, lowestTemperature, highestTemperature)
	}
	return saturationPressure(celsius), nil
}

func saturationPressure(celsius float64) float64 {
	t := celsius + zeroCelsius
	if celsius <= triplePoint {
		return math.Exp(-5.6745359e3/t + 6.3925247 + t*(-9.677843e-3+t*(6.2215701e-7+t*(2.0747825e-9-9.484024e-13*t))) +
			4.1635019*math.Log(t))
	}
	return math.Exp(-water0/t + water1 + t*(-water2+t*(water3-water4*t)) + water5*math.Log(t))
}

// Coefficients over liquid water.
const water0, water1, water2, water3, water4, water5 = 5800.2206, 1.3914993, 4.8640239e-2, 4.1764768e-5, 1.4452093e-8, 6.5459673

// SaturationFormula is SaturationPressure over liquid water.
func SaturationFormula() *formula.Formula {
	const k = zeroCelsius
	return &formula.Formula{Name: "Hyland and Wexler's formula over water", Source: moistHandbook + "6",
		Text: formula.Write("exp(-# / (t + #) + # - # * (t + #) + # * (t + #)^2 - # * (t + #)^3 + # * ln(t + #))",
			water0, k, water1, water2, k, water3, k, water4, k, water5, k),
		Result: formula.Symbol{Name: "ps", Kind: quantity.KindPressure}, In: []formula.Symbol{temperature("t", 0.02, 120)},
		Eval: func(in []float64) float64 { return saturationPressure(in[0]) }}
}

// SaturationHumidityFormula is SaturationHumidity by the saturation pressure.
func SaturationHumidityFormula() *formula.Formula {
	return &formula.Formula{Name: "kg per kg of dry air", Source: moistHandbook + "20",
		Text:   formula.Write("# * ps / (p - ps)", molarRatio),
		Result: formula.Symbol{Name: "Ws", Kind: quantity.KindNumber},
		In:     []formula.Symbol{{Name: "ps", Kind: quantity.KindPressure, Low: 100, High: 20e3}, atmospheric},
		Eval:   func(in []float64) float64 { return humidityAt(in[0], in[1]) }}
}

// saturationSlope is the derivative of SaturationPressure by temperature, Pa/K, from the pressure itself.
func saturationSlope(celsius, pressure float64) float64 {
	t := celsius + zeroCelsius
	if celsius <= triplePoint {
		return pressure * ((5.6745359e3/t+4.1635019)/t - 9.677843e-3 + t*(2*6.2215701e-7+t*(3*2.0747825e-9-4*9.484024e-13*t)))
	}
	return pressure * ((water0/t+water5)/t - water2 + t*(2*water3-3*water4*t))
}

// SaturationHumidity is the humidity ratio of saturated air, kg/kg of dry air, at a temperature in °C and an absolute
// pressure in Pa:
//
//	Ws = 0.621945 pws / (p − pws)
//
// ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 20 and 21, without the enhancement factor for real-gas behaviour (the
// handbook's tables, which have it, are 0.4 to 0.5 % higher). At or above the boiling point there is no saturated
// mixture: an error.
func SaturationHumidity(celsius, pressure float64) (float64, error) {
	ps, err := SaturationPressure(celsius)
	if err != nil {
		return 0, err
	}
	if err := checkPressure(pressure); err != nil {
		return 0, err
	}
	if ps >= pressure {
		return 0, impossible("%g °C is at or above the boiling point at %g Pa", celsius, pressure)
	}
	return humidityAt(ps, pressure), nil
}

// humidityAt is the humidity ratio of air whose vapour has a pressure, Pa.
func humidityAt(vapour, pressure float64) float64 { return molarRatio * vapour / (pressure - vapour) }

// saturationHumidity without checks; +Inf at or above boiling, which compares as intended.
func saturationHumidity(celsius, pressure float64) float64 {
	ps := saturationPressure(celsius)
	if ps >= pressure {
		return math.Inf(1)
	}
	return humidityAt(ps, pressure)
}

// saturationHumiditySlope is saturationHumidity and its derivative by temperature, 1/K; both +Inf at or above boiling.
func saturationHumiditySlope(celsius, pressure float64) (humidity, slope float64) {
	ps := saturationPressure(celsius)
	if ps >= pressure {
		return math.Inf(1), math.Inf(1)
	}
	left := 1 / (pressure - ps)
	return molarRatio * ps * left, molarRatio * pressure * saturationSlope(celsius, ps) * left * left
}

// Saturated is saturated air at a temperature (°C) and absolute pressure (Pa). Errors as for SaturationHumidity.
func Saturated(celsius, pressure float64) (Moist, error) {
	w, err := SaturationHumidity(celsius, pressure)
	if err != nil {
		return Moist{}, err
	}
	return Moist{Temperature: celsius, HumidityRatio: w}, nil
}

// boiling is the highest temperature at which saturated air exists at the pressure, °C.
func boiling(pressure float64) float64 {
	if saturationPressure(highestTemperature) < pressure {
		return highestTemperature
	}
	// The bracket holds: the pressure is checked to lie above the saturation pressure at −100 °C.
	t, _ := bracket.Root(func(t float64) float64 { return math.Log(saturationPressure(t) / pressure) },
		lowestTemperature, highestTemperature, 0)
	return t
}

// SaturationTemperature is the temperature, °C, at which saturated air has the given enthalpy, J/kg of dry air (the
// apparatus dew point of a coil from the enthalpy of its surface). Errors when no saturated state between −100 °C and
// nearly the boiling point has it.
func SaturationTemperature(enthalpy, pressure float64) (float64, error) {
	if err := checkPressure(pressure); err != nil {
		return 0, err
	}
	// Saturated air at t > 0 has more enthalpy than dry air, so the answer lies below enthalpy/cp; where that is too
	// hot to saturate, up to 0.1 K below boiling, where saturated air is already almost pure steam.
	high := math.Max(0, enthalpy/SpecificHeatDry)
	if !(high < highestTemperature) || saturationPressure(high) > 0.99*pressure {
		high = boiling(pressure) - 0.1
	}
	t, err := bracket.Newton(func(t float64) (value, slope float64) {
		ws, rise := saturationHumiditySlope(t, pressure)
		m := Moist{Temperature: t, HumidityRatio: ws}
		return m.Enthalpy() - enthalpy, m.SpecificHeat() + rise*(VaporisationHeat+SpecificHeatVapour*t)
	}, lowestTemperature, high, saturationGuess(enthalpy))
	if err != nil {
		return 0, impossible("no saturated air at %g Pa has the enthalpy %g J/kg (%v)", pressure, enthalpy, err)
	}
	return t, nil
}

// saturationGuess is where to begin looking for the temperature of saturated air of an enthalpy: a straight line through
// 9.5 kJ/kg at 0 °C with the slope of saturated air at sea level between 0 and 15 °C. Newton's method does the rest.
func saturationGuess(enthalpy float64) float64 { return (enthalpy - 9.5e3) / 2.1e3 }

// lowestPressure and highestPressure bound the absolute pressures this package accepts, Pa: from about 16 km up to ten
// atmospheres. The ideal-gas relations are meant for building air, near one atmosphere.
const lowestPressure, highestPressure = 10e3, 1e6

func checkPressure(pressure float64) error {
	if !(pressure >= lowestPressure && pressure <= highestPressure) {
		return impossible("absolute pressure %g Pa outside %g to %g Pa", pressure, lowestPressure, highestPressure)
	}
	return nil
}
