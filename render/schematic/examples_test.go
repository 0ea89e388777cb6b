package schematic

import (
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// Every state of every alternative of every example that people are given: no label over anything, every register drawn, no
// duct forgotten.
func TestExamplesAreReadable(t *testing.T) {
	for _, file := range networktest.Examples(t) {
		asIs := map[string]*state.Outcome{}
		for _, name := range networktest.Alternatives(t, networktest.Example(t, file)) {
			t.Run(file+" "+name, func(t *testing.T) {
				g := networktest.Graph(t, file, name)
				solver := statetest.Solver(t, g)
				plan := Lay(g)
				for _, cs := range state.States(g) {
					o, err := solver.Solve(cs)
					require.NoError(t, err, cs.Name)
					sc, err := plan.Scene(o, Options{Units: g.Job.Units, Sentence: "One sentence that tells where the surplus goes."})
					require.NoError(t, err)
					clear(t, sc, cs.Name)
					addsUp(t, sc, cs.Name)
					if name == "" {
						asIs[cs.Name] = o
					} else if before := asIs[cs.Name]; before != nil {
						sc, err := plan.Scene(o, Options{Units: g.Job.Units, Before: before, BeforeName: "the file"})
						require.NoError(t, err)
						clear(t, sc, cs.Name+", what changes")
					}
					assert.Len(t, g.Registers, count(sc.Grilles, func(g Grille) bool { return !g.Return }))
					seen := map[int]bool{}
					for _, r := range sc.Ribbons {
						seen[r.Element] = true
					}
					for e := range g.Elements {
						if g.Elements[e].Kind == network.KindDuct {
							assert.True(t, seen[e], "duct %s is not drawn", g.Elements[e].Name)
						}
					}
				}
			})
		}
	}
}

// addsUp checks that what the strip says adds up to what its head says, as whole numbers: a reader who adds must not be one off.
func addsUp(t *testing.T, sc *Scene, name string) {
	t.Helper()
	whole := func(text string) int {
		n, err := strconv.Atoi(strings.ReplaceAll(strings.Fields(text)[0], ",", ""))
		require.NoError(t, err, text)
		return n
	}
	sum, head := 0, ""
	for _, s := range sc.Ledger {
		sum += whole(s.Text)
	}
	for _, l := range sc.Labels {
		if rest, ok := strings.CutPrefix(l.Text, "Where the "); ok {
			head = rest
		}
	}
	require.NotEmpty(t, head)
	assert.Equal(t, whole(head), sum, name)
}

func TestOnePlanServesManyAtOnce(t *testing.T) {
	h := twoFloors()
	plan := Lay(h.g)
	o := h.outcome("loft")
	want := sceneOf(t, o, Options{Units: quantity.SI})
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			got, err := plan.Scene(o, Options{Units: quantity.SI})
			assert.NoError(t, err)
			assert.Equal(t, describe(want), describe(got))
		})
	}
	group.Wait()
}
