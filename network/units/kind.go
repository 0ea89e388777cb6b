package units

// Kind is a kind of quantity: what a number in a job file can mean. Length comes twice because the trade measures runs in
// feet (metres) and sizes in inches (millimetres).
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
)

// unit is one unit of one kind: SI = number × factor + offset.
type unit struct {
	symbol string // as it is typed in a job file, ASCII
	label  string // as it is printed
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
}

// lengthUnits are those of runs and of sizes.
var lengthUnits = []unit{
	{"ft", "ft", Foot, 0, []string{"ft", "feet", "foot", "'"}},
	{"in", "in", Inch, 0, []string{"in", "inch", "inches", `"`}},
	{"m", "m", 1, 0, []string{"m", "metre", "metres", "meter", "meters"}},
	{"mm", "mm", 1e-3, 0, []string{"mm"}},
	{"cm", "cm", 1e-2, 0, []string{"cm"}},
	{"yd", "yd", 3 * Foot, 0, []string{"yd"}},
}

// kinds is the one table of kinds and units. Nothing alters it.
var kinds = [...]kindRow{
	Unknown:    {phrase: "a quantity"},
	KindLength: {"a length", [2]string{"12 ft", "3.6 m"}, [2]int{0, 2}, [2]int{1, 2}, lengthUnits},
	KindSize:   {"a length", [2]string{"14 in", "350 mm"}, [2]int{1, 3}, [2]int{1, 0}, lengthUnits},
	KindArea: {"an area", [2]string{"690 ft2", "64 m2"}, [2]int{0, 1}, [2]int{0, 1}, []unit{
		{"ft2", "ft²", SquareFoot, 0, []string{"ft2", "sqft", "squarefeet", "ft^2"}},
		{"m2", "m²", 1, 0, []string{"m2", "sqm", "m^2"}},
		{"in2", "in²", SquareInch, 0, []string{"in2", "sqin", "in^2"}},
		{"cm2", "cm²", 1e-4, 0, []string{"cm2", "cm^2"}},
	}},
	KindAirflow: {"an airflow", [2]string{"120 cfm", "57 l/s"}, [2]int{0, 1}, [2]int{0, 1}, []unit{
		{"cfm", "cfm", CFM, 0, []string{"cfm", "ft3/min", "scfm"}},
		{"l/s", "l/s", LitrePerS, 0, []string{"l/s", "lps", "litre/s"}},
		{"m3/h", "m³/h", 1.0 / 3600, 0, []string{"m3/h", "m^3/h", "m3/hr"}},
		{"m3/s", "m³/s", 1, 0, []string{"m3/s", "m^3/s"}},
	}},
	KindVelocity: {"a velocity", [2]string{"600 fpm", "3.0 m/s"}, [2]int{0, 1}, [2]int{0, 2}, []unit{
		{"fpm", "fpm", FPM, 0, []string{"fpm", "ft/min"}},
		{"m/s", "m/s", 1, 0, []string{"m/s"}},
		{"ft/s", "ft/s", Foot, 0, []string{"ft/s", "fps"}},
	}},
	KindPressure: {"a pressure", [2]string{"0.10 inwc", "25 Pa"}, [2]int{0, 1}, [2]int{3, 1}, []unit{
		{"inwc", "in. w.c.", InchWater, 0, []string{"inwc", "inwg", "inh2o", "iwc"}},
		{"Pa", "Pa", 1, 0, []string{"pa"}},
		{"kPa", "kPa", 1000, 0, []string{"kpa"}},
		{"mmH2O", "mm w.c.", InchWater / 25.4, 0, []string{"mmh2o", "mmwc", "mmwg"}},
	}},
	KindTemperature: {"a temperature", [2]string{"75 F", "24 C"}, [2]int{0, 1}, [2]int{1, 1}, []unit{
		{"F", "°F", 5.0 / 9, -160.0 / 9, []string{"f", "degf", "fahrenheit"}},
		{"C", "°C", 1, 0, []string{"c", "degc", "celsius"}},
		{"K", "K", 1, -273.15, []string{"k", "kelvin"}},
	}},
	KindTemperatureSpan: {"a temperature difference", [2]string{"20 F", "11 K"}, [2]int{0, 1}, [2]int{1, 1}, []unit{
		{"F", "°F", FahrenheitDeg, 0, []string{"f", "degf"}},
		{"K", "K", 1, 0, []string{"k", "c", "degc"}},
	}},
	KindHeat: {"a heat flow", [2]string{"36 kBtu/h", "10 kW"}, [2]int{0, 1}, [2]int{0, 0}, []unit{
		{"Btu/h", "Btu/h", BtuPerHour, 0, []string{"btu/h", "btuh", "btu/hr"}},
		{"W", "W", 1, 0, []string{"w", "watt", "watts"}},
		{"kBtu/h", "kBtu/h", 1000 * BtuPerHour, 0, []string{"kbtu/h", "kbtuh", "kbtu/hr", "mbh"}},
		{"ton", "ton", TonOfCooling, 0, []string{"ton", "tons"}},
		{"kW", "kW", 1000, 0, []string{"kw"}},
	}},
	KindElectricity: {"an electric power", [2]string{"450 W", "450 W"}, [2]int{0, 0}, [2]int{0, 0}, []unit{
		{"W", "W", 1, 0, []string{"w", "watt", "watts"}},
		{"kW", "kW", 1000, 0, []string{"kw"}},
	}},
	KindFraction: {"a percentage", [2]string{"25 %", "25 %"}, [2]int{0, 0}, [2]int{1, 1}, []unit{
		{"%", "%", 0.01, 0, []string{"%", "percent", "pct"}},
	}},
	KindAngle: {"an angle", [2]string{"68 deg", "68 deg"}, [2]int{0, 0}, [2]int{0, 0}, []unit{
		{"deg", "°", 1, 0, []string{"deg", "degree", "degrees"}},
	}},
	KindInsulation: {"an insulation value", [2]string{"R-8", "1.4 m2K/W"}, [2]int{0, 1}, [2]int{1, 2}, []unit{
		{"R", "R", RValueIP, 0, []string{"hft2f/btu"}},
		{"m2K/W", "m²K/W", 1, 0, []string{"m2k/w", "m2c/w"}},
	}},
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
