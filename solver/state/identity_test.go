package state_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
	"spillway/solver/verdict"
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
		assert.Empty(t, sameInNumbers(t, named, control, 100), c.name)
		assert.Empty(t, doubleNames(named), c.name)
	}
}

// sameInNumbers says in what the numbers of two jobs differ, in so many of their states; "" when they are the same to the last bit.
func sameInNumbers(t require.TestingT, a, b *network.Graph, most int) string {
	states, others := state.States(a), state.States(b)
	if len(states) != len(others) {
		return fmt.Sprintf("%d states, %d", len(states), len(others))
	}
	if d := differs(reflect.ValueOf(a.Elements), reflect.ValueOf(b.Elements), "elements"); d != "" {
		return d
	}
	one, err := state.New(a)
	two, errTwo := state.New(b)
	if err != nil || errTwo != nil { // figures that cannot be
		require.Error(t, err)
		require.Error(t, errTwo)
		return ""
	}
	for k := range min(most, len(states)) {
		i := k * len(states) / min(most, len(states))
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
		if d := differs(reflect.ValueOf(verdict.Judge(x)), reflect.ValueOf(verdict.Judge(y)), states[i].Name+" findings"); d != "" {
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

// Renaming everything in a job to whatever else is legal changes no number of any outcome by a single bit, nor what is judged; and however
// names are chosen, no two parts are displayed under one.
func TestRenamingChangesNothing(t *testing.T) {
	rounds := 2
	if testing.Short() {
		rounds = 1
	}
	for _, file := range networktest.LongJobs(t) {
		data := networktest.File(t, file)
		for _, alternative := range networktest.Alternatives(t, data) {
			t.Run(filepath.Base(file)+" "+alternative, func(t *testing.T) {
				for round := range rounds {
					renamed(t, data, alternative, uint64(round), 4)
				}
			})
		}
	}
}

// The same on job files out of chance; see TestSoak, whose flags it takes.
func TestRenamingSoak(t *testing.T) {
	for i := range min(*soakJobs, 1000) / 2 {
		number := uint64(*soakFrom + i)
		job := randomJob(rand.New(rand.NewPCG(*soakSeed, number)))
		if read, _ := network.Read("soak.toml", []byte(job), network.Options{}); read != nil {
			renamed(t, []byte(job), "", number, 3)
		}
	}
}

// renamed holds a job against itself under other names, in so many of its states, evenly chosen.
func renamed(t *testing.T, data []byte, alternative string, seed uint64, states int) {
	t.Helper()
	same, _ := networktest.Parts(t, data)
	plain := networktest.Build(t, "plain.toml", networktest.Rename(t, data, same), network.Options{Alternative: alternative})
	other := networktest.Rename(t, data, networktest.Scramble(t, data, rand.New(rand.NewPCG(seed, 7))))
	g := networktest.Build(t, "renamed.toml", other, network.Options{Alternative: alternative})
	if d := sameInNumbers(t, plain, g, states); d != "" {
		t.Errorf("seed %d: %s\n%s", seed, d, other)
	}
	assert.Empty(t, doubleNames(g), "seed %d", seed)
}

// The order of lines within a table changes no number beyond what the certificate leaves open: nodes are numbered otherwise, so sums are
// rounded otherwise and the iterations stop elsewhere within their tolerance.
func TestOrderOfLinesChangesNothing(t *testing.T) {
	files := networktest.LongJobs(t)
	for _, name := range networktest.Examples(t) { // the same houses in rows
		files = append(files, "examples/"+name+".toml")
	}
	for _, file := range files {
		data := networktest.File(t, file)
		placed, shuffled := networktest.Shuffle(t, data, rand.New(rand.NewPCG(1, 11)))
		for _, alternative := range networktest.Alternatives(t, data) {
			t.Run(filepath.Base(file)+" "+alternative, func(t *testing.T) {
				sameByName(t, placed, shuffled, alternative, 4)
			})
		}
	}
	for i := range min(*soakJobs, 1000) / 4 {
		job := randomJob(rand.New(rand.NewPCG(*soakSeed, uint64(*soakFrom+i))))
		if read, _ := network.Read("soak.toml", []byte(job), network.Options{}); read != nil {
			placed, shuffled := networktest.Shuffle(t, []byte(job), rand.New(rand.NewPCG(uint64(i), 11)))
			sameByName(t, placed, shuffled, "", 3)
		}
	}
}

// sameByName compares part by part. Both solves close to 1e-10 of the power that they move, which leaves a share of about that order open
// in a flow, times the slope of the steepest law (a shut damper's) in a drop, and less in a temperature. Seen: 1e-13 of the blower's
// airflow, 3e-9 Pa, 1e-11 K.
func sameByName(t *testing.T, placed, shuffled []byte, alternative string, most int) {
	t.Helper()
	const flow, drop, kelvin = 1e-9, 1e-6, 1e-7
	a := networktest.Build(t, "placed.toml", placed, network.Options{Alternative: alternative})
	b := networktest.Build(t, "shuffled.toml", shuffled, network.Options{Alternative: alternative})
	require.Len(t, b.Elements, len(a.Elements))
	require.Len(t, b.Nodes, len(a.Nodes))
	one, err := state.New(a)
	two, errTwo := state.New(b)
	if err != nil || errTwo != nil {
		require.Error(t, err)
		require.Error(t, errTwo)
		return
	}
	states := state.States(a)
	require.Len(t, state.States(b), len(states))
	for k := range min(most, len(states)) {
		cs := states[k*len(states)/min(most, len(states))]
		x, errX := one.Solve(cs)
		y, errY := two.Solve(cs)
		require.Equal(t, errX == nil, errY == nil, "%s: %v, %v", cs.Name, errX, errY)
		if errX != nil {
			continue
		}
		for i := range a.Elements {
			e := b.ElementNamed(a.Elements[i].Name)
			require.GreaterOrEqual(t, e, 0, a.Elements[i].Name)
			assert.InDelta(t, x.Elements[i].Airflow, y.Elements[e].Airflow, flow*x.Blower.Airflow, "%s: %s", cs.Name, a.Elements[i].Name)
			assert.InDelta(t, x.Elements[i].Drop, y.Elements[e].Drop, drop, "%s: %s", cs.Name, a.Elements[i].Name)
		}
		for i := range a.Nodes {
			n := b.NodeNamed(a.Nodes[i].Name)
			require.GreaterOrEqual(t, n, 0, a.Nodes[i].Name)
			assert.InDelta(t, x.Nodes[i].Temperature, y.Nodes[n].Temperature, kelvin, "%s: %s", cs.Name, a.Nodes[i].Name)
		}
	}
}
