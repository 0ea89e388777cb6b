package state_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/air"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// The temperature of a duct is that of the air in it: of a duct that loses no heat that of the air which enters it, at any flow; of
// one that does between those of its ends. What a zone is given is counted at the temperature with which air leaves its registers.
func TestTemperatureIsTheAirs(t *testing.T) {
	ducts, slow := 0, 0
	for _, path := range networktest.Jobs(t) {
		data := networktest.File(t, path)
		for _, alternative := range networktest.Alternatives(t, data) {
			g := networktest.Build(t, path, data, network.Options{Alternative: alternative})
			s := statetest.Solver(t, g).Quick()
			for n, cs := range state.States(g) {
				if testing.Short() && n%5 != 0 {
					continue
				}
				o, err := s.Solve(cs)
				require.NoError(t, err)
				into := map[int]int{}
				for i := range g.Elements {
					if o.Elements[i].Flow > 0 {
						into[g.Elements[i].To]++
					} else {
						into[g.Elements[i].From]++
					}
				}
				for i := range g.Elements {
					e, x := &g.Elements[i], &o.Elements[i]
					if e.Kind != network.KindDuct || x.Flow < 1e-4 {
						continue
					}
					in, out := o.Nodes[e.From].Temperature, o.Nodes[e.To].Temperature
					if g.Nodes[e.To].Kind != network.Joint || into[e.To] > 1 {
						continue // other air comes in there
					}
					ducts++
					if x.Airflow < 10*4.719474e-4 { // 10 cfm
						slow++
					}
					assert.GreaterOrEqual(t, x.Temperature, min(in, out)-1e-6, "%s %s %s", path, cs.Name, e.Name)
					assert.LessOrEqual(t, x.Temperature, max(in, out)+1e-6, "%s %s %s", path, cs.Name, e.Name)
				}
				house := o.Nodes[g.NodeAt(network.InHouse)].Temperature
				for k := range o.Zones {
					given := 0.0
					for r := range g.Registers {
						if q := o.Registers[r].Airflow; g.Elements[g.Registers[r].Element].ZoneID == network.ZoneID(k) && q > 0 {
							given += q * air.StandardDensity * air.SpecificHeatDry * (o.Registers[r].Temperature - house)
						}
					}
					if len(g.LeaksInto(network.ZoneID(k))) == 0 && given != 0 {
						share := o.Zones[k].Delivered / given
						assert.InDelta(t, 1.015, share, 0.016, "%s %s: moist air has up to 3 %% more heat capacity", path, cs.Name)
					}
				}
			}
		}
	}
	assert.Greater(t, ducts, 100)
	assert.NotZero(t, slow, "ducts in which air hardly moves are among them")
}

// A satisfied zone calls by itself where its drift leads away from what the machine does by more than the thermostat's band, and then
// alone; see also the derivation of the time, which is evaluated for every state in package derive.
func TestZonesCallByThemselves(t *testing.T) {
	times, never := 0, 0
	for _, name := range append(networktest.Examples(t), "two-floor") {
		var set []string
		if times > 0 && name == "two-floor" { // a stop that gives the main floor more than it loses
			set = []string{"damper.main.stop=90 %"}
		}
		for _, o := range statetest.SolveAll(t, networktest.Graph(t, name, "", set...)) {
			for k := range o.Zones {
				z := &o.Zones[k]
				if z.Calling || z.DriftEnd != z.DriftEnd {
					continue
				}
				own := z.DriftEnd // towards its own call
				if o.State.Mode == network.Heating {
					own = -own
				}
				if own <= state.CallBand {
					assert.Greater(t, z.TimeToCall, 1e300, "%s %s", name, o.State.Name)
					never++
					continue
				}
				times++
				assert.Positive(t, z.TimeToCall)
				assert.Less(t, z.TimeToCall, 7*86400.0, "%s %s: within the week in which the whole house follows", name, o.State.Name)
			}
		}
	}
	assert.NotZero(t, times)
	assert.NotZero(t, never)
}
