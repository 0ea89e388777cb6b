package schematic

import (
	"math"
	"strings"

	"spillway/network/quantity"
)

// Writing of numbers. NaN and infinities print as an en dash: a number that does not apply is never a number.

const absent = "–"

type writer struct {
	sys quantity.System
	// whole is the number that the ledger has for an airflow, so that picture, sentence and tables agree though each part rounds by itself.
	whole func(m3s float64) (int64, bool)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// fixed prints v with that many decimals, thousands parted by commas, a true minus sign, and no minus on a rounded zero.
func fixed(v float64, decimals int) string {
	if !finite(v) {
		return absent
	}
	return typeset(quantity.Grouped(quantity.Fixed(v, decimals)))
}

// typeset gives a printed number the signs of pictures.
func typeset(number string) string {
	if number == quantity.Absent {
		return absent
	}
	return strings.Replace(number, "-", "−", 1)
}

// number is an SI value in the system's unit, rounded as results are.
func (w writer) number(k quantity.Kind, si float64) string { return typeset(k.Number(si, w.sys)) }

func (w writer) flowUnit() string { return quantity.KindAirflow.Label(w.sys) }

// flowIn is an airflow in the system's unit.
func (w writer) flowIn(m3s float64) float64 { return quantity.KindAirflow.In(m3s, w.sys) }

func (w writer) flowNumber(m3s float64) string {
	if w.whole != nil && finite(m3s) {
		if n, ok := w.whole(math.Abs(m3s)); ok {
			return fixed(math.Copysign(float64(n), m3s), 0)
		}
	}
	return w.number(quantity.KindAirflow, m3s)
}

func (w writer) flow(m3s float64) string { return w.flowNumber(m3s) + " " + w.flowUnit() }

func (w writer) speedUnit() string { return quantity.KindVelocity.Label(w.sys) }

func (w writer) speedNumber(ms float64) string { return w.number(quantity.KindVelocity, ms) }
func (w writer) speed(ms float64) string       { return w.speedNumber(ms) + " " + w.speedUnit() }

func (w writer) pressureUnit() string { return quantity.KindPressure.Label(w.sys) }

func (w writer) pressureNumber(pa float64) string { return w.number(quantity.KindStatic, pa) }
func (w writer) pressure(pa float64) string       { return w.pressureNumber(pa) + " " + w.pressureUnit() }

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
	return w.number(quantity.KindTemperature, c) + " " + quantity.KindTemperature.Label(w.sys)
}

func percent(share float64) string { return fixed(100*share, 0) + " %" }
func degrees(d float64) string     { return fixed(d, 0) + "°" }
