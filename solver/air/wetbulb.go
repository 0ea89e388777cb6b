package air

import (
	"math"

	"spillway/solver/air/bracket"
	"spillway/solver/internal/formula"
)

// FromRelativeHumidity is air of a dry bulb (°C), relative humidity (0 to 1) and absolute pressure (Pa). ASHRAE
// Handbook – Fundamentals 2017, ch. 1, eq. 12 and 20.
func FromRelativeHumidity(celsius, relativeHumidity, pressure float64) (Moist, error) {
	if !(relativeHumidity >= 0 && relativeHumidity <= 1) {
		return Moist{}, impossible("relative humidity %g outside 0 to 1", relativeHumidity)
	}
	if err := (Moist{Temperature: celsius}).Check(pressure); err != nil {
		return Moist{}, err
	}
	pw := relativeHumidity * saturationPressure(celsius)
	if pw >= pressure {
		return Moist{}, impossible("vapour pressure %g Pa is not below the total pressure %g Pa", pw, pressure)
	}
	return Moist{Temperature: celsius, HumidityRatio: humidityAt(pw, pressure)}, nil
}

// FromWetBulb is air of a dry bulb t and thermodynamic wet bulb t* (°C) at an absolute pressure (Pa):
//
//	t* ≥ 0 °C:  W = ((2501 − 2.326 t*) Ws* − 1.006 (t − t*)) / (2501 + 1.86 t − 4.186 t*)
//	t* < 0 °C:  W = ((2830 − 0.24 t*) Ws* − 1.006 (t − t*)) / (2830 + 1.86 t − 2.1 t*)
//
// ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 33 and 35. Errors: wet bulb above dry bulb, or so far below it that
// not even dry air would show it.
func FromWetBulb(celsius, wetBulb, pressure float64) (Moist, error) {
	if !(wetBulb <= celsius) {
		return Moist{}, impossible("wet bulb %g °C above the dry bulb %g °C", wetBulb, celsius)
	}
	if err := (Moist{Temperature: celsius}).Check(pressure); err != nil {
		return Moist{}, err
	}
	if _, err := SaturationHumidity(wetBulb, pressure); err != nil {
		return Moist{}, err
	}
	w := humidityAtWetBulb(celsius, wetBulb, pressure)
	if w < -rounding {
		return Moist{}, impossible("wet bulb %g °C is lower than dry air at %g °C can show", wetBulb, celsius)
	}
	return Moist{Temperature: celsius, HumidityRatio: math.Max(w, 0)}, nil
}

// rounding of a humidity ratio that should be zero.
const rounding = 1e-12

// humidityAtWetBulb is the formula of FromWetBulb, in kJ as the handbook prints it. It increases with the wet bulb.
func humidityAtWetBulb(t, wet, pressure float64) float64 {
	ws := saturationHumidity(wet, pressure)
	if wet >= 0 {
		return humidityOverWater(t, wet, ws)
	}
	return ((2830-0.24*wet)*ws - 1.006*(t-wet)) / (2830 + 1.86*t - 2.1*wet)
}

// Constants of the wet bulb over liquid water, kJ.
const bulbHeat, bulbSlope, bulbDry, bulbVapour, bulbWater = 2501.0, 2.326, 1.006, 1.86, 4.186

func humidityOverWater(t, wet, ws float64) float64 {
	return ((bulbHeat-bulbSlope*wet)*ws - bulbDry*(t-wet)) / (bulbHeat + bulbVapour*t - bulbWater*wet)
}

// WetBulbFormula is the humidity ratio of air of a dry and a wet bulb over liquid water.
func WetBulbFormula() *formula.Formula {
	return &formula.Formula{Name: "adiabatic saturation over water", Source: moistHandbook + "33",
		Text: formula.Write("((# - # * tw) * Ws - # * (t - tw)) / (# + # * t - # * tw)", bulbHeat, bulbSlope, bulbDry, bulbHeat, bulbVapour,
			bulbWater),
		Result: humidity("W"), In: []formula.Symbol{humidity("Ws"), temperature("t", 30, 50), temperature("tw", 0, 30)},
		Eval: func(in []float64) float64 { return humidityOverWater(in[1], in[2], in[0]) }}
}

// DewPoint is the temperature, °C, at which the air's humidity ratio saturates, at an absolute pressure in Pa. Errors: a
// state outside the formulas, or air drier than saturation at −100 °C (bone-dry air has no dew point).
func (m Moist) DewPoint(pressure float64) (float64, error) {
	if err := m.Check(pressure); err != nil {
		return 0, err
	}
	pw := m.VapourPressure(pressure)
	if pw < saturationPressure(lowestTemperature) {
		return 0, impossible("air with a humidity ratio of %g has no dew point above %g °C", m.HumidityRatio, lowestTemperature)
	}
	if pw > saturationPressure(highestTemperature) {
		return 0, impossible("vapour pressure %g Pa has no dew point below %g °C", pw, highestTemperature)
	}
	// The logarithm is nearly straight in temperature, which is what Newton's method likes; the start is Magnus' formula with the
	// constants of water, which is rough over ice.
	target := math.Log(pw)
	x := math.Log(pw / 611.2)
	t, err := bracket.Newton(func(t float64) (value, slope float64) {
		ps := saturationPressure(t)
		return math.Log(ps) - target, saturationSlope(t, ps) / ps
	}, lowestTemperature, highestTemperature, 243.12*x/(17.62-x))
	if err != nil {
		return 0, impossible("vapour pressure %g Pa has no dew point (%v)", pw, err)
	}
	return t, nil
}

// fogTolerance is how far above 1 a relative humidity may be by rounding before the air counts as fog.
const fogTolerance = 1e-9

// WetBulb is the thermodynamic wet bulb, °C, at an absolute pressure in Pa: the inverse of FromWetBulb in the wet-bulb
// argument. The two branches of that formula do not meet at 0 °C: for nearly saturated air they leave a small gap in humidity,
// and states in it have the wet bulb 0 °C; for drier air they overlap by up to 0.7 K on either side, and the one over liquid water
// is meant there. Errors: a state outside the formulas, fog, or air above the boiling point.
func (m Moist) WetBulb(pressure float64) (float64, error) {
	return m.WetBulbNear(m.Temperature, pressure)
}

// WetBulbNear is WetBulb for a caller that has a good guess, such as the wet bulb a moment ago: the same result, to rounding, for
// less work.
func (m Moist) WetBulbNear(guess, pressure float64) (float64, error) {
	if err := m.Check(pressure); err != nil {
		return 0, err
	}
	t, w := m.Temperature, m.HumidityRatio
	if t > neverBoils && saturationPressure(t) >= pressure {
		return 0, impossible("%g °C is at or above the boiling point at %g Pa", t, pressure)
	}
	low, high := lowestTemperature, t
	if t > 0 { // which side of freezing is told by the humidity at 0 °C
		ws := humidityAt(saturationAtZero, pressure)
		switch {
		case waterBalance(ws, t, 0, w) <= 0:
			low = 0
		case iceBalance(ws, t, 0, w) < 0:
			return 0, nil
		default:
			high = 0
		}
	}
	var balance func(wet float64) (value, slope float64)
	if low == 0 {
		balance = func(wet float64) (value, slope float64) {
			ws, rise := saturationHumiditySlope(wet, pressure)
			return waterBalance(ws, t, wet, w), (bulbHeat-bulbSlope*wet)*rise - bulbSlope*ws + bulbDry + bulbWater*w
		}
	} else {
		balance = func(wet float64) (value, slope float64) {
			ws, rise := saturationHumiditySlope(wet, pressure)
			return iceBalance(ws, t, wet, w), (2830-0.24*wet)*rise - 0.24*ws + 1.006 + 2.1*w
		}
	}
	wet, err := bracket.Newton(balance, low, high, guess)
	if err == nil {
		return wet, nil
	}
	// Saturated air, give or take rounding, has no root below its own temperature.
	switch ws := saturationHumidity(t, pressure); {
	case w > ws*(1+fogTolerance):
		return 0, impossible("humidity ratio %g at %g °C is above saturation, %g", w, t, ws)
	case w >= ws*(1-fogTolerance):
		return t, nil
	}
	return 0, impossible("no wet bulb for %g °C and a humidity ratio of %g (%v)", t, w, err)
}

// waterBalance and iceBalance are the two forms of the formula of FromWetBulb as a difference that rises with the wet bulb and is
// zero at it, kJ/kg.
func waterBalance(ws, t, wet, w float64) float64 {
	return (bulbHeat-bulbSlope*wet)*ws - bulbDry*(t-wet) - w*(bulbHeat+bulbVapour*t-bulbWater*wet)
}

func iceBalance(ws, t, wet, w float64) float64 {
	return (2830-0.24*wet)*ws - 1.006*(t-wet) - w*(2830+1.86*t-2.1*wet)
}

const (
	// saturationAtZero is SaturationPressure(0), Pa, kept so that a wet bulb need not reckon it again (a test compares them).
	saturationAtZero = 611.15357089076576
	// neverBoils is a temperature, °C, at which the saturation pressure is below lowestPressure.
	neverBoils = 45.0
)
