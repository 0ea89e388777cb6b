package study

import (
	"reflect"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
)

// jobValue is a value of a job with what it is a value of. A position is a fraction that may be told in degrees of blade too.
type jobValue struct {
	kind     quantity.Kind // quantity.Unknown: a plain number
	position bool
	si       float64
}

// lookUp finds a value by its path in the job file; false when nothing stands there or it is no quantity.
func lookUp(job *network.Job, path string) (jobValue, bool) {
	v, ok := walk(reflect.ValueOf(job).Elem(), strings.Split(path, "."))
	if !ok {
		return jobValue{}, false
	}
	switch x := v.Interface().(type) {
	case network.Position:
		return jobValue{quantity.KindFraction, true, float64(x)}, true
	case quantity.Length:
		return jobValue{kind: quantity.KindLength, si: float64(x)}, true
	case quantity.Area:
		return jobValue{kind: quantity.KindArea, si: float64(x)}, true
	case quantity.Airflow:
		return jobValue{kind: quantity.KindAirflow, si: float64(x)}, true
	case quantity.Velocity:
		return jobValue{kind: quantity.KindVelocity, si: float64(x)}, true
	case quantity.Pressure:
		return jobValue{kind: quantity.KindPressure, si: float64(x)}, true
	case quantity.Temperature:
		return jobValue{kind: quantity.KindTemperature, si: float64(x)}, true
	case quantity.TemperatureSpan:
		return jobValue{kind: quantity.KindTemperatureSpan, si: float64(x)}, true
	case quantity.Heat:
		return jobValue{kind: quantity.KindHeat, si: float64(x)}, true
	case quantity.Electricity:
		return jobValue{kind: quantity.KindElectricity, si: float64(x)}, true
	case quantity.Fraction:
		return jobValue{kind: quantity.KindFraction, si: float64(x)}, true
	case quantity.Angle:
		return jobValue{kind: quantity.KindAngle, si: float64(x)}, true
	case quantity.Insulation:
		return jobValue{kind: quantity.KindInsulation, si: float64(x)}, true
	case float64:
		return jobValue{si: x}, true
	}
	return jobValue{}, false
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
func (q jobValue) parse(text string, system quantity.System) (float64, error) {
	switch {
	case q.position:
		position, err := network.ParsePosition(text, system)
		return float64(position), err
	case q.kind == quantity.Unknown:
		x, unit, err := splitNumber(text)
		if err == nil && unit != "" {
			err = question("%q has a unit, but a plain number is meant", text)
		}
		return x, err
	}
	return q.kind.Parse(text, system)
}

// parseSpan reads a text as a difference of such quantities.
func (q jobValue) parseSpan(text string, system quantity.System) (float64, error) {
	switch {
	case q.position && strings.Contains(text, "deg"):
		degrees, err := quantity.KindAngle.Parse(text, system)
		return degrees / fullBlade, err
	case q.kind == quantity.KindTemperature:
		return quantity.KindTemperatureSpan.Parse(text, system)
	}
	return q.parse(text, system)
}

// text writes a value as the job file would, in SI units.
func (q jobValue) text(si float64) string {
	switch q.kind {
	case quantity.KindFraction:
		return write(100*si, "%")
	case quantity.KindLength, quantity.KindSize:
		return write(si, "m")
	case quantity.KindArea:
		return write(si, "m2")
	case quantity.KindAirflow:
		return write(si, "m3/s")
	case quantity.KindVelocity:
		return write(si, "m/s")
	case quantity.KindPressure:
		return write(si, "Pa")
	case quantity.KindTemperature:
		return write(si, "C")
	case quantity.KindTemperatureSpan:
		return write(si, "K")
	case quantity.KindHeat, quantity.KindElectricity:
		return write(si, "W")
	case quantity.KindAngle:
		return write(si, "deg")
	case quantity.KindInsulation:
		return write(si, "m2K/W")
	}
	return write(si, "")
}
