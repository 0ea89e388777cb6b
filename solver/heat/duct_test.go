package heat

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/air"
)

func TestComputedDuctTable(t *testing.T) {
	for _, c := range []struct{ area, r, cfm, in, around, ntu, out, loss, kept, room float64 }{
		{47.1, 4.2, 100, 55, 120, 0.104, 61.4, 693, 0.68, 75},
		{47.1, 6, 100, 55, 120, 0.073, 59.6, 492, 0.77, 75},
		{47.1, 8, 100, 55, 120, 0.055, 58.4, 373, 0.83, 75},
		{52.4, 6, 200, 130, 20, 0.040, 125.6, 941, 0.93, 70},
		{52.4, 6, 100, 130, 20, 0.081, 121.5, 922, 0.86, 70},
		{52.4, 6, 50, 130, 20, 0.162, 113.6, 886, 0.73, 70},
	} {
		name := fmt.Sprintf("%g ft², R-%g, %g CFM, ", c.area, c.r, c.cfm)
		ua, cap := c.area/c.r*btuhF, capacityRate(c.cfm)
		computed(t, name+"NTU", c.ntu, ua/cap, 6e-4)
		out := DuctOutlet(celsius(c.in), celsius(c.around), ua, cap)
		computed(t, name+"outlet", c.out, fahrenheit(out), 0.06)
		loss := cap * (celsius(c.in) - out) / btuh
		if loss < 0 {
			loss = -loss
		}
		computed(t, name+"Btu/h", c.loss, loss, 1.5)
		computed(t, name+"kept", c.kept, (celsius(c.room)-out)/(celsius(c.room)-celsius(c.in)), 0.006)
	}
	assert.Equal(t, 20.0, DuctOutlet(20, 50, 0, 100), "no wall")
	assert.Equal(t, 50.0, DuctOutlet(20, 50, 10, 0), "no flow")
}

// The equations of ASHRAE Standard 152 against stepping the same air through return wall, return leak, equipment, supply
// wall and supply leak with the network solver. The equations are the published part; the figures 0.8097 and 0.673 are
// computed from them.
func TestDeliveryEquationsAgainstStepping(t *testing.T) {
	heating := Delivery{
		Capacity: 64800 * btuh, MassFlow: dryMass(1200), SpecificHeat: tradeHeat,
		SupplyConductance: 300.0 / 6 * btuhF, ReturnConductance: 60.0 / 6 * btuhF,
		SupplyLeakage: 0.08, ReturnLeakage: 0.06,
		Room: celsius(70), SupplyAmbient: celsius(30), ReturnAmbient: celsius(30),
	}
	e, err := heating.Heating()
	require.NoError(t, err)
	computed(t, "heating", 0.8097, e, 1e-4)
	// The network's specific heat differs from the trade's by 0.1 %; same mass, same formula.
	heating.SpecificHeat = air.SpecificHeatDry
	e, err = heating.Heating()
	require.NoError(t, err)
	stepped(t, "heating, ASHRAE Standard 152 eq. 6-23 (second-hand)", e, deliveredByNetwork(t, heating, heating.Capacity))

	cooling := heating
	cooling.Capacity = 25920 * btuh
	cooling.Room, cooling.SupplyAmbient, cooling.ReturnAmbient = celsius(75), celsius(120), celsius(120)
	n, sol := deliveryNetwork(t, cooling, -cooling.Capacity)
	supply := sol.Nodes[4].State.Temperature
	e, err = cooling.Cooling(supply, n.Nodes[0].State.Enthalpy(), n.Nodes[1].State.Enthalpy())
	require.NoError(t, err)
	computed(t, "supply at the equipment, °F", 58.0, fahrenheit(supply), 0.1)
	computed(t, "supply at the register, °F", 60.4, fahrenheit(sol.Nodes[5].State.Temperature), 0.1)
	computed(t, "cooling", 0.673, e, 2e-3)
	stepped(t, "cooling, ASHRAE Standard 152 eq. 6-25 (second-hand)", e, deliveredByNetwork(t, cooling, -cooling.Capacity))

	// Limits: no wall and no leakage deliver everything; no regain changes nothing; full regain of everything neither loses.
	ideal := Delivery{Capacity: 1000, MassFlow: 0.1, SpecificHeat: 1006, Room: 20, SupplyAmbient: -10, ReturnAmbient: -10}
	e, err = ideal.Heating()
	require.NoError(t, err)
	assert.InDelta(t, 1, e, 1e-12)
	assert.InDelta(t, 0.8, heating.Regained(0.8, 0, 0, 27.8), 1e-12)
	sealed := heating
	sealed.ReturnLeakage = 0
	assert.InDelta(t, 1, sealed.Regained(0.7, 1, 1, 27.8), 1e-12, "everything regained, nothing drawn in from outside")
	// By hand from eq. 6-40 with Fs = 0.5, Fr = 0.2, ΔTr/ΔTe = 40/50, ar = 0.94, Br = 0.9923 (our B from 1006 J/(kg·K)):
	// 0.81 + 0.5·0.19 − (0.3 − 0.9923·(0.47 − 0.2))·0.8 = 0.8793.
	computed(t, "regained", 0.8793, heating.Regained(0.81, 0.5, 0.2, 50*fahr), 1e-4)
	assert.Equal(t, 0.25, heating.Regained(0.1, 0, 0, 50*fahr), "our lower bound")
	_, err = Delivery{}.Heating()
	require.ErrorIs(t, err, ErrInput)
	bad := ideal
	bad.SupplyLeakage = 1.2
	_, err = bad.Cooling(10, 0, 0)
	require.ErrorIs(t, err, ErrInput)
}

// stepped compares a published equation with the network solver's own way to the same figure.
func stepped(t *testing.T, name string, equation, network float64) {
	t.Helper()
	t.Logf("%s | equation %.6g | network %.6g | %+.2g", name, equation, network, network-equation)
	assert.InDelta(t, equation, network, 1e-9, name)
}

// deliveryNetwork is room → return → leak → equipment → supply → leak → room, dry air: nodes room, ambient of both ducts,
// return end, equipment inlet, equipment outlet, register.
func deliveryNetwork(t *testing.T, d Delivery, heat float64) (*Network, *Solution) {
	m := d.MassFlow
	lr, ls := d.ReturnLeakage*m, d.SupplyLeakage*m
	n := &Network{
		Pressure: air.StandardPressure,
		Nodes:    []Node{{true, air.Moist{Temperature: d.Room}}, {true, air.Moist{Temperature: d.ReturnAmbient}}, {}, {}, {}, {}},
		Branches: []Branch{
			// The equations carry the whole fan flow past the return wall's B; the flow there is m − lr, so UA is scaled to keep B.
			{From: 0, To: 2, MassFlow: m - lr, Conductance: d.ReturnConductance * (m - lr) / m, Ambient: d.ReturnAmbient},
			{From: 2, To: 3, MassFlow: m - lr},
			{From: 1, To: 3, MassFlow: lr},
			{From: 3, To: 4, MassFlow: m, Heat: heat},
			{From: 4, To: 5, MassFlow: m, Conductance: d.SupplyConductance, Ambient: d.SupplyAmbient},
			{From: 5, To: 0, MassFlow: m - ls},
			{From: 5, To: 1, MassFlow: ls},
		},
	}
	sol, err := solve(n)
	require.NoError(t, err)
	return n, sol
}

// deliveredByNetwork is the heat the room gets over the equipment's, from the network alone. The room also breathes in
// what the ducts leave unbalanced, at the room's own temperature in the standard's convention.
func deliveredByNetwork(t *testing.T, d Delivery, heat float64) float64 {
	n, sol := deliveryNetwork(t, d, heat)
	got := n.Branches[5].MassFlow * (sol.Branches[5].Out.Enthalpy() - n.Nodes[0].State.Enthalpy())
	return got / heat
}
