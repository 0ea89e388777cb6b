package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Format prints an SI value of a kind in a system, with the fixed decimals of the kind and its unit: "1130 cfm", "0.412 in. w.c.".
func (k Kind) Format(si float64, s System) string {
	return withLabel(Fixed(k.In(si, s), k.Decimals(s)), k.Label(s))
}

// Short prints as Format does but without trailing zeros, as people write: "12 ft", "0.5 in. w.c.", "25 %".
func (k Kind) Short(si float64, s System) string {
	return withLabel(trim(k.In(si, s), k.Decimals(s)), k.Label(s))
}

// Written prints a value as a job file takes it, with three significant digits and the typed unit: "3000 Btu/h", "0.05 inwc".
func (k Kind) Written(si float64, s System) string {
	three, _ := strconv.ParseFloat(strconv.FormatFloat(k.In(si, s), 'g', 3, 64), 64)
	return strings.TrimSpace(strconv.FormatFloat(three, 'f', -1, 64) + " " + k.Symbol(s))
}

// withLabel puts a unit behind a number, with a blank but before degrees of angle.
func withLabel(number, label string) string {
	if label == "°" {
		return number + label
	}
	return number + " " + label
}

// Fixed prints a number with fixed decimals; a rounded zero has no sign.
func Fixed(number float64, decimals int) string {
	text := strconv.FormatFloat(number, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// trim prints with at most so many decimals and without trailing zeros.
func trim(number float64, decimals int) string {
	scale := math.Pow(10, float64(decimals))
	if r := math.Round(number*scale) / scale; !math.IsInf(r, 0) {
		number = r
	}
	text := strconv.FormatFloat(number, 'f', -1, 64)
	if text == "-0" {
		return "0"
	}
	return text
}

// SizeIn returns in or mm.
func (q Length) SizeIn(s System) (float64, string) { return KindSize.pair(float64(q), s) }

func (k Kind) pair(si float64, s System) (float64, string) { return k.In(si, s), k.Symbol(s) }

// The Text methods print the value with the fixed decimals of its kind and its unit.

// Text prints ft or m.
func (q Length) Text(s System) string { return KindLength.Format(float64(q), s) }

// SizeText prints in or mm.
func (q Length) SizeText(s System) string { return KindSize.Short(float64(q), s) }

// Text prints ft² or m².
func (q Area) Text(s System) string { return KindArea.Format(float64(q), s) }

// Text prints cfm or l/s.
func (q Airflow) Text(s System) string { return KindAirflow.Format(float64(q), s) }

// Text prints fpm or m/s.
func (q Velocity) Text(s System) string { return KindVelocity.Format(float64(q), s) }

// Text prints in. w.c. or Pa.
func (q Pressure) Text(s System) string { return KindPressure.Format(float64(q), s) }

// Text prints °F or °C.
func (q Temperature) Text(s System) string { return KindTemperature.Format(float64(q), s) }

// Text prints °F or K.
func (q TemperatureSpan) Text(s System) string { return KindTemperatureSpan.Format(float64(q), s) }

// Text prints Btu/h or W.
func (q Heat) Text(s System) string { return KindHeat.Format(float64(q), s) }

// Text prints W.
func (q Electricity) Text(s System) string { return KindElectricity.Format(float64(q), s) }

// Text prints percent.
func (q Fraction) Text(s System) string { return KindFraction.Short(float64(q), s) }

// Text prints degrees.
func (q Angle) Text(s System) string { return KindAngle.Format(float64(q), s) }

// Text is the value with its unit.
func (q Time) Text(s System) string { return KindTime.Short(float64(q), s) }

// Text prints R or m²K/W.
func (q Insulation) Text(s System) string {
	if s == IP {
		return "R-" + trim(KindInsulation.In(float64(q), IP), 1)
	}
	return KindInsulation.Format(float64(q), s)
}
