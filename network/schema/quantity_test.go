package schema

import (
	"reflect"

	"spillway/network/units"
)

// kindOf is the kind of a quantity by its type, and the name of its definition.
func kindOf(t reflect.Type, size bool) (units.Kind, string) {
	switch t {
	case reflect.TypeFor[units.Length]():
		if size {
			return units.KindSize, "short-length"
		}
		return units.KindLength, "length"
	case reflect.TypeFor[units.Area]():
		return units.KindArea, "area"
	case reflect.TypeFor[units.Airflow]():
		return units.KindAirflow, "airflow"
	case reflect.TypeFor[units.Velocity]():
		return units.KindVelocity, "velocity"
	case reflect.TypeFor[units.Pressure]():
		return units.KindPressure, "pressure"
	case reflect.TypeFor[units.Temperature]():
		return units.KindTemperature, "temperature"
	case reflect.TypeFor[units.TemperatureSpan]():
		return units.KindTemperatureSpan, "temperature-difference"
	case reflect.TypeFor[units.Heat]():
		return units.KindHeat, "heat"
	case reflect.TypeFor[units.Electricity]():
		return units.KindElectricity, "electricity"
	case reflect.TypeFor[units.Fraction]():
		return units.KindFraction, "percentage"
	case reflect.TypeFor[units.Angle]():
		return units.KindAngle, "angle"
	case reflect.TypeFor[units.Insulation]():
		return units.KindInsulation, "insulation"
	}
	return units.Unknown, ""
}

// quantity is a number in the file's system of units or a text with a unit; nil for a type that is no quantity.
func (g *generator) quantity(t reflect.Type, f field) *node {
	kind, name := kindOf(t, f.size)
	if kind == units.Unknown {
		return nil
	}
	signed := kind == units.KindTemperature || f.limit == "signed"
	bare := &node{Type: "number"}
	zero := 0.0
	switch {
	case f.limit == "positive":
		name += "-above-zero"
		bare.ExclusiveMinimum = &zero
	case signed && kind != units.KindTemperature:
		name += "-signed"
	case !signed:
		bare.Minimum = &zero
	}
	if kind == units.KindFraction {
		bare = percentNumber()
	}
	return g.define(name, func() *node {
		written := &node{Type: "string", Pattern: kind.Pattern(signed)}
		ip, si := kind.Symbol(units.IP), kind.Symbol(units.SI)
		what := "a bare number is in " + ip
		if si != ip {
			what += `, or with units = "si" in ` + si
		}
		examples := `"` + kind.Example(units.IP) + `"`
		if e := kind.Example(units.SI); e != kind.Example(units.IP) {
			examples += ` or "` + e + `"`
		}
		return described(anyOf(bare, written), upper(kind.String())+", such as "+examples+"; "+what+".")
	})
}

// upper makes the first letter a capital.
func upper(s string) string { return string(s[0]-'a'+'A') + s[1:] }
