package quantity_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network/quantity"
)

// Expected values are products of the exact definitions: 1 ft = 0.3048 m, 1 in = 25.4 mm (international yard and pound
// agreement, 1959); °F = 1.8 °C + 32; 1 ton of refrigeration = 12 000 Btu/h; the Btu of the International Table, 1055.05585262 J;
// the conventional inch of water, 249.08891 Pa. The last two as in NIST Special Publication 811, appendix B (from memory).
func TestParse(t *testing.T) {
	const exact = 1e-12
	for _, test := range []struct {
		name   string
		kind   quantity.Kind
		text   string
		system quantity.System
		want   float64
		within float64 // relative
	}{
		{"feet", quantity.KindLength, "12 ft", quantity.IP, 3.6576, exact},
		{"feet without a blank", quantity.KindLength, "12ft", quantity.IP, 3.6576, exact},
		{"feet and inches", quantity.KindLength, "6 ft 4 in", quantity.IP, 1.9304, exact},
		{"feet and inches by marks", quantity.KindLength, `6'4"`, quantity.IP, 1.9304, exact},
		{"bare length in ip", quantity.KindLength, "10", quantity.IP, 3.048, exact},
		{"bare length in si", quantity.KindLength, "10", quantity.SI, 10, exact},
		{"bare size in ip", quantity.KindSize, "10", quantity.IP, 0.254, exact},
		{"bare size in si", quantity.KindSize, "250", quantity.SI, 0.25, exact},
		{"half an inch", quantity.KindSize, "1/2 in", quantity.IP, 0.0127, exact},
		{"one and a half inches", quantity.KindSize, "1 1/2 in", quantity.IP, 0.0381, exact},
		{"millimetres", quantity.KindSize, "250 mm", quantity.IP, 0.25, exact},
		{"metres", quantity.KindLength, "8 m", quantity.IP, 8, exact},
		{"signed", quantity.KindLength, "-9 ft", quantity.IP, -2.7432, exact},
		{"square feet", quantity.KindArea, "100 ft2", quantity.IP, 9.290304, exact},
		{"square feet by sign", quantity.KindArea, "100 ft²", quantity.IP, 9.290304, exact},
		{"square metres", quantity.KindArea, "64 m2", quantity.SI, 64, exact},
		{"cfm", quantity.KindAirflow, "40 cfm", quantity.IP, 40 * 0.3048 * 0.3048 * 0.3048 / 60, 1e-9},
		{"cfm in capitals", quantity.KindAirflow, "40 CFM", quantity.SI, 40 * 0.3048 * 0.3048 * 0.3048 / 60, 1e-9},
		{"thousands", quantity.KindAirflow, "1,200 cfm", quantity.IP, 1200 * 0.3048 * 0.3048 * 0.3048 / 60, 1e-9},
		{"litres per second", quantity.KindAirflow, "120 l/s", quantity.IP, 0.12, exact},
		{"cubic metres per hour", quantity.KindAirflow, "360 m3/h", quantity.SI, 0.1, exact},
		{"bare airflow in si", quantity.KindAirflow, "57", quantity.SI, 0.057, exact},
		{"fpm", quantity.KindVelocity, "500 fpm", quantity.IP, 2.54, exact},
		{"inches of water", quantity.KindPressure, "0.10 inwc", quantity.IP, 24.908891, 1e-6},
		{"inches of water with dots", quantity.KindPressure, "0.10 in. w.c.", quantity.IP, 24.908891, 1e-6},
		{"pascal", quantity.KindPressure, "90 Pa", quantity.IP, 90, exact},
		{"fahrenheit", quantity.KindTemperature, "68 F", quantity.IP, 20, exact},
		{"degrees fahrenheit", quantity.KindTemperature, "-40 °F", quantity.IP, -40, exact},
		{"celsius", quantity.KindTemperature, "24 C", quantity.IP, 24, exact},
		{"kelvin", quantity.KindTemperature, "300 K", quantity.SI, 26.85, 1e-12},
		{"bare temperature in si", quantity.KindTemperature, "24", quantity.SI, 24, exact},
		{"difference", quantity.KindTemperatureSpan, "20 F", quantity.IP, 100.0 / 9, exact},
		{"difference in kelvin", quantity.KindTemperatureSpan, "11 K", quantity.IP, 11, exact},
		{"tons", quantity.KindHeat, "3 ton", quantity.IP, 3 * 12000 * 1055.05585262 / 3600, 1e-7},
		{"thousands of Btu", quantity.KindHeat, "57 kBtu/h", quantity.IP, 57000 * 1055.05585262 / 3600, 1e-7},
		{"MBH of the trade", quantity.KindHeat, "57 MBH", quantity.IP, 57000 * 1055.05585262 / 3600, 1e-7},
		{"kilowatts", quantity.KindHeat, "10.5 kW", quantity.IP, 10500, exact},
		{"watts of heat", quantity.KindHeat, "800 W", quantity.IP, 800, exact},
		{"watts", quantity.KindElectricity, "450 W", quantity.IP, 450, exact},
		{"percent", quantity.KindFraction, "65 %", quantity.IP, 0.65, exact},
		{"percent without a blank", quantity.KindFraction, "65%", quantity.IP, 0.65, exact},
		{"bare percent", quantity.KindFraction, "25", quantity.IP, 0.25, exact},
		{"nothing", quantity.KindFraction, "0", quantity.IP, 0, exact},
		{"degrees", quantity.KindAngle, "68 deg", quantity.IP, 68, exact},
		{"degrees by sign", quantity.KindAngle, "68°", quantity.IP, 68, exact},
		{"R-value", quantity.KindInsulation, "R-8", quantity.IP, 8 * 0.176110, 1e-5},
		{"r-value", quantity.KindInsulation, "r8", quantity.IP, 8 * 0.176110, 1e-5},
		{"RSI-value", quantity.KindInsulation, "RSI-1.4", quantity.IP, 1.4, exact},
		{"bare insulation in si", quantity.KindInsulation, "1.4", quantity.SI, 1.4, exact},
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
		kind       quantity.Kind
		want, fix  string
	}{
		{"airflow for a length", "16 cfm", quantity.KindLength, `"16 cfm" is an airflow, but a length is meant here`, `write a length, such as "12 ft"`},
		{"inches for a pressure", "0.1 in", quantity.KindPressure, `"0.1 in" is a length, but a pressure is meant here`, `write a pressure, such as "0.10 inwc"`},
		{"heat for electricity", "3 ton", quantity.KindElectricity, `"3 ton" is a heat flow, but an electric power is meant here`, `write an electric power, such as "450 W"`},
		{"unknown unit", "16 furlongs", quantity.KindLength, `"16 furlongs" has a unit that is not known: "furlongs"`, `write a length, such as "12 ft"`},
		{"decimal comma", "0,5 inwc", quantity.KindPressure, `"0,5 inwc" has a comma in its number; the decimal sign is a point`, `write a pressure, such as "0.10 inwc"`},
		{"million or thousand", "57 MBtu/h", quantity.KindHeat, `"57 MBtu/h" is unclear: M is a thousand to some and a million to others`, `write "kBtu/h"`},
		{"not a number", "nan", quantity.KindHeat, `"nan" is not a usable number`, `write a heat flow, such as "36 kBtu/h"`},
		{"not a number with unit", "NaN cfm", quantity.KindAirflow, `"NaN cfm" is not a usable number`, `write an airflow, such as "120 cfm"`},
		{"infinite", "-Inf Pa", quantity.KindPressure, `"-Inf Pa" is not a usable number`, `write a pressure, such as "0.10 inwc"`},
		{"overflow", "1e999 ft", quantity.KindLength, `"1e999 ft" is not a usable number`, `write a length, such as "12 ft"`},
		{"words", "about 12 ft", quantity.KindLength, `"about 12 ft" does not begin with a number`, `write a length, such as "12 ft"`},
		{"empty", "  ", quantity.KindLength, `"  " is empty`, `write a length, such as "12 ft"`},
		{"last number bare", "6 ft 4", quantity.KindLength, `"6 ft 4" has a number without a unit at its end`, `write a length, such as "12 ft"`},
		{"divided by nothing", "1/0 in", quantity.KindSize, `"1/0 in" divides by zero`, `write a length, such as "14 in"`},
		{"fraction or percentage", "0.25", quantity.KindFraction, `"0.25" could mean 25 % or 0.25 %`, `write "25 %"`},
		{"one or one percent", "1", quantity.KindFraction, `"1" could mean 100 % or 1 %`, `write "100 %"`},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := test.kind.Parse(test.text, quantity.IP)
			var e *quantity.Error
			require.ErrorAs(t, err, &e)
			assert.Equal(t, test.want, err.Error())
			assert.Equal(t, test.fix, e.Remedy())
		})
	}
}

func TestFormat(t *testing.T) {
	for _, test := range []struct{ name, ip, si string }{
		{"airflow", quantity.Airflow(0.5).Text(quantity.IP) + "|1059 cfm", quantity.Airflow(0.5).Text(quantity.SI) + "|500.0 l/s"},
		{"pressure", quantity.Pressure(124.5445).Text(quantity.IP) + "|0.500 in. w.c.", quantity.Pressure(124.5445).Text(quantity.SI) + "|124.5 Pa"},
		{"velocity", quantity.Velocity(2.54).Text(quantity.IP) + "|500 fpm", quantity.Velocity(2.54).Text(quantity.SI) + "|2.54 m/s"},
		{"length", quantity.Length(3.048).Text(quantity.IP) + "|10.0 ft", quantity.Length(3.048).Text(quantity.SI) + "|3.05 m"},
		{"size", quantity.Length(0.254).SizeText(quantity.IP) + "|10 in", quantity.Length(0.254).SizeText(quantity.SI) + "|254 mm"},
		{"temperature", quantity.Temperature(20).Text(quantity.IP) + "|68.0 °F", quantity.Temperature(20).Text(quantity.SI) + "|20.0 °C"},
		{"difference", quantity.TemperatureSpan(10).Text(quantity.IP) + "|18.0 °F", quantity.TemperatureSpan(10).Text(quantity.SI) + "|10.0 K"},
		{"heat", quantity.Heat(10550.5585).Text(quantity.IP) + "|36000 Btu/h", quantity.Heat(10550.5585).Text(quantity.SI) + "|10551 W"},
		{"area", quantity.Area(9.290304).Text(quantity.IP) + "|100 ft²", quantity.Area(9.290304).Text(quantity.SI) + "|9.3 m²"},
		{"watts", quantity.Electricity(450).Text(quantity.IP) + "|450 W", quantity.Electricity(450).Text(quantity.SI) + "|450 W"},
		{"share", quantity.Fraction(0.25).Text(quantity.IP) + "|25 %", quantity.Fraction(0.255).Text(quantity.SI) + "|25.5 %"},
		{"angle", quantity.Angle(68).Text(quantity.IP) + "|68°", quantity.Angle(68).Text(quantity.SI) + "|68°"},
		{"insulation", quantity.Insulation(8*quantity.RValueIP).Text(quantity.IP) + "|R-8", quantity.Insulation(1.41).Text(quantity.SI) + "|1.41 m²K/W"},
		{"no negative zero", quantity.Pressure(-0.01).Text(quantity.IP) + "|0.000 in. w.c.", quantity.Pressure(-0.01).Text(quantity.SI) + "|0.0 Pa"},
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
	for kind := quantity.KindLength; kind <= quantity.KindInsulation; kind++ {
		for _, system := range []quantity.System{quantity.IP, quantity.SI} {
			if kind == quantity.KindInsulation && system == quantity.IP {
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
	assert.Empty(t, quantity.Unknown.Label(quantity.IP))
	assert.Empty(t, quantity.Kind(99).Symbol(quantity.SI))
}

// What is printed short is read back as the same value, to the decimals that were printed.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := quantity.Kind(rapid.IntRange(int(quantity.KindLength), int(quantity.KindInsulation)).Draw(t, "kind"))
		system := quantity.System(rapid.IntRange(0, 1).Draw(t, "system"))
		value := rapid.Float64Range(0, 1000).Draw(t, "value")
		if kind == quantity.KindTemperature {
			value -= 100
		}
		text := kind.Format(value, system)
		if kind == quantity.KindInsulation && system == quantity.IP {
			text = quantity.Insulation(value).Text(system)
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
		kind := quantity.Kind(1 + (k%13+13)%13)
		value, err := kind.Parse(text, quantity.System(k&1))
		if err == nil && (math.IsNaN(value) || math.IsInf(value, 0)) {
			t.Fatalf("%q gives %v", text, value)
		}
	})
}
