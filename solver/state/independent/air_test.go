package independent_test

import "math"

// Units of the trade, in SI.
const (
	inch  = 0.0254             // m
	foot  = 0.3048             // m
	cfm   = 4.719474432e-4     // m³/s
	inwc  = 249.089            // Pa, water at 4 °C
	btuh  = 0.29307107         // W
	sea   = 101325.0           // Pa
	rhoS  = 0.075 * 16.0184634 // kg/m³, standard air: 0.075 lb/ft³
	grav  = 9.81               // m/s²
	muStd = 1.8134e-5          // Pa·s at 20 °C, ducts.md 1.3
)

func celsius(f float64) float64    { return (f - 32) / 1.8 }
func fahrenheit(c float64) float64 { return c*1.8 + 32 }

// air is moist air: °C and kg of water per kg of dry air.
type air struct{ t, w float64 }

// pressure of the standard atmosphere at an elevation in m: ASHRAE Handbook – Fundamentals 2017,
// ch. 1, eq. 3 in SI.
func pressure(z float64) float64 { return sea * math.Pow(1-2.25577e-5*z, 5.2559) }

// density of moist air, same chapter, eq. 11 and 26 in SI (p in kPa there).
func (a air) density(p float64) float64 {
	v := 0.287042 * (a.t + 273.15) * (1 + 1.607858*a.w) / (p / 1000) // m³ per kg of dry air
	return (1 + a.w) / v
}

// viscosity by Sutherland's formula.
func (a air) viscosity() float64 {
	t := a.t + 273.15
	return 1.458e-6 * math.Pow(t, 1.5) / (t + 110.4)
}

// enthalpy in J per kg of dry air, same chapter, eq. 30 in SI.
func (a air) enthalpy() float64 { return 1000 * (1.006*a.t + a.w*(2501+1.86*a.t)) }

// fromEnthalpy is the air of an enthalpy and humidity.
func fromEnthalpy(h, w float64) air { return air{(h/1000 - 2501*w) / (1.006 + 1.86*w), w} }

// saturation pressure over water in Pa, same chapter, eq. 6 (Hyland and Wexler). No state of the
// model is below freezing.
func saturation(t float64) float64 {
	k := t + 273.15
	return math.Exp(-5.8002206e3/k + 1.3914993 - 4.8640239e-2*k + 4.1764768e-5*k*k - 1.4452093e-8*k*k*k + 6.5459673*math.Log(k))
}

// iceSaturation is that over ice, eq. 5.
func iceSaturation(t float64) float64 {
	k := t + 273.15
	return math.Exp(-5.6745359e3/k + 6.3925247 - 9.677843e-3*k + 6.2215701e-7*k*k + 2.0747825e-9*k*k*k - 9.484024e-13*k*k*k*k + 4.1635019*math.Log(k))
}

func humidityAt(vapour, p float64) float64 { return 0.621945 * vapour / (p - vapour) }

func fromRelative(t, rh, p float64) air {
	over := saturation
	if t < 0.01 {
		over = iceSaturation
	}
	return air{t, humidityAt(rh*over(t), p)}
}

func fromWetBulb(t, wet, p float64) air {
	ws := humidityAt(saturation(wet), p)
	return air{t, ((2501-2.326*wet)*ws - 1.006*(t-wet)) / (2501 + 1.86*t - 4.186*wet)} // eq. 33 in SI
}

func (a air) wetBulb(p float64) float64 {
	return bisect(-5, a.t, func(wet float64) float64 { return fromWetBulb(a.t, wet, p).w - a.w })
}

// bisect is the root of a rising function.
func bisect(low, high float64, f func(float64) float64) float64 {
	for range 60 {
		if middle := (low + high) / 2; f(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}
