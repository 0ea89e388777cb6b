package catalog

import (
	"math"

	"spillway/network/quantity"
	"spillway/network/section"
)

// Gauge is a thickness of galvanized sheet steel.
type Gauge struct {
	Number int
	// Thickness is the least that codes print for it, m; Mass is nominal, with its zinc, kg/m².
	Thickness, Mass float64
}

// ounce is an avoirdupois ounce on a square foot, kg/m².
const ounce = quantity.Pound / 16 / quantity.SquareFoot

// gauges are sheets of galvanized steel, the thinnest first. Gauge numbers of coated sheet stand
// for whole half ounces on a square foot: 10.5 oz is 0.656 lb.
var gauges = []Gauge{
	{30, 0.013 * quantity.Inch, 10.5 * ounce},
	{28, 0.016 * quantity.Inch, 12.5 * ounce},
	{26, 0.019 * quantity.Inch, 14.5 * ounce},
	{24, 0.024 * quantity.Inch, 18.5 * ounce},
}

// The sources of gauges.
var (
	GaugeSource = published("model mechanical code, table 603.4, duct construction minimum sheet " +
		"metal thickness for single dwelling units")
	GaugeMassSource = published("gauge table of a steel service center, coated sheet, nominal")
)

// gaugeRow is a row of the code's table: up to a largest side or diameter, in., for a pressure
// class.
type gaugeRow struct {
	most   float64
	number int
}

// roundGauges and rectangularGauges are the code's table, by pressure class: 1/2 in. w.c., then 1
// in. A size between two rows takes the heavier one.
var (
	roundGauges = [2][]gaugeRow{{{14, 30}, {18, 28}, {20, 26}}, {{11, 30}, {14, 28}, {17, 26},
		{20, 24}}}
	rectangularGauges = [2][]gaugeRow{
		{{10, 30}, {12, 28}, {18, 26}, {20, 24}},
		{{8, 30}, {10, 28}, {16, 26}, {20, 24}}}
)

// GaugeFor returns the least gauge of galvanized steel for a duct of a dwelling that holds a static
// up to 1 in. w.c., and whether the code's table has its size. A duct beyond it takes 24 gauge: the
// metal duct standard, which the code refers to, may ask for more and for reinforcement.
func GaugeFor(s section.Section, static float64) (g Gauge, listed bool) {
	rows, size := roundGauges, s.Width
	if s.Shape != section.Round {
		rows, size = rectangularGauges, math.Max(s.Width, s.Height)
	}
	class := 0
	if static > 0.5*quantity.InchWater*(1+1e-9) {
		class = 1
	}
	for _, row := range rows[class] {
		if size <= row.most*quantity.Inch*(1+1e-9) {
			return gauge(row.number), static <= quantity.InchWater*(1+1e-9)
		}
	}
	return gauge(24), false
}

func gauge(number int) Gauge {
	for _, g := range gauges {
		if g.Number == number {
			return g
		}
	}
	return Gauge{}
}

// DuctInsulation is that of a duct outside the conditioned space where none is given, m²·K/W: R-6,
// as older codes ask (from memory).
const DuctInsulation = 6 * quantity.RValueIP
