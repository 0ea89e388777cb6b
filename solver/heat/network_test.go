package heat

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/solver/air"
)

// randomNetwork superposes closed circuits of flow through a random graph, so that mass balances whatever the loops:
// each circuit is a path of random nodes that starts and ends at one reservoir or at itself.
// solve finds the steady state of a network with a solver of its own.
func solve(n *Network) (*Solution, error) { return new(Solver).Solve(n) }

func randomNetwork(t *rapid.T, heat bool) *Network {
	reservoirs := rapid.IntRange(1, 3).Draw(t, "reservoirs")
	inner := rapid.IntRange(1, 12).Draw(t, "inner nodes")
	n := &Network{Pressure: air.Pressure(rapid.Float64Range(0, 2500).Draw(t, "elevation"))}
	for i := range reservoirs + inner {
		node := Node{Reservoir: i < reservoirs}
		if node.Reservoir {
			m, err := air.FromRelativeHumidity(rapid.Float64Range(5, 30).Draw(t, "temperature"), rapid.Float64Range(0.1, 0.9).Draw(t, "humidity"), n.Pressure)
			if err != nil {
				t.Fatal(err)
			}
			node.State = m
		}
		n.Nodes = append(n.Nodes, node)
	}
	for range rapid.IntRange(1, 8).Draw(t, "circuits") {
		start := rapid.IntRange(0, len(n.Nodes)-1).Draw(t, "start")
		flow := rapid.Float64Range(0.01, 1).Draw(t, "flow")
		at := start
		hops := rapid.IntRange(1, 7).Draw(t, "hops")
		for h := range hops + 1 {
			to := start
			if h < hops {
				to = rapid.IntRange(0, len(n.Nodes)-1).Draw(t, "via")
			}
			if to == at {
				continue
			}
			b := Branch{From: at, To: to, MassFlow: flow}
			if rapid.Bool().Draw(t, "written backwards") {
				b.From, b.To, b.MassFlow = to, at, -flow
			}
			if rapid.Bool().Draw(t, "insulated") {
				b.Conductance = rapid.Float64Range(0, 200).Draw(t, "conductance")
				b.Ambient = rapid.Float64Range(-20, 60).Draw(t, "ambient")
			}
			if heat && rapid.Bool().Draw(t, "heated") {
				b.Heat = rapid.Float64Range(-2000, 2000).Draw(t, "heat")
			}
			n.Branches = append(n.Branches, b)
			at = to
		}
	}
	// A damper that is shut, somewhere.
	n.Branches = append(n.Branches, Branch{From: 0, To: len(n.Nodes) - 1, Conductance: 10, Ambient: 50})
	return n
}

// Energy and water balance to 1e-9 of what is exchanged on any network, loops and reversed flows included, and no
// answer holds a NaN. Circuits that no reservoir feeds may refuse; nothing else may.
func TestEnergyBalancesOnRandomNetworks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := randomNetwork(t, true)
		sol, err := solve(n)
		if err != nil {
			if errors.Is(err, ErrNoSteadyState) {
				return
			}
			t.Fatal(err)
		}
		c := sol.Certificate
		if math.Abs(c.EnergyResidual) > 1e-9*c.EnergyTotal+1e-8 || math.Abs(c.WaterResidual) > 1e-9*c.WaterTotal {
			t.Fatalf("energy off by %g of %g, water by %g of %g", c.EnergyResidual, c.EnergyTotal, c.WaterResidual, c.WaterTotal)
		}
		// Once more with equations of the test's own: each fed node is the mean of what its branches bring.
		for i, node := range sol.Nodes {
			if node.Status != Fed {
				continue
			}
			mass, h, w := 0.0, 0.0, 0.0
			for b, br := range n.Branches {
				s := sol.Branches[b]
				if !s.Moving || (br.MassFlow > 0 && br.To != i) || (br.MassFlow < 0 && br.From != i) {
					continue
				}
				m := math.Abs(br.MassFlow)
				mass, h, w = mass+m, h+m*s.Out.Enthalpy(), w+m*s.Out.HumidityRatio
			}
			if math.Abs(h/mass-node.State.Enthalpy()) > 1e-8*(math.Abs(h/mass)+1e4) || math.Abs(w/mass-node.State.HumidityRatio) > 1e-12 {
				t.Fatalf("node %d is not the mean of its streams", i)
			}
			if !finite(node.State.Temperature) {
				t.Fatal("NaN")
			}
		}
	})
}

// Without devices no node is warmer or colder than the reservoirs and surroundings, nor moister or drier.
func TestMixingStaysBetweenItsSources(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := randomNetwork(t, false)
		sol, err := solve(n)
		if err != nil {
			if errors.Is(err, ErrNoSteadyState) {
				return
			}
			t.Fatal(err)
		}
		low, high, dry, wet := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for _, node := range n.Nodes {
			if node.Reservoir {
				low, high = math.Min(low, node.State.Temperature), math.Max(high, node.State.Temperature)
				dry, wet = math.Min(dry, node.State.HumidityRatio), math.Max(wet, node.State.HumidityRatio)
			}
		}
		for _, br := range n.Branches {
			if br.Conductance > 0 {
				low, high = math.Min(low, br.Ambient), math.Max(high, br.Ambient)
			}
		}
		// Mixing moist streams of different humidity by enthalpy bends the temperature by a few hundredths of a kelvin.
		const bend = 0.25
		for i, node := range sol.Nodes {
			if !node.Status.Defined() {
				continue
			}
			if node.State.Temperature < low-bend || node.State.Temperature > high+bend ||
				node.State.HumidityRatio < dry-1e-12 || node.State.HumidityRatio > wet+1e-12 {
				t.Fatalf("node %d: %+v outside %g..%g °C, %g..%g", i, node.State, low, high, dry, wet)
			}
		}
	})
}

// The same network written with every branch turned round gives the same air everywhere.
func TestDirectionOfWritingDoesNotMatter(t *testing.T) {
	n := furnaceLoop(0.4, 20, 25, 0.006)
	n.Branches[3].Conductance, n.Branches[3].Ambient = 8, -5
	first, err := solve(n)
	require.NoError(t, err)
	turned := *n
	turned.Branches = append([]Branch(nil), n.Branches...)
	for i := range turned.Branches {
		b := &turned.Branches[i]
		b.From, b.To, b.MassFlow = b.To, b.From, -b.MassFlow
	}
	second, err := solve(&turned)
	require.NoError(t, err)
	for i := range n.Nodes {
		assert.InDelta(t, first.Nodes[i].State.Temperature, second.Nodes[i].State.Temperature, 1e-10)
	}
}

func TestStillAndIsolatedAir(t *testing.T) {
	n := furnaceLoop(0.2, 20, 25, 0.006)
	n.Nodes = append(n.Nodes, Node{}, Node{}, Node{}, Node{})
	n.Branches = append(n.Branches,
		Branch{From: 2, To: 3},                                  // a shut damper to node 3
		Branch{From: 3, To: 0},                                  // and on to the room
		Branch{From: 2, To: 4, MassFlow: 1e-13},                 // the residue of a flow solution
		Branch{From: 5, To: 6, MassFlow: 0.1},                   // a circuit of its own
		Branch{From: 6, To: 5, MassFlow: 0.1, Conductance: 1.0}, //
	)
	sol, err := solve(n)
	require.NoError(t, err)
	assert.Equal(t, []Status{Known, Fed, Fed, Still, Still, Isolated, Isolated}, statuses(sol))
	for _, node := range sol.Nodes[3:] {
		assert.Equal(t, air.Moist{}, node.State)
	}
	for _, b := range sol.Branches[4:] {
		assert.Equal(t, BranchState{}, b)
	}
	// The rest is as without them.
	plain, err := solve(furnaceLoop(0.2, 20, 25, 0.006))
	require.NoError(t, err)
	assert.InDelta(t, plain.Nodes[2].State.Temperature, sol.Nodes[2].State.Temperature, 1e-12)
}

func statuses(s *Solution) []Status {
	var out []Status
	for _, n := range s.Nodes {
		out = append(out, n.Status)
	}
	return out
}

func TestNetworksThatCannotBe(t *testing.T) {
	base := func() *Network { return furnaceLoop(0.3, 20, 25, 0.006) }
	for _, c := range []struct {
		name   string
		change func(*Network)
		kind   error
		says   string
	}{
		{"furnace without air", func(n *Network) { n.Branches = append(n.Branches, Branch{From: 0, To: 1, Heat: 5000}) }, ErrNoSteadyState, "branch 4"},
		{"heat into a closed circuit", func(n *Network) {
			n.Nodes = append(n.Nodes, Node{}, Node{})
			n.Branches = append(n.Branches, Branch{From: 3, To: 4, MassFlow: 1, Heat: 100}, Branch{From: 4, To: 3, MassFlow: 1})
		}, ErrNoSteadyState, "branch 4"},
		{"unbalanced flows", func(n *Network) { n.Branches[0].MassFlow += 0.01 }, ErrInput, "node 1"},
		{"NaN flow", func(n *Network) { n.Branches[0].MassFlow = math.NaN() }, ErrInput, "branch 0"},
		{"negative conductance", func(n *Network) { n.Branches[2].Conductance = -1 }, ErrInput, "branch 2"},
		{"surroundings of NaN", func(n *Network) { n.Branches[2].Conductance, n.Branches[2].Ambient = 1, math.NaN() }, ErrInput, "branch 2"},
		{"infinite heat", func(n *Network) { n.Branches[1].Heat = math.Inf(1) }, ErrInput, "branch 1"},
		{"no such node", func(n *Network) { n.Branches[1].To = 9 }, ErrInput, "branch 1"},
		{"no pressure", func(n *Network) { n.Pressure = 0 }, ErrInput, "pressure"},
		{"negative humidity", func(n *Network) { n.Nodes[0].State.HumidityRatio = -1 }, air.ErrImpossible, "reservoir 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := base()
			c.change(n)
			_, err := solve(n)
			require.ErrorIs(t, err, c.kind)
			assert.Contains(t, err.Error(), c.says)
		})
	}
	sol, err := solve(&Network{})
	require.NoError(t, err)
	assert.Empty(t, sol.Nodes)
}

// Two coils that feed each other, and the bracketing fallback: all ways lead to the same rest.
func TestFallbackMeetsNewton(t *testing.T) {
	e := threeTon(t)
	in := room(t, 75, 0.5)
	for _, coil := range []*Coil{e.Default, e.Second} {
		for _, r := range []float64{0, 0.2, 0.4, 0.6} {
			t.Run(fmt.Sprintf("%s %g", coil.Curve().Name, r), func(t *testing.T) {
				n := coolingNetwork(coil, in, r, celsius(85))
				n.Branches[3].Conductance, n.Branches[3].Ambient = 5, 45
				var s Solver
				sol, err := s.Solve(n)
				require.NoError(t, err)
				newton := sol.Nodes[2].State
				assert.Less(t, sol.Certificate.DeviceResidual, 1e-10)
				assert.Less(t, sol.Certificate.Iterations, 30, "Newton's method, not the fallback")
				require.NoError(t, s.bracketDevices(n))
				s.report(n)
				assert.InDelta(t, newton.Temperature, s.solution.Nodes[2].State.Temperature, 1e-7)
				assert.InDelta(t, newton.HumidityRatio, s.solution.Nodes[2].State.HumidityRatio, 1e-10)
			})
		}
	}
}

// A loop in which nearly all air comes round again drives the coil out of any range: an error, never a number.
func TestCoilInAClosedLoopIsRefused(t *testing.T) {
	for _, r := range []float64{0.95, 0.99, 1 - 1e-7} {
		_, err := solve(coolingNetwork(threeTon(t).Second, room(t, 75, 0.5), r, celsius(75)))
		require.Error(t, err)
		t.Log(r, err)
	}
}

// The iterative path for very many loops against the direct one.
func TestIterationMeetsElimination(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := randomNetwork(t, true)
		var s Solver
		if _, err := s.Solve(n); err != nil {
			return
		}
		direct := append([]float64(nil), s.enthalpy...)
		if !s.transport.iterate(s.enthalpy, s.factor, s.constant) {
			t.Fatal("no convergence")
		}
		for _, v := range s.transport.order {
			if math.Abs(direct[v]-s.enthalpy[v]) > 1e-6*(math.Abs(direct[v])+1e4) {
				t.Fatalf("node %d: %g directly, %g by iteration", v, direct[v], s.enthalpy[v])
			}
		}
	})
}

// gridNetwork is a house writ large: n rooms in parallel behind one furnace with a bypass and leaks at every take-off.
func gridNetwork(rooms int, device Device) *Network {
	state := air.Moist{Temperature: 21, HumidityRatio: 0.007}
	n := &Network{Pressure: air.StandardPressure, Nodes: []Node{{Reservoir: true, State: state}, {Reservoir: true, State: air.Moist{Temperature: 45, HumidityRatio: 0.012}}, {}, {}, {}}}
	per := 0.6 / float64(rooms)
	n.Branches = append(n.Branches,
		Branch{From: 2, To: 3, MassFlow: 0.75, Heat: 300},
		Branch{From: 3, To: 4, MassFlow: 0.75, Device: device},
		Branch{From: 4, To: 2, MassFlow: 0.15, Conductance: 2, Ambient: 45},
		Branch{From: 1, To: 2, MassFlow: 0.03})
	trunk := 4
	flow := 0.6
	for i := range rooms {
		node := len(n.Nodes)
		n.Nodes = append(n.Nodes, Node{}, Node{})
		n.Branches = append(n.Branches,
			Branch{From: trunk, To: node, MassFlow: flow, Conductance: 1, Ambient: 45},
			Branch{From: node, To: 0, MassFlow: per * 0.95, Conductance: 3, Ambient: 45},
			Branch{From: node, To: 1, MassFlow: per * 0.05},
			Branch{From: 0, To: node + 1, MassFlow: per * 0.95},
			Branch{From: node + 1, To: 2, MassFlow: per * 0.95, Conductance: 2, Ambient: 30})
		flow -= per
		trunk = node
		if i == rooms-1 {
			break
		}
	}
	return n
}

func BenchmarkSolve(b *testing.B) {
	for _, rooms := range []int{8, 20, 250} {
		for _, cooled := range []bool{false, true} {
			b.Run(fmt.Sprintf("nodes=%d/coil=%t", 2*rooms+5, cooled), func(b *testing.B) {
				n := gridNetwork(rooms, nil)
				if cooled {
					n = gridNetwork(rooms, Cooler{threeTon(b).Default, 35})
				}
				var s Solver
				b.ReportAllocs()
				for b.Loop() {
					if _, err := s.Solve(n); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
