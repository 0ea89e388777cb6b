package flow

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// houseKind chooses the laws of the house network.
type houseKind int

const (
	houseQuadratic houseKind = iota
	houseFriction
	housePower
)

// house is a network of the size and shape of a two-zone house: 39 nodes (38 free), 60 edges. A machine 250 − 100q − 500q², coil,
// bypass (600), return; per zone a damper, five trunk pieces, five branches of a duct and a register each, five rooms that leak to
// outdoors (4·10⁵) and drain under a door to the zone's hall, and a way from the hall back. z1, z2 are the dampers' openings.
type house struct {
	edges   []Edge
	laws    []Law
	dampers [2]int
	machine int
}

func (h *house) setDamper(zone int, z float64) {
	h.laws[h.dampers[zone]] = Power{20 / (z * z), 2, 1e-4}
}

func newHouse(kind houseKind) *house {
	const outdoors, intake, outlet, supply, back = 0, 1, 2, 3, 4
	h := &house{}
	add := func(tail, head int, l Law) int {
		h.edges = append(h.edges, Edge{tail, head})
		h.laws = append(h.laws, l)
		return len(h.edges) - 1
	}
	// A passage of resistance r (Pa s²/m⁶), or a duct of about that resistance.
	passage := func(r, diameter, length, minor float64) Law {
		switch kind {
		case houseFriction:
			return newExplicitFriction(diameter, length, minor)
		case housePower:
			return Power{r, 1.85, 1e-4}
		}
		return Power{r, 2, 1e-4}
	}
	h.machine = add(intake, outlet, quadraticMachine{250, -100, -500})
	add(outlet, supply, passage(80, .40, 2, 3))
	add(back, intake, passage(60, .40, 3, 2))
	add(supply, back, passage(600, .25, 4, 2))
	next := 5
	for zone := range 2 {
		trunkStart, hall := next, next+1
		next += 2
		h.dampers[zone] = add(supply, trunkStart, nil)
		h.setDamper(zone, 1)
		from := trunkStart
		for piece := range 5 {
			trunk, boot, room := next, next+1, next+2
			next += 3
			grow := float64(piece + 1)
			add(from, trunk, passage(8*grow, .30-.02*grow, 2, .3))
			add(trunk, boot, passage(900+200*grow, .15, 3+grow, 1))
			add(boot, room, passage(1500, .15, .3, 3))
			add(room, hall, passage(120, .25, .1, 2))
			add(room, outdoors, passage(4e5, .02, .05, 1.5))
			from = trunk
		}
		add(hall, back, passage(90, .35, 5, 2))
	}
	add(supply, outdoors, passage(4e5, .02, .05, 1.5))
	add(back, outdoors, passage(4e5, .02, .05, 1.5))
	return h
}

func (h *house) problem() *Problem {
	return &Problem{Laws: h.laws, Known: []float64{0}, Scale: .05}
}

func TestHouse(t *testing.T) {
	for name, kind := range map[string]houseKind{"quadratic": houseQuadratic, "friction factor": houseFriction, "power": housePower} {
		t.Run(name, func(t *testing.T) {
			h := newHouse(kind)
			top, err := New(39, h.edges, []int{0})
			require.NoError(t, err)
			require.Equal(t, 60, top.Edges())
			require.Equal(t, 38, top.free)
			s := top.NewSolver()
			cold, err := s.Solve(h.problem(), nil)
			require.NoError(t, err)
			sound(t, s, cold)
			assert.LessOrEqual(t, cold.Iterations, 10, "cold")
			t.Logf("%s: %d iterations, %d sweeps, fan %.6f at %.4f, gap %.1e of %.2f, %d entries in the factor",
				name, cold.Iterations, cold.Sweeps, cold.Flow[h.machine], cold.Pressure[2]-cold.Pressure[1], cold.Certificate.Gap, cold.Certificate.Power, len(top.rows))
			// A zone closes in steps, each solve warm from the last.
			flow := cold.Clone().Flow
			for k := range 30 {
				h.setDamper(0, 1-.95*float64(k)/29)
				warm, err := s.Solve(h.problem(), flow)
				require.NoError(t, err)
				sound(t, s, warm)
				assert.LessOrEqual(t, warm.Iterations, 6, "warm, step %d", k)
				copy(flow, warm.Flow)
			}
			// And shuts: resistances over ten decades.
			for _, z := range []float64{1e-2, 1e-3, 1e-4, 1e-6} {
				h.setDamper(0, z)
				shut, err := s.Solve(h.problem(), nil)
				require.NoError(t, err)
				sound(t, s, shut)
				assert.LessOrEqual(t, shut.Iterations, 16, "z = %g", z)
			}
		})
	}
}

func TestHouseFactorMatchesItsShape(t *testing.T) {
	// A tree with few loops must not fill: the reference design of this size has 74 entries below the diagonal.
	top, err := New(39, newHouse(houseQuadratic).edges, []int{0})
	require.NoError(t, err)
	assert.LessOrEqual(t, len(top.rows), 80)
}

func TestFactorAgainstDense(t *testing.T) {
	// Both numeric phases against dense elimination, on random graphs with conductances over twelve decades.
	random := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		n := 2 + random.IntN(12)
		var edges []Edge
		for v := 1; v < n; v++ {
			edges = append(edges, Edge{random.IntN(v), v})
		}
		for range random.IntN(3 * n) {
			a, b := random.IntN(n), random.IntN(n)
			if a != b {
				edges = append(edges, Edge{a, b})
			}
		}
		top, err := New(n, edges, []int{0})
		require.NoError(t, err)
		wide := *top
		wide.fill = nil
		wide.pattern.transpose(top.free)
		m := top.free
		dense := make([][]float64, m)
		for i := range dense {
			dense[i] = make([]float64, m+1)
		}
		values := make([]float64, top.size())
		for e := range edges {
			w := math.Pow(10, 4*random.Float64()-2)
			values[top.target[e]] += w
			a, b := int(top.tail[e]), int(top.head[e])
			if a < m {
				dense[a][a] += w
			}
			if b < m {
				dense[b][b] += w
			}
			if a < m && b < m {
				dense[a][b] -= w
				dense[b][a] -= w
			}
		}
		right := make([]float64, m)
		for i := range right {
			right[i] = random.Float64() - .5
			dense[i][m] = right[i]
		}
		for i := range m {
			for k := i + 1; k < m; k++ {
				l := dense[k][i] / dense[i][i]
				for j := i; j <= m; j++ {
					dense[k][j] -= l * dense[i][j]
				}
			}
		}
		want := make([]float64, m)
		for i := m - 1; i >= 0; i-- {
			want[i] = dense[i][m]
			for j := i + 1; j < m; j++ {
				want[i] -= dense[i][j] * want[j]
			}
			want[i] /= dense[i][i]
		}
		for _, p := range []*pattern{&top.pattern, &wide.pattern} {
			v, x := append([]float64(nil), values...), append([]float64(nil), right...)
			inverse, work := make([]float64, m), make([]float64, m)
			p.factor(v, inverse, x, work, 0)
			p.backward(v, inverse, x, 0)
			for i := range want {
				assert.InDelta(t, want[i], x[i], 1e-8*math.Abs(want[i])+1e-9)
			}
		}
	}
}
