package schematic

import (
	"math"
	"strconv"
	"strings"

	"spillway/network/units"
)

// Writing of numbers. NaN and infinities print as an en dash: a number that does not apply is never a number.

const absent = "–"

type writer struct {
	sys units.System
	// whole is the number that the ledger has for an airflow, so that picture, sentence and tables agree though each part rounds by itself.
	whole func(m3s float64) (int64, bool)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// fixed prints v with that many decimals, thousands parted by commas, a true minus sign, and no minus on a rounded zero.
func fixed(v float64, decimals int) string {
	if !finite(v) {
		return absent
	}
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	if point := strings.IndexByte(s, '.'); point < 0 {
		s = thousands(s)
	} else {
		s = thousands(s[:point]) + s[point:]
	}
	if v < 0 && strings.Trim(s, "0.,") != "" {
		return "−" + s
	}
	return s
}

func thousands(digits string) string {
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	return digits
}

func (w writer) flowUnit() string { return units.KindAirflow.Label(w.sys) }

// flowIn is an airflow in the system's unit.
func (w writer) flowIn(m3s float64) float64 { return units.KindAirflow.In(m3s, w.sys) }

func (w writer) flowNumber(m3s float64) string {
	if w.whole != nil && finite(m3s) {
		if n, ok := w.whole(math.Abs(m3s)); ok {
			return fixed(math.Copysign(float64(n), m3s), 0)
		}
	}
	return fixed(w.flowIn(m3s), 0)
}

func (w writer) flow(m3s float64) string { return w.flowNumber(m3s) + " " + w.flowUnit() }

func (w writer) speedUnit() string { return units.KindVelocity.Label(w.sys) }

func (w writer) speedNumber(ms float64) string {
	v := units.KindVelocity.In(ms, w.sys)
	if w.sys == units.SI {
		return fixed(v, 1)
	}
	return fixed(v, 0)
}
func (w writer) speed(ms float64) string { return w.speedNumber(ms) + " " + w.speedUnit() }

func (w writer) pressureUnit() string { return units.KindPressure.Label(w.sys) }

func (w writer) pressureNumber(pa float64) string {
	v := units.KindPressure.In(pa, w.sys)
	if w.sys == units.SI {
		return fixed(v, 0)
	}
	return fixed(v, 2)
}
func (w writer) pressure(pa float64) string { return w.pressureNumber(pa) + " " + w.pressureUnit() }

// gauge is a pressure against the house, with its sign.
func (w writer) gauge(pa float64) string { return w.gaugeNumber(pa) + " " + w.pressureUnit() }

func (w writer) gaugeNumber(pa float64) string {
	s := w.pressureNumber(pa)
	if pa > 0 && finite(pa) && strings.Trim(s, "0.") != "" {
		return "+" + s
	}
	return s
}

func (w writer) temperature(c float64) string {
	return fixed(units.KindTemperature.In(c, w.sys), 0) + " " + units.KindTemperature.Label(w.sys)
}

func percent(share float64) string { return fixed(100*share, 0) + " %" }
func degrees(d float64) string     { return fixed(d, 0) + "°" }
