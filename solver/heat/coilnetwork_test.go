package heat

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/solver/air"
)

// Any three-ton coil in any house's loop comes to rest with its balance met, or is refused for a reason that names itself.
func TestCoilLoopsBalance(t *testing.T) {
	e := threeTon(t)
	refused, total := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		coil := rapid.SampledFrom([]*Coil{e.Default, e.Second}).Draw(t, "coil")
		in, err := air.FromRelativeHumidity(rapid.Float64Range(18, 30).Draw(t, "room"), rapid.Float64Range(0.05, 0.9).Draw(t, "humidity"), air.StandardPressure)
		if err != nil {
			t.Fatal(err)
		}
		n := coolingNetwork(coil, in, rapid.Float64Range(0, 0.6).Draw(t, "share"), rapid.Float64Range(15, 46).Draw(t, "outdoor"))
		scale := rapid.Float64Range(0.5, 1.2).Draw(t, "airflow")
		for i := range n.Branches {
			n.Branches[i].MassFlow *= scale
			n.Branches[i].Conductance, n.Branches[i].Ambient = rapid.Float64Range(0, 20).Draw(t, "wall"), rapid.Float64Range(15, 55).Draw(t, "around")
		}
		if rapid.Bool().Draw(t, "coil written backwards") {
			b := &n.Branches[1]
			b.From, b.To, b.MassFlow = b.To, b.From, -b.MassFlow
		}
		total++
		sol, err := solve(n)
		if errors.Is(err, ErrNoSteadyState) || errors.Is(err, ErrBeyondRange) {
			refused++
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		b := sol.Branches[1]
		s, err := coil.At(b.AtDevice, math.Abs(n.Branches[1].MassFlow), n.Branches[1].Device.(Cooler).Outdoor, air.StandardPressure)
		if err != nil || math.Abs(s.Total+b.DeviceHeat) > 1e-8*s.Total || math.Abs(s.Condensate+b.Water) > 1e-12 {
			t.Fatalf("coil would take %g W, network took %g: %v", s.Total, b.DeviceHeat, err)
		}
		if sol.Certificate.Iterations > 60 {
			t.Fatalf("%d iterations", sol.Certificate.Iterations)
		}
	})
	t.Logf("%d of %d refused", refused, total)
	assert.Less(t, refused, total/4, "refusals are the exception")
}

// Two coils in one loop, one behind the other and each with its own bypass, and a heat pump beside a coil: the several
// devices agree, by Newton's method and by the sweeps of the fallback.
func TestSeveralDevicesAgree(t *testing.T) {
	e := threeTon(t)
	small, err := NewCoil(CoilRating{TotalCapacity: 12000 * btuh, SensibleRatio: 0.75, MassFlow: dryMass(400)}, GenericCurve())
	require.NoError(t, err)
	m := dryMass(1200)
	n := &Network{
		Pressure: air.StandardPressure,
		Nodes:    []Node{{Reservoir: true, State: room(t, 80, 0.6)}, {}, {}, {}, {}},
		Branches: []Branch{
			{From: 0, To: 1, MassFlow: 0.8 * m},
			{From: 1, To: 2, MassFlow: m, Device: Cooler{e.Default, 35}},
			{From: 2, To: 3, MassFlow: 0.5 * m, Device: Cooler{small, 35}},
			{From: 2, To: 3, MassFlow: 0.5 * m},
			{From: 3, To: 4, MassFlow: m, Heat: 400},
			{From: 4, To: 1, MassFlow: 0.2 * m},
			{From: 4, To: 0, MassFlow: 0.8 * m},
		},
	}
	var s Solver
	sol, err := s.Solve(n)
	require.NoError(t, err)
	newton := append([]NodeState(nil), sol.Nodes...)
	assert.Less(t, sol.Certificate.DeviceResidual, 1e-10)
	require.NoError(t, s.bracketDevices(n))
	s.report(n)
	for i := range newton {
		assert.InDelta(t, newton[i].State.Temperature, s.solution.Nodes[i].State.Temperature, 1e-6)
		assert.InDelta(t, newton[i].State.HumidityRatio, s.solution.Nodes[i].State.HumidityRatio, 1e-9)
	}
	assert.InDelta(t, 0.2, s.Recirculated(n, 1), 1e-12)
}
