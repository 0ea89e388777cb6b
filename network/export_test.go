package network

import "reflect"

// LocalPath is the path of a local setting that a row of a job has or could have.
type LocalPath struct{ Path, Type string }

// LocalPaths lists the local settings of every row of a job.
func LocalPaths(j *Job) []LocalPath { return localPaths(reflect.ValueOf(j).Elem(), nil) }

func localPaths(v reflect.Value, at []string) []LocalPath {
	var list []LocalPath
	for _, f := range fieldsOf(v.Type()) {
		at := append(at[:len(at):len(at)], f.key)
		value := v.Field(f.index)
		of := value.Type()
		if of.Kind() == reflect.Pointer {
			of = of.Elem()
		}
		switch {
		case f.local:
			list = append(list, LocalPath{PathText(at...), of.Name()})
			continue
		case value.Kind() == reflect.Slice && named(of.Elem()):
			for i := range value.Len() {
				list = append(list, localPaths(value.Index(i), append(at[:len(at):len(at)], value.Index(i).FieldByName("Name").String()))...)
			}
			continue
		case value.Kind() == reflect.Pointer && !value.IsNil():
			value = value.Elem()
		}
		if value.Kind() == reflect.Struct {
			list = append(list, localPaths(value, at)...)
		}
	}
	return list
}
