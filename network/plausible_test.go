package network

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
)

// quantityField is a key of the job file that holds a quantity, with the table that it stands in.
type quantityField struct {
	holder string
	field  field
	kind   quantity.Kind
}

// quantityFields walks over the types of a Job.
func quantityFields(t reflect.Type, seen map[reflect.Type]bool) []quantityField {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct || seen[t] {
		return nil
	}
	seen[t] = true
	var out []quantityField
	for _, f := range fieldsOf(t) {
		of := t.Field(f.index).Type
		for of.Kind() == reflect.Pointer || of.Kind() == reflect.Slice {
			of = of.Elem()
		}
		kind := map[reflect.Type]quantity.Kind{
			reflect.TypeFor[quantity.Length](): quantity.KindLength, reflect.TypeFor[quantity.Area](): quantity.KindArea,
			reflect.TypeFor[quantity.Airflow](): quantity.KindAirflow, reflect.TypeFor[quantity.Velocity](): quantity.KindVelocity,
			reflect.TypeFor[quantity.Pressure](): quantity.KindPressure, reflect.TypeFor[quantity.Temperature](): quantity.KindTemperature,
			reflect.TypeFor[quantity.TemperatureSpan](): quantity.KindTemperatureSpan, reflect.TypeFor[quantity.Heat](): quantity.KindHeat,
			reflect.TypeFor[quantity.Electricity](): quantity.KindElectricity, reflect.TypeFor[quantity.Fraction](): quantity.KindFraction,
			reflect.TypeFor[quantity.Angle](): quantity.KindAngle, reflect.TypeFor[quantity.Insulation](): quantity.KindInsulation,
			reflect.TypeFor[quantity.Time](): quantity.KindTime,
		}[of]
		if kind == quantity.KindLength && f.size {
			kind = quantity.KindSize
		}
		if kind != quantity.Unknown {
			out = append(out, quantityField{t.Name(), f, kind})
			continue
		}
		out = append(out, quantityFields(of, seen)...)
	}
	return out
}

// usual is a value that a key holds in an ordinary house, in the trade's units (common practice).
var usual = map[string]string{
	"capacity": "36 kBtu/h", "output": "60 kBtu/h", "load": "13 kBtu/h",
	"static": "0.5 inwc", "blower-static": "0.5 inwc", "rated-drop": "0.10 inwc", "damper-pressure": "0.15 inwc", "damper-band": "0.05 inwc",
	"outlet-drop": "0.02 inwc", "test-pressure": "25 Pa", "room-pressure": "3 Pa",
	"elevation": "5000 ft", "run": "14 ft", "run-rise": "9 ft", "along": "10 ft", "lining": "1 in", "door-width": "30 in", "undercut": "0.75 in",
	"ceiling": "8 ft", "listener": "5 ft", "outlet-height": "7 ft", "reach": "12 ft", "drawing": "12 ft", "floor": "1200 ft2",
	"run-airflow": "130 cfm", "zone-airflow": "640 cfm", "machine-airflow": "1200 cfm", "blower-airflow": "1200 cfm", "outlet-airflow": "100 cfm",
	"leak-airflow": "40 cfm", "airflow-per-ton": "350 cfm",
	"outdoor": "93 F", "indoor": "75 F", "supply-air": "55 F", "around": "120 F", "leaving-limit": "160 F", "limit-temperature": "85 F",
	"plate-rise": "50 F", "design-span": "50 F", "limit-span": "5 F", "limit-velocity": "700 fpm", "draught": "50 fpm",
	"blower-watts": "450 W", "fan-power": "0.5 W", "sensible": "75 %", "arm": "35 deg", "duct-insulation": "R-8",
	"timer": "90 s", "efficiency": "80 %", "input": "3 kW", "gains": "800 Btu/h", "thermostat-span": "0.5 F", "daily-range": "20 F", "cut-out": "42 F",
}

// slips are the units in which people forget to say so: by kind, those whose bare number stands for the unit of an I-P and
// of an SI file.
var slips = map[quantity.Kind][2][]string{
	quantity.KindHeat:        {{"ton", "kBtu/h", "kW"}, {"ton", "kBtu/h", "kW"}},
	quantity.KindPressure:    {{"Pa"}, {"inwc", "kPa"}},
	quantity.KindLength:      {{"in", "mm"}, {"mm", "cm"}},
	quantity.KindSize:        {{"ft", "mm"}, {"in", "m"}},
	quantity.KindVelocity:    {{"m/s"}, {"fpm"}},
	quantity.KindTemperature: {{"C"}, {"F"}},
	quantity.KindElectricity: {{"kW"}, {"kW"}},
	quantity.KindInsulation:  {{"m2K/W"}, nil},
	quantity.KindAirflow:     {{"m3/s"}, {"m3/s"}},
}

// undetected are the slips that no bounds can find, since the wrong value is as usual as the right one.
var undetected = map[string]string{
	"outdoor C":           "34 is a usual temperature outdoors in both units; cooling weather so cold is a caution of its own",
	"around C":            "49 is usual in both units",
	"limit-temperature C": "29 °F is a limit of a coil, 29 °C one of entering air",
	"limit-temperature F": "85 °C is a limit of duct air, 85 °F one of entering air",
	"cut-out F":           "42 °C is a cut-out of heating; the machine decides, see time",
	"supply-air F":        "55 °C is supply air of a furnace; the weather's mode decides, see condition",
	"drawing in":          "a place in the picture is no size of the house", "drawing mm": "the same", "drawing cm": "the same",
	"leak-airflow m3/s": "a leak has no least",
}

// A bare number in a unit that people forget to name, a usual value otherwise, is refused or remarked upon for every key.
func TestBareNumbersInTheWrongUnit(t *testing.T) {
	tried, silent, seen := 0, 0, map[string]bool{}
	for _, q := range quantityFields(reflect.TypeFor[Job](), map[reflect.Type]bool{}) {
		if q.field.bounds == "" {
			assert.Contains(t, []quantity.Kind{quantity.KindFraction}, q.kind, "%s.%s has no bounds of its own", q.holder, q.field.key)
			continue
		}
		text, ok := usual[q.field.bounds]
		require.True(t, ok, "no usual value for %q", q.field.bounds)
		for i, system := range []quantity.System{quantity.IP, quantity.SI} {
			r := &reader{system: system}
			r.quantity(&node{name: q.field.key, leaf: text}, q.kind, q.field)
			require.Empty(t, r.found, "%s.%s = %s", q.holder, q.field.key, text)
			for _, unit := range slips[q.kind][i] {
				key := q.field.bounds + " " + unit
				wrong := inUnit(t, q.kind, text, unit)
				r := &reader{system: system}
				got := r.quantity(&node{name: q.field.key, leaf: wrong}, q.kind, q.field)
				tried++
				if _, known := undetected[key]; known && len(r.found) == 0 {
					silent++
					seen[key] = true
					continue
				}
				assert.NotEmpty(t, r.found, "%s.%s = %g (%s without its unit, in %s) is read as %g SI", q.holder, q.field.key, wrong, unit, system, got)
			}
		}
	}
	for key := range undetected {
		assert.True(t, seen[key], "%q is found: take it out of the list", key)
	}
	assert.Greater(t, tried, 150)
	assert.Less(t, silent, tried/4, "slips that bounds cannot find")
}

// inUnit is a quantity as a number of a unit.
func inUnit(t *testing.T, kind quantity.Kind, text, unit string) float64 {
	t.Helper()
	value, err := kind.Parse(text, quantity.IP)
	require.NoError(t, err)
	zero, err := kind.Parse("0 "+unit, quantity.IP)
	require.NoError(t, err)
	one, err := kind.Parse("1 "+unit, quantity.IP)
	require.NoError(t, err)
	return (value - zero) / (one - zero)
}

// Every row of the table is in order and serves a key or a form of the file.
func TestPlausibleTable(t *testing.T) {
	used := map[string]bool{"test-pressure": true, "leak-airflow": true, "sag": true, "loading": true} // the last two are plain numbers
	for _, q := range quantityFields(reflect.TypeFor[Job](), map[reflect.Type]bool{}) {
		used[q.field.bounds] = true
	}
	for name, b := range plausibleBounds {
		assert.True(t, b.least <= b.low && b.low < b.high && b.high <= b.most, "%s: %+v", name, b)
		assert.True(t, used[name], "no key uses %q", name)
	}
}

// The unit that is offered is the one in which the number is a usual value.
func TestLikelyUnit(t *testing.T) {
	for _, c := range []struct {
		bounds string
		kind   quantity.Kind
		leaf   any
		system quantity.System
		fix    string
	}{
		{"capacity", quantity.KindHeat, 2.5, quantity.IP, `did you mean "2.5 ton"?`},
		{"capacity", quantity.KindHeat, int64(36), quantity.IP, `did you mean "36 kBtu/h"?`},
		{"capacity", quantity.KindHeat, "10.5", quantity.SI, `did you mean "10.5 kW"?`},
		{"output", quantity.KindHeat, int64(48), quantity.IP, `did you mean "48 kBtu/h"?`},
		{"output", quantity.KindHeat, int64(14), quantity.SI, `did you mean "14 kW"?`},
		{"output", quantity.KindHeat, int64(480000), quantity.IP, `it lies between 3000 Btu/h and 400000 Btu/h; a heat flow is written like "36 kBtu/h"`},
		{"load", quantity.KindHeat, int64(13), quantity.IP, `did you mean "13 kBtu/h"?`},
		{"load", quantity.KindHeat, "13 k", quantity.IP, `did you mean "13 kBtu/h"?`},
		{"output", quantity.KindHeat, "48000 btu", quantity.IP, `write "48000 Btu/h"; Btu is an amount of heat, not a heat flow`},
		{"static", quantity.KindPressure, int64(125), quantity.IP, `did you mean "125 Pa"?`},
		{"rated-drop", quantity.KindPressure, 0.08, quantity.SI, `did you mean "0.08 inwc"?`},
		{"rated-drop", quantity.KindPressure, `0.08"`, quantity.IP, `did you mean "0.08 inwc"?`},
		{"run", quantity.KindLength, int64(168), quantity.IP, `did you mean "168 in"?`},
		{"run", quantity.KindLength, int64(4200), quantity.SI, `did you mean "4200 mm"?`},
		{"run-airflow", quantity.KindAirflow, "2.5 ton", quantity.IP, `write "1000 cfm" (at 400 cfm per ton)`},
		{"leaving-limit", quantity.KindTemperature, int64(71), quantity.SI, ""},
		{"indoor", quantity.KindTemperature, int64(24), quantity.IP, `did you mean "24 C"?`},
	} {
		r := &reader{system: c.system}
		r.quantity(&node{name: "x", leaf: c.leaf}, c.kind, field{bounds: c.bounds})
		if c.fix == "" {
			assert.Empty(t, r.found, "%v", c.leaf)
			continue
		}
		require.Len(t, r.found, 1, "%v", c.leaf)
		assert.Equal(t, c.fix, r.found[0].Fix, "%v", c.leaf)
	}
}
