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
		for _, s := range state.States(g) {
			o, err := solver.Quick().Solve(s)
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
			Bypass: rapid.Bool().Draw(r, "bypass"),
		}
		for i := range rapid.SampledFrom([]int{0, 2, 3, 5}).Draw(r, "zones") {
			name := rapid.SampledFrom([]string{"trunk", "Blower", "a", "House ", "supply plenum", "x-1", "zone  two"}).Draw(r, "name")
			a.Zones = append(a.Zones, Zone{Name: name + strings.Repeat("x", i), Wants: quantity.Airflow(rapid.SampledFrom([]float64{0, 133, 400, 600}).Draw(r, "wants")) * quantity.CFM})
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
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := File(c.a)
			require.ErrorIs(t, err, c.want)
		})
	}
}
