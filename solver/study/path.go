package study

import (
	"reflect"
	"strings"

	"spillway/network"
	"spillway/network/units"
)

// quantity is a value of a job with what it is a value of. A position is a fraction that may be told in degrees of blade too.
type quantity struct {
	kind     units.Kind // units.Unknown: a plain number
	position bool
	si       float64
}

// lookUp finds a value by its path in the job file; false when nothing stands there or it is no quantity.
func lookUp(job *network.Job, path string) (quantity, bool) {
	v, ok := walk(reflect.ValueOf(job).Elem(), strings.Split(path, "."))
	if !ok {
		return quantity{}, false
	}
	switch x := v.Interface().(type) {
	case network.Position:
		return quantity{units.KindFraction, true, float64(x)}, true
	case units.Length:
		return quantity{kind: units.KindLength, si: float64(x)}, true
	case units.Area:
		return quantity{kind: units.KindArea, si: float64(x)}, true
	case units.Airflow:
		return quantity{kind: units.KindAirflow, si: float64(x)}, true
	case units.Velocity:
		return quantity{kind: units.KindVelocity, si: float64(x)}, true
	case units.Pressure:
		return quantity{kind: units.KindPressure, si: float64(x)}, true
	case units.Temperature:
		return quantity{kind: units.KindTemperature, si: float64(x)}, true
	case units.TemperatureSpan:
		return quantity{kind: units.KindTemperatureSpan, si: float64(x)}, true
	case units.Heat:
		return quantity{kind: units.KindHeat, si: float64(x)}, true
	case units.Electricity:
		return quantity{kind: units.KindElectricity, si: float64(x)}, true
	case units.Fraction:
		return quantity{kind: units.KindFraction, si: float64(x)}, true
	case units.Angle:
		return quantity{kind: units.KindAngle, si: float64(x)}, true
	case units.Insulation:
		return quantity{kind: units.KindInsulation, si: float64(x)}, true
	case float64:
		return quantity{si: x}, true
	}
	return quantity{}, false
}

// walk follows a path through structs by the words of the job file and through named parts by their names.
func walk(v reflect.Value, path []string) (reflect.Value, bool) {
	for v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return v, false
		}
		v = v.Elem()
	}
	if len(path) == 0 {
		return v, true
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if key, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("toml"), ","); key != "" && key == path[0] {
				return walk(v.Field(i), path[1:])
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			if e := v.Index(i); e.Kind() == reflect.Struct {
				if name := e.FieldByName("Name"); name.IsValid() && name.String() == path[0] {
					return walk(e, path[1:])
				}
			}
		}
	}
	return v, false
}

// expand lists the paths that a pattern with * for a name stands for: those at which the job has a value other than zero. A pattern
// without * stands for itself.
func expand(job *network.Job, pattern string) []string {
	head, tail, found := strings.Cut(pattern, "*")
	if !found {
		return []string{pattern}
	}
	v, ok := walk(reflect.ValueOf(job).Elem(), strings.Split(strings.TrimSuffix(head, "."), "."))
	if !ok || v.Kind() != reflect.Slice {
		return nil
	}
	var paths []string
	for i := range v.Len() {
		e := v.Index(i)
		if e.Kind() != reflect.Struct || !e.FieldByName("Name").IsValid() {
			return nil
		}
		path := head + e.FieldByName("Name").String() + tail
		if q, ok := lookUp(job, path); ok && q.si != 0 {
			paths = append(paths, path)
		}
	}
	return paths
}

// parse reads a text as a quantity of the same kind.
func (q quantity) parse(text string, system units.System) (float64, error) {
	switch {
	case q.position:
		position, err := network.ParsePosition(text, system)
		return float64(position), err
	case q.kind == units.Unknown:
		x, unit, err := splitNumber(text)
		if err == nil && unit != "" {
			err = question("%q has a unit, but a plain number is meant", text)
		}
		return x, err
	}
	return q.kind.Parse(text, system)
}

// parseSpan reads a text as a difference of such quantities.
func (q quantity) parseSpan(text string, system units.System) (float64, error) {
	switch {
	case q.position && strings.Contains(text, "deg"):
		degrees, err := units.KindAngle.Parse(text, system)
		return degrees / fullBlade, err
	case q.kind == units.KindTemperature:
		return units.KindTemperatureSpan.Parse(text, system)
	}
	return q.parse(text, system)
}

// text writes a value as the job file would, in SI units.
func (q quantity) text(si float64) string {
	switch q.kind {
	case units.KindFraction:
		return write(100*si, "%")
	case units.KindLength, units.KindSize:
		return write(si, "m")
	case units.KindArea:
		return write(si, "m2")
	case units.KindAirflow:
		return write(si, "m3/s")
	case units.KindVelocity:
		return write(si, "m/s")
	case units.KindPressure:
		return write(si, "Pa")
	case units.KindTemperature:
		return write(si, "C")
	case units.KindTemperatureSpan:
		return write(si, "K")
	case units.KindHeat, units.KindElectricity:
		return write(si, "W")
	case units.KindAngle:
		return write(si, "deg")
	case units.KindInsulation:
		return write(si, "m2K/W")
	}
	return write(si, "")
}
