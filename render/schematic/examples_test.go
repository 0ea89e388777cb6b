package schematic

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/units"
	"spillway/solver/state"
)

// Every state of every alternative of every example that people are given: no label over anything, every register drawn, no
// duct forgotten.
func TestExamplesAreReadable(t *testing.T) {
	files, err := filepath.Glob("../../examples/*.toml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 5)
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		base, problems := network.Read(file, data, network.Options{})
		require.NotNil(t, base, "%v", problems)
		names := []string{""}
		for _, a := range base.Alternatives {
			names = append(names, a.Name)
		}
		asIs := map[string]*state.Outcome{}
		for _, name := range names {
			t.Run(filepath.Base(file)+" "+name, func(t *testing.T) {
				job, problems := network.Read(file, data, network.Options{Alternative: name})
				require.NotNil(t, job, "%v", problems)
				g, err := network.Build(job)
				require.NoError(t, err)
				solver, err := state.New(g)
				require.NoError(t, err)
				plan := Lay(g)
				for _, cs := range state.States(g) {
					o, err := solver.Solve(cs)
					require.NoError(t, err, cs.Name)
					sc, err := plan.Scene(o, Options{Units: job.Units, Sentence: "One sentence that tells where the surplus goes."})
					require.NoError(t, err)
					clear(t, sc, cs.Name)
					addsUp(t, sc, cs.Name)
					if name == "" {
						asIs[cs.Name] = o
					} else if before := asIs[cs.Name]; before != nil {
						sc, err := plan.Scene(o, Options{Units: job.Units, Before: before, BeforeName: "the file"})
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
	want := sceneOf(t, o, Options{Units: units.SI})
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			got, err := plan.Scene(o, Options{Units: units.SI})
			assert.NoError(t, err)
			assert.Equal(t, describe(want), describe(got))
		})
	}
	group.Wait()
}
