package network

import "spillway/network/units"

// bounds is what a quantity of a job file can be, SI. Below least and above most it is nonsense, and an error; below low
// and above high it is possible but so unusual in a house or a small commercial building that a wrong unit is likelier,
// and a caution. Zero stands for "none" and is not held against least and low, except where zero is itself a value: see
// isScale.
type bounds struct{ least, low, high, most float64 }

// isScale reports whether the values of a kind go through zero, so that zero is as good a value as any.
func isScale(kind units.Kind, limit string) bool {
	return kind == units.KindTemperature || limit == "signed"
}

// plausibleBounds are the bounds by what the key holds (the range tag of its field). All figures are our choice: narrow enough
// that a bare number in the wrong unit (tons or thousands of Btu/h for Btu/h, Pa for inches of water, inches for feet)
// falls outside, wide of any real house and of small commercial work.
var plausibleBounds = map[string]bounds{
	// Heat, W.
	"capacity": {3e3 * units.BtuPerHour, 6e3 * units.BtuPerHour, 200e3 * units.BtuPerHour, 400e3 * units.BtuPerHour},
	"output":   {3e3 * units.BtuPerHour, 6e3 * units.BtuPerHour, 200e3 * units.BtuPerHour, 400e3 * units.BtuPerHour},
	"load":     {100 * units.BtuPerHour, 100 * units.BtuPerHour, 100e3 * units.BtuPerHour, 200e3 * units.BtuPerHour},

	// Pressure, Pa.
	"static":          {0.01 * units.InchWater, 0.10 * units.InchWater, 1.5 * units.InchWater, 5 * units.InchWater},
	"blower-static":   {1, 1, 2 * units.InchWater, 6 * units.InchWater},
	"rated-drop":      {1, 2, 1 * units.InchWater, 2 * units.InchWater},
	"damper-pressure": {1, 2, 1 * units.InchWater, 4 * units.InchWater},
	"damper-band":     {1, 1, 1 * units.InchWater, 2 * units.InchWater},
	"outlet-drop":     {0.5, 0.5, 0.4 * units.InchWater, 1 * units.InchWater},
	"test-pressure":   {1, 1, 1 * units.InchWater, 6 * units.InchWater},
	"room-pressure":   {0.2, 0.5, 30, 300},

	// Length, m.
	"elevation":     {-500, -100, 4500, 5000}, // from below any dry land to above any town
	"run":           {0.1 * units.Foot, 0.15, 100 * units.Foot, 300 * units.Foot},
	"run-rise":      {-100 * units.Foot, -40 * units.Foot, 40 * units.Foot, 100 * units.Foot},
	"along":         {0.01, 0.01, 100 * units.Foot, 300 * units.Foot},
	"lining":        {units.Inch / 8, units.Inch / 4, 1 * units.Foot, 1 * units.Foot},
	"door-width":    {0.3, 0.5, 2.5, 5},
	"undercut":      {1e-3, 3e-3, 0.076, 0.15},
	"ceiling":       {5 * units.Foot, 6.5 * units.Foot, 20 * units.Foot, 50 * units.Foot},
	"listener":      {0.1, 0.3, 20 * units.Foot, 50 * units.Foot},
	"outlet-height": {0.02, 0.02, 20 * units.Foot, 50 * units.Foot},
	"reach":         {0.3, 0.5, 50 * units.Foot, 100 * units.Foot},
	"drawing":       {0, 0, 5000, 5000},

	// Area, m².
	"floor": {5 * units.SquareFoot, 10 * units.SquareFoot, 1e4 * units.SquareFoot, 5e4 * units.SquareFoot},

	// Airflow, m³/s.
	"run-airflow":     {1 * units.CFM, 5 * units.CFM, 1000 * units.CFM, 3000 * units.CFM},
	"zone-airflow":    {10 * units.CFM, 25 * units.CFM, 3000 * units.CFM, 8000 * units.CFM},
	"machine-airflow": {50 * units.CFM, 150 * units.CFM, 5000 * units.CFM, 10000 * units.CFM},
	"blower-airflow":  {5 * units.CFM, 5 * units.CFM, 6000 * units.CFM, 12000 * units.CFM},
	"outlet-airflow":  {5 * units.CFM, 10 * units.CFM, 2500 * units.CFM, 6000 * units.CFM},
	"leak-airflow":    {0.01 * units.CFM, 0.01 * units.CFM, 3000 * units.CFM, 20000 * units.CFM},
	"airflow-per-ton": {50 * units.CFM, 200 * units.CFM, 600 * units.CFM, 1000 * units.CFM},

	// Temperature, °C, and differences, K.
	"outdoor":           {-70, -45, 50, 60},
	"indoor":            {2, 10, 35, 45},
	"supply-air":        {0, 4, 75, 95},
	"around":            {-60, -45, 75, 90},
	"leaving-limit":     {30, 45, 121, 150},
	"limit-temperature": {-30, -20, 95, 150},
	"plate-rise":        {10 * units.FahrenheitDeg, 15 * units.FahrenheitDeg, 100 * units.FahrenheitDeg, 120 * units.FahrenheitDeg},
	"design-span":       {5 * units.FahrenheitDeg, 8 * units.FahrenheitDeg, 100 * units.FahrenheitDeg, 130 * units.FahrenheitDeg},
	"limit-span":        {0.05, 0.05, 80, 150},

	// Velocity, m/s.
	"limit-velocity": {0.1, 0.3, 25, 50},
	"draught":        {0.02, 0.05, 2, 10},

	// Electricity, W, and W for each cfm.
	"blower-watts": {5, 10, 3000, 10000},
	"fan-power":    {0.02, 0.05, 3, 10},

	"sensible":        {0.30, 0.50, 1, 1},
	"arm":             {1, 5, 80, 90},
	"duct-insulation": {0.1, 2 * units.RValueIP, 16 * units.RValueIP, 50 * units.RValueIP},
}

// boundsOf returns the bounds of a key, or those of its kind where the key has none of its own.
func boundsOf(kind units.Kind, f field) bounds {
	if b, ok := plausibleBounds[f.bounds]; ok {
		return b
	}
	switch kind {
	case units.KindFraction:
		return bounds{0, 0, 1, 1}
	case units.KindAngle:
		return bounds{0, 0, 90, 90}
	}
	return bounds{-1e12, -1e12, 1e12, 1e12}
}

// likelyUnit returns how the number of a text would be written in the unit that makes a usual value of it, as a quantity
// of a kind: "2.5 ton" for a capacity of 2.5. It is "" when no unit does.
//
// The units are tried in the order in which the trade uses them for the kind.
func likelyUnit(number float64, kind units.Kind, f field, b bounds, system units.System) string {
	symbols := kind.Symbols()
	switch {
	case kind == units.KindHeat && system == units.SI:
		symbols = []string{"kW", "kBtu/h", "ton", "W", "Btu/h"}
	case kind == units.KindHeat && f.bounds == "capacity":
		symbols = []string{"ton", "kBtu/h", "kW", "Btu/h", "W"}
	case kind == units.KindHeat:
		symbols = []string{"kBtu/h", "kW", "ton", "Btu/h", "W"}
	}
	for _, symbol := range symbols {
		text := formatShort(number) + " " + symbol
		if value, err := kind.Parse(text, units.IP); err == nil && value >= b.low && value <= b.high {
			return text
		}
	}
	return ""
}
