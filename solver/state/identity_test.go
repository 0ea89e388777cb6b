package state_test

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
)

// A part is what it is by where it stands in the job, never by what it is called: a line whose name makes a composed name equal to another
// part's gives the very numbers that it gives under any other name. Each of these once joined two parts in one node, and the job
// passed as in order.
func TestNamesThatMeetComposedOnes(t *testing.T) {
	const (
		dump   = "\n[dump]\n%s = { from = \"trunk\", size = \"8 in\", length = \"10 ft\", register = \"12x8 in\", room = \"hall\", opens-at = \"0.10 inwc\" }\n"
		bypass = "\n[bypass]\n%s = { from = \"supply plenum\", to = \"return plenum\", size = \"8 in\", length = \"10 ft\", opens-at = \"0.30 inwc\" }\n"
		box    = `link = { from = %[1]q, to = "return plenum", size = "8 in", length = "10 ft" }
feed = { to = %[1]q, grille = "14x8 in", size = "8 in", length = "6 ft" }
[box]
%[1]q = {}
[room]
"bed 2" = { door = { undercut = "0.75 in" } }
`
	)
	job := string(networktest.Example(t, "first-look"))
	for _, c := range []struct{ added, name, control string }{
		{dump, "bed", "overflow"},
		{bypass, "day", "relief"},
		{box, "bed damper outlet", "return box"},
		{box, "room bed 2", "return box"},
	} {
		named := networktest.Build(t, "named.toml", []byte(job+fmt.Sprintf(c.added, c.name)), network.Options{})
		control := networktest.Build(t, "control.toml", []byte(job+fmt.Sprintf(c.added, c.control)), network.Options{})
		assert.Empty(t, sameInNumbers(t, named, control), c.name)
		assert.Empty(t, doubleNames(named), c.name)
	}
}

// sameInNumbers says in what the numbers of two jobs differ, state by state; "" when they are the same to the last bit.
func sameInNumbers(t require.TestingT, a, b *network.Graph) string {
	states, others := state.States(a), state.States(b)
	if len(states) != len(others) {
		return fmt.Sprintf("%d states, %d", len(states), len(others))
	}
	if d := differs(reflect.ValueOf(a.Elements), reflect.ValueOf(b.Elements), "elements"); d != "" {
		return d
	}
	one, err := state.New(a)
	require.NoError(t, err)
	two, err := state.New(b)
	require.NoError(t, err)
	for i := range states {
		x, errX := one.Solve(states[i])
		y, errY := two.Solve(others[i])
		if (errX == nil) != (errY == nil) {
			return fmt.Sprintf("%s: %v, %v", states[i].Name, errX, errY)
		}
		if errX != nil {
			continue
		}
		if d := differs(reflect.ValueOf(x), reflect.ValueOf(y), states[i].Name); d != "" {
			return d
		}
	}
	return ""
}

// differs compares whatever holds numbers, bit by bit, and leaves out texts. It says where the first difference is.
func differs(a, b reflect.Value, at string) string {
	switch a.Kind() {
	case reflect.Float64:
		if math.Float64bits(a.Float()) != math.Float64bits(b.Float()) {
			return fmt.Sprintf("%s: %v, %v", at, a.Float(), b.Float())
		}
	case reflect.Int, reflect.Int64, reflect.Uint8, reflect.Bool:
		if !a.Equal(b) {
			return fmt.Sprintf("%s: %v, %v", at, a, b)
		}
	case reflect.Pointer, reflect.Interface:
		if a.IsNil() || b.IsNil() {
			if a.IsNil() != b.IsNil() {
				return at + ": one is nil"
			}
			return ""
		}
		if a.Type() == reflect.TypeFor[*network.Graph]() {
			return ""
		}
		if a.Elem().Type() != b.Elem().Type() {
			return fmt.Sprintf("%s: %v, %v", at, a.Elem().Type(), b.Elem().Type())
		}
		return differs(a.Elem(), b.Elem(), at)
	case reflect.Struct:
		for i := range a.NumField() {
			if d := differs(a.Field(i), b.Field(i), at+"."+a.Type().Field(i).Name); d != "" {
				return d
			}
		}
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return fmt.Sprintf("%s: %d, %d", at, a.Len(), b.Len())
		}
		for i := range a.Len() {
			if d := differs(a.Index(i), b.Index(i), fmt.Sprintf("%s[%d]", at, i)); d != "" {
				return d
			}
		}
	case reflect.Map:
		if a.Len() != b.Len() {
			return fmt.Sprintf("%s: %d, %d", at, a.Len(), b.Len())
		}
		if a.Type().Key().Kind() != reflect.String {
			for _, k := range a.MapKeys() {
				if !b.MapIndex(k).IsValid() {
					return fmt.Sprintf("%s: no %v", at, k)
				}
				if d := differs(a.MapIndex(k), b.MapIndex(k), fmt.Sprintf("%s[%v]", at, k)); d != "" {
					return d
				}
			}
		}
	}
	return ""
}

// doubleNames lists the display names that more than one node or element has.
func doubleNames(g *network.Graph) string {
	seen, twice := map[string]bool{}, []string{}
	see := func(name string) {
		if seen[name] {
			twice = append(twice, name)
		}
		seen[name] = true
	}
	for i := range g.Nodes {
		see(g.Nodes[i].Name)
	}
	for i := range g.Elements {
		see(g.Elements[i].Name)
	}
	return strings.Join(twice, ", ")
}
