package network

import "spillway/network/quantity"

// bounds is what a quantity of a job file can be, SI. Below least and above most it is nonsense, and an error; below low
// and above high it is possible but so unusual in a house or a small commercial building that a wrong unit is likelier,
// and a caution. Zero stands for "none" and is not held against least and low, except where zero is itself a value: see
// isScale.
type bounds struct{ least, low, high, most float64 }

// isScale reports whether the values of a kind go through zero, so that zero is as good a value as any.
func isScale(kind quantity.Kind, limit string) bool {
	return kind == quantity.KindTemperature || limit == "signed"
}

// plausibleBounds are the bounds by what the key holds (the range tag of its field). All figures are our choice: narrow enough
// that a bare number in the wrong unit (tons or thousands of Btu/h for Btu/h, Pa for inches of water, inches for feet)
// falls outside, wide of any real house and of small commercial work.
var plausibleBounds = map[string]bounds{
	// Heat, W.
	"capacity": {3e3 * quantity.BtuPerHour, 6e3 * quantity.BtuPerHour, 200e3 * quantity.BtuPerHour, 400e3 * quantity.BtuPerHour},
	"output":   {3e3 * quantity.BtuPerHour, 6e3 * quantity.BtuPerHour, 200e3 * quantity.BtuPerHour, 400e3 * quantity.BtuPerHour},
	"gains":    {10 * quantity.BtuPerHour, 50 * quantity.BtuPerHour, 10e3 * quantity.BtuPerHour, 50e3 * quantity.BtuPerHour},
	"load":     {100 * quantity.BtuPerHour, 100 * quantity.BtuPerHour, 100e3 * quantity.BtuPerHour, 200e3 * quantity.BtuPerHour},

	// Pressure, Pa.
	"static":          {0.01 * quantity.InchWater, 0.10 * quantity.InchWater, 1.5 * quantity.InchWater, 5 * quantity.InchWater},
	"blower-static":   {1, 1, 2 * quantity.InchWater, 6 * quantity.InchWater},
	"rated-drop":      {1, 2, 1 * quantity.InchWater, 2 * quantity.InchWater},
	"damper-pressure": {1, 2, 1 * quantity.InchWater, 4 * quantity.InchWater},
	"damper-band":     {1, 1, 1 * quantity.InchWater, 2 * quantity.InchWater},
	"outlet-drop":     {0.5, 0.5, 0.4 * quantity.InchWater, 1 * quantity.InchWater},
	"test-pressure":   {1, 1, 1 * quantity.InchWater, 6 * quantity.InchWater},
	"room-pressure":   {0.2, 0.5, 30, 300},

	// Length, m.
	"elevation":     {-500, -100, 4500, 5000}, // from below any dry land to above any town
	"run":           {0.1 * quantity.Foot, 0.15, 100 * quantity.Foot, 300 * quantity.Foot},
	"run-rise":      {-100 * quantity.Foot, -40 * quantity.Foot, 40 * quantity.Foot, 100 * quantity.Foot},
	"along":         {0.01, 0.01, 100 * quantity.Foot, 300 * quantity.Foot},
	"lining":        {quantity.Inch / 8, quantity.Inch / 4, 1 * quantity.Foot, 1 * quantity.Foot},
	"door-width":    {0.3, 0.5, 2.5, 5},
	"undercut":      {1e-3, 3e-3, 0.076, 0.15},
	"ceiling":       {5 * quantity.Foot, 6.5 * quantity.Foot, 20 * quantity.Foot, 50 * quantity.Foot},
	"listener":      {0.1, 0.3, 20 * quantity.Foot, 50 * quantity.Foot},
	"outlet-height": {0.02, 0.02, 20 * quantity.Foot, 50 * quantity.Foot},
	"reach":         {0.3, 0.5, 50 * quantity.Foot, 100 * quantity.Foot},
	"drawing":       {0, 0, 5000, 5000},

	// Area, m².
	"floor": {5 * quantity.SquareFoot, 10 * quantity.SquareFoot, 1e4 * quantity.SquareFoot, 5e4 * quantity.SquareFoot},

	// Airflow, m³/s.
	"run-airflow":     {1 * quantity.CFM, 5 * quantity.CFM, 1000 * quantity.CFM, 3000 * quantity.CFM},
	"zone-airflow":    {10 * quantity.CFM, 25 * quantity.CFM, 3000 * quantity.CFM, 8000 * quantity.CFM},
	"machine-airflow": {50 * quantity.CFM, 150 * quantity.CFM, 5000 * quantity.CFM, 10000 * quantity.CFM},
	"blower-airflow":  {5 * quantity.CFM, 5 * quantity.CFM, 6000 * quantity.CFM, 12000 * quantity.CFM},
	"outlet-airflow":  {5 * quantity.CFM, 10 * quantity.CFM, 2500 * quantity.CFM, 6000 * quantity.CFM},
	"leak-airflow":    {0.01 * quantity.CFM, 0.01 * quantity.CFM, 3000 * quantity.CFM, 20000 * quantity.CFM},
	"airflow-per-ton": {50 * quantity.CFM, 200 * quantity.CFM, 600 * quantity.CFM, 1000 * quantity.CFM},

	// Temperature, °C, and differences, K.
	"outdoor":           {-70, -45, 50, 60},
	"indoor":            {2, 10, 35, 45},
	"supply-air":        {0, 4, 75, 95},
	"around":            {-60, -45, 75, 90},
	"cut-out":           {0, 2, 90, 110},
	"leaving-limit":     {30, 45, 121, 150},
	"limit-temperature": {-30, -20, 95, 150},
	"plate-rise":        {10 * quantity.FahrenheitDeg, 15 * quantity.FahrenheitDeg, 100 * quantity.FahrenheitDeg, 120 * quantity.FahrenheitDeg},
	"design-span":       {5 * quantity.FahrenheitDeg, 8 * quantity.FahrenheitDeg, 100 * quantity.FahrenheitDeg, 130 * quantity.FahrenheitDeg},
	"limit-span":        {0.05, 0.05, 80, 150},
	"thermostat-span":   {0.05, 0.1, 3, 6},
	"daily-range":       {0.2, 1, 25, 35},

	// Time, s.
	"timer": {1, 1, 3600, 7200},

	// Velocity, m/s.
	"limit-velocity": {0.1, 0.3, 25, 50},
	"draught":        {0.02, 0.05, 2, 10},

	// Electricity, W, and W for each cfm.
	"blower-watts": {5, 10, 3000, 10000},
	"fan-power":    {0.02, 0.05, 3, 10},
	"input":        {100, 300, 15e3, 40e3},

	// Multipliers of a drop.
	"sag":     {1, 1, 2, 10},
	"loading": {1, 1, 4, 20},

	"sensible":        {0.30, 0.50, 1, 1},
	"efficiency":      {0.40, 0.55, 1, 1},
	"arm":             {1, 5, 80, 90},
	"duct-insulation": {0.1, 2 * quantity.RValueIP, 16 * quantity.RValueIP, 50 * quantity.RValueIP},
}

// boundsOf returns the bounds of a key, or those of its kind where the key has none of its own.
func boundsOf(kind quantity.Kind, f field) bounds {
	if b, ok := plausibleBounds[f.bounds]; ok {
		return b
	}
	switch kind {
	case quantity.KindFraction:
		return bounds{0, 0, 1, 1}
	case quantity.KindAngle:
		return bounds{0, 0, 90, 90}
	}
	return unbounded
}

var unbounded = bounds{-1e12, -1e12, 1e12, 1e12}

// likelyUnit returns how the number of a text would be written in the unit that makes a usual value of it, as a quantity
// of a kind: "2.5 ton" for a capacity of 2.5. It is "" when no unit does.
//
// The units are tried in the order in which the trade uses them for the kind.
func likelyUnit(number float64, kind quantity.Kind, f field, b bounds, system quantity.System) string {
	symbols := kind.Symbols()
	switch {
	case kind == quantity.KindHeat && system == quantity.SI:
		symbols = []string{"kW", "kBtu/h", "ton", "W", "Btu/h"}
	case kind == quantity.KindHeat && f.bounds == "capacity":
		symbols = []string{"ton", "kBtu/h", "kW", "Btu/h", "W"}
	case kind == quantity.KindHeat:
		symbols = []string{"kBtu/h", "kW", "ton", "Btu/h", "W"}
	}
	for _, symbol := range symbols {
		text := formatShort(number) + " " + symbol
		if value, err := kind.Parse(text, quantity.IP); err == nil && value >= b.low && value <= b.high {
			return text
		}
	}
	return ""
}
