package study_test

import (
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
	"spillway/solver/study"
)

// open prepares a study of an example.
func open(t testing.TB, name string, opt study.Options) *study.Study {
	t.Helper()
	return study.New(name+".toml", networktest.Example(t, name), opt)
}

// only chooses call states by name.
func only(names ...string) func(g *network.Graph) ([]state.CallState, error) {
	return func(g *network.Graph) (chosen []state.CallState, err error) {
		for _, cs := range state.States(g) {
			for _, name := range names {
				if cs.Name == name {
					chosen = append(chosen, cs)
				}
			}
		}
		return chosen, nil
	}
}

// sameWithin asserts that two values are alike field by field, following pointers, their numbers within the tolerance that solving from different
// starts leaves. NaN, which stands for "does not apply", is like NaN only.
func sameWithin(t *testing.T, expected, actual any) {
	t.Helper()
	for _, difference := range differences("", reflect.ValueOf(expected), reflect.ValueOf(actual)) {
		assert.Fail(t, "not the same", difference)
	}
}

// differences lists where two values of one type differ by more than the tolerance of sameWithin, each with the path to it.
func differences(path string, x, y reflect.Value) (found []string) {
	const tolerance = 1e-6
	differ := func(x, y any) []string { return []string{fmt.Sprintf("%s: %v and %v", path, x, y)} }
	switch x.Kind() {
	case reflect.Float64:
		x, y := x.Float(), y.Float()
		if x != y && !(math.IsNaN(x) && math.IsNaN(y)) && !(math.Abs(x-y) <= tolerance*max(1, math.Abs(x))) {
			return differ(x, y)
		}
	case reflect.Struct:
		for i := range x.NumField() {
			found = append(found, differences(path+"."+x.Type().Field(i).Name, x.Field(i), y.Field(i))...)
		}
	case reflect.Slice, reflect.Array:
		if x.Len() != y.Len() {
			return differ(x.Len(), y.Len())
		}
		for i := range x.Len() {
			found = append(found, differences(fmt.Sprintf("%s[%d]", path, i), x.Index(i), y.Index(i))...)
		}
	case reflect.Pointer, reflect.Interface:
		if x.IsNil() || y.IsNil() {
			if x.IsNil() != y.IsNil() {
				return differ(x.IsNil(), y.IsNil())
			}
			return nil
		}
		return differences(path, x.Elem(), y.Elem())
	case reflect.Func, reflect.Map, reflect.Chan:
		return []string{path + ": values of kind " + x.Kind().String() + " cannot be compared"}
	default:
		if !x.Equal(y) {
			return differ(x, y)
		}
	}
	return found
}

// number finds the numbers of a printed value.
var number = regexp.MustCompile(`-?\d+(\.\d+)?(e[+-]\d+)?`)

// sameTextWithin asserts that two texts say the same in the same words, their numbers within the tolerance of sameWithin.
func sameTextWithin(t *testing.T, expected, actual string) {
	t.Helper()
	require.Equal(t, number.ReplaceAllString(expected, "#"), number.ReplaceAllString(actual, "#"))
	values := func(text string) (found []float64) {
		for _, printed := range number.FindAllString(text, -1) {
			value, err := strconv.ParseFloat(printed, 64)
			require.NoError(t, err)
			found = append(found, value)
		}
		return found
	}
	sameWithin(t, values(expected), values(actual))
}

func TestDifferencesAreSeen(t *testing.T) {
	type leaf struct {
		x    float64
		name string
	}
	type tree struct {
		at    *leaf
		many  []leaf
		count int
	}
	build := func(change func(*tree)) reflect.Value {
		made := tree{at: &leaf{x: math.NaN(), name: "a"}, many: []leaf{{x: 1}, {x: 1e9}}, count: 3}
		change(&made)
		return reflect.ValueOf(made)
	}
	same := build(func(*tree) {})
	assert.Empty(t, differences("", same, build(func(w *tree) { w.many[1].x += 100 })), "within the tolerance")
	for _, change := range []func(*tree){
		func(w *tree) { w.at.x = 2 },
		func(w *tree) { w.at.name = "b" },
		func(w *tree) { w.at = nil },
		func(w *tree) { w.many[0].x = 1.001 },
		func(w *tree) { w.many[0].x = math.NaN() },
		func(w *tree) { w.many = w.many[:1] },
		func(w *tree) { w.count++ },
	} {
		assert.Len(t, differences("", same, build(change)), 1)
		assert.Len(t, differences("", build(change), same), 1)
	}
}
