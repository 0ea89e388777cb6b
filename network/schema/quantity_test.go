package schema

import (
	"reflect"

	"spillway/network/quantity"
)

// kindOf is the kind of a quantity by its type, and the name of its definition.
func kindOf(t reflect.Type, size bool) (quantity.Kind, string) {
	switch t {
	case reflect.TypeFor[quantity.Length]():
		if size {
			return quantity.KindSize, "short-length"
		}
		return quantity.KindLength, "length"
	case reflect.TypeFor[quantity.Area]():
		return quantity.KindArea, "area"
	case reflect.TypeFor[quantity.Airflow]():
		return quantity.KindAirflow, "airflow"
	case reflect.TypeFor[quantity.Velocity]():
		return quantity.KindVelocity, "velocity"
	case reflect.TypeFor[quantity.Pressure]():
		return quantity.KindPressure, "pressure"
	case reflect.TypeFor[quantity.Temperature]():
		return quantity.KindTemperature, "temperature"
	case reflect.TypeFor[quantity.TemperatureSpan]():
		return quantity.KindTemperatureSpan, "temperature-difference"
	case reflect.TypeFor[quantity.Heat]():
		return quantity.KindHeat, "heat"
	case reflect.TypeFor[quantity.Electricity]():
		return quantity.KindElectricity, "electricity"
	case reflect.TypeFor[quantity.Fraction]():
		return quantity.KindFraction, "percentage"
	case reflect.TypeFor[quantity.Time]():
		return quantity.KindTime, "time"
	case reflect.TypeFor[quantity.Angle]():
		return quantity.KindAngle, "angle"
	case reflect.TypeFor[quantity.Insulation]():
		return quantity.KindInsulation, "insulation"
	}
	return quantity.Unknown, ""
}

// quantity is a number in the file's system of units or a text with a unit; nil for a type that is no quantity.
func (g *generator) quantity(t reflect.Type, f field) *node {
	kind, name := kindOf(t, f.size)
	if kind == quantity.Unknown {
		return nil
	}
	signed := kind == quantity.KindTemperature || f.limit == "signed"
	bare := &node{Type: "number"}
	zero := 0.0
	switch {
	case f.limit == "positive":
		name += "-above-zero"
		bare.ExclusiveMinimum = &zero
	case signed && kind != quantity.KindTemperature:
		name += "-signed"
	case !signed:
		bare.Minimum = &zero
	}
	if kind == quantity.KindFraction {
		bare = percentNumber()
	}
	return g.define(name, func() *node {
		written := &node{Type: "string", Pattern: kind.Pattern(signed)}
		ip, si := kind.Symbol(quantity.IP), kind.Symbol(quantity.SI)
		what := "a bare number is in " + ip
		if si != ip {
			what += `, or with units = "si" in ` + si
		}
		examples := `"` + kind.Example(quantity.IP) + `"`
		if e := kind.Example(quantity.SI); e != kind.Example(quantity.IP) {
			examples += ` or "` + e + `"`
		}
		return described(anyOf(bare, written, g.doubt()),
			upper(kind.String())+", such as "+examples+"; "+what+".")
	})
}

// upper makes the first letter a capital.
func upper(s string) string { return string(s[0]-'a'+'A') + s[1:] }
