package balance_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/optimize"
	"pgregory.net/rapid"

	"spillway/solver/flow"
	"spillway/solver/study/balance"
)

// comb is a fan 180 − 60 Q − 300 Q² with five pieces of trunk in a row and a terminal at the end of each.
func comb() *balance.Tree {
	t := &balance.Tree{Fan: func(q float64) float64 { return 180 - 60*q - 300*q*q }, Most: 0.681}
	trunk := []float64{40, 60, 90, 140, 200}
	terminals := []float64{1500, 2600, 5200, 9000, 9000}
	design := []float64{0.120, 0.090, 0.070, 0.050, 0.040}
	parent := -1
	for k := range trunk {
		t.Branches = append(t.Branches, balance.Branch{Parent: parent, R: trunk[k]}, balance.Branch{Parent: len(t.Branches), R: terminals[k], Design: design[k]})
		parent = len(t.Branches) - 2
	}
	return t
}

// throughFlow solves the same tree with the flow core.
func throughFlow(t require.TestingT, tree *balance.Tree, add []float64) []float64 {
	n := len(tree.Branches)
	// Nodes: 0 outside, 1 behind the fan, 2+i the end of trunk i.
	edges := []flow.Edge{{Tail: 0, Head: 1}}
	laws := []flow.Law{fan{tree.Fan}}
	for i, b := range tree.Branches {
		from, to := 1, 2+i
		if b.Parent >= 0 {
			from = 2 + b.Parent
		}
		if b.Design > 0 {
			to = 0
		}
		edges = append(edges, flow.Edge{Tail: from, Head: to})
		laws = append(laws, flow.Power{R: b.R + add[i], N: 2, Eps: 1e-9})
	}
	// Ends of terminals are no nodes of their own: number what is left.
	number := map[int]int{}
	for i := range edges {
		for _, v := range []*int{&edges[i].Tail, &edges[i].Head} {
			if _, ok := number[*v]; !ok {
				number[*v] = len(number)
			}
			*v = number[*v]
		}
	}
	topology, err := flow.New(len(number), edges, []int{0})
	require.NoError(t, err)
	s, err := topology.NewSolver().Solve(&flow.Problem{Laws: laws, Known: []float64{0}, Scale: 0.1}, nil)
	require.NoError(t, err)
	require.Len(t, s.Flow, n+1)
	return s.Flow[1:]
}

// fan is a rise as a law; backwards it goes on in a straight line.
type fan struct{ rise func(q float64) float64 }

func (f fan) Drop(q float64) (drop, slope float64) {
	const h = 1e-6
	if q < 0 {
		s := (f.rise(0) - f.rise(h)) / h
		return -f.rise(0) + s*q, s
	}
	return -f.rise(q), (f.rise(q) - f.rise(q+h)) / h
}

// Values computed from the formula with another program: a regression check.
func TestDirectExample(t *testing.T) {
	tree := comb()
	open, err := tree.Ratios(make([]float64, 10))
	require.NoError(t, err)
	for k, want := range []float64{1.545, 1.451, 1.255, 1.296, 1.602} {
		assert.InDelta(t, want, open[2*k+1], 6e-4)
	}
	rho, add, err := tree.Direct()
	require.NoError(t, err)
	assert.InDelta(t, 1.38281, rho, 5e-6)
	for k, want := range []float64{689.9, 830.1, 0, 738.4, 6016.2} {
		assert.InDelta(t, want, add[2*k+1], 0.06)
	}
	// The balanced tree, solved as any network, gives the same share everywhere.
	q := throughFlow(t, tree, add)
	for i, b := range tree.Branches {
		if b.Design > 0 {
			assert.InDelta(t, rho, q[i]/b.Design, 1e-7)
		}
	}
}

// A full optimisation over all dampers, which knows nothing of trees, finds no greater share than the direct method.
func TestDirectIsTheOptimum(t *testing.T) {
	tree := comb()
	rho, _, err := tree.Direct()
	require.NoError(t, err)
	least := func(x []float64) float64 {
		add := make([]float64, len(tree.Branches))
		for k := range x {
			add[2*k+1] = 1000 * x[k] * x[k]
		}
		r, err := tree.Ratios(add)
		if err != nil {
			return 0
		}
		worst := math.Inf(1)
		for k := range x {
			worst = min(worst, r[2*k+1])
		}
		return -worst
	}
	x := []float64{1, 1, 0.3, 1, 2}
	best := 0.0
	for range 12 { // the simplex is restarted, because the least of several shares has edges
		found, err := optimize.Minimize(optimize.Problem{Func: least}, x, &optimize.Settings{FuncEvaluations: 4000}, &optimize.NelderMead{SimplexSize: 0.2})
		require.NoError(t, err)
		x, best = found.X, -found.F
	}
	assert.LessOrEqual(t, best, rho+1e-9)
	assert.InDelta(t, rho, best, 2e-4)
}

// The field's proportional procedure comes to the direct result.
func TestProportionalConverges(t *testing.T) {
	tree := comb()
	rho, direct, err := tree.Direct()
	require.NoError(t, err)
	add, spread, err := tree.Proportional(4)
	require.NoError(t, err)
	require.Len(t, spread, 4)
	assert.Less(t, spread[0], 2e-3, "one pass is within a fifth of a percent")
	assert.Less(t, spread[1], spread[0]/10)
	assert.Less(t, spread[2], spread[1]/10)
	assert.Less(t, spread[3], 1e-7)
	ratios, err := tree.Ratios(add)
	require.NoError(t, err)
	for i, b := range tree.Branches {
		if b.Design > 0 {
			assert.InDelta(t, rho, ratios[i], 1e-6)
			assert.InDelta(t, direct[i], add[i], 1e-3*(1+direct[i]))
		}
	}
}

// On any tree: the direct answer balances it, leaves one damper open, and agrees with the flow core.
func TestDirectOnRandomTrees(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		tree := &balance.Tree{Fan: func(q float64) float64 { return 200 - 80*q - 100*q*q }, Most: 1.07}
		n := rapid.IntRange(1, 6).Draw(r, "trunks")
		for i := range n {
			tree.Branches = append(tree.Branches, balance.Branch{Parent: rapid.IntRange(-1, i-1).Draw(r, "parent"), R: rapid.Float64Range(1, 500).Draw(r, "R")})
		}
		for i := range n { // every trunk ends in a terminal at least
			for range rapid.IntRange(1, 3).Draw(r, "terminals") {
				tree.Branches = append(tree.Branches, balance.Branch{Parent: i, R: rapid.Float64Range(200, 20_000).Draw(r, "R"), Design: rapid.Float64Range(0.01, 0.1).Draw(r, "design")})
			}
		}
		rho, add, err := tree.Direct()
		require.NoError(r, err)
		least := math.Inf(1)
		q := throughFlow(r, tree, add)
		for i, b := range tree.Branches {
			if b.Design > 0 {
				least = min(least, add[i]/b.R)
				assert.InEpsilon(r, rho, q[i]/b.Design, 1e-5)
			}
		}
		assert.InDelta(r, 0, least, 1e-6)
	})
}

func TestRefusesWhatIsNoTree(t *testing.T) {
	fanOf := func(q float64) float64 { return 100 - q }
	for name, tree := range map[string]*balance.Tree{
		"empty":                  {Fan: fanOf, Most: 1},
		"no fan":                 {Branches: []balance.Branch{{Parent: -1, R: 1, Design: 1}}},
		"child before parent":    {Fan: fanOf, Most: 1, Branches: []balance.Branch{{Parent: 1, R: 1, Design: 1}, {Parent: -1, R: 1}}},
		"trunk without terminal": {Fan: fanOf, Most: 1, Branches: []balance.Branch{{Parent: -1, R: 1}}},
		"terminal with a child":  {Fan: fanOf, Most: 1, Branches: []balance.Branch{{Parent: -1, R: 1, Design: 1}, {Parent: 0, R: 1, Design: 1}}},
		"no resistance":          {Fan: fanOf, Most: 1, Branches: []balance.Branch{{Parent: -1, Design: 1}}},
	} {
		t.Run(name, func(t *testing.T) {
			_, _, err := tree.Direct()
			require.ErrorIs(t, err, balance.ErrTree)
			_, _, err = tree.Proportional(1)
			require.Error(t, err)
		})
	}
}
