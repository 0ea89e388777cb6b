package diagnose

import (
	"spillway/network"
)

// asBuilt is one way in which a house may differ from its drawing without anything being wrong.
type asBuilt struct {
	name  string
	sigma float64 // standard deviation of the natural logarithm of a multiplier
	apply func(g *network.Graph, multiplier float64)
}

// spreads lists what is not known exactly of any house, with how much: friction and fittings of each run and of what they share, the
// ratings of filter and coil, the blower, leaks. Our choice, about half of the ±30 % that tables of fittings are good for, since a run
// is made of several.
func spreads(g *network.Graph) []asBuilt {
	const (
		run    = 0.12
		trunk  = 0.12
		rated  = 0.10
		blower = 0.03
		leak   = 0.35
		damper = 0.40
	)
	var list []asBuilt
	own := map[int]bool{} // ducts that belong to one register alone
	for k := range g.Registers {
		r := &g.Registers[k]
		own[r.Duct] = true
		list = append(list, asBuilt{"run " + r.Line, run, func(g *network.Graph, m float64) {
			timesDuct(g, r.Duct, m)
			timesOpening(g, r.Element, m)
		}})
	}
	side := func(name string, wanted network.Side) asBuilt {
		return asBuilt{name, trunk, func(g *network.Graph, m float64) {
			for i := range g.Elements {
				if g.Elements[i].Side == wanted && !own[i] {
					timesDuct(g, i, m)
					if g.Elements[i].Kind == network.KindGrille {
						timesOpening(g, i, m)
					}
				}
			}
		}}
	}
	list = append(list, side("supply trunks", network.SupplySide), side("return ducts", network.ReturnSide))
	for i := range g.Elements {
		switch spec := g.Elements[i].Spec.(type) {
		case *network.RatedSpec:
			list = append(list, asBuilt{g.Elements[i].Name, rated, func(g *network.Graph, m float64) { timesRated(i)(g, m) }})
		case *network.LeakSpec:
			same := g.SameLeak(i)
			if same[0] != i {
				continue // part of a figure that is listed
			}
			list = append(list, asBuilt{g.Elements[i].Name, leak, func(g *network.Graph, m float64) {
				for _, k := range same {
					if s, ok := g.Elements[k].Spec.(*network.LeakSpec); ok {
						other := *s
						other.Coefficient *= m
						g.Elements[k].Spec = &other
					}
				}
			}})
		case *network.BlowerSpec:
			list = append(list, asBuilt{"blower", blower, timesBlower})
		case *network.DamperSpec:
			if !spec.Hand && spec.Stop == 0 {
				list = append(list, asBuilt{g.Elements[i].Name + " leakage", damper, func(g *network.Graph, m float64) {
					if s, ok := g.Elements[i].Spec.(*network.DamperSpec); ok && s.LeakageClass == "" {
						other := *s
						if other.Leakage < 0 {
							other.Leakage = 0.03
						}
						other.Leakage *= m
						g.Elements[i].Spec = &other
					}
				}})
			}
		}
	}
	return append(list, doubted(g)...)
}

func timesDuct(g *network.Graph, i int, m float64) {
	if spec, ok := g.Elements[i].Spec.(*network.DuctSpec); ok {
		other := *spec
		other.Multiplier *= m
		other.Local *= m
		g.Elements[i].Spec = &other
	}
}

// timesOpening multiplies the loss of a register or grille. Its law knows the face only by its free share, which is moved to give that.
func timesOpening(g *network.Graph, i int, m float64) {
	spec, ok := g.Elements[i].Spec.(*network.OpeningSpec)
	if !ok {
		return
	}
	other := *spec
	if other.Drop > 0 {
		other.Drop *= m
		g.Elements[i].Spec = &other
	}
}

func timesBlower(g *network.Graph, m float64) {
	spec, ok := g.Elements[g.Blower].Spec.(*network.BlowerSpec)
	if !ok {
		return
	}
	other := *spec
	other.Taps = append([]network.TapCurve(nil), spec.Taps...)
	for k := range other.Taps {
		flows := make([]float64, len(other.Taps[k].Airflow))
		for n, q := range other.Taps[k].Airflow {
			flows[n] = q * m
		}
		other.Taps[k].Airflow = flows
	}
	g.Elements[g.Blower].Spec = &other
}
