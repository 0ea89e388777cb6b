package schematic

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
	"spillway/solver/state"
)

func grilleOf(t *testing.T, o *state.Outcome, line string) Grille {
	t.Helper()
	sc := sceneOf(t, o, Options{})
	i := slices.IndexFunc(sc.Grilles, func(g Grille) bool { return g.Name == line })
	require.GreaterOrEqual(t, i, 0, line)
	return sc.Grilles[i]
}

// A line with a position ends where the job file says, once that is farther than the layout needs; the same in all states.
func TestPositionByHand(t *testing.T) {
	free := loftCalls(t, "")
	before := grilleOf(t, free, "study")
	near := loftCalls(t, "", `supply.study.position=["1 ft", "1 ft"]`)
	assert.InDelta(t, before.X0, grilleOf(t, near, "study").X0, 1e-9, "nothing is drawn nearer than there is room")

	forty := grilleOf(t, loftCalls(t, "", `supply.study.position=["40 ft", "0 ft"]`), "study")
	fifty := grilleOf(t, loftCalls(t, "", `supply.study.position=["50 ft", "0 ft"]`), "study")
	assert.Greater(t, forty.X0, before.X0)
	assert.InDelta(t, 10*20, fifty.X0-forty.X0, 1e-6, "20 px to the foot")
}

// Positions out of all reason leave every label clear and every register drawn.
func TestPositionsByChanceStayReadable(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 1))
	lines := []string{"kitchen", "living-2", "hall", "loft-bed", "study", "loft-bath", "main-trunk", "loft-riser", "trunk"}
	for i := range 40 {
		var set []string
		for range 1 + random.IntN(4) {
			set = append(set, fmt.Sprintf(`supply.%s.position=["%d ft", "%d ft"]`, lines[random.IntN(len(lines))], random.IntN(90), random.IntN(60)))
		}
		o := loftCalls(t, "", set...)
		sc := sceneOf(t, o, Options{Units: quantity.IP})
		clear(t, sc, fmt.Sprint(i, set))
		assert.Len(t, o.Graph.Registers, count(sc.Grilles, func(g Grille) bool { return !g.Return }))
	}
}
