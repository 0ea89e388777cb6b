package units_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network/units"
)

// Expected values are products of the exact definitions: 1 ft = 0.3048 m, 1 in = 25.4 mm (international yard and pound
// agreement, 1959); °F = 1.8 °C + 32; 1 ton of refrigeration = 12 000 Btu/h; the Btu of the International Table, 1055.05585262 J;
// the conventional inch of water, 249.08891 Pa. The last two as in NIST Special Publication 811, appendix B (from memory).
func TestParse(t *testing.T) {
	const exact = 1e-12
	for _, test := range []struct {
		name   string
		kind   units.Kind
		text   string
		system units.System
		want   float64
		within float64 // relative
	}{
		{"feet", units.KindLength, "12 ft", units.IP, 3.6576, exact},
		{"feet without a blank", units.KindLength, "12ft", units.IP, 3.6576, exact},
		{"feet and inches", units.KindLength, "6 ft 4 in", units.IP, 1.9304, exact},
		{"feet and inches by marks", units.KindLength, `6'4"`, units.IP, 1.9304, exact},
		{"bare length in ip", units.KindLength, "10", units.IP, 3.048, exact},
		{"bare length in si", units.KindLength, "10", units.SI, 10, exact},
		{"bare size in ip", units.KindSize, "10", units.IP, 0.254, exact},
		{"bare size in si", units.KindSize, "250", units.SI, 0.25, exact},
		{"half an inch", units.KindSize, "1/2 in", units.IP, 0.0127, exact},
		{"one and a half inches", units.KindSize, "1 1/2 in", units.IP, 0.0381, exact},
		{"millimetres", units.KindSize, "250 mm", units.IP, 0.25, exact},
		{"metres", units.KindLength, "8 m", units.IP, 8, exact},
		{"signed", units.KindLength, "-9 ft", units.IP, -2.7432, exact},
		{"square feet", units.KindArea, "100 ft2", units.IP, 9.290304, exact},
		{"square feet by sign", units.KindArea, "100 ft²", units.IP, 9.290304, exact},
		{"square metres", units.KindArea, "64 m2", units.SI, 64, exact},
		{"cfm", units.KindAirflow, "40 cfm", units.IP, 40 * 0.3048 * 0.3048 * 0.3048 / 60, 1e-9},
		{"cfm in capitals", units.KindAirflow, "40 CFM", units.SI, 40 * 0.3048 * 0.3048 * 0.3048 / 60, 1e-9},
		{"thousands", units.KindAirflow, "1,200 cfm", units.IP, 1200 * 0.3048 * 0.3048 * 0.3048 / 60, 1e-9},
		{"litres per second", units.KindAirflow, "120 l/s", units.IP, 0.12, exact},
		{"cubic metres per hour", units.KindAirflow, "360 m3/h", units.SI, 0.1, exact},
		{"bare airflow in si", units.KindAirflow, "57", units.SI, 0.057, exact},
		{"fpm", units.KindVelocity, "500 fpm", units.IP, 2.54, exact},
		{"inches of water", units.KindPressure, "0.10 inwc", units.IP, 24.908891, 1e-6},
		{"inches of water with dots", units.KindPressure, "0.10 in. w.c.", units.IP, 24.908891, 1e-6},
		{"pascal", units.KindPressure, "90 Pa", units.IP, 90, exact},
		{"fahrenheit", units.KindTemperature, "68 F", units.IP, 20, exact},
		{"degrees fahrenheit", units.KindTemperature, "-40 °F", units.IP, -40, exact},
		{"celsius", units.KindTemperature, "24 C", units.IP, 24, exact},
		{"kelvin", units.KindTemperature, "300 K", units.SI, 26.85, 1e-12},
		{"bare temperature in si", units.KindTemperature, "24", units.SI, 24, exact},
		{"difference", units.KindTemperatureSpan, "20 F", units.IP, 100.0 / 9, exact},
		{"difference in kelvin", units.KindTemperatureSpan, "11 K", units.IP, 11, exact},
		{"tons", units.KindHeat, "3 ton", units.IP, 3 * 12000 * 1055.05585262 / 3600, 1e-7},
		{"thousands of Btu", units.KindHeat, "57 kBtu/h", units.IP, 57000 * 1055.05585262 / 3600, 1e-7},
		{"MBH of the trade", units.KindHeat, "57 MBH", units.IP, 57000 * 1055.05585262 / 3600, 1e-7},
		{"kilowatts", units.KindHeat, "10.5 kW", units.IP, 10500, exact},
		{"watts of heat", units.KindHeat, "800 W", units.IP, 800, exact},
		{"watts", units.KindElectricity, "450 W", units.IP, 450, exact},
		{"percent", units.KindFraction, "65 %", units.IP, 0.65, exact},
		{"percent without a blank", units.KindFraction, "65%", units.IP, 0.65, exact},
		{"bare percent", units.KindFraction, "25", units.IP, 0.25, exact},
		{"nothing", units.KindFraction, "0", units.IP, 0, exact},
		{"degrees", units.KindAngle, "68 deg", units.IP, 68, exact},
		{"degrees by sign", units.KindAngle, "68°", units.IP, 68, exact},
		{"R-value", units.KindInsulation, "R-8", units.IP, 8 * 0.176110, 1e-5},
		{"r-value", units.KindInsulation, "r8", units.IP, 8 * 0.176110, 1e-5},
		{"RSI-value", units.KindInsulation, "RSI-1.4", units.IP, 1.4, exact},
		{"bare insulation in si", units.KindInsulation, "1.4", units.SI, 1.4, exact},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := test.kind.Parse(test.text, test.system)
			require.NoError(t, err)
			assert.InDelta(t, test.want, got, test.within*math.Max(1e-9, math.Abs(test.want))+1e-15)
		})
	}
}

func TestParseErrors(t *testing.T) {
	for _, test := range []struct {
		name, text string
		kind       units.Kind
		want, fix  string
	}{
		{"airflow for a length", "16 cfm", units.KindLength, `"16 cfm" is an airflow, but a length is meant here`, `write a length, such as "12 ft"`},
		{"inches for a pressure", "0.1 in", units.KindPressure, `"0.1 in" is a length, but a pressure is meant here`, `write a pressure, such as "0.10 inwc"`},
		{"heat for electricity", "3 ton", units.KindElectricity, `"3 ton" is a heat flow, but an electric power is meant here`, `write an electric power, such as "450 W"`},
		{"unknown unit", "16 furlongs", units.KindLength, `"16 furlongs" has a unit that is not known: "furlongs"`, `write a length, such as "12 ft"`},
		{"decimal comma", "0,5 inwc", units.KindPressure, `"0,5 inwc" has a comma in its number; the decimal sign is a point`, `write a pressure, such as "0.10 inwc"`},
		{"million or thousand", "57 MBtu/h", units.KindHeat, `"57 MBtu/h" is unclear: M is a thousand to some and a million to others`, `write "kBtu/h"`},
		{"not a number", "nan", units.KindHeat, `"nan" is not a usable number`, `write a heat flow, such as "36 kBtu/h"`},
		{"not a number with unit", "NaN cfm", units.KindAirflow, `"NaN cfm" is not a usable number`, `write an airflow, such as "120 cfm"`},
		{"infinite", "-Inf Pa", units.KindPressure, `"-Inf Pa" is not a usable number`, `write a pressure, such as "0.10 inwc"`},
		{"overflow", "1e999 ft", units.KindLength, `"1e999 ft" is not a usable number`, `write a length, such as "12 ft"`},
		{"words", "about 12 ft", units.KindLength, `"about 12 ft" does not begin with a number`, `write a length, such as "12 ft"`},
		{"empty", "  ", units.KindLength, `"  " is empty`, `write a length, such as "12 ft"`},
		{"last number bare", "6 ft 4", units.KindLength, `"6 ft 4" has a number without a unit at its end`, `write a length, such as "12 ft"`},
		{"divided by nothing", "1/0 in", units.KindSize, `"1/0 in" divides by zero`, `write a length, such as "14 in"`},
		{"fraction or percentage", "0.25", units.KindFraction, `"0.25" could mean 25 % or 0.25 %`, `write "25 %"`},
		{"one or one percent", "1", units.KindFraction, `"1" could mean 100 % or 1 %`, `write "100 %"`},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := test.kind.Parse(test.text, units.IP)
			var e *units.Error
			require.ErrorAs(t, err, &e)
			assert.Equal(t, test.want, err.Error())
			assert.Equal(t, test.fix, e.Remedy())
		})
	}
}

func TestFormat(t *testing.T) {
	for _, test := range []struct{ name, ip, si string }{
		{"airflow", units.Airflow(0.5).Text(units.IP) + "|1059 cfm", units.Airflow(0.5).Text(units.SI) + "|500.0 l/s"},
		{"pressure", units.Pressure(124.5445).Text(units.IP) + "|0.500 in. w.c.", units.Pressure(124.5445).Text(units.SI) + "|124.5 Pa"},
		{"velocity", units.Velocity(2.54).Text(units.IP) + "|500 fpm", units.Velocity(2.54).Text(units.SI) + "|2.54 m/s"},
		{"length", units.Length(3.048).Text(units.IP) + "|10.0 ft", units.Length(3.048).Text(units.SI) + "|3.05 m"},
		{"size", units.Length(0.254).SizeText(units.IP) + "|10 in", units.Length(0.254).SizeText(units.SI) + "|254 mm"},
		{"temperature", units.Temperature(20).Text(units.IP) + "|68.0 °F", units.Temperature(20).Text(units.SI) + "|20.0 °C"},
		{"difference", units.TemperatureSpan(10).Text(units.IP) + "|18.0 °F", units.TemperatureSpan(10).Text(units.SI) + "|10.0 K"},
		{"heat", units.Heat(10550.5585).Text(units.IP) + "|36000 Btu/h", units.Heat(10550.5585).Text(units.SI) + "|10551 W"},
		{"area", units.Area(9.290304).Text(units.IP) + "|100 ft²", units.Area(9.290304).Text(units.SI) + "|9.3 m²"},
		{"watts", units.Electricity(450).Text(units.IP) + "|450 W", units.Electricity(450).Text(units.SI) + "|450 W"},
		{"share", units.Fraction(0.25).Text(units.IP) + "|25 %", units.Fraction(0.255).Text(units.SI) + "|25.5 %"},
		{"angle", units.Angle(68).Text(units.IP) + "|68°", units.Angle(68).Text(units.SI) + "|68°"},
		{"insulation", units.Insulation(8*units.RValueIP).Text(units.IP) + "|R-8", units.Insulation(1.41).Text(units.SI) + "|1.41 m²K/W"},
		{"no negative zero", units.Pressure(-0.01).Text(units.IP) + "|0.000 in. w.c.", units.Pressure(-0.01).Text(units.SI) + "|0.0 Pa"},
	} {
		t.Run(test.name, func(t *testing.T) {
			for _, pair := range []string{test.ip, test.si} {
				got, want, _ := strings.Cut(pair, "|")
				assert.Equal(t, want, got)
			}
		})
	}
}

// What is printed and what is typed are both read, and mean the same: "0.5 in. w.c." and "0.5 inwc", "75 °F" and "75 F".
func TestLabelsAreRead(t *testing.T) {
	for kind := units.KindLength; kind <= units.KindInsulation; kind++ {
		for _, system := range []units.System{units.IP, units.SI} {
			if kind == units.KindInsulation && system == units.IP {
				continue // is written R-8
			}
			typed, err := kind.Parse("12.5 "+kind.Symbol(system), system)
			require.NoError(t, err)
			printed, err := kind.Parse("12.5 "+kind.Label(system), system)
			require.NoError(t, err)
			assert.Equal(t, typed, printed, "%s, %s", kind.Symbol(system), kind.Label(system))
			bare, err := kind.FromNumber(12.5, system)
			require.NoError(t, err)
			assert.Equal(t, typed, bare)
		}
	}
	assert.Empty(t, units.Unknown.Label(units.IP))
	assert.Empty(t, units.Kind(99).Symbol(units.SI))
}

// What is printed short is read back as the same value, to the decimals that were printed.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := units.Kind(rapid.IntRange(int(units.KindLength), int(units.KindInsulation)).Draw(t, "kind"))
		system := units.System(rapid.IntRange(0, 1).Draw(t, "system"))
		value := rapid.Float64Range(0, 1000).Draw(t, "value")
		if kind == units.KindTemperature {
			value -= 100
		}
		text := kind.Format(value, system)
		if kind == units.KindInsulation && system == units.IP {
			text = units.Insulation(value).Text(system)
		}
		got, err := kind.Parse(text, system)
		require.NoError(t, err, text)
		step := 0.51 * math.Pow(10, -float64(kind.Decimals(system)))
		assert.InDelta(t, kind.In(value, system), kind.In(got, system), step, text)
	})
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"12 ft", `6'4"`, "1 1/2 in", "0.10 in. w.c.", "R-8", "65 %", "1,200 cfm", "-40 °F", "1e999", "nan", "1/0"} {
		f.Add(seed, 3)
	}
	f.Fuzz(func(t *testing.T, text string, k int) {
		kind := units.Kind(1 + (k%13+13)%13)
		value, err := kind.Parse(text, units.System(k&1))
		if err == nil && (math.IsNaN(value) || math.IsInf(value, 0)) {
			t.Fatalf("%q gives %v", text, value)
		}
	})
}
