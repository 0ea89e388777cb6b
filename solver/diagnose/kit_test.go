package diagnose

import (
	"cmp"
	"slices"

	"spillway/network"
	"spillway/solver/state"
)

// Kit is the usual set of readings of a troubleshooting visit: the static before and behind the blower, and the airflow of four
// registers, two in each of two zones (those that want most), in two call states of one mode, each of the two zones calling alone.
// With fewer zones or registers it takes what there is.
func Kit(g *network.Graph, mode network.Mode) []Query {
	zones := kitZones(g)
	var states []string
	for _, z := range zones {
		for _, s := range state.Calling(g, z) {
			if s.Mode == mode {
				states = append(states, s.Name)
				break
			}
		}
	}
	var spots []Query
	statics := g.Spots(network.StaticReading)
	for _, names := range [][]string{{network.BlowerInlet, network.ReturnPlenum}, {network.BlowerOutlet, network.SupplyPlenum}} {
		for _, name := range names {
			if i := slices.IndexFunc(statics, func(s network.Spot) bool { return s.Name == name && !s.Port }); i >= 0 {
				spots = append(spots, Query{Kind: network.StaticReading, Place: statics[i]})
				break
			}
		}
	}
	registers := g.Spots(network.AirflowReading)
	for _, z := range zones {
		spots = append(spots, greatest(g, registers, z, 2)...)
	}
	var plan []Query
	for _, s := range states {
		for _, q := range spots {
			q.State = s
			plan = append(plan, q)
		}
	}
	return plan
}

// kitZones are two zones: the first and the one that wants least, as the file has them when there are two.
func kitZones(g *network.Graph) []string {
	type zone struct {
		name  string
		wants float64
	}
	var list []zone
	for i := range g.Job.Zones {
		wants := 0.0
		for k := range g.Registers {
			if g.Registers[k].Zone == g.Job.Zones[i].Name {
				wants += g.Registers[k].Wants
			}
		}
		list = append(list, zone{g.Job.Zones[i].Name, wants})
	}
	slices.SortStableFunc(list, func(a, b zone) int { return cmp.Compare(b.wants, a.wants) })
	if len(list) > 2 {
		list = []zone{list[0], list[len(list)-1]}
	}
	var names []string
	for _, z := range list {
		names = append(names, z.name)
	}
	return names
}

// greatest are the registers of a zone that want most.
func greatest(g *network.Graph, spots []network.Spot, zone string, n int) []Query {
	var own []network.Spot
	for _, s := range spots {
		if s.Register >= 0 && g.Registers[s.Register].Zone == zone && !g.Registers[s.Register].Dump {
			own = append(own, s)
		}
	}
	slices.SortStableFunc(own, func(a, b network.Spot) int {
		return cmp.Compare(g.Registers[b.Register].Wants, g.Registers[a.Register].Wants)
	})
	var out []Query
	for _, s := range own[:min(n, len(own))] {
		out = append(out, Query{Kind: network.AirflowReading, Place: s})
	}
	return out
}
