package study

import (
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
)

// chain is one run, one grille and a blower that holds its airflow: its static is a line in the
// lengths of the two runs.
const chain = `
[equipment]
cooling = { capacity = "2 ton", tap = "set", airflow = "800 cfm" }
filter  = { drop = "0.08 inwc", at = "800 cfm" }
coil    = { drop = "0.14 inwc", at = "800 cfm" }
[blower]
kind = "constant airflow"
static = ["0.1 inwc", "1.0 inwc"]
[blower.tap]
set = { airflow = ["1000 cfm", "990 cfm"] }
[zone]
all = { wants = "800 cfm", damper = [] }
[supply]
run = { from = "supply plenum", size = "12 in", length = "60 ft +- 20 ft", fittings = ["takeoff"],
	register = "20x14 in", zone = "all" }
[return]
back = { to = "return plenum", grille = "24x20 in", size = "14 in", length = "60 ft (40 to 80 ft)",
	fittings = ["takeoff"] }
`

// The spread of a sum of linear parts is the root of the sum of squares (closed form): of "±w" each
// part has w/2, of an even span of width W it has W/√12. Our draws of a bell stop at three standard
// deviations, which takes 0.6 % off.
func TestDoubtOfLinearChain(t *testing.T) {
	data := []byte(chain)
	s := New("chain.toml", data, Options{Choose: func(g *network.Graph) ([]state.CallState,
		error) {
		return state.States(g)[:1], nil
	}})
	static := func(set ...string) float64 {
		r, err := s.Report(Variant{Set: set})
		require.NoError(t, err)
		for k, m := range r.Measures {
			if m.Name == "external static" {
				return r.States[0].Values[k]
			}
		}
		t.Fatal("no static")
		return 0
	}
	a := (static("supply.run.length=80 ft") - static("supply.run.length=40 ft")) / 40
	b := (static("return.back.length=80 ft") - static("return.back.length=40 ft")) / 40
	require.Greater(t, a, 0.0)
	partA, partB := a*20/2, b*40/math.Sqrt(12)
	want := math.Hypot(partA, partB)

	g := networktest.Build(t, "chain.toml", data, network.Options{})
	list := withDoubts(g, nil, false)
	require.Len(t, list, 2)
	draws := draw(2, Sampling{Samples: 1000, Seed: 3})
	var sum []float64
	for i := range 1000 {
		v := vary(Variant{}, list, draws.RawRowView(i))
		if i < 200 {
			sum = append(sum, static(v.Set...))
		}
	}
	assert.InEpsilon(t, want, stat.StdDev(sum, nil), 0.05)
	assert.InEpsilon(t, static(), stat.Mean(sum, nil), 0.01)
}

// Quantiles of each shape in closed form.
func TestDrawDoubt(t *testing.T) {
	even := network.Doubt{Low: 2, Middle: 4, High: 8, Shape: network.EvenShape}
	bell := network.Doubt{Low: 18, Middle: 20, High: 22, Shape: network.BellShape}
	factor := network.Doubt{Low: 16, Middle: 20, High: 25, Shape: network.BellShape, Factor: true}
	end := network.Doubt{Low: 1, Middle: 1, High: 4, Shape: network.EvenShape}
	const oneSigma = 0.8413447460685429 // Φ(1)
	for _, c := range []struct {
		d       network.Doubt
		u, want float64
	}{
		{even, 0, 2}, {even, 0.25, 3}, {even, 0.5, 4}, {even, 0.75, 6}, {even, 1, 8},
		{bell, 0.5, 20}, {bell, oneSigma, 21}, {bell, 1 - oneSigma, 19},
		{factor, 0.5, 20}, {factor, oneSigma, 20 * math.Sqrt(1.25)}, {factor, 1 - oneSigma,
			20 / math.Sqrt(1.25)},
		{end, 0, 1}, {end, 0.5, 2.5}, {end, 1, 4},
		{network.Doubt{Choices: []string{"a", "b", "c"}}, 0.34, 1},
	} {
		assert.InDelta(t, c.want, DrawDoubt(&c.d, c.u), 1e-9, "%+v at %g", c.d, c.u)
	}
}

// A common factor multiplies values that have a doubt of their own, which otherwise vary by that
// alone.
func TestCommonFactor(t *testing.T) {
	g := networktest.Graph(t, "two-floor", "", "supply.kitchen.length=10 to 20 ft",
		`doubt."supply.*.length"=x 0.5 to 2`,
		`doubt."supply.kitchen.length"=18 to 19 ft`)
	var own []network.Tolerance
	for _, tol := range g.Job.Spread {
		if tol.Range != "" {
			own = append(own, tol)
		}
	}
	list, err := inputs(g, own)
	require.NoError(t, err)
	list = withDoubts(g, list, false)
	require.Len(t, list, 2)
	u := []float64{1, 0.5} // twice, and 15 ft
	h := networktest.Graph(t, "two-floor", "", vary(Variant{}, list, u).Set...)
	for _, l := range h.Job.Supply {
		was := float64(g.Job.Line(g.Job.LineNamed(l.Name)).Length)
		if l.Name == "kitchen" {
			was = 15 * 0.3048
		}
		assert.InEpsilon(t, 2*was, float64(l.Length), 1e-6, l.Name)
	}
}

// Knowing only sizes and statics is enough to solve: bands come out, and the unknown tap carries
// most of the static.
func TestSizesOnlySpread(t *testing.T) {
	data, err := os.ReadFile("../../testdata/jobs/sizes-only.toml")
	require.NoError(t, err)
	s := New("sizes-only.toml", data, Options{})
	w, err := s.Spread(Variant{}, Sampling{Samples: 100, Seed: 1})
	require.NoError(t, err)
	assert.Zero(t, w.Failed)
	for k, m := range w.Measures {
		if m.Name != "external static" {
			continue
		}
		band := &w.Bands[0][k]
		assert.Greater(t, band.High, 1.3*band.Low)
		for i, name := range w.Inputs {
			if name == "equipment.cooling.tap" {
				assert.Greater(t, band.Shares[i], 0.5)
			}
		}
	}
}
