package starter

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/state"
)

// readAndSolve reads a starter without any message, as it stands and with its alternatives, and solves every call state.
func readAndSolve(t rapid.TB, data []byte) []*state.Outcome {
	job, found := network.Read("new.toml", data, network.Options{})
	require.Empty(t, found, "%s\n%s", found.Error(), data)
	var outcomes []*state.Outcome
	for _, alternative := range append([]network.Alternative{{}}, job.Alternatives...) {
		job, found := network.Read("new.toml", data, network.Options{Alternative: alternative.Name})
		require.Empty(t, found, "%s\n%s", found.Error(), data)
		g, err := network.Build(job)
		require.NoError(t, err)
		solver, err := state.New(g)
		require.NoError(t, err)
		for i, s := range state.States(g) {
			if len(s.Calling) > 1 && len(s.Calling) < len(job.Zones) || i%2 > 0 &&
				len(job.Zones) > 2 {
				continue // each zone alone and all together say enough
			}
			o, err := solver.Quick().Solve(s)
			if err != nil && strings.Contains(err.Error(), "beyond the range of the model") {
				continue // a heat pump with shut dampers and a bypass; "spillway new" says so
			}
			require.NoError(t, err, "%s\n%s", s.Name, data)
			outcomes = append(outcomes, o)
		}
	}
	return outcomes
}

func TestEveryStarterReadsAndSolves(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		a := Answers{
			Title: rapid.SampledFrom([]string{"", "The Miller house", `A "quoted" \ title`, "Größe # 3", "tab? no"}).Draw(r, "title"),
			Units: rapid.SampledFrom([]quantity.System{quantity.IP, quantity.SI}).Draw(r, "units"),
			Tons:  rapid.SampledFrom(append([]float64{0}, Sizes()...)).Draw(r, "tons"),
			Output: rapid.SampledFrom([]quantity.Heat{0, 25_000 * quantity.BtuPerHour, 57_300 * quantity.BtuPerHour}).
				Draw(r, "output"),
			Heater: rapid.SampledFrom(append([]string{""}, Heaters()...)).Draw(r, "heater"),
			Ducts:  rapid.SampledFrom([]string{"", "attic", "garage"}).Draw(r, "ducts"),
			Bypass: rapid.Bool().Draw(r, "bypass"),
		}
		for i := range rapid.SampledFrom([]int{0, 2, 3, 5}).Draw(r, "zones") {
			name := rapid.SampledFrom([]string{"trunk", "Blower", "a", "House ", "supply plenum", "x-1", "zone  two"}).Draw(r, "name")
			wants := rapid.SampledFrom([]float64{0, 133, 400, 600}).Draw(r, "wants")
			z := Zone{Name: name + strings.Repeat("x", i),
				Wants: quantity.Airflow(wants) * quantity.CFM}
			z.Stop = rapid.SampledFrom([]float64{0, 0.3}).Draw(r, "stop")
			if rapid.Bool().Draw(r, "known") {
				z.Floor, z.Loss, z.Gain, z.Up = 80, 5e3, 4e3, 2.7
				z.Rooms = []string{"Main bed", "bath"}[:1+i%2]
			}
			a.Zones = append(a.Zones, z)
		}
		data, err := File(a)
		if err != nil {
			for _, possible := range []error{ErrNames, ErrWants, ErrHeat} { // the same name twice, too much for the capacity
				if errors.Is(err, possible) {
					return
				}
			}
			require.NoError(r, err)
		}
		assert.NotEmpty(r, readAndSolve(r, data))
	})
}

// The default house: the blower moves about what its capacity asks for (400 cfm per ton, common practice), calling alone each zone gets
// what it wants or more, and nothing is far out of proportion.
func TestDefaultStarterIsASoundHouse(t *testing.T) {
	data, err := File(Answers{})
	require.NoError(t, err)
	for _, o := range readAndSolve(t, data) {
		q := o.Blower.Airflow / quantity.CFM
		assert.Greater(t, q, 850.0, o.State.Name)
		assert.Less(t, q, 1350.0, o.State.Name)
	}
}

func TestAnswersThatCannotBe(t *testing.T) {
	two := []Zone{{Name: "a"}, {Name: "b"}}
	for _, c := range []struct {
		name string
		a    Answers
		want error
	}{
		{"odd size", Answers{Tons: 3.2}, ErrSize},
		{"one zone", Answers{Zones: two[:1]}, ErrZones},
		{"same name twice", Answers{Zones: []Zone{{Name: "up stairs"}, {Name: "Up-Stairs"}}}, ErrNames},
		{"name with a quote", Answers{Zones: []Zone{{Name: `a"`}, {Name: "b"}}}, ErrNames},
		{"no name", Answers{Zones: []Zone{{}, {Name: "b"}}}, ErrNames},
		{"little air", Answers{Zones: []Zone{{Name: "a", Wants: 1e-3}, {Name: "b"}}}, ErrWants},
		{"line break in title", Answers{Title: "a\nb"}, ErrTitle},
		{"great heat", Answers{Output: 1e6}, ErrHeat},
		{"no such heating", Answers{Heater: "stove"}, ErrHeater},
		{"no such place", Answers{Ducts: "moon"}, ErrDucts},
		{"a floor of a stadium", Answers{Zones: []Zone{{Name: "a", Floor: 9e3}, {Name: "b"}}},
			ErrLoads},
		{"a room twice", Answers{Zones: []Zone{{Name: "a", Rooms: []string{"bed", "Bed"}},
			{Name: "b"}}}, ErrNames},
		{"a room of another zone's name", Answers{Zones: []Zone{{Name: "a", Rooms: []string{"b"}},
			{Name: "b"}}}, ErrNames},
		{"many rooms", Answers{Zones: []Zone{{Name: "a", Rooms: make([]string, 13)}, {Name: "b"}}},
			ErrRooms},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := File(c.a)
			require.ErrorIs(t, err, c.want)
		})
	}
}
