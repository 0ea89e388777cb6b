// Package quantity holds the physical quantities that people write and read: each quantity is a float64 in SI with a type of
// its own, so that a length cannot be read where a pressure is meant.
//
// This is the only place where units of the trade are turned into SI (on reading) and back (on printing). The package
// knows nothing of job files or networks.
package quantity

// System is a system of units for numbers without a unit, and for what is printed.
type System int

// The two systems. IP is inch-pound as the North American trade uses it.
const (
	IP System = iota
	SI
)

// Quantities, all SI inside.
type (
	Length          float64 // m (job files: ft for runs, in for sizes)
	Area            float64 // m²
	Airflow         float64 // m³/s of standard air
	Velocity        float64 // m/s
	Pressure        float64 // Pa
	Temperature     float64 // °C
	TemperatureSpan float64 // K, a difference of temperatures
	Heat            float64 // W of heat (Btu/h, ton, kW)
	Electricity     float64 // W of electric power
	Fraction        float64 // 0..1, written as a percentage
	Angle           float64 // degrees; of a damper blade, from open
	Insulation      float64 // m²·K/W thermal resistance (R-value)
	Time            float64 // s
)

// Conversion factors, exact or as the standards state them: multiply a number in the unit by the factor to get SI.
const (
	Foot          = 0.3048         // m, exact
	Inch          = 0.0254         // m, exact
	SquareFoot    = Foot * Foot    // m²
	SquareInch    = Inch * Inch    // m²
	CFM           = 4.719474432e-4 // m³/s, ft³/min, exact
	LitrePerS     = 1e-3           // m³/s
	FPM           = 0.00508        // m/s, ft/min, exact
	InchWater     = 249.089        // Pa, inch of water at 4 °C (conventional)
	BtuPerHour    = 0.29307107     // W
	TonOfCooling  = 12000 * BtuPerHour
	FahrenheitDeg = 5.0 / 9.0 // K per °F of difference
	RValueIP      = 0.176110  // m²·K/W per h·ft²·°F/Btu

	Pound = 0.45359237 // kg, international pound, exact

	// PoundPerCubicFoot in kg/m³: a pound over 0.3048³ m³ (exact).
	PoundPerCubicFoot = Pound / (Foot * Foot * Foot)
)

// String is the word of the job file for the system.
func (s System) String() string {
	if s == SI {
		return "si"
	}
	return "ip"
}

// ParseSystem reads "ip" or "si".
func ParseSystem(text string) (System, bool) {
	switch text {
	case "ip":
		return IP, true
	case "si":
		return SI, true
	}
	return IP, false
}

// Fahrenheit returns the temperature in °F.
func (t Temperature) Fahrenheit() float64 { return float64(t)*1.8 + 32 }

// FromFahrenheit turns °F into a Temperature.
func FromFahrenheit(f float64) Temperature { return Temperature((f - 32) / 1.8) }
