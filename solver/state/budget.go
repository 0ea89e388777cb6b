package state

import "spillway/network"

// Budget is how the rise of the blower is used up, Pa of total pressure. The parts add up to the
// blower's external static.
type Budget struct {
	Filter, Coil   float64 // Pa; 0 of what the blower's table covers
	Supply, Return float64 // Pa: from the supply plenum to the house and back to the return plenum
}

// BudgetNodes are the nodes between which the blower's rise is used up, in the order of the air
// from the blower: its outlet, the supply plenum, the house, the return plenum and its inlet.
// Outlet and supply plenum are one node where there is no coil, return plenum and inlet one where
// there is no filter.
func BudgetNodes(g *network.Graph) [5]int {
	b := &g.Elements[g.Blower]
	return [5]int{b.To, g.NodeAt(network.AtSupplyPlenum), g.NodeAt(network.InHouse),
		g.NodeAt(network.AtReturnPlenum), b.From}
}

// Budget tells what coil, supply, return and filter use of the blower's rise.
func (o *Outcome) Budget() Budget {
	var total [5]float64
	for i, n := range BudgetNodes(o.Graph) {
		total[i] = o.Nodes[n].Total
	}
	return Budget{Coil: total[0] - total[1], Supply: total[1] - total[2],
		Return: total[2] - total[3], Filter: total[3] - total[4]}
}
