package diagnose

import (
	"slices"

	"spillway/network"
	"spillway/solver/state"
)

// Expectation is what should be read at a place in a call state when all is in order, SI.
type Expectation struct {
	Query
	Value   float64
	AsBuilt float64 // standard deviation as built
	Sigma   float64 // standard uncertainty of the usual instrument at that value
	// Tolerance is how far a reading may be off before it counts as failed.
	Tolerance float64
}

// Expect is what should be read by a plan. The values and deviations are those of a Bench of the same plan; it takes a fraction of the
// time, since nothing is known of causes.
func Expect(g *network.Graph, plan []Query) ([]Expectation, error) {
	b, err := sound(g, plan)
	if err != nil {
		return nil, err
	}
	value, asBuilt := b.Expected()
	list := make([]Expectation, len(plan))
	for i, q := range plan {
		usual := network.InstrumentFor(q.Kind)
		list[i] = Expectation{Query: q, Value: value[i], AsBuilt: asBuilt[i], Sigma: usual.Sigma(value[i])}
		list[i].Tolerance = Tolerance(q.Kind, value[i], list[i].Sigma, asBuilt[i])
	}
	return list, nil
}

// Commissioning is the plan of readings when an installation is handed over, in one call state: the blower's airflow, the statics of
// the equipment and of the job's own ports, the air before and behind the machine, every register.
func Commissioning(g *network.Graph, s state.CallState) []Query {
	var plan []Query
	add := func(kind network.ReadingKind, keep func(at *network.Spot) bool) {
		for _, at := range g.Spots(kind) {
			if keep(&at) {
				plan = append(plan, Query{Kind: kind, Place: at, State: s.Name})
			}
		}
	}
	role := func(at *network.Spot) network.Role {
		if at.Node < 0 || at.Port {
			return network.NoRole
		}
		return g.Nodes[at.Node].Role
	}
	equipment := []network.Role{network.AtReturnPlenum, network.AtBlowerInlet, network.AtBlowerOutlet, network.AtSupplyPlenum}
	add(network.AirflowReading, func(at *network.Spot) bool { return at.Element == g.Blower })
	add(network.StaticReading, func(at *network.Spot) bool { return at.Port || slices.Contains(equipment, role(at)) })
	add(network.TemperatureReading, func(at *network.Spot) bool {
		return at.Register < 0 && (role(at) == network.AtReturnPlenum || role(at) == network.AtSupplyPlenum)
	})
	add(network.AirflowReading, func(at *network.Spot) bool { return at.Register >= 0 })
	return plan
}

// Handover is the part of Commissioning that shows in a few readings whether an installation is as
// designed: the blower's airflow, the statics of the plenums and the air that leaves the machine.
func Handover(g *network.Graph, s state.CallState) []Query {
	return slices.DeleteFunc(Commissioning(g, s), func(q Query) bool {
		at := &q.Place
		switch {
		case q.Kind == network.AirflowReading:
			return at.Element != g.Blower
		case at.Port || at.Node < 0:
			return true
		}
		role := g.Nodes[at.Node].Role
		return role != network.AtSupplyPlenum &&
			(role != network.AtReturnPlenum || q.Kind == network.TemperatureReading)
	})
}
