package verdict_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// judged is a solved state of an example with something changed by hand, and the finding of one check over it. An outcome's lists are
// copied, so that the next change starts from what was solved.
func judged(t *testing.T, base *state.Outcome, check, where string, change func(o *state.Outcome)) (verdict.Finding, bool) {
	t.Helper()
	o := *base
	o.Zones, o.Registers, o.Nodes = slices.Clone(o.Zones), slices.Clone(o.Registers), slices.Clone(o.Nodes)
	change(&o)
	for _, f := range verdict.Judge(&o) {
		if f.Check == check && f.Where == where {
			return f, true
		}
	}
	return verdict.Finding{}, false
}

// Values put in by hand, on either side of each step, in the units in which the table's sources state it: which level, which limit, and
// how far past it, with its sign.
func TestEachSideOfEachStep(t *testing.T) {
	const f, inwc = 1 / 1.8, quantity.InchWater
	heating := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", ""), "heating: all zones")
	cooling := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", ""), "cooling: bedrooms")
	all := statetest.Quick(t, networktest.Graph(t, "noisy-bedroom", "", "zone.day.heat-gain=12 kBtu/h", "zone.bedrooms.heat-gain=8 kBtu/h", "zone.day.heat-loss=20 kBtu/h",
		"zone.bedrooms.heat-loss=10 kBtu/h", "equipment.cooling.sensible=80 %"), "cooling: all zones")
	doors := statetest.Quick(t, networktest.Build(t, "every-part.toml", networktest.File(t, "testdata/jobs/every-part.toml"), network.Options{}), "cooling: east")
	require.True(t, cooling.Equipment.Computed)
	satisfied := slices.IndexFunc(cooling.Zones, func(z state.Zone) bool { return !z.Calling })
	require.GreaterOrEqual(t, satisfied, 0)
	zone := cooling.Graph.Job.Zones[satisfied].Name
	least, most := tableEnds(cooling)
	tons := float64(all.Graph.Job.Equipment.Cooling.Capacity) / quantity.TonOfCooling

	limit, dew := heating.Equipment.Limit, cooling.Registers[0].DewPoint
	room := slices.IndexFunc(doors.Graph.Nodes, func(n network.Node) bool { return n.Kind == network.RoomAir })
	require.GreaterOrEqual(t, room, 0)
	house := doors.Graph.NodeNamed(network.House)
	line := cooling.Graph.Registers[0].Line
	for _, c := range []struct {
		name, check, where string
		of                 *state.Outcome
		change             func(o *state.Outcome)
		level              verdict.Level
		limit, margin      float64
	}{
		{"sensor 12 °F under the limit", "limit", "", heating, func(o *state.Outcome) { o.Equipment.Sensor, o.Equipment.SensorHigh = limit-12*f, limit-5*f }, verdict.OK, limit - 10*f, 2 * f},
		{"sensor 7 °F under it", "limit", "", heating, func(o *state.Outcome) { o.Equipment.Sensor, o.Equipment.SensorHigh = limit-7*f, limit-5*f }, verdict.Caution, limit - 10*f, -3 * f},
		{"sensor 4 °F over it, at the usual mixing", "limit", "", heating, func(o *state.Outcome) {
			o.Equipment.SensorLow, o.Equipment.Sensor, o.Equipment.SensorHigh = limit-3*f, limit+4*f, limit+20*f
		}, verdict.Caution, limit, -4 * f},
		{"sensor 4 °F over it, and 2 °F with all the air mixed", "limit", "", heating, func(o *state.Outcome) {
			o.Equipment.SensorLow, o.Equipment.Sensor, o.Equipment.SensorHigh = limit+2*f, limit+4*f, limit+20*f
		}, verdict.Fault, limit, -4 * f},
		{"sensor 30 °F under it, 6 °F over it at the unmixed end", "limit", "", heating, func(o *state.Outcome) {
			o.Equipment.SensorLow, o.Equipment.Sensor, o.Equipment.SensorHigh = limit-40*f, limit-30*f, limit+6*f
		}, verdict.Caution, limit, -6 * f},
		{"rise under the plate's", "temperature rise", "", heating, func(o *state.Outcome) { o.Equipment.Rise = o.Equipment.LeastRise - 5*f }, verdict.Fault, heating.Equipment.LeastRise, -5 * f},
		{"rise over it", "temperature rise", "", heating, func(o *state.Outcome) { o.Equipment.Rise = o.Equipment.GreatestRise + 5*f }, verdict.Fault, heating.Equipment.GreatestRise, -5 * f},
		{"air 7 °F under the dew point", "register sweating", line, cooling, func(o *state.Outcome) { wholeHouse(o, dew-7*f) }, verdict.Caution, dew - 5*f, -2 * f},
		{"air 3 °F under it", "register sweating", line, cooling, func(o *state.Outcome) { wholeHouse(o, dew-3*f) }, verdict.OK, dew - 5*f, 2 * f},
		{"a satisfied zone cools by 4 °F", "zone drift", zone, cooling, func(o *state.Outcome) { o.Zones[satisfied].DriftEnd = -4 * f }, verdict.Fault, 3 * f, -1 * f},
		{"it cools by 2.5 °F", "zone drift", zone, cooling, func(o *state.Outcome) { o.Zones[satisfied].DriftEnd = -2.5 * f }, verdict.Caution, 2 * f, -0.5 * f},
		{"it warms: the call does no harm", "zone drift", zone, cooling, func(o *state.Outcome) { o.Zones[satisfied].DriftEnd = 4 * f }, verdict.OK, 2 * f, 2 * f},
		{"off the table below", "blower off its table", "", cooling, func(o *state.Outcome) { o.Blower.OffTable, o.Blower.ExternalStatic = true, least-0.02*inwc }, verdict.Caution, least, -0.02 * inwc},
		{"off the table above", "blower off its table", "", cooling, func(o *state.Outcome) { o.Blower.OffTable, o.Blower.ExternalStatic = true, most+0.02*inwc }, verdict.Caution, most, -0.02 * inwc},
		{"watts per cfm of standard air", "fan power", "", cooling, func(o *state.Outcome) {
			o.Blower.Power, o.Blower.Airflow, o.Blower.ActualAirflow = 600, 1000*quantity.CFM, 1500*quantity.CFM
		}, verdict.Caution, 0.58 / quantity.CFM, -0.02 / quantity.CFM},
		{"sensible capacity over the gains", "cooling size", "", all, func(*state.Outcome) {}, verdict.Caution, 1.15, 1.15 - tons*12*0.80/(12+8)},
		{"a room 4 Pa under the house", "room pressure", doors.Graph.Nodes[room].Name, doors, func(o *state.Outcome) { o.Nodes[room].Total = o.Nodes[house].Total - 4 }, verdict.Caution, 3, -1},
		{"a room 6 Pa over it", "room pressure", doors.Graph.Nodes[room].Name, doors, func(o *state.Outcome) { o.Nodes[room].Total = o.Nodes[house].Total + 6 }, verdict.Fault, 5, -1},
	} {
		got, ok := judged(t, c.of, c.check, c.where, c.change)
		if !assert.True(t, ok, c.name) {
			continue
		}
		assert.Equal(t, c.level, got.Level, c.name)
		assert.InDelta(t, c.limit, got.Limit, 1e-9*math.Max(1, math.Abs(c.limit)), c.name)
		assert.InDelta(t, c.margin, got.Margin, 1e-6*math.Max(1, math.Abs(c.limit)), c.name)
	}
}

// wholeHouse gives every register air of one temperature.
func wholeHouse(o *state.Outcome, celsius float64) {
	for k := range o.Registers {
		o.Registers[k].Temperature = celsius
	}
}

// tableEnds are the least and the greatest static of the tap in use.
func tableEnds(o *state.Outcome) (least, most float64) {
	for _, tap := range o.Graph.Elements[o.Graph.Blower].Spec.(*network.BlowerSpec).Taps {
		if tap.Name == o.Blower.Tap {
			return tap.Static[0], tap.Static[len(tap.Static)-1]
		}
	}
	return math.NaN(), math.NaN()
}

// A machine in its first of two stages is not judged by the size of the house: the second is for that.
func TestSizeIsJudgedAtTheHighestStage(t *testing.T) {
	g := networktest.Graph(t, "four-zone", "")
	for i := range g.Job.Zones {
		g.Job.Zones[i].HeatGain = 1000
	}
	for _, cs := range state.States(g) {
		if cs.Mode != network.Cooling || len(cs.Calling) != len(g.Job.Zones) {
			continue
		}
		o := statetest.Quick(t, g, cs.Name)
		sized := slices.ContainsFunc(verdict.Judge(o), func(f verdict.Finding) bool { return f.Check == "cooling size" })
		assert.Equal(t, cs.Stage == cs.Stages, sized, cs.Name)
	}
}

// The plate's static is the fault, and nine tenths of it the caution, as the default has it.
func TestPlateStatic(t *testing.T) {
	for _, set := range []string{"equipment.max-static=0.8 inwc", "limits.max-static=0.8 inwc"} {
		for _, l := range verdict.Limits(networktest.Graph(t, "first-look", "", set).Job) {
			if l.Check == "external static" {
				assert.InEpsilon(t, 0.8*quantity.InchWater, l.Fault, 1e-9, set)
				assert.InEpsilon(t, 0.72*quantity.InchWater, l.Caution, 1e-9, set)
			}
		}
	}
}
