package quantity

// Kind is a kind of quantity: what a number in a job file or a result can mean. Length comes twice because the trade
// measures runs in feet (metres) and sizes in inches (millimetres); other kinds come twice where results are printed
// in another unit, or coarser, than the file is written.
type Kind int

// The kinds. Unknown is the zero value and stands for "no unit that we know".
const (
	Unknown Kind = iota
	KindLength
	KindSize
	KindArea
	KindAirflow
	KindVelocity
	KindPressure
	KindTemperature
	KindTemperatureSpan
	KindHeat
	KindElectricity
	KindFraction
	KindAngle
	KindInsulation
	// KindStatic is a static pressure as reports round it; the reader takes a Pressure.
	KindStatic
	// KindLoad is a heat flow as loads and capacities are quoted: kBtu/h, kW.
	KindLoad
	// KindSection is the cross-section of a duct; Area is that of floors.
	KindSection
	KindFlowPerHeat
	KindPowerPerFlow
	KindFloorPerHeat
	KindFriction
	KindDensity
	KindDrift
	KindMassFlow
	KindViscosity
	KindTime
	KindConductance
	KindSpecificHeat
	KindHeatCapacity
	KindEnthalpy
	KindRate
	KindFrequency
	KindNoise
	KindSoundLevel
	KindLoudness
	KindRatio
	KindNumber
	// KindMass is the weight of what is bought.
	KindMass
)

// unit is one unit of one kind: SI = number × factor + offset.
type unit struct {
	symbol string // as it is typed in a job file, ASCII
	label  string // as it is printed
	suffix string // ends a JSON key, "_cfm"; "" where no key names the unit
	factor float64
	offset float64
	// spellings are what people write, normalised by normalUnit: lower case without blanks, dots and degree signs.
	spellings []string
}

// kindRow describes one kind: its words, its units, and which of them a bare number has and a printer uses.
type kindRow struct {
	phrase  string    // "a length"
	example [2]string // by System
	bare    [2]int    // index into units, by System; also what is printed
	digits  [2]int    // decimals that are printed, by System
	units   []unit
	si      string  // the unit in which the kind enters an equation; "" where it has none
	scale   float64 // of Excess, SI: where a share of the limit would mean nothing; 0: the limit itself
	coarser [2]int  // by how many decimals results are rounded more than what a file says, by System
}

// lengthUnits are those of runs and of sizes.
var lengthUnits = []unit{
	{"ft", "ft", "_ft", Foot, 0, []string{"ft", "feet", "foot", "'"}},
	{"in", "in", "_in", Inch, 0, []string{"in", "inch", "inches", `"`}},
	{"m", "m", "_m", 1, 0, []string{"m", "metre", "metres", "meter", "meters"}},
	{"mm", "mm", "_mm", 1e-3, 0, []string{"mm"}},
	{"cm", "cm", "", 1e-2, 0, []string{"cm"}},
	{"yd", "yd", "", 3 * Foot, 0, []string{"yd"}},
}

// pressureUnits are those of pressures as written and as reports round them.
var pressureUnits = []unit{
	{"inwc", "in. w.c.", "_inwc", InchWater, 0, []string{"inwc", "inwg", "inh2o", "iwc"}},
	{"Pa", "Pa", "_pa", 1, 0, []string{"pa"}},
	{"kPa", "kPa", "", 1000, 0, []string{"kpa"}},
	{"mmH2O", "mm w.c.", "", InchWater / 25.4, 0, []string{"mmh2o", "mmwc", "mmwg"}},
}

// heatUnits are those of heat flows.
var heatUnits = []unit{
	{"Btu/h", "Btu/h", "_btu_h", BtuPerHour, 0, []string{"btu/h", "btuh", "btu/hr"}},
	{"W", "W", "_w", 1, 0, []string{"w", "watt", "watts"}},
	{"kBtu/h", "kBtu/h", "_kbtu_h", 1000 * BtuPerHour, 0, []string{"kbtu/h", "kbtuh", "kbtu/hr", "mbh"}},
	{"ton", "ton", "", TonOfCooling, 0, []string{"ton", "tons"}},
	{"kW", "kW", "_kw", 1000, 0, []string{"kw"}},
}

// kinds is the one table of kinds and units. Nothing alters it.
var kinds = [...]kindRow{
	Unknown:    {phrase: "a quantity"},
	KindLength: {"a length", [2]string{"12 ft", "3.6 m"}, [2]int{0, 2}, [2]int{1, 2}, lengthUnits, "m", 0, [2]int{0, 1}},
	KindSize:   {"a length", [2]string{"14 in", "350 mm"}, [2]int{1, 3}, [2]int{1, 0}, lengthUnits, "m", 0, [2]int{}},
	KindArea: {"an area", [2]string{"690 ft2", "64 m2"}, [2]int{0, 1}, [2]int{0, 1}, []unit{
		{"ft2", "ft²", "_ft2", SquareFoot, 0, []string{"ft2", "sqft", "squarefeet", "ft^2"}},
		{"m2", "m²", "_m2", 1, 0, []string{"m2", "sqm", "m^2"}},
		{"in2", "in²", "", SquareInch, 0, []string{"in2", "sqin", "in^2"}},
		{"cm2", "cm²", "", 1e-4, 0, []string{"cm2", "cm^2"}},
	}, "m²", 0, [2]int{}},
	KindAirflow: {"an airflow", [2]string{"120 cfm", "57 l/s"}, [2]int{0, 1}, [2]int{0, 1}, []unit{
		{"cfm", "cfm", "_cfm", CFM, 0, []string{"cfm", "ft3/min", "scfm"}},
		{"l/s", "l/s", "_l_s", LitrePerS, 0, []string{"l/s", "lps", "litre/s"}},
		{"m3/h", "m³/h", "", 1.0 / 3600, 0, []string{"m3/h", "m^3/h", "m3/hr"}},
		{"m3/s", "m³/s", "", 1, 0, []string{"m3/s", "m^3/s"}},
	}, "m³/s", 0, [2]int{0, 1}},
	KindVelocity: {"a velocity", [2]string{"600 fpm", "3.0 m/s"}, [2]int{0, 1}, [2]int{0, 2}, []unit{
		{"fpm", "fpm", "_fpm", FPM, 0, []string{"fpm", "ft/min"}},
		{"m/s", "m/s", "_m_s", 1, 0, []string{"m/s"}},
		{"ft/s", "ft/s", "", Foot, 0, []string{"ft/s", "fps"}},
	}, "m/s", 0, [2]int{0, 1}},
	KindPressure: {"a pressure", [2]string{"0.10 inwc", "25 Pa"}, [2]int{0, 1}, [2]int{3, 1}, pressureUnits, "Pa", 0, [2]int{}},
	KindTemperature: {"a temperature", [2]string{"75 F", "24 C"}, [2]int{0, 1}, [2]int{1, 1}, []unit{
		{"F", "°F", "_f", 5.0 / 9, -160.0 / 9, []string{"f", "degf", "fahrenheit"}},
		{"C", "°C", "_c", 1, 0, []string{"c", "degc", "celsius"}},
		{"K", "K", "", 1, -273.15, []string{"k", "kelvin"}},
	}, "°C", 10, [2]int{1, 1}},
	KindTemperatureSpan: {"a temperature difference", [2]string{"20 F", "11 K"}, [2]int{0, 1}, [2]int{1, 1}, []unit{
		{"F", "°F", "_f", FahrenheitDeg, 0, []string{"f", "degf"}},
		{"K", "K", "_c", 1, 0, []string{"k", "c", "degc"}},
	}, "K", 0, [2]int{}},
	KindHeat: {"a heat flow", [2]string{"36 kBtu/h", "10 kW"}, [2]int{0, 1}, [2]int{0, 0}, heatUnits, "W", 0, [2]int{}},
	KindElectricity: {"an electric power", [2]string{"450 W", "450 W"}, [2]int{0, 0}, [2]int{0, 0}, []unit{
		{"W", "W", "_w", 1, 0, []string{"w", "watt", "watts"}},
		{"kW", "kW", "_kw", 1000, 0, []string{"kw"}},
	}, "W", 0, [2]int{}},
	KindFraction: {"a percentage", [2]string{"25 %", "25 %"}, [2]int{0, 0}, [2]int{1, 1}, []unit{
		{"%", "%", "", 0.01, 0, []string{"%", "percent", "pct"}},
	}, "", 0, [2]int{}},
	KindAngle: {"an angle", [2]string{"68 deg", "68 deg"}, [2]int{0, 0}, [2]int{0, 0}, []unit{
		{"deg", "°", "_deg", 1, 0, []string{"deg", "degree", "degrees"}},
	}, "°", 0, [2]int{}},
	KindInsulation: {"an insulation value", [2]string{"R-8", "1.4 m2K/W"}, [2]int{0, 1}, [2]int{1, 2}, []unit{
		{"R", "R", "", RValueIP, 0, []string{"hft2f/btu"}},
		{"m2K/W", "m²K/W", "", 1, 0, []string{"m2k/w", "m2c/w"}},
	}, "m²K/W", 0, [2]int{}},
	KindStatic:  {"a static pressure", [2]string{"0.10 inwc", "25 Pa"}, [2]int{0, 1}, [2]int{2, 0}, pressureUnits, "Pa", 0, [2]int{}},
	KindLoad:    {"a heat flow", [2]string{"36 kBtu/h", "10 kW"}, [2]int{2, 4}, [2]int{1, 2}, heatUnits, "W", 0, [2]int{}},
	KindSection: result("a cross-section", "m²", 3),
	KindFlowPerHeat: trade("an airflow per ton", "m³/s per W", [2]int{0, 0},
		unit{"cfm/ton", "cfm/ton", "_cfm_per_ton", CFM / TonOfCooling, 0, nil},
		unit{"l/s per kW", "l/s per kW", "_l_s_per_kw", LitrePerS / 1000, 0, nil}),
	KindPowerPerFlow: trade("a power per airflow", "W per m³/s", [2]int{2, 2},
		unit{"W/cfm", "W/cfm", "_w_per_cfm", 1 / CFM, 0, nil},
		unit{"W per l/s", "W per l/s", "_w_per_l_s", 1 / LitrePerS, 0, nil}),
	KindFloorPerHeat: trade("a floor area per ton", "m² per W", [2]int{0, 1},
		unit{"ft2/ton", "ft²/ton", "_ft2_per_ton", SquareFoot / TonOfCooling, 0, nil},
		unit{"m2 per kW", "m² per kW", "_m2_per_kw", 1e-3, 0, nil}),
	KindFriction: trade("a friction rate", "Pa/m", [2]int{3, 2},
		unit{"inwc/100 ft", "in. w.c./100 ft", "_inwc_per_100ft", InchWater / (100 * Foot), 0, nil},
		unit{"Pa/m", "Pa/m", "_pa_per_m", 1, 0, nil}),
	KindDensity: trade("a density", "kg/m³", [2]int{4, 3},
		unit{"lb/ft3", "lb/ft³", "_lb_ft3", PoundPerCubicFoot, 0, nil},
		unit{"kg/m3", "kg/m³", "_kg_m3", 1, 0, nil}),
	KindDrift: trade("a drift", "K/s", [2]int{1, 1},
		unit{"F/h", "°F/h", "_f_per_h", FahrenheitDeg / 3600, 0, nil},
		unit{"K/h", "K/h", "_c_per_h", 1. / 3600, 0, nil}),
	KindMassFlow:  result("a mass flow", "kg/s", 3),
	KindViscosity: result("a viscosity", "Pa·s", 3),
	KindTime: {"a time", [2]string{"90 s", "90 s"}, [2]int{0, 0}, [2]int{0, 0}, []unit{
		{"s", "s", "_s", 1, 0, []string{"s", "sec", "second", "seconds"}},
		{"min", "min", "", 60, 0, []string{"min", "minute", "minutes"}},
		{"h", "h", "", 3600, 0, []string{"h", "hr", "hour", "hours"}},
	}, "s", 0, [2]int{}},
	KindConductance:  result("a conductance", "W/K", 3),
	KindSpecificHeat: result("a specific heat", "J/(kg·K)", 3),
	KindHeatCapacity: result("a heat capacity", "J/K", 3),
	KindEnthalpy:     result("an enthalpy", "J/kg", 3),
	KindRate:         result("a rate", "1/s", 3),
	KindFrequency:    result("a frequency", "Hz", 3),
	KindNoise:        {"a noise criterion", [2]string{}, [2]int{}, [2]int{}, []unit{{"NC", "NC", "_nc", 1, 0, nil}}, "NC", 10, [2]int{}},
	KindSoundLevel:   result("a sound level", "dB", 3),
	KindLoudness:     {"a sound level", [2]string{}, [2]int{}, [2]int{}, []unit{{"dBA", "dB(A)", "_dba", 1, 0, nil}}, "dB(A)", 10, [2]int{}},
	KindRatio:        result("a ratio", "", 2),
	KindNumber:       result("a number", "", 3),
	KindMass: trade("a mass", "kg", [2]int{1, 1},
		unit{"lb", "lb", "_lb", Pound, 0, nil},
		unit{"kg", "kg", "_kg", 1, 0, nil}),
}

// result is a kind that only results have, in SI in both systems.
func result(phrase, si string, digits int) kindRow {
	suffix := ""
	switch si {
	case "s":
		suffix = "_s"
	case "Hz":
		suffix = "_hz"
	}
	return kindRow{phrase: phrase, digits: [2]int{digits, digits}, units: []unit{{si, si, suffix, 1, 0, nil}}, si: si}
}

// trade is a kind that only results have, with a unit for each system.
func trade(phrase, si string, digits [2]int, ip, metric unit) kindRow {
	return kindRow{phrase: phrase, bare: [2]int{0, 1}, digits: digits, units: []unit{ip, metric}, si: si}
}

func (k Kind) row() *kindRow {
	if k < 0 || int(k) >= len(kinds) {
		k = Unknown
	}
	return &kinds[k]
}

// String is the kind in words, with its article: "a length", "an airflow".
func (k Kind) String() string { return k.row().phrase }

// Example is how a value of this kind is written, in a system.
func (k Kind) Example(s System) string { return k.row().example[s.index()] }

// Symbol is the unit of bare numbers as it is typed, in ASCII: "inwc", "F". The reader takes it and the Label alike.
func (k Kind) Symbol(s System) string {
	row := k.row()
	if len(row.units) == 0 {
		return ""
	}
	return row.units[row.bare[s.index()]].symbol
}

// Symbols are the units of the kind as they are typed, those of bare numbers among them.
func (k Kind) Symbols() []string {
	var symbols []string
	for _, u := range k.row().units {
		symbols = append(symbols, u.symbol)
	}
	return symbols
}

// Label is the unit of bare numbers and of results as it is printed: "in. w.c.", "°F". This is the one place for it.
func (k Kind) Label(s System) string {
	row := k.row()
	if len(row.units) == 0 {
		return ""
	}
	return row.units[row.bare[s.index()]].label
}

// Decimals is how many decimals a printed value of this kind has.
func (k Kind) Decimals(s System) int { return k.row().digits[s.index()] }

// In turns an SI value into the system's unit.
func (k Kind) In(si float64, s System) float64 {
	row := k.row()
	if len(row.units) == 0 {
		return si
	}
	u := row.units[row.bare[s.index()]]
	return (si - u.offset) / u.factor
}

// FromNumber turns a bare number, in the unit that the system gives to numbers of this kind, into SI.
//
// Percentages are the exception that people trip over: 0.75 may be meant as 75 % or as three quarters of one percent. A bare
// number above 0 and up to 1 is therefore refused.
func (k Kind) FromNumber(number float64, s System) (float64, error) {
	row := k.row()
	if number != number || number > maxNumber || number < -maxNumber {
		return 0, &Error{Want: k, System: s, Reason: "is not a usable number"}
	}
	if k == KindFraction && number > 0 && number <= 1 {
		return 0, &Error{Want: k, System: s, Reason: "could mean " + trim(number*100, 4) + " % or " + trim(number, 6) + " %",
			Fix: `write "` + trim(number*100, 4) + ` %"`}
	}
	u := row.units[row.bare[s.index()]]
	return number*u.factor + u.offset, nil
}

// maxNumber bounds what is taken for a number at all; every real quantity is far below.
const maxNumber = 1e12

func (s System) index() int {
	if s == SI {
		return 1
	}
	return 0
}
